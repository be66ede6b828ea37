"""A rod in tenths, one in inches, one in feet and inches and one in metres stay apart."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import UnitError
from rillwright.units import RODS, rod_reading, show_rod

READ = [
    ("5.7", "tenths", "ft", Fraction(57, 10)),
    ("5.7'", "tenths", "ft", Fraction(57, 10)),
    ("5.70 ft", "tenths", "ft", Fraction(57, 10)),
    ("4", "tenths", "ft", Fraction(4)),
    ("4' 7 3/8\"", "ft-in", "ft", Fraction(443, 96)),
    ("4'-7 3/8\"", "ft-in", "ft", Fraction(443, 96)),
    ("5'7", "ft-in", "ft", Fraction(67, 12)),
    ("5'", "ft-in", "ft", Fraction(5)),
    ('55 3/8"', "ft-in", "in", Fraction(443, 8)),
    ("55 3/8", "inches", "in", Fraction(443, 8)),
    ("55.375 in", "inches", "in", Fraction(443, 8)),
    ("1.234", "metric", "m", Fraction(617, 500)),
    ("1234 mm", "metric", "mm", Fraction(1234)),
    ("123.4 cm", "metric", "cm", Fraction(617, 5)),
    ("-0.35", "metric", "m", Fraction(-7, 20)),
]


@pytest.mark.parametrize(("text", "rod", "unit", "exact"), READ, ids=[f"{r[0]} on {r[1]}" for r in READ])
def test_read_as_its_rod(text: str, rod: str, unit: str, exact: Fraction) -> None:
    read = rod_reading(text, rod)
    assert (read.text, read.unit, read.exact, read.kind) == (text, unit, exact, "length")


MIXED = [
    ("5.7", "ft-in"),
    ("5", "ft-in"),
    ("5.7'", "ft-in"),
    ("5.7 ft", "ft-in"),
    ("5 1/2'", "ft-in"),
    ("1.2 m", "ft-in"),
    ("5' 7\"", "tenths"),
    ("4 in", "tenths"),
    ('4 1/2"', "tenths"),
    ("4 1/2", "tenths"),
    ("4½", "tenths"),
    ("1.2 m", "tenths"),
    ("5'7", "inches"),
    ("5.7 ft", "inches"),
    ("5.7 ft", "metric"),
    ("5' 7\"", "metric"),
    ("1 1/4", "metric"),
]


@pytest.mark.parametrize(("text", "rod"), MIXED, ids=[f"{t} on {r}" for t, r in MIXED])
def test_a_reading_of_another_rod_asks_which(text: str, rod: str) -> None:
    with pytest.raises(UnitError, match="which rod was read"):
        rod_reading(text, rod)


def test_millimetres_without_their_unit_are_refused() -> None:
    with pytest.raises(UnitError, match="taller than any rod"):
        rod_reading("1234", "metric")


def test_an_unknown_rod() -> None:
    with pytest.raises(UnitError, match=r"no such rod.*ft-in, tenths, inches, metric"):
        rod_reading("1.2", "cubits")
    with pytest.raises(ValueError, match="no such rod"):
        show_rod(1.2, "cubits")


SHOWN = [
    (4.615 * 0.3048, "ft-in", "4' 7 3/8\""),
    (0.1143, "ft-in", "0' 4 1/2\""),
    (0.009525, "ft-in", "0' 0 3/8\""),
    (11.97 * 0.0254, "ft-in", "1' 0\""),
    (-0.1143, "ft-in", "-0' 4 1/2\""),
    (4.615 * 0.3048, "tenths", "4.62 ft"),
    (5.7 * 0.3048, "tenths", "5.70 ft"),
    (1.4066, "inches", "55 3/8 in"),
    (1.4066, "metric", "1.407 m"),
    (-0.0001, "metric", "0.000 m"),
    (0.9996, "metric", "1.000 m"),
]


@pytest.mark.parametrize(("value_m", "rod", "text"), SHOWN, ids=[f"{s[2]} on {s[1]}" for s in SHOWN])
def test_shown_as_its_rod(value_m: float, rod: str, text: str) -> None:
    assert show_rod(value_m, rod) == text


HALF_STEP = {"ft-in": 0.0254 / 16, "tenths": 0.003048 / 2, "inches": 0.0254 / 16, "metric": 0.0005}


@given(st.floats(min_value=-9.9, max_value=9.9), st.sampled_from(list(RODS)))
def test_what_a_rod_shows_it_also_reads(value_m: float, rod: str) -> None:
    assert abs(rod_reading(show_rod(value_m, rod), rod).si - value_m) <= HALF_STEP[rod] * (1 + 1e-6)
