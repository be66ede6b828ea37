"""Typed lengths of a book, to exact metres. All reading of numbers is that of `units`."""

from __future__ import annotations

from fractions import Fraction
from functools import cache, lru_cache

from rillwright.errors import InputError, Problem
from rillwright.survey.book import Rod
from rillwright.units import Quantity, parse, rod_reading

DIVISIONS = ("ft-in", "tenths", "metric", "inches")
_BARE_UNIT = {"tenths": "ft", "metric": "m", "inches": "in"}
BOOK_UNIT = {"ft-in": "in", "tenths": "ft", "metric": "m", "inches": "in"}  # in which the page check is written
_TALLEST_ROD_M = 10
_FARTHEST_M = 10_000_000


@cache
def unit_m(unit: str) -> Fraction:
    """How many metres a unit of length has, exactly [m]."""
    return Fraction(repr(parse(f"1 {unit}", "length").si))


def _metres(quantity: Quantity) -> Fraction:
    return quantity.exact * unit_m(quantity.unit)


@lru_cache(maxsize=4096)
def reading_m(text: str, rod: Rod) -> Fraction:
    """A rod reading [m], exact. A usual rod reads nothing or more; a direct one may read below its zero.

    Raises
    ------
    UnitError
        If the text is not of that rod.
    InputError
        If no rod could read so much.
    """
    value = _metres(rod_reading(text, rod.division))
    if value < 0 and not rod.direct:
        raise InputError(Problem(message="a rod reads nothing below its foot", found=text, allowed="0 or more"))
    if not rod.direct and value > _TALLEST_ROD_M:
        raise InputError(Problem(message="taller than any rod", found=text, allowed=f"at most {_TALLEST_ROD_M} m"))
    return _within(value, text)


def length_m(text: str, rod: Rod) -> Fraction:
    """A level, a coordinate or a distance [m], exact; a bare number is in the rod's unit, and 0 needs none.

    Raises
    ------
    UnitError
        If the text is no length; on a rod in feet and inches a bare number is none.
    """
    bare = text.replace("+", "").replace("-", "").replace(".", "").strip()
    if bare.isascii() and bare.isdigit():
        if not bare.strip("0"):
            return Fraction(0)
        text = f"{text} {_BARE_UNIT.get(rod.division, '')}"
    return _within(_metres(parse(text, "length")), text)


def _within(value: Fraction, text: str) -> Fraction:
    if abs(value) > _FARTHEST_M:
        raise InputError(Problem(message="farther than any site reaches", found=text, allowed="at most 10,000 km"))
    return value


def exact_decimal(value: Fraction) -> str:
    """A fraction written out exactly: as a decimal where it ends, else as a fraction."""
    bottom, places = value.denominator, 0
    for factor in (2, 5):
        count = 0
        while bottom % factor == 0:
            bottom, count = bottom // factor, count + 1
        places = max(places, count)
    if bottom != 1:
        return str(value)
    digits = str(abs(value.numerator) * 10**places // value.denominator).rjust(places + 1, "0")
    whole = f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"{'-' if value < 0 else ''}{whole}"
