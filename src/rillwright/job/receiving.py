"""Rows of shots that come from elsewhere: each acknowledged once it is on the disk, or refused with its reasons."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.job.appending import add_rows
from rillwright.job.locking import locked
from rillwright.job.shot_file import sheet_of
from rillwright.survey import MOST_SHOTS, Shot, write_shot

LONGEST_UUID = 64


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
    """Write what can be written of these rows, each once, and return when the disk has them.

    One row that cannot be written does not hold up the others.

    Raises
    ------
    InputError
        If one uuid stands in two rows that differ, or shots.csv is no file of shots.
    OutputError
        If the disk does not take them; then none is written.
    """
    once = _once(rows)
    with locked(folder):
        there = sheet_of(folder)
        sent = {row.uuid for row in once}
        known = {shot.uuid: write_shot(shot) for shot in there.shots if shot.uuid in sent}
        refused = {row.uuid: problems for row in once if (problems := _problems(row, known))}
        good = [row for row in once if row.uuid not in refused]
        room = MOST_SHOTS - len(there.shots)
        if len(good) > room:
            good, refused = _as_many(good, refused, known=known, room=room)
        added = add_rows(folder, good)
    return Received(
        acknowledged=tuple(row.uuid for row in good),
        refused=tuple(RefusedRow(uuid=uuid, problems=problems) for uuid, problems in refused.items()),
        new=len(added.new),
        notes=added.notes,
    )


def _once(rows: Sequence[Shot]) -> list[Shot]:
    """Each row once. Two that differ under one uuid cannot both be answered for."""
    once = list(dict.fromkeys(replace(row, line=0) for row in rows))
    twice = [uuid for uuid, count in Counter(row.uuid for row in once).items() if count > 1]
    if twice:
        message = "two readings of one sending have the same uuid and differ"
        raise InputError([Problem(message=message, field="uuid", found=repr(uuid[:LONGEST_UUID])) for uuid in twice])
    return once


def _problems(row: Shot, known: Mapping[str, str]) -> tuple[Problem, ...]:
    if not row.uuid or len(row.uuid) > LONGEST_UUID or not row.uuid.isascii() or not _plain(row.uuid):
        allowed = f"letters, digits and '-', up to {LONGEST_UUID} of them"
        return (Problem(message="is no uuid", field="uuid", found=repr(row.uuid[:LONGEST_UUID]), allowed=allowed),)
    try:
        line = write_shot(row)
    except InputError as error:
        return error.problems
    if known.get(row.uuid, line) != line:
        message = "another reading was kept under this uuid: take it anew, as a reading of its own"
        return (Problem(message=message, field="uuid", found=row.uuid),)
    return ()


def _plain(uuid: str) -> bool:
    return all(letter.isalnum() or letter in "-_" for letter in uuid)


def _as_many(
    good: list[Shot], refused: dict[str, tuple[Problem, ...]], *, known: Mapping[str, str], room: int
) -> tuple[list[Shot], dict[str, tuple[Problem, ...]]]:
    """As many of the new ones as the file may hold: more could not be read again."""
    new = [row for row in good if row.uuid not in known]
    over = {row.uuid for row in new[max(room, 0) :]}
    full = Problem(message="shots.csv is full: begin another job", allowed=f"up to {MOST_SHOTS:,} rows")
    return [row for row in good if row.uuid not in over], {**refused, **dict.fromkeys(over, (full,))}
