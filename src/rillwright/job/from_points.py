"""A surveyor's points as rows of shots.csv: levels of another instrument, each once, however often the file is read."""

from __future__ import annotations

import math
import re
import uuid as uuids
from collections.abc import Iterable
from hashlib import sha256
from typing import TYPE_CHECKING

from msgspec import Struct

from rillwright.assessment import Judged, NotRun, Stake, Surface
from rillwright.errors import InputError, Problem
from rillwright.exchange import PEG, ExchangePoint, numbered_points_csv
from rillwright.feature import ElementPath
from rillwright.job.appending import add_rows
from rillwright.job.history import noted
from rillwright.job.opening import Job, judge
from rillwright.job.shooting import before_of, now, writing
from rillwright.job.staking import is_stake
from rillwright.sources import default
from rillwright.survey import LEVEL, Question, Shot, ShotState

if TYPE_CHECKING:
    from rillwright.compare import Changes

_ID = re.compile(r"[A-Za-z0-9_-]+")


class Taken(Struct, frozen=True, kw_only=True):
    """What came of a file of points: rows that are new, how many stood there already, and what they changed."""

    new: tuple[Shot, ...]
    known: int
    questions: tuple[Question, ...]
    job: Job
    before: Judged
    after: Judged
    changes: Changes
    notes: tuple[str, ...]


def take_points(
    job: Job,
    text: str,
    *,
    file: str,
    order: str | None = None,
    unit: str = "m",
    who: str = "",
    earlier: Judged | None = None,
) -> Taken:
    """Write the levels of a surveyor's CSV to shots.csv, all or none, and judge the job anew.

    They are levels and no readings, and are kept so: `level` in the place of the rod, the level in metres. A point is
    a stake by its number, a mark by its id, an element by its path, else a free point. Rows about pegs are passed over.

    Raises
    ------
    InputError
        With every row that has no level, no surface, or a number of no stake; then none is written.
    OutputError
        If the disk does not take them; then none is written.
    """
    from rillwright.compare import compare

    points = numbered_points_csv(text, file=file, order=order, unit=unit)
    digest = sha256(text.encode("utf-8")).hexdigest()
    with writing(job) as (current, notes):
        before = before_of(current, earlier)
        stamp = now()
        rows = _rows(current, before, points, file=file)
        shots = [
            Shot(
                uuid=str(uuids.uuid5(uuids.NAMESPACE_OID, f"{digest} {line}")),
                time=stamp,
                who=who,
                setup=f"{LEVEL}/{digest[:8]}",
                rod=LEVEL,
                path=path,
                surface=surface.value,
                reading=f"{point.level_m:.5f} m",
                state=state,
                note=f"from {file} line {line}{why}",
            )
            for line, point, path, surface, state, why in rows
        ]
        there = {shot.uuid for shot in current.sheet.shots}
        new = [shot for shot in shots if shot.uuid not in there]
        added = add_rows(current.path.parent, new)
        said = noted(current.path) if new else ()
        asked = set(current.shots.questions)
        after_job = current.with_sheet(added.sheet)
        after = judge(after_job, earlier=before)
    return Taken(
        new=added.new,
        known=len(shots) - len(new),
        questions=tuple(question for question in after_job.shots.questions if question not in asked),
        job=after_job,
        before=before,
        after=after,
        changes=compare(before, after),
        notes=(*notes, *added.notes, *said),
    )


_Row = tuple[int, ExchangePoint, str, Surface, str, str]  # line, point, path, surface, state, why it is doubted


def _rows(job: Job, judged: Judged, points: Iterable[tuple[int, ExchangePoint]], *, file: str) -> list[_Row]:
    build = judged.assessment.build
    stakes = {} if isinstance(build, NotRun) else {stake.id: stake for stake in build.stakes}
    marks = {mark.id for mark in job.planned.marks}
    found: list[_Row] = []
    problems: list[Problem] = []
    for line, point in points:
        if point.id.endswith(PEG) and point.id.removesuffix(PEG) in stakes:
            continue
        stake = stakes.get(point.id)
        path = _path(point, stake, marks)
        surface = point.surface or (Surface.MARK if point.id in marks else None)
        if path is None:
            what = "is no stake of this job" if is_stake(point.id) else "cannot be the name of a point"
            problems.append(Problem(message=what, file=file, line=line, field="point", found=repr(point.id)))
        if surface is None:
            allowed = ", ".join(each.value for each in Surface)
            message = "says no surface: a level is always of one"
            problems.append(Problem(message=message, file=file, line=line, field="surface", allowed=allowed))
        if point.level_m is None:
            problems.append(Problem(message="has no level", file=file, line=line, field="level"))
        if path is not None and surface is not None:
            away = _away_m(point, stake)
            far = away > default("stake.near").number
            why = f"; {away:.2f} m away from stake {point.id}: which point is it?" if far else ""
            found.append((line, point, path, surface, ShotState.DOUBTED if far else ShotState.KEPT, why))
    if problems:
        raise InputError(problems)
    return found


def _path(point: ExchangePoint, stake: Stake | None, marks: set[str]) -> str | None:
    """Where it was taken: numbers of stakes follow the plan, so the path is what is kept."""
    if stake is not None:
        return stake.shot_at
    if point.id in marks:
        return f"marks/{point.id}"
    if is_stake(point.id):
        return None
    try:
        return str(ElementPath.parse(point.id))
    except InputError:
        return f"points/{point.id}" if _ID.fullmatch(point.id) else None


def _away_m(point: ExchangePoint, stake: Stake | None) -> float:
    if stake is None or stake.at is None:
        return 0.0
    return math.dist((point.easting_m, point.northing_m), stake.at)
