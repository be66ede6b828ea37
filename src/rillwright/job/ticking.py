"""Rows added to holds.csv, as safe as those of shots.csv."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from rillwright.job.appending import append, mended
from rillwright.job.hold_file import HOLD_FILE, ticks_of
from rillwright.survey import TICKS_HEADER, Tick, TickSheet, read_ticks, write_tick


class AddedTicks(Struct, frozen=True, kw_only=True):
    """How many of the rows are new, the sheet with all of them, and what is to be said about it."""

    new: int
    sheet: TickSheet
    notes: tuple[str, ...] = ()


def add_ticks(folder: Path, rows: Sequence[Tick]) -> AddedTicks:
    """Add rows to the folder's holds.csv, whose lock the caller holds, and return once the disk has them.

    A row that stands there already, cell by cell, is not written again.

    Raises
    ------
    InputError
        If a row cannot be written, or holds.csv is no file of hold points.
    OutputError
        If the disk does not take them; then none is written, and the file is what it was.
    """
    notes = mended(folder / HOLD_FILE, lambda: ticks_of(folder).unread)
    sheet = ticks_of(folder)
    there = {tick.cells for tick in sheet.ticks}
    lines: list[str] = []
    new: list[Tick] = []
    for row in rows:
        line = write_tick(row)
        (written,) = read_ticks(TICKS_HEADER + line, file=HOLD_FILE).ticks
        if written.cells not in there:
            there.add(written.cells)
            lines.append(line)
            new.append(written)
    if lines:
        append(folder / HOLD_FILE, "".join(lines).encode("utf-8"), header=TICKS_HEADER)
    grown = TickSheet(ticks=(*sheet.ticks, *new), unread=sheet.unread)
    return AddedTicks(new=len(new), sheet=grown, notes=notes)
