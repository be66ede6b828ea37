"""Units and rods against printed conversion factors.

SP 811: NIST Special Publication 811, appendix B.8; HB 44: NIST Handbook 44, appendix C. Both from memory.
The decimal feet of inches and the inches of tenths are long division of definitions, as field books print them.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from tests.published.rows import Row, check

from rillwright.errors import UnitError
from rillwright.units import feet_inches, inches_only, parse, rod_reading, show_rod

FOOT = 0.3048  # m, international yard and pound agreement of 1959


def si(text: str, kind: str) -> float:
    return parse(text, kind).si


def per(text: str, other: str, kind: str) -> float:
    return si(text, kind) / si(other, kind)


def row(text: str, kind: str, printed: str, source: str) -> Row:
    return Row(lambda: si(text, kind), printed, source)


FACTORS = [
    row("1 ft", "length", "0.3048", "SP 811, foot, exact"),
    row("1 mil", "length", "0.0000254", "SP 811, mil, exact"),
    row("1 yd", "length", "0.9144", "SP 811, yard, exact"),
    row("1 sq ft", "area", "0.09290304", "SP 811, square foot, exact"),
    row("1 acre", "area", "4046.86", "HB 44, acre of 43 560 square feet, about 4046.86 m2"),
    row("1 US gal", "volume", "0.003785412", "SP 811, gallon (US)"),
    row("1 cu ft", "volume", "0.02831685", "SP 811, cubic foot"),
    row("1 cu yd", "volume", "0.7645549", "SP 811, cubic yard"),
    row("1 gpm", "flow", "0.00006309020", "SP 811, gallon (US) per minute"),
    row("1 cfs", "flow", "0.02831685", "SP 811, cubic foot per second"),
    row("1 lb", "mass", "0.45359237", "SP 811, pound avoirdupois, exact"),
    row("1 oz", "mass", "0.02834952", "SP 811, ounce avoirdupois"),
    row("1 ton", "mass", "907.1847", "SP 811, ton, short"),
    row("1 lb/sq ft", "mass_per_area", "4.882428", "SP 811, pound per square foot"),
    row("1 oz/sq yd", "mass_per_area", "0.03390575", "SP 811, ounce per square yard"),
    row("1 lb/cu ft", "density", "16.01846", "SP 811, pound per cubic foot"),
    row("1 lb/cu yd", "density", "0.5932764", "SP 811, pound per cubic yard"),
    row("1 ton/cu yd", "density", "1186.553", "SP 811, ton, short, per cubic yard"),
    row("1 psi", "pressure", "6894.757", "SP 811, psi"),
    row("1 ftH2O", "pressure", "2989.067", "SP 811, foot of water, conventional"),
    row("1 mH2O", "pressure", "9806.65", "SP 811, 100 centimetres of water, conventional"),
    row("1 hp", "power", "745.6999", "SP 811, horsepower of 550 foot-pounds a second"),
    row("1 deg", "angle", "0.01745329", "SP 811, degree"),
    Row(lambda: per("1 US gal", "1 cu in", "volume"), "231", "HB 44, gallon, definition"),
    Row(lambda: per("1 cu ft", "1 gal", "volume"), "7.480519", "HB 44: 1728/231"),
    Row(lambda: per("1 gal", "1 L", "volume"), "3.785411784", "HB 44, gallon in litres, exact"),
    Row(lambda: per("1 cfs", "1 gpm", "flow"), "448.831", "1728/231 x 60, from the definitions"),
    Row(lambda: per("1 cu yd", "1 cu ft", "volume"), "27", "HB 44"),
    Row(lambda: per("100 gph/in", "1 gpm/ft", "flow_per_width"), "20", "100 x 12/60, from the definitions"),
    Row(
        lambda: si("100 gph/in", "flow_per_width") / FOOT**2,
        "0.04456",
        "20 gal/min a foot in cfs a foot: 20/448.831, from the definitions",
    ),
]

INCHES = [
    Row(lambda n=n: si(f"{n} in", "length") / FOOT, printed, "inches in feet, n/12")  # type: ignore[misc]
    for n, printed in enumerate(
        [".0833", ".1667", ".25", ".3333", ".4167", ".5", ".5833", ".6667", ".75", ".8333", ".9167"],
        start=1,
    )
] + [
    Row(lambda: si("1/8 in", "length") / FOOT, ".0104", "an eighth of an inch in feet"),
    Row(lambda: si("0.01 ft", "length") / 0.0254, "0.12", "a hundredth of a foot in inches"),
]

TYPED = [
    Row(lambda text=text: si(text, "length") / FOOT, printed, f"{text}: feet + inches/12, long division")  # type: ignore[misc]
    for text, printed in [
        ("5'-7 3/8\"", "5.614583"),
        ("5' 7-3/8\"", "5.614583"),
        ("5ft 7 3/8in", "5.614583"),
        ('67 3/8"', "5.614583"),
        ("5’ 7 3/8”", "5.614583"),
        ("5′ 7 3/8″", "5.614583"),
        ("5'7", "5.583333"),
        ('7/8"', "0.0729167"),
        ('-6"', "-0.5"),
        ("5.7'", "5.7"),
    ]
] + [
    Row(
        lambda: rod_reading("4' 7 3/8\"", "ft-in").si / FOOT,
        "4.615",
        "common practice, no source: a rod reading of 4 ft 7 3/8 in is 4.615 ft",
    ),
]


@pytest.mark.parametrize("printed", FACTORS + INCHES + TYPED, ids=lambda r: f"{r.source[:50]}: {r.printed}")
def test_printed(printed: Row) -> None:
    check(printed)


# Tenths of a foot in inches and the nearest sixteenth, long division; as on the back of field books, from memory.
TENTHS = [
    (".1", "1.2", "1 3/16"),
    (".2", "2.4", "2 3/8"),
    (".3", "3.6", "3 5/8"),
    (".4", "4.8", "4 13/16"),
    (".5", "6", "6"),
    (".6", "7.2", "7 3/16"),
    (".7", "8.4", "8 3/8"),
    (".8", "9.6", "9 5/8"),
    (".9", "10.8", "10 13/16"),
]


@pytest.mark.parametrize(("tenths", "inches", "sixteenths"), TENTHS, ids=[t[0] for t in TENTHS])
def test_tenths_of_a_foot(tenths: str, inches: str, sixteenths: str) -> None:
    read = rod_reading(tenths, "tenths")
    assert read.exact * 12 == Fraction(inches)
    assert inches_only(read.si, Fraction(1, 16)) == f"{sixteenths} in"


def test_a_decimal_foot_is_not_feet_and_inches() -> None:
    """5.7 ft is 5 ft 8.4 in, nearest eighth 5 ft 8 3/8 in, and not 5 ft 7 in; common practice, no source."""
    assert feet_inches(parse("5.7'", "length").si, Fraction(1, 8)) == "5' 8 3/8\""
    assert show_rod(rod_reading("5.7", "tenths").si, "ft-in") == "5' 8 3/8\""
    assert parse("5'-7\"", "length").exact != parse("5.7'", "length").exact


def test_sixty_three_sixty_fourths_carry() -> None:
    """11 63/64 in to the nearest sixteenth is twelve inches, by arithmetic."""
    assert feet_inches(parse("0' 11 63/64\"", "length").si, Fraction(1, 16)) == "1' 0\""


def test_thirteen_inches_beside_feet_are_refused() -> None:
    """Common practice, no source: nobody writes 5 ft 13 in on purpose."""
    with pytest.raises(UnitError, match="twelve inches or more"):
        parse("5'13\"", "length")


def test_the_retired_survey_foot_is_no_unit() -> None:
    """Retired at the end of 2022 (85 FR 62698, from memory); 2 parts in a million apart, so it is never assumed."""
    with pytest.raises(UnitError):
        parse("1 US survey ft", "length")
    assert parse("1 ft", "length").si / (1200 / 3937) == pytest.approx(1 - 2e-6, abs=1e-10)
