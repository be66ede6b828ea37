"""One quantity from one typed text."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from rillwright.units import parse_length
from rillwright.units.number import NUMBER, plain_text, read_number, split_number
from rillwright.units.quantity import Quantity, refuse
from rillwright.units.table import KINDS, NOT_NEGATIVE, Unit, unit, unit_names, units_of

_BARE = Unit("", Fraction(1))


def parse(text: str | int | float, kind: str) -> Quantity:
    """Read one quantity of a kind as people type it; exact, with the typed text kept.

    Parameters
    ----------
    text
        Number and unit. A bare number [-] stands only for a share up to 1 or a slope (rise over run).
    kind
        One of `KINDS`.

    Returns
    -------
    Quantity
        The exact value in the typed unit, and in SI [the SI unit of the kind].

    Raises
    ------
    UnitError
        If the text cannot be read beyond doubt; says what may be written.
    ValueError
        If there is no such kind.
    """
    if kind not in KINDS:
        raise ValueError(f"no such kind of quantity: {kind!r}")
    plain = plain_text(text)
    exact, used = _read(plain, kind, text)
    if exact < 0 and kind in NOT_NEGATIVE:
        refuse(f"a {_word(kind)} cannot be below nothing", str(text))
    si = float((exact + used.offset) * used.size)
    if kind == "temperature" and si < 0:
        refuse("below absolute zero", str(text))
    return Quantity(str(text), kind, used.name, exact, si)


def _read(plain: str, kind: str, typed: object) -> tuple[Fraction, Unit]:
    if kind == "money":
        return _money(plain, typed)
    if kind == "slope" and (ratio := _ratio(plain, typed)) is not None:
        return ratio, _BARE
    if kind == "length" and (feet := parse_length.feet_and_inches(plain, typed)) is not None:
        return feet, unit("length", "ft")
    value, rest = split_number(plain, typed)
    return value, _unit(value, rest, kind=kind, typed=typed)


def _unit(value: Fraction, rest: str, *, kind: str, typed: object) -> Unit:
    allowed = parse_length.EXAMPLES if kind == "length" else unit_names(kind)
    name = spelling(rest)
    if name[:1].isdigit():
        refuse("two numbers: write one number without spaces in it, then the unit", str(typed), allowed)
    if name:
        found = units_of(kind).get(name) or units_of(kind).get(name.lower())
        return found or refuse(f"{rest!r} is not a unit of {_word(kind)}", str(typed), allowed)
    if kind == "slope" or (kind == "share" and abs(value) <= 1):
        return _BARE
    if kind == "share":
        refuse("a share without a unit is at most 1: write 40 % or 0.4", str(typed), allowed)
    refuse(f"a {_word(kind)} needs a unit", str(typed), allowed)


def spelling(typed: str) -> str:
    """A unit's spelling without full stops, carets and idle spaces; `per` becomes a stroke."""
    text = re.sub(r"(?<=[A-Za-z])\.", " ", typed).replace("^", "")
    text = re.sub(r" *(?:/|\bper\b) *", "/", text)
    text = re.sub(r"/(?:(h)(?:ou)?rs?|(min)utes?|(s)ec(?:onds?)?)\b", r"/\1\2\3", text)
    return " ".join(text.split())


@cache
def _ratio_pattern() -> re.Pattern[str]:
    return re.compile(rf"([+-]?) ?({NUMBER}) ?(?::| in ) ?({NUMBER})")


def _ratio(plain: str, typed: object) -> Fraction | None:
    """`1:50` or `1 in 50`: rise, then run."""
    match = _ratio_pattern().fullmatch(plain)
    if match is None:
        return None
    rise, run = read_number(match[2], typed), read_number(match[3], typed)
    if run == 0:
        refuse("a slope's run cannot be nothing", str(typed))
    return -rise / run if match[1] == "-" else rise / run


@cache
def _money_pattern() -> re.Pattern[str]:
    return re.compile(r"([+-]?) ?(?:([A-Z]{3}) ?)?([0-9]+(?:\.[0-9]+)?)(?: ?([A-Z]{3}))?")


def _money(plain: str, typed: object) -> tuple[Fraction, Unit]:
    match = _money_pattern().fullmatch(plain)
    before, after = (match[2], match[4]) if match else (None, None)
    if match is None or (before is None) == (after is None):
        refuse("an amount of money is a plain number and a currency code of three capitals", str(typed), "120 EUR")
    value = Fraction(match[3])
    return (-value if match[1] == "-" else value), Unit(before or after or "", Fraction(1))


def _word(kind: str) -> str:
    return kind.replace("_", " ")
