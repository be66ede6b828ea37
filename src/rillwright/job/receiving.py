"""Rows that come from elsewhere, of shots and of ticks: each acknowledged once it is on the disk, or refused."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.job.appending import add_rows
from rillwright.job.hold_file import HOLD_FILE, ticks_of
from rillwright.job.locking import locked
from rillwright.job.shot_file import SHOT_FILE, sheet_of
from rillwright.job.ticking import add_ticks
from rillwright.survey import MOST_SHOTS, MOST_TICKS, Shot, Tick, write_shot, write_tick

LONGEST_UUID = 64
Row = TypeVar("Row", Shot, Tick)


class RefusedRow(Struct, frozen=True, kw_only=True):
    """A row that was not written, and why; sent again as it is it will not be either."""

    uuid: str
    problems: tuple[Problem, ...]


class Received(Struct, frozen=True, kw_only=True):
    """What became of each row sent: every uuid is in exactly one of the two."""

    acknowledged: tuple[str, ...]  # on the disk, whether now or before
    refused: tuple[RefusedRow, ...]
    new: int
    notes: tuple[str, ...] = ()


def receive_each(folder: Path, rows: Sequence[Shot]) -> Received:
    """Write what can be written of these readings, each once, and return when the disk has them.

    One row that cannot be written does not hold up the others.

    Raises
    ------
    InputError
        If one uuid stands in two rows that differ, or shots.csv is no file of shots.
    OutputError
        If the disk does not take them; then none is written.
    """
    once = _once([replace(row, line=0) for row in rows], what="reading")
    with locked(folder):
        there = sheet_of(folder).shots
        good, refused = _sorted_out(once, there, write_shot, what="reading", file=SHOT_FILE, most=MOST_SHOTS)
        added = add_rows(folder, good)
    return _received(good, refused, new=len(added.new), notes=added.notes)


def receive_ticks(folder: Path, rows: Sequence[Tick]) -> Received:
    """Write what can be written of these ticks, as `receive_each` does of readings.

    A tick of a hold point that the plan does not have, or has no more, is kept like any other.

    Raises
    ------
    InputError
        If one uuid stands in two rows that differ, or holds.csv is no file of hold points.
    OutputError
        If the disk does not take them; then none is written.
    """
    once = _once(rows, what="tick")
    with locked(folder):
        there = ticks_of(folder).ticks
        good, refused = _sorted_out(once, there, write_tick, what="tick", file=HOLD_FILE, most=MOST_TICKS)
        added = add_ticks(folder, good)
    return _received(good, refused, new=added.new, notes=added.notes)


def _received(
    good: Sequence[Row], refused: Mapping[str, tuple[Problem, ...]], *, new: int, notes: tuple[str, ...]
) -> Received:
    return Received(
        acknowledged=tuple(row.uuid for row in good),
        refused=tuple(RefusedRow(uuid=uuid, problems=problems) for uuid, problems in refused.items()),
        new=new,
        notes=notes,
    )


def _once(rows: Sequence[Row], *, what: str) -> list[Row]:
    """Each row once. Two that differ under one uuid cannot both be answered for."""
    once = list(dict.fromkeys(rows))
    twice = [uuid for uuid, count in Counter(row.uuid for row in once).items() if count > 1]
    if twice:
        message = f"two {what}s of one sending have the same uuid and differ"
        raise InputError([Problem(message=message, field="uuid", found=repr(uuid[:LONGEST_UUID])) for uuid in twice])
    return once


def _sorted_out(
    once: Sequence[Row], there: Sequence[Row], write: Callable[[Row], str], *, what: str, file: str, most: int
) -> tuple[list[Row], dict[str, tuple[Problem, ...]]]:
    """The rows that can be written, or stand there, and those refused; of new ones as many as the file may hold."""
    sent = {row.uuid for row in once}
    known = {row.uuid: write(row) for row in there if row.uuid in sent}
    refused = {row.uuid: problems for row in once if (problems := _problems(row, known, write, what=what))}
    good = [row for row in once if row.uuid not in refused]
    new = [row for row in good if row.uuid not in known]
    over = {row.uuid for row in new[max(most - len(there), 0) :]}
    full = Problem(message=f"{file} is full: begin another job", allowed=f"up to {most:,} rows")
    return [row for row in good if row.uuid not in over], {**refused, **dict.fromkeys(over, (full,))}


def _problems(row: Row, known: Mapping[str, str], write: Callable[[Row], str], *, what: str) -> tuple[Problem, ...]:
    if not row.uuid or len(row.uuid) > LONGEST_UUID or not row.uuid.isascii() or not _plain(row.uuid):
        allowed = f"letters, digits and '-', up to {LONGEST_UUID} of them"
        return (Problem(message="is no uuid", field="uuid", found=repr(row.uuid[:LONGEST_UUID]), allowed=allowed),)
    try:
        line = write(row)
    except InputError as error:
        return error.problems
    if known.get(row.uuid, line) != line:
        message = f"another {what} was kept under this uuid: take it anew, as a {what} of its own"
        return (Problem(message=message, field="uuid", found=row.uuid),)
    return ()


def _plain(uuid: str) -> bool:
    return all(letter.isalnum() or letter in "-_" for letter in uuid)
