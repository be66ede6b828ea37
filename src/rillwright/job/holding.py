"""Hold points that are kept: holds.csv beside shots.csv, by the same rules, and which of them are still open."""

from __future__ import annotations

import uuid as uuids
from collections.abc import Sequence
from difflib import get_close_matches
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import HoldPoint, HoldState, Judged, NotRun, hold_states
from rillwright.build import item_names
from rillwright.errors import InputError, Problem
from rillwright.job.files import read_bytes
from rillwright.job.locking import locked
from rillwright.job.opening import Job, judge
from rillwright.job.shooting import before_of, now
from rillwright.job.ticking import add_ticks
from rillwright.survey import Tick


class Ticked(Struct, frozen=True, kw_only=True):
    """Rows that are on the disk, and the job before and after them."""

    rows: tuple[Tick, ...]
    new: int  # fewer than the rows where some stood there already
    job: Job
    before: Judged
    after: Judged
    notes: tuple[str, ...] = ()


def holds(job: Job, *, judged: Judged | None = None, day: str = "") -> tuple[HoldState, ...]:
    """Every hold point in the order of the work, with what was ticked and shot there, and whether it is open.

    Those of a benchmark come every day anew: `day`, such as 2026-05-04, says which day's ticks are meant.
    """
    assessment = (judged if judged is not None else judge(job)).assessment
    if isinstance(assessment.build, NotRun):
        return ()
    return hold_states(assessment.build.holds, job.ticks.ticks, job.shots.shots, day=day)


def tick(
    job: Job,
    hold: str,
    *,
    initials: str,
    items: Sequence[str] = ("",),
    state: str = "done",
    who: str = "",
    note: str = "",
    photo: Path | None = None,
    time: str = "",
    uuid: str = "",
    earlier: Judged | None = None,
) -> Ticked:
    """Write to holds.csv that lines of a hold point were done, or are undone again; an empty item is all of them.

    A `photo` is kept among those of the job, and the note names it. A row that is sent twice with its `uuid` arrives
    once; of several rows the later ones are numbered behind it. They are acknowledged when the disk has them.

    Raises
    ------
    InputError
        If there is no such hold point or item, initials are missing, or the photo is no picture.
    OutputError
        If the disk does not take it; then no row is written.
    """
    before = before_of(job, earlier)
    build = before.assessment.build
    _known(() if isinstance(build, NotRun) else build.holds, hold, items)
    folder, stamp, first = job.path.parent, time or now(), uuid or str(uuids.uuid4())
    if not initials.strip():
        raise InputError(Problem(message="is missing", field="initials", allowed="of whoever did it"))
    if photo is not None:
        job, name = _with_photo(job, photo, who=who)
        note = "; ".join(part for part in (f"photo {name}", note) if part)
    rows = [
        Tick(
            uuid=first if not number else f"{first}-{number}",
            time=stamp,
            who=who,
            hold=hold,
            item=item,
            initials=initials,
            state=state,
            note=note,
        )
        for number, item in enumerate(items)
    ]
    with locked(folder):
        added = add_ticks(folder, rows)
        after_job = replace(job, ticks=added.sheet)
    after = judge(after_job, earlier=before)
    return Ticked(rows=tuple(rows), new=added.new, job=after_job, before=before, after=after, notes=added.notes)


def _with_photo(job: Job, photo: Path, *, who: str) -> tuple[Job, str]:
    from rillwright.job.photographs import LARGEST_PHOTO, keep_photo, photo_name

    content = read_bytes(photo, file=str(photo), most=LARGEST_PHOTO)
    return keep_photo(job, content, who=who), photo_name(content)


def _known(points: tuple[HoldPoint, ...], hold: str, items: Sequence[str]) -> None:
    found = next((one for one in points if one.id == hold), None)
    if found is None:
        ids = [one.id for one in points]
        near = get_close_matches(hold, ids, n=3, cutoff=0.5)
        allowed = ", ".join(near or ids)
        raise InputError(Problem(message="no such hold point", field="hold", found=repr(hold), allowed=allowed))
    names = item_names(found)
    strange = [item for item in items if item and item not in names]
    if strange or not items:
        message, allowed = f"is no item of {hold}", "; ".join(names)
        wrong = strange or [""]
        raise InputError([Problem(message=message, field="item", found=repr(one), allowed=allowed) for one in wrong])
