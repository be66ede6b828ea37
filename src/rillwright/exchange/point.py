"""A point as surveyors hand it over: number, place, level, code."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from rillwright.errors import InputError, OutputError, Problem
from rillwright.feature import Surface

MOST_CHARACTERS = 20_000_000
MOST_POINTS = 200_000
FARTHEST_M = 10_000_000.0


class ExchangePoint(Struct, frozen=True, kw_only=True):
    """A point with its place [m] (easting, northing), level [m] where it has one, surface where it is said, and code.

    `level_m` without `surface` comes from foreign files alone; what reads it asks which surface it is.
    """

    id: str
    easting_m: float
    northing_m: float
    level_m: float | None = None
    surface: Surface | None = None
    note: str = ""
    line: str = ""  # line of ground on which it lies, where a file names one; several parted by semicolons


def shown(text: object) -> str:
    """A foreign value as a message quotes it: short, printable."""
    plain = text if isinstance(text, str) else repr(text)
    safe = "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in plain)
    return repr(safe if len(safe) <= 60 else safe[:57] + "...")


def surface_of(word: str) -> Surface | None:
    """The surface of a word, None where it is none."""
    plain = " ".join(word.lower().replace("_", " ").split())
    return next((surface for surface in Surface if surface.value == plain), None)


def refuse_twice(points: Sequence[tuple[str, Surface | None, str]], file: str) -> list[Problem]:
    """A problem for each point number that stands twice on one surface; the third part says where it stands."""
    seen: dict[tuple[str, Surface | None], str] = {}
    problems = []
    for id, surface, where in points:
        first = seen.setdefault((id, surface), where)
        if first != where:
            message = f"the point stands twice, first in {first}"
            problems.append(Problem(message=message, file=file, field=where, found=shown(id)))
    return problems


def fail(problems: Sequence[Problem]) -> None:
    """Raise all problems together, the first 200 of them."""
    if len(problems) > 200:
        more = Problem(message=f"and {len(problems) - 200} more problems like these", file=problems[0].file)
        problems = [*problems[:200], more]
    if problems:
        raise InputError(problems)


def writable(points: Sequence[ExchangePoint]) -> None:
    """Raise OutputError if a point cannot be written so that it can be read again."""
    for p in points:
        numbers = (p.easting_m, p.northing_m, *(() if p.level_m is None else (p.level_m,)))
        if not p.id.strip() or p.id != p.id.strip() or not p.id.isprintable():
            raise OutputError(f"a point's number is printable text without a space at its ends: {shown(p.id)}")
        if "\x00" in p.note:
            raise OutputError(f"the note of point {shown(p.id)} has a character that no file can hold")
        if not all(math.isfinite(x) and abs(x) <= FARTHEST_M for x in numbers):
            raise OutputError(f"point {shown(p.id)} has no usable place or level: {numbers}")
    fail_twice = refuse_twice([(p.id, p.surface, f"point {i}") for i, p in enumerate(points, start=1)], "")
    if fail_twice:
        raise OutputError("; ".join(str(problem) for problem in fail_twice[:10]))
