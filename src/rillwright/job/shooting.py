"""A shot taken: written first, then reduced, judged anew, and asked about where it looks wrong."""

from __future__ import annotations

import uuid as uuids
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Finding, Judged, Severity
from rillwright.errors import InputError, Problem
from rillwright.feature import ElementPath, Surface, places
from rillwright.job.appending import Added, add_rows
from rillwright.job.files import read_text
from rillwright.job.history import noted
from rillwright.job.locking import locked
from rillwright.job.opening import Job, judge, open
from rillwright.job.shot_file import sheet_of
from rillwright.job.staking import is_stake, path_of_stake
from rillwright.survey import Question, ReducedShot, Shot, ShotState

if TYPE_CHECKING:
    from rillwright.compare import Changes


class Shooting(Struct, frozen=True, kw_only=True):
    """A row that is on the disk, what it comes to, and the job before and after it."""

    row: Shot
    new: bool  # False: it stood there already
    reduced: ReducedShot | None  # None for a row about an earlier one whose uuid is not known
    questions: tuple[Question, ...]  # about this reading, or newly raised about others
    job: Job
    before: Judged
    after: Judged
    changes: Changes  # what the row changed, worst first
    notes: tuple[str, ...]  # what happened to files that a person should know


class Shift(Struct, frozen=True, kw_only=True):
    """A finding whose severity is another than it was; None where it was not there, or is not there any more."""

    before: Finding | None
    after: Finding | None


def shoot(
    job: Job,
    *,
    at: str,
    surface: str,
    reading: str,
    setup: str = "",
    rod: str = "",
    who: str = "",
    note: str = "",
    state: str = ShotState.KEPT,
    re: str = "",
    time: str = "",
    uuid: str = "",
    earlier: Judged | None = None,
) -> Shooting:
    """Write a reading to shots.csv, then reduce it and judge the job anew.

    Nothing is refused for being odd: it is written, flagged and asked about. Without `setup` and `rod` those of the row
    before are meant, or a first set-up of the day; the set-up `new` is the next one of the day. A reading sent twice
    with its `uuid` arrives once. At a stake, `s7`, the path of its point is kept: numbers follow the plan. With `re` it
    takes the place of the reading of that uuid.

    Raises
    ------
    InputError
        If there is nothing to write: no reading, no rod, or a cell that is too long.
    OutputError
        If the disk does not take it; then it is not written.
    """
    with writing(job) as (current, notes):
        stamp = time or now()
        if is_stake(at):
            earlier = before_of(current, earlier)
            at = path_of_stake(earlier, at)
        last = next((shot for shot in reversed(current.sheet.shots) if shot.reading), None)
        row = Shot(
            uuid=uuid or str(uuids.uuid4()),
            time=stamp,
            who=who,
            setup=_setup(setup, stamp, current),
            rod=rod or (last.rod if last is not None else ""),
            path=at.strip(),
            surface=surface.strip(),
            reading=reading.strip(),
            state=state,
            re=re,
            note=note,
        )
        if not row.reading:
            raise InputError(Problem(message="there is no reading", field="reading", allowed="what the rod reads"))
        if not row.rod:
            allowed = "ft-in, tenths, inches, metric, or laser and one of these"
            raise InputError(Problem(message="no rod is named, and none was used before", field="rod", allowed=allowed))
        return _written(current, row, earlier, notes)


def withdraw(job: Job, uuid: str, *, who: str = "", note: str = "", earlier: Judged | None = None) -> Shooting:
    """Withdraw a reading: a later row says so, the reading itself stays. See `shoot` for what is raised."""
    return _say(job, uuid, ShotState.WITHDRAWN, who=who, note=note, earlier=earlier)


def confirm(job: Job, uuid: str, *, who: str = "", note: str = "", earlier: Judged | None = None) -> Shooting:
    """Say that a reading which was asked about holds. See `shoot` for what is raised."""
    return _say(job, uuid, ShotState.KEPT, who=who, note=note, earlier=earlier)


def doubt(job: Job, uuid: str, *, who: str = "", note: str = "", earlier: Judged | None = None) -> Shooting:
    """Say that a reading is not to be built upon. See `shoot` for what is raised."""
    return _say(job, uuid, ShotState.DOUBTED, who=who, note=note, earlier=earlier)


def receive(folder: Path, rows: Sequence[Shot]) -> Added:
    """Write rows that came from elsewhere, all or none, each once; they are judged when the job is opened again.

    Raises
    ------
    InputError
        If a row cannot be written.
    OutputError
        If the disk does not take them; then none is written.
    """
    with locked(folder):
        return add_rows(folder, rows)


def shifted(before: Judged, after: Judged) -> tuple[Shift, ...]:
    """The findings whose severity changed, came or went, worst first as they stand now."""
    was = {(finding.code, finding.element): finding for finding in before.findings}
    now_ = {(finding.code, finding.element): finding for finding in after.findings}
    found = [
        Shift(before=was.get(key), after=finding)
        for key, finding in now_.items()
        if (was[key].severity if key in was else Severity.OK) is not finding.severity
    ]
    gone = [
        Shift(before=finding, after=None)
        for key, finding in was.items()
        if key not in now_ and finding.severity is not Severity.OK
    ]
    return (*found, *gone)


def surfaces_at(job: Job, at: str, *, judged: Judged | None = None) -> tuple[str, ...]:
    """The surfaces that can be read at a path or a stake, by their words; all where nothing is known of it."""
    if is_stake(at):
        at = path_of_stake(before_of(job, judged), at)
    try:
        path = str(replace(ElementPath.parse(at), place=""))
    except InputError:
        return tuple(Surface)
    if path.startswith("marks/"):
        return (Surface.MARK,)
    return tuple(place.surface for place in places(job.planned) if str(place.path) == path) or tuple(Surface)


def now() -> str:
    """The time as this device says it, to the second, with its offset."""
    return datetime.now().astimezone().isoformat(timespec="seconds")


def _say(job: Job, uuid: str, state: ShotState, *, who: str, note: str, earlier: Judged | None) -> Shooting:
    with writing(job) as (current, notes):
        known = [shot.uuid for shot in current.sheet.shots if shot.reading]
        meant = [each for each in known if each == uuid] or [each for each in known if each.startswith(uuid)]
        if len(set(meant)) != 1 or not uuid:
            allowed = "the uuid of one reading, or enough of its beginning"
            message = "no reading has that uuid" if not meant else "several readings begin so"
            raise InputError(Problem(message=message, field="re", found=uuid, allowed=allowed))
        row = Shot(uuid=str(uuids.uuid4()), time=now(), who=who, state=state, re=meant[0], note=note)
        return _written(current, row, earlier, notes)


@contextmanager
def writing(job: Job) -> Iterator[tuple[Job, tuple[str, ...]]]:
    """Hold the folder's lock, with the job as its files are now and what is to be said of that."""
    with locked(job.path.parent):
        yield _current(job)


def _current(job: Job) -> tuple[Job, tuple[str, ...]]:
    """The job with the shots of the disk. Of a feature file that another hand changed the reading must not suffer."""
    notes: tuple[str, ...] = ()
    try:
        changed = read_text(job.path, file=str(job.path)) != job.as_read
        if changed and not job.edits:
            return open(job.path, earlier=job), (f"{job.path.name} was changed by another hand and was read again.",)
        if changed:
            notes = (
                f"{job.path.name} was changed by another hand: what is typed here and not saved does not know it.",
            )
    except InputError as error:
        notes = (f"{job.path.name} can no longer be read; judged by what it was: {error}",)
    sheet = sheet_of(job.path.parent)
    return (job if sheet == job.sheet else job.with_sheet(sheet)), notes


def _setup(said: str, stamp: str, job: Job) -> str:
    """The set-up meant: as said; else the last one of this day, else its first. `new` is the next."""
    if said not in ("", "new"):
        return said
    day = stamp[:10]
    today = [shot.setup for shot in job.sheet.shots if shot.setup.startswith(f"{day}/")]
    numbers = [int(tail) for setup in today if (tail := setup.rpartition("/")[2]).isdigit()]
    if said == "new" or not today:
        return f"{day}/{max(numbers, default=0) + 1}"
    return today[-1]


def before_of(job: Job, earlier: Judged | None) -> Judged:
    """The job judged as it stood, once."""
    return earlier if earlier is not None and _is_of(earlier, job) else judge(job, earlier=earlier)


def _is_of(judged: Judged, job: Job) -> bool:
    """Whether it was judged from this very job, so that nothing is to be judged again."""
    inputs = judged.assessment
    return (
        inputs.feature is job.feature
        and inputs.shots is job.shots
        and inputs.survey is job.surveyed
        and inputs.ticks == job.ticks.ticks
    )


def _written(job: Job, row: Shot, earlier: Judged | None, notes: tuple[str, ...]) -> Shooting:
    from rillwright.compare import compare

    before = before_of(job, earlier)
    asked = set(job.shots.questions)
    added = add_rows(job.path.parent, [row])
    said = noted(job.path)
    after_job = job.with_sheet(added.sheet)
    after = judge(after_job, earlier=before)
    uuid = row.re if row.re and not row.reading else row.uuid
    reduced = next((shot for shot in after_job.shots.shots if shot.shot.uuid == uuid), None)
    own = reduced.questions if reduced is not None else ()
    others = tuple(question for question in after_job.shots.questions if question not in asked and question not in own)
    return Shooting(
        row=row,
        new=bool(added.new),
        reduced=reduced,
        questions=(*own, *others),
        job=after_job,
        before=before,
        after=after,
        changes=compare(before, after),
        notes=(*notes, *added.notes, *said),
    )
