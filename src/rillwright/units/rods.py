"""What a rod reads. Rods in tenths, in inches, in feet and inches and in metres are never taken for each other."""

from __future__ import annotations

import re
from fractions import Fraction

from rillwright.units.feet_inches import eighths_on_rod, fixed, inches_only
from rillwright.units.number import plain_text, split_number
from rillwright.units.parse import spelling
from rillwright.units.parse_length import feet_and_inches
from rillwright.units.quantity import Quantity, refuse
from rillwright.units.table import FOOT_M, unit, units_of

RODS: dict[str, str] = {
    "ft-in": "feet, inches and fractions with their signs, as 4' 7 3/8\"",
    "tenths": "feet and decimals, as 4.61",
    "inches": "inches with fractions or decimals, as 55 3/8",
    "metric": "metres, as 1.406, or 1406 mm",
}

_UNITS = {"ft-in": ("ft", "in"), "tenths": ("ft",), "inches": ("in",), "metric": ("m", "cm", "mm")}
_BARE = {"tenths": "ft", "inches": "in", "metric": "m"}
_TALLEST_METRIC = 10  # m, bare; no rod is as tall, so such a number was meant in other units


def rod_reading(text: str | int | float, rod: str) -> Quantity:
    """Read one rod reading as written in the book, for the rod it was read on; exact, with the text kept.

    Parameters
    ----------
    text
        The reading; a bare number [ft on a tenths rod, in on an inch rod, m on a metric rod].
    rod
        One of `RODS`: "ft-in", "tenths", "inches", "metric".

    Returns
    -------
    Quantity
        A length, exact in the rod's unit and in SI [m].

    Raises
    ------
    UnitError
        If the text is not of that rod, so that a book's rod is asked for and never guessed.
    """
    if rod not in RODS:
        refuse("no such rod", str(rod), ", ".join(RODS))
    plain = plain_text(text)
    feet = feet_and_inches(plain, text)
    if feet is not None:
        if rod != "ft-in":
            refuse(f"feet and inches on a rod named {rod!r}: which rod was read?", str(text), RODS[rod])
        return _quantity(text, "ft", feet)
    value, rest = split_number(plain, text)
    return _quantity(text, _rod_unit(value, rest, rod=rod, typed=text), value)


def _rod_unit(value: Fraction, rest: str, *, rod: str, typed: str | int | float) -> str:
    name = spelling(rest)
    if not name:
        return _bare_unit(value, rod, typed)
    found = units_of("length").get(name) or units_of("length").get(name.lower())
    if found is None or found.name not in _UNITS[rod]:
        refuse(f"{rest!r} does not stand on a rod named {rod!r}: which rod was read?", str(typed), RODS[rod])
    if rod == "ft-in" and found.name == "ft" and value.denominator != 1:
        refuse("decimal feet on a rod in feet and inches: which rod was read?", str(typed), RODS[rod])
    _refuse_fraction(rod, typed)
    return found.name


def _bare_unit(value: Fraction, rod: str, typed: str | int | float) -> str:
    if rod == "ft-in":
        refuse("a bare number on a rod in feet and inches: which rod was read?", str(typed), RODS[rod])
    if rod == "metric" and abs(value) >= _TALLEST_METRIC:
        refuse("taller than any rod in metres: write the unit if it is mm or cm", str(typed), RODS[rod])
    _refuse_fraction(rod, typed)
    return _BARE[rod]


def _refuse_fraction(rod: str, typed: str | int | float) -> None:
    if rod in ("tenths", "metric") and re.search(r"[/½⅓⅔¼¾⅛⅜⅝⅞⁄∕]", str(typed)):
        refuse(f"a fraction on a rod named {rod!r}: which rod was read?", str(typed), RODS[rod])


def _quantity(typed: str | int | float, name: str, value: Fraction) -> Quantity:
    return Quantity(str(typed), "length", name, value, float(value * unit("length", name).size))


def show_rod(value_m: float, rod: str) -> str:
    """Write a level difference `value_m` [m] as the named rod reads it: to 1/8 in, 0.01 ft or 1 mm."""
    if rod == "ft-in":
        return eighths_on_rod(value_m)
    if rod == "inches":
        return inches_only(value_m, Fraction(1, 8))
    if rod == "tenths":
        return fixed(value_m / float(FOOT_M), 2) + " ft"
    if rod == "metric":
        return fixed(value_m, 3) + " m"
    raise ValueError(f"no such rod: {rod!r}; there are {', '.join(RODS)}")
