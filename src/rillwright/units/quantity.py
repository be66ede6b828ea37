"""A quantity as somebody typed it, and the one way in which typing is refused."""

from __future__ import annotations

from fractions import Fraction
from typing import NoReturn

from msgspec import Struct

from rillwright.errors import Problem, UnitError


class Quantity(Struct, frozen=True):
    """What was typed (`text`), of which `kind`, its `exact` value in `unit`, and the same in SI.

    Feet with inches are exact in `ft`. A bare ratio has the unit "".
    """

    text: str
    kind: str
    unit: str
    exact: Fraction
    si: float


def refuse(message: str, found: object, allowed: str = "") -> NoReturn:
    """Raise the UnitError that says what was found and what may be written instead."""
    shown = found if isinstance(found, str) else repr(found) if isinstance(found, float | bool | None) else "a value"
    shown = shown if len(shown) <= 60 else shown[:57] + "..."
    raise UnitError(Problem(message=message, found=printable(shown), allowed=allowed))


def printable(text: str) -> str:
    """The text with control characters and lone surrogates written as escapes, so that it can be printed anywhere."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)
