"""Hold points that are kept: holds.csv beside shots.csv, by the same rules, and which of them are still open."""

from __future__ import annotations

import uuid as uuids
from difflib import get_close_matches
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import HoldPoint, HoldState, Judged, NotRun, hold_states
from rillwright.build import item_names
from rillwright.errors import InputError, Problem
from rillwright.job.appending import append, mended
from rillwright.job.hold_file import HOLD_FILE, ticks_of
from rillwright.job.locking import locked
from rillwright.job.opening import Job, judge
from rillwright.job.shooting import before_of, now
from rillwright.survey import TICKS_HEADER, Tick, read_ticks, write_tick


class Ticked(Struct, frozen=True, kw_only=True):
    """A row that is on the disk, and the job with it."""

    row: Tick
    new: bool  # False: it stood there already
    job: Job
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
    item: str = "",
    state: str = "done",
    who: str = "",
    note: str = "",
    time: str = "",
    uuid: str = "",
    earlier: Judged | None = None,
) -> Ticked:
    """Write to holds.csv that a hold point, or one `item` of it, was done, or is undone again.

    A row that is sent twice with its `uuid` arrives once. It is acknowledged when the disk has it.

    Raises
    ------
    InputError
        If there is no such hold point or item, or initials are missing.
    OutputError
        If the disk does not take it; then it is not written.
    """
    before = before_of(job, earlier)
    build = before.assessment.build
    _known(() if isinstance(build, NotRun) else build.holds, hold, item)
    row = Tick(
        uuid=uuid or str(uuids.uuid4()),
        time=time or now(),
        who=who,
        hold=hold,
        item=item,
        initials=initials,
        state=state,
        note=note,
    )
    folder = job.path.parent
    with locked(folder):
        new, notes = _add(folder, row)
        after_job = replace(job, ticks=ticks_of(folder))
    return Ticked(row=row, new=new, job=after_job, after=judge(after_job, earlier=before), notes=notes)


def _add(folder: Path, row: Tick) -> tuple[bool, tuple[str, ...]]:
    notes = mended(folder / HOLD_FILE, lambda: ticks_of(folder).unread)
    line = write_tick(row)
    (written,) = read_ticks(TICKS_HEADER + line, file=HOLD_FILE).ticks
    if written.cells in {one.cells for one in ticks_of(folder).ticks}:
        return False, notes
    append(folder / HOLD_FILE, line.encode("utf-8"), header=TICKS_HEADER)
    return True, notes


def _known(points: tuple[HoldPoint, ...], hold: str, item: str) -> None:
    found = next((one for one in points if one.id == hold), None)
    if found is None:
        ids = [one.id for one in points]
        near = get_close_matches(hold, ids, n=3, cutoff=0.5)
        allowed = ", ".join(near or ids)
        raise InputError(Problem(message="no such hold point", field="hold", found=repr(hold), allowed=allowed))
    if item and item not in item_names(found):
        allowed = "; ".join(item_names(found))
        raise InputError(Problem(message=f"is no item of {hold}", field="item", found=repr(item), allowed=allowed))
