"""A level book's sheet: comma-separated text to rows of named cells, each with its line. Meaning comes later."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.survey.book import MOST_CHARACTERS, MOST_ROWS

COLUMNS = (
    "setup", "point", "surface", "backsight", "intermediate", "foresight", "rod", "level",
    "x", "y", "distance", "time", "who", "note",
)  # fmt: skip
SIGHTS = ("backsight", "intermediate", "foresight")
_ABBREVIATIONS = {"bs": "backsight", "is": "intermediate", "fs": "foresight"}  # as surveying texts head them
_LONGEST_SHOWN = 60
_MOST_SHOWN = 200


class Row(Struct, frozen=True):
    """One row: its line in the file and its cells by column; empty cells are left out."""

    line: int
    cells: dict[str, str]


def shown(text: str) -> str:
    """A cell as a message quotes it: short, and without characters that would disturb a terminal."""
    safe = "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)
    return repr(safe if len(safe) <= _LONGEST_SHOWN else safe[: _LONGEST_SHOWN - 3] + "...")


def fail(problems: list[Problem], file: str) -> None:
    """Raise all problems in reading order; of a book that is wrong on every row the first are enough."""
    if not problems:
        return
    ordered = sorted(problems, key=lambda p: p.line or 0)
    if len(ordered) > _MOST_SHOWN:
        rest = len(ordered) - _MOST_SHOWN
        ordered = [*ordered[:_MOST_SHOWN], Problem(file=file, message=f"and {rest} more problems like these")]
    raise InputError(ordered)


def read_sheet(text: str, file: str) -> tuple[Row, ...]:
    """Rows of a level book's sheet, the header understood and taken off.

    Raises
    ------
    InputError
        If the text is too large, is no table, or its header cannot be used.
    """
    if len(text) > MOST_CHARACTERS:
        raise InputError(_too_large(file, f"{len(text)} characters", f"{MOST_CHARACTERS}"))
    lines = _lines(text, file)
    header_line, names = next(lines, (None, []))
    if header_line is None:
        raise InputError(Problem(message="the book is empty", file=file, allowed="a header row, then a row a reading"))
    columns = _header(names, file, header_line)
    rows: list[Row] = []
    problems: list[Problem] = []
    for line, cells in lines:
        if len(rows) >= MOST_ROWS:
            raise InputError(_too_large(file, f"more than {MOST_ROWS} rows", f"{MOST_ROWS} rows"))
        if any(cell.strip() for cell in cells[len(columns) :]):
            extra = shown(",".join(cells[len(columns) :]))
            problems.append(
                Problem(message="more cells than the header has columns", file=file, line=line, found=extra)
            )
        filled = {c: cell.strip() for c, cell in zip(columns, cells, strict=False) if cell.strip()}
        if filled:
            rows.append(Row(line, filled))
    if not rows and not problems:
        problems.append(Problem(message="the book has a header and no reading", file=file, line=header_line))
    fail(problems, file)
    return tuple(rows)


def _too_large(file: str, found: str, allowed: str) -> Problem:
    return Problem(
        message="the book is too large to be a level book", file=file, found=found, allowed=f"at most {allowed}"
    )


def _lines(text: str, file: str) -> Iterator[tuple[int, list[str]]]:
    """Lines that hold anything, with their numbers; remarks stay out but count."""
    lines = re.split(r"\r\n|\r|\n", text.removeprefix("\ufeff"))
    plain = ("" if line.lstrip().startswith("#") else line for line in lines)
    reader = csv.reader(plain, delimiter=_delimiter(lines), strict=True)
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            where = reader.line_num or 1
            raise InputError(Problem(message=f"not a table: {error}", file=file, line=where)) from None
        if any(cell.strip() for cell in cells):
            yield reader.line_num, cells


def _delimiter(lines: list[str]) -> str:
    """A comma, unless the header has none and is divided by semicolons or tabs, as some spreadsheets save it."""
    header = next((line for line in lines if line.strip() and not line.lstrip().startswith("#")), "")
    return next((d for d in (",", ";", "\t") if d in header), ",")


def _header(names: list[str], file: str, line: int) -> tuple[str, ...]:
    columns = tuple(_column(name) for name in names)
    problems = [
        Problem(message="unknown column", file=file, line=line, found=shown(name), allowed=", ".join(COLUMNS))
        for name, column in zip(names, columns, strict=True)
        if column and column not in COLUMNS
    ]
    problems += [
        Problem(message="the column stands twice", file=file, line=line, field=column)
        for column in COLUMNS
        if columns.count(column) > 1
    ]
    if "point" not in columns:
        problems.append(Problem(message="the column is missing", file=file, line=line, field="point"))
    if not any(sight in columns for sight in SIGHTS):
        allowed = "at least one of " + ", ".join(SIGHTS)
        problems.append(Problem(message="no column holds readings", file=file, line=line, allowed=allowed))
    if any(not name.strip() for name in names[: _last_named(names)]):
        problems.append(Problem(message="a column has no name", file=file, line=line, allowed=", ".join(COLUMNS)))
    if problems:
        raise InputError(problems)
    return columns[: _last_named(names)]


def _last_named(names: list[str]) -> int:
    return max((i + 1 for i, name in enumerate(names) if name.strip()), default=0)


def _column(name: str) -> str:
    word = name.strip().lower()
    return _ABBREVIATIONS.get(word, word)
