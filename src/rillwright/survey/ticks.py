"""holds.csv: what was checked at hold points, a row a tick, only ever added to. Text to rows, a row to text."""

from __future__ import annotations

import csv
import io

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.survey.sheet import shown
from rillwright.survey.shots import LONGEST_CELL, Unread, one_line

TICK_COLUMNS = ("uuid", "time", "who", "hold", "item", "initials", "state", "note")
TICKS_HEADER = ",".join(TICK_COLUMNS) + "\n"
TICK_STATES = ("done", "undone")
MOST_TICKS = 100_000


class Tick(Struct, frozen=True, kw_only=True):
    """One row, every cell as it was typed: an `item` of a hold point, or all of it where `item` is empty."""

    uuid: str
    time: str  # ISO 8601 with its offset, as the device said
    who: str = ""
    hold: str = ""  # such as spill.r3
    item: str = ""  # such as look no roots: the name of a line
    initials: str = ""
    state: str = "done"  # or undone: a later row counts
    note: str = ""

    @property
    def cells(self) -> tuple[str, ...]:
        """What stands in the file: two rows with the same cells are one, sent twice."""
        return tuple(getattr(self, column) for column in TICK_COLUMNS)


class TickSheet(Struct, frozen=True, kw_only=True):
    """holds.csv as it was read: its rows in order, and lines that are none."""

    ticks: tuple[Tick, ...] = ()
    unread: tuple[Unread, ...] = ()


def read_ticks(text: str, *, file: str) -> TickSheet:
    """Read holds.csv, a line at a time, so that one bad line harms no other.

    Raises
    ------
    InputError
        If the header is not that of holds.csv, or it has too many rows.
    """
    lines = text.removeprefix("\ufeff").split("\n")
    whole = lines.pop() == "" if lines[-1] == "" else False
    if not lines:
        return TickSheet()
    if not whole and len(lines) == 1 and TICKS_HEADER.startswith(lines[0]):
        return TickSheet(unread=(Unread(line=1, text=lines[0], why="cut off in writing", torn=True),))
    if lines[0].rstrip("\r") != TICKS_HEADER.rstrip("\n"):
        message = "is not the header of a file of hold points: nothing was read, and nothing will be written there"
        allowed = TICKS_HEADER.rstrip("\n")
        raise InputError(Problem(message=message, file=file, line=1, found=shown(lines[0]), allowed=allowed))
    ticks: dict[tuple[str, ...], Tick] = {}
    unread: list[Unread] = []
    for number, line in enumerate(lines[1:], start=2):
        if not line.strip():
            continue
        found = _row(line.rstrip("\r"), number, torn=not whole and number == len(lines))
        if isinstance(found, Tick):
            ticks.setdefault(found.cells, found)
        else:
            unread.append(found)
    if len(ticks) > MOST_TICKS:
        allowed = f"up to {MOST_TICKS:,}"
        raise InputError(Problem(message="too many rows", file=file, found=f"{len(ticks):,}", allowed=allowed))
    return TickSheet(ticks=tuple(ticks.values()), unread=tuple(unread))


def _row(line: str, number: int, *, torn: bool) -> Tick | Unread:
    try:
        cells = [cell.strip() for cell in next(csv.reader([line], strict=True))]
    except (csv.Error, StopIteration) as error:
        return Unread(line=number, text=line, why=f"cut off in writing: {error}" if torn else str(error), torn=torn)
    if len(cells) != len(TICK_COLUMNS):
        why = "cut off in writing" if torn else f"{len(cells)} cells, where {len(TICK_COLUMNS)} are wanted"
        return Unread(line=number, text=line, why=why, torn=torn)
    tick = Tick(**dict(zip(TICK_COLUMNS, cells, strict=True)))
    if not tick.uuid or not tick.hold or tick.state not in TICK_STATES:
        return Unread(line=number, text=line, why="no uuid, no hold point, or no such state")
    return tick


def write_tick(tick: Tick) -> str:
    """The row as a line of holds.csv with its end.

    Raises
    ------
    InputError
        If a cell is too long, or uuid, hold point, initials or state are missing or unknown.
    """
    problems = []
    cells = [one_line(cell) for cell in tick.cells]
    for column, cell in zip(TICK_COLUMNS, cells, strict=True):
        if len(cell) > LONGEST_CELL:
            allowed = f"up to {LONGEST_CELL} characters"
            problems.append(Problem(message="is too long", field=column, found=shown(cell), allowed=allowed))
        if column in ("uuid", "hold", "initials") and not cell:
            problems.append(Problem(message="is missing", field=column))
    if tick.state not in TICK_STATES:
        allowed = " or ".join(TICK_STATES)
        problems.append(Problem(message="no such state", field="state", found=shown(tick.state), allowed=allowed))
    if problems:
        raise InputError(problems)
    line = io.StringIO()
    csv.writer(line, lineterminator="\n").writerow(cells)
    return line.getvalue()
