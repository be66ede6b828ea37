"""How a level is said in the file: fixed, as a mark's, or above or below something that has one."""

from __future__ import annotations

import re

from msgspec import Struct

from rillwright.errors import InputError, Problem, UnitError
from rillwright.units import Quantity, parse

_ID = r"[A-Za-z][A-Za-z0-9_-]*"
_TARGET = re.compile(rf"(?:[a-z]+/)?{_ID}(?:\.[a-z_]+)?")
_OFFSET = re.compile(r"(?P<typed>.+?)\s+(?P<side>above|below)\s+(?P<target>\S+)")


class Fixed(Struct, frozen=True):
    """So much above the datum."""

    typed: Quantity


class At(Struct, frozen=True):
    """The level of a mark, of a point in the books, or of an element by its path."""

    target: str


class Offset(Struct, frozen=True):
    """So much above (below: negative) another level."""

    target: str
    typed: Quantity
    below: bool

    @property
    def by_m(self) -> float:
        """Signed offset [m]."""
        return -self.typed.si if self.below else self.typed.si


LevelRef = Fixed | At | Offset

ALLOWED = "a height such as '1.20 m' or '-4 in', a mark or point, or 'HEIGHT above MARK', 'HEIGHT below MARK'"


def parse_level(text: str) -> LevelRef:
    """Read a level as a person writes it.

    Raises
    ------
    InputError
        If it is none of the three forms.
    """
    text = text.strip()
    offset = _OFFSET.fullmatch(text)
    if offset is not None:
        if not _TARGET.fullmatch(offset["target"]):
            raise InputError(Problem(message="not a mark or element", found=repr(offset["target"]), allowed=ALLOWED))
        return Offset(offset["target"], parse(offset["typed"], "length"), offset["side"] == "below")
    if _TARGET.fullmatch(text):
        return At(text)
    try:
        return Fixed(parse(text, "length"))
    except UnitError as error:
        problem = error.problems[0]
        raise InputError(Problem(message=problem.message, found=repr(text), allowed=ALLOWED)) from error
