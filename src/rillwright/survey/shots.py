"""shots.csv: what was read on built work, a row a reading, only ever added to. Text to rows, a row to text."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import datetime
from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.survey.sheet import shown

COLUMNS = ("uuid", "time", "who", "setup", "rod", "path", "surface", "reading", "state", "re", "note")
HEADER = ",".join(COLUMNS) + "\n"
LONGEST_CELL = 500
MOST_SHOTS = 200_000


class ShotState(StrEnum):
    """What a person says of a reading, in its own row or in a later one about it."""

    KEPT = "kept"
    DOUBTED = "doubted"
    WITHDRAWN = "withdrawn"


class Shot(Struct, frozen=True, kw_only=True):
    """One row, every cell as it was typed. With `re` it speaks of an earlier row and has no reading of its own."""

    uuid: str
    time: str  # ISO 8601 with its offset, as the device said
    who: str = ""
    setup: str = ""  # such as 2026-05-04/1
    rod: str = ""  # ft-in, tenths, inches, metric, or laser and one of these; before it may stand a name and a stroke
    path: str = ""
    surface: str = ""
    reading: str = ""
    state: str = ShotState.KEPT
    re: str = ""  # uuid of the row that this one confirms, doubts or withdraws
    note: str = ""
    line: int = 0  # of the file; 0 before it stands in one

    @property
    def cells(self) -> tuple[str, ...]:
        """What stands in the file, without its line: two rows with the same cells are one, sent twice."""
        return tuple(getattr(self, column) for column in COLUMNS)

    @property
    def when(self) -> datetime | None:
        """The time, or None where it cannot be read or bears no offset."""
        return moment(self.time)


class Unread(Struct, frozen=True, kw_only=True):
    """A line of the file that is no row; it stays where it is. `torn`: the last line, cut off in writing."""

    line: int
    text: str
    why: str
    torn: bool = False


class ShotSheet(Struct, frozen=True, kw_only=True):
    """shots.csv as it was read: its rows in order, lines that are none, and how many lines it has."""

    shots: tuple[Shot, ...] = ()
    unread: tuple[Unread, ...] = ()
    lines: int = 0


def moment(text: str) -> datetime | None:
    """A time in ISO 8601 with an offset; None if it is none."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    return found if found.tzinfo is not None else None


def read_shots(text: str, *, file: str) -> ShotSheet:
    """Read shots.csv, a line at a time, so that one bad line harms no other.

    A line that is no row is named in `unread` and left where it is. So is a last line without its end that lacks cells:
    the power went while it was written.

    Raises
    ------
    InputError
        If the header is not that of shots.csv: then nothing can be told of any line.
    """
    lines = text.removeprefix("\ufeff").split("\n")
    whole = lines[-1] == ""
    lines = lines[:-1] if whole else lines
    if not lines:
        return ShotSheet()
    if not whole and len(lines) == 1 and HEADER.startswith(lines[0]):  # cut off in its first line
        return ShotSheet(unread=(Unread(line=1, text=lines[0], why="cut off in writing", torn=True),), lines=1)
    _check_header(lines[0].rstrip("\r"), file)
    shots: list[Shot] = []
    unread: list[Unread] = []
    for number, line in enumerate(lines[1:], start=2):
        found = _row(line.rstrip("\r"), number, torn=not whole and number == len(lines))
        if isinstance(found, Shot):
            shots.append(found)
        elif found is not None:
            unread.append(found)
    if len(shots) > MOST_SHOTS:
        raise InputError(
            Problem(message="too many rows", file=file, found=f"{len(shots):,}", allowed=f"up to {MOST_SHOTS:,}")
        )
    return ShotSheet(shots=tuple(shots), unread=tuple(unread), lines=len(lines))


def with_rows(sheet: ShotSheet, rows: Sequence[Shot]) -> ShotSheet:
    """The sheet once these rows were added at its end, as it would be read."""
    first = max(sheet.lines, 1) + 1  # below the header
    added = tuple(replace(row, line=first + index) for index, row in enumerate(rows))
    return ShotSheet(shots=(*sheet.shots, *added), unread=sheet.unread, lines=first - 1 + len(rows))


def _check_header(line: str, file: str) -> None:
    if line != HEADER.rstrip("\n"):
        message = "is not the header of a file of shots: nothing was read, and nothing will be written there"
        raise InputError(Problem(message=message, file=file, line=1, found=shown(line), allowed=HEADER.rstrip("\n")))


def _row(line: str, number: int, *, torn: bool) -> Shot | Unread | None:
    if not line.strip():
        return None
    try:
        cells = next(csv.reader([line], strict=True))
    except (csv.Error, StopIteration) as error:
        return Unread(line=number, text=line, why=f"cut off in writing: {error}" if torn else str(error), torn=torn)
    if len(cells) != len(COLUMNS):
        why = "cut off in writing" if torn else f"{len(cells)} cells, where {len(COLUMNS)} are wanted"
        return Unread(line=number, text=line, why=why, torn=torn)
    if not cells[0].strip():
        return Unread(line=number, text=line, why="no uuid")
    return Shot(**dict(zip(COLUMNS, (cell.strip() for cell in cells), strict=True)), line=number)


def write_shot(shot: Shot) -> str:
    """The row as a line of shots.csv with its end.

    Raises
    ------
    InputError
        If a cell is too long, or the row has neither a reading nor another row to speak of.
    """
    problems = []
    cells = []
    for column in COLUMNS:
        cell = one_line(getattr(shot, column))
        if len(cell) > LONGEST_CELL:
            allowed = f"up to {LONGEST_CELL} characters"
            problems.append(Problem(message="is too long", field=column, found=shown(cell), allowed=allowed))
        cells.append(cell)
    if not shot.uuid.strip():
        problems.append(Problem(message="a row needs a uuid", field="uuid"))
    if not shot.reading.strip() and not shot.re.strip():
        problems.append(Problem(message="there is no reading", field="reading", allowed="what the rod reads"))
    if shot.state not in list(ShotState):
        problems.append(Problem(message="no such state", field="state", found=shown(shot.state), allowed=_STATES))
    if problems:
        raise InputError(problems)
    line = io.StringIO()
    csv.writer(line, lineterminator="\n").writerow(cells)
    return line.getvalue()


def one_line(cell: str) -> str:
    """The cell with all that would break a line, or not be seen, as a space."""
    return " ".join("".join(c if c.isprintable() else " " for c in cell).split())


_STATES = ", ".join(ShotState)
