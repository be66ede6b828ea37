"""Surveyor's CSV: point number, northing, easting, level and description in an order that is said, never guessed."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator, Sequence

from rillwright.errors import InputError, Problem
from rillwright.exchange.point import (
    FARTHEST_M,
    MOST_CHARACTERS,
    MOST_POINTS,
    ExchangePoint,
    fail,
    refuse_twice,
    shown,
    surface_of,
    writable,
)
from rillwright.units import parse

_COLUMNS = {
    "P": "point", "N": "northing", "E": "easting", "Z": "level", "D": "description", "S": "surface", "L": "line",
}  # fmt: skip
_WORDS = {
    "p": "P", "pt": "P", "point": "P", "number": "P", "point number": "P", "no": "P", "id": "P",
    "n": "N", "y": "N", "northing": "N", "e": "E", "x": "E", "easting": "E",
    "z": "Z", "elev": "Z", "elevation": "Z", "level": "Z", "height": "Z",
    "d": "D", "desc": "D", "description": "D", "code": "D", "note": "D", "s": "S", "surface": "S",
    "l": "L", "line": "L",
}  # fmt: skip
_ORDERS = (
    "P,N,E,Z,D or P,E,N,Z,D, with S for the surface where it is said and L for lines of ground; P, N and E are needed"
)
_NUMBERS = {"N": "northing", "E": "easting", "Z": "level"}
UNITS = ("m", "ft")
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)


def read_points_csv(text: str, *, file: str, order: str | None = None, unit: str = "m") -> tuple[ExchangePoint, ...]:
    """Points of a surveyor's CSV, in file order.

    Parameters
    ----------
    text : str
        The file's text. Lines that begin with # are remarks.
    file : str
        Its name, for messages.
    order : str or None
        Order of the columns where there is no header, as P,N,E,Z,D. None: the first row is the header.
    unit : str
        Unit of the numbers, m or ft (0.3048 m).

    Returns
    -------
    tuple of ExchangePoint
        Points with places and levels [m].

    Raises
    ------
    InputError
        With all that is wrong, by line.

    References
    ----------
    Common practice, no source: the column letters of surveyor's files.
    """
    return tuple(point for _, point in numbered_points_csv(text, file=file, order=order, unit=unit))


def numbered_points_csv(
    text: str, *, file: str, order: str | None = None, unit: str = "m"
) -> tuple[tuple[int, ExchangePoint], ...]:
    """What `read_points_csv` reads, each point with its line in the file; the same is raised."""
    if unit not in UNITS:
        raise InputError(Problem(message="unknown unit", file=file, found=shown(unit), allowed=", ".join(UNITS)))
    if len(text) > MOST_CHARACTERS:
        raise InputError(Problem(message="the file is too large", file=file, allowed=f"{MOST_CHARACTERS} characters"))
    lines = _lines(text, file)
    columns = _order(order, file) if order is not None else _header(lines, file)
    size_m = parse(f"1 {unit}", "length").si
    problems: list[Problem] = []
    points: list[tuple[int, ExchangePoint]] = []
    for line, cells in lines:
        if len(points) + len(problems) >= MOST_POINTS:
            raise InputError(Problem(message="too many points", file=file, line=line, allowed=f"at most {MOST_POINTS}"))
        found = _point(cells, columns, (file, line), size_m=size_m, problems=problems)
        if found is not None:
            points.append((line, found))
    if not points and not problems:
        problems.append(Problem(message="the file has no point", file=file))
    problems += refuse_twice([(p.id, p.surface, f"line {line}") for line, p in points], file)
    fail(problems)
    return tuple(points)


def write_points_csv(points: Sequence[ExchangePoint], *, order: str = "P,N,E,Z,D,S") -> str:
    """Text of a surveyor's CSV in metres, with a header that says the order; a tenth of a millimetre is kept.

    Line ends and tabs in a note become spaces.

    Raises
    ------
    OutputError
        If a point could not be read again.
    """
    writable(points)
    columns = _order(order, "order")
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    quoting = csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL)
    writer.writerow([_COLUMNS[c] for c in columns])
    for p in points:
        cells = {
            "P": p.id,
            "N": _written(p.northing_m),
            "E": _written(p.easting_m),
            "Z": "" if p.level_m is None else _written(p.level_m),
            "D": " ".join(p.note.split()),
            "S": "" if p.surface is None else p.surface.value,
            "L": " ".join(p.line.split()),
        }
        row = [cells[c] for c in columns]
        (quoting if row[0].startswith("#") else writer).writerow(row)  # a bare # would begin a remark
    return out.getvalue()


def _written(value_m: float) -> str:
    """Metres to a hundredth of a millimetre, never a minus before nothing."""
    text = f"{value_m:.5f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def _lines(text: str, file: str) -> Iterator[tuple[int, list[str]]]:
    lines = re.split(r"\r\n|\r|\n", text.removeprefix("\ufeff"))
    reader = csv.reader(_plain(lines), strict=True)
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise InputError(Problem(message=f"not a table: {error}", file=file, line=reader.line_num or 1)) from None
        if any(cell.strip() for cell in cells):
            yield reader.line_num, cells


def _plain(lines: Sequence[str]) -> Iterator[str]:
    """Lines for the reader; the ends of lines are given back, since a quoted cell may run over several."""
    for line in lines:
        yield "" if line.lstrip().startswith("#") else line + "\n"


def _header(lines: Iterator[tuple[int, list[str]]], file: str) -> tuple[str, ...]:
    line, names = next(lines, (1, []))
    if names and all(_WORDS.get(n.strip().lower()) is None for n in names):
        message = "the first row is no header, so the order of northing and easting is not known"
        raise InputError(Problem(message=message, file=file, line=line, found=shown(",".join(names)), allowed=_ORDERS))
    return _columns(names, file, line)


def _order(order: str, file: str) -> tuple[str, ...]:
    return _columns(order.split(","), file, None)


def _columns(names: Sequence[str], file: str, line: int | None) -> tuple[str, ...]:
    columns = tuple(_WORDS.get(name.strip().lower(), "") for name in names)
    problems = [
        Problem(message="unknown column", file=file, line=line, found=shown(name), allowed=_ORDERS)
        for name, column in zip(names, columns, strict=True)
        if not column
    ]
    for letter, word in _COLUMNS.items():
        if columns.count(letter) > 1:
            problems.append(Problem(message="the column stands twice", file=file, line=line, field=word))
        if letter in "PNE" and letter not in columns:
            problems.append(Problem(message="the column is missing", file=file, line=line, field=word, allowed=_ORDERS))
    fail(problems)
    return columns


def _point(
    cells: Sequence[str],
    columns: Sequence[str],
    where: tuple[str, int],
    *,
    size_m: float,
    problems: list[Problem],
) -> ExchangePoint | None:
    file, line = where
    before = len(problems)
    named = {c: cell.strip() for c, cell in zip(columns, cells, strict=False)}
    if any(cell.strip() for cell in cells[len(columns) :]):
        extra = shown(",".join(cells[len(columns) :]))
        problems.append(Problem(message="more cells than columns", file=file, line=line, found=extra))
    if not named.get("P"):
        problems.append(Problem(message="the row names no point", file=file, line=line, field="point"))
    numbers = {}
    for letter, word in _NUMBERS.items():
        cell = named.get(letter, "")
        if cell or letter != "Z":
            numbers[letter] = _number(cell, (file, line, word), size_m=size_m, problems=problems)
    surface = surface_of(named.get("S", ""))
    if named.get("S") and surface is None:
        problems.append(
            Problem(message="unknown surface", file=file, line=line, field="surface", found=shown(named["S"]))
        )
    if len(problems) > before:
        return None
    return ExchangePoint(
        id=named["P"],
        easting_m=numbers["E"],
        northing_m=numbers["N"],
        level_m=numbers.get("Z"),
        surface=surface,
        note=named.get("D", ""),
        line=named.get("L", ""),
    )


def _number(cell: str, where: tuple[str, int, str], *, size_m: float, problems: list[Problem]) -> float:
    file, line, word = where
    value = float(cell) * size_m if _NUMBER.fullmatch(cell) else math.nan
    if not abs(value) <= FARTHEST_M:
        problems.append(
            Problem(
                message="not a usable number",
                file=file,
                line=line,
                field=word,
                found=shown(cell),
                allowed="a plain decimal number, at most 10,000 km from nothing",
            )
        )
    return value
