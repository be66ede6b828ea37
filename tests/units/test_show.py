"""Quantities for the eye: carry, sign, digits, and back again."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.units import (
    METRIC,
    US,
    Style,
    feet_inches,
    grouped,
    inches_only,
    parse,
    show,
    show_money,
    show_money_range,
    show_range,
    significant,
    style_for,
)
from rillwright.units.feet_inches import whole_steps

INCH = Fraction(254, 10000)

PRINTED = [
    (Fraction(767, 64), Fraction(1, 16), "1' 0\""),
    (Fraction(767, 64), Fraction(1, 64), "11 63/64 in"),
    (Fraction(1535, 64), Fraction(1, 8), "2' 0\""),
    (Fraction(67), Fraction(1, 8), "5' 7\""),
    (Fraction(539, 8), Fraction(1, 8), "5' 7 3/8\""),
    (Fraction(539, 8), Fraction(1, 4), "5' 7 1/2\""),
    (Fraction(539, 8), Fraction(1), "5' 7\""),
    (Fraction(9, 2), Fraction(1, 8), "4 1/2 in"),
    (Fraction(-9, 2), Fraction(1, 8), "-4 1/2 in"),
    (Fraction(-539, 8), Fraction(1, 8), "-5' 7 3/8\""),
    (Fraction(-767, 64), Fraction(1, 16), "-1' 0\""),
    (Fraction(7, 8), Fraction(1, 8), "7/8 in"),
    (Fraction(1, 100), Fraction(1, 8), "0 in"),
    (Fraction(-1, 100), Fraction(1, 8), "0 in"),
    (Fraction(1, 16), Fraction(1, 8), "1/8 in"),
    (Fraction(12), Fraction(1, 8), "1' 0\""),
    (Fraction(99, 8), Fraction(1, 8), "1' 0 3/8\""),
]


@pytest.mark.parametrize(("inches", "step", "text"), PRINTED, ids=[f"{i} to {s}" for i, s, _ in PRINTED])
def test_feet_inches(inches: Fraction, step: Fraction, text: str) -> None:
    assert feet_inches(inches * INCH, step) == text
    assert feet_inches(float(inches * INCH), step) == text


def test_long_forms() -> None:
    assert feet_inches(INCH * 9 / 2, Fraction(1, 8), short=False) == "0' 4 1/2\""
    assert inches_only(INCH * 443 / 8, Fraction(1, 8)) == "55 3/8 in"


STEPS = st.sampled_from([Fraction(1, n) for n in (1, 2, 4, 8, 16, 32, 64)])


@given(st.floats(min_value=-300, max_value=300), STEPS, st.booleans())
def test_printing_then_reading_is_within_half_a_step(value_m: float, step: Fraction, short: bool) -> None:
    text = feet_inches(value_m, step, short=short)
    read = parse(text, "length")
    assert abs(read.si - value_m) <= float(step * INCH) / 2 * (1 + 1e-6) + 1e-12
    assert feet_inches(read.si, step, short=short) == text


@given(st.integers(min_value=-50000, max_value=50000), STEPS)
def test_a_whole_number_of_steps_comes_back_exactly(count: int, step: Fraction) -> None:
    read = parse(feet_inches(count * step * INCH, step), "length")
    assert read.exact * (12 if read.unit == "ft" else 1) == count * step


@given(st.floats(min_value=-300, max_value=300))
def test_metric_lengths_come_back(value_m: float) -> None:
    half = 0.0005 if abs(value_m) < 0.9995 else 0.005 if abs(value_m) < 100 else 0.05
    assert abs(parse(show(value_m, "length", METRIC), "length").si - value_m) <= half * (1 + 1e-6)


SHOWN = [
    (1.14935, "length", "3' 9 1/4\"", "1.15 m"),
    (0.12, "length", "4 3/4 in", "120 mm"),
    (0.9999, "length", "3' 3 3/8\"", "1.00 m"),
    (-0.1, "length", "-3 7/8 in", "-100 mm"),
    (0.00126, "flow", "1,200 US gal/h", "1.26 L/s"),
    (0.00002, "flow", "19 US gal/h", "72 L/h"),
    (5.0, "volume", "1,320 US gal", "5 m³"),
    (0.5, "volume", "132 US gal", "500 L"),
    (5.0, "earth", "6.5 cu yd", "5 m³"),
    (20.0, "area", "215 sq ft", "20 m²"),
    (517.3, "mass", "1,140 lb", "517 kg"),
    (907.18474, "mass", "1 ton", "907 kg"),
    (4000.0, "mass", "4.4 tons", "4 t"),
    (1.4159, "mass_per_area", "0.29 lb/sq ft", "1.4 kg/m²"),
    (0.2712460, "mass_per_area", "8 oz/sq yd", "270 g/m²"),
    (2643.0, "density", "165 lb/cu ft", "2\u202f640 kg/m³"),
    (0.02, "slope", "2 %", "2 %"),
    (0.4, "share", "40 %", "40 %"),
    (20000.0, "pressure", "2.9 psi", "20 kPa"),
    (345.0, "power", "345 W", "345 W"),
    (12000.0, "power", "12 kW", "12 kW"),
    (1.524, "speed", "5 ft/s", "1.5 m/s"),
    (293.15, "temperature", "68 °F", "20 °C"),
    (math.pi / 4, "angle", "45 deg", "45 deg"),
    (5400.0, "time", "90 min", "90 min"),
    (14400.0, "time", "4 h", "4 h"),
]


@pytest.mark.parametrize(("value", "kind", "us", "metric"), SHOWN, ids=[f"{s[1]} {s[0]}" for s in SHOWN])
def test_shown_in_both_systems(value: float, kind: str, us: str, metric: str) -> None:
    """The expected texts are the hand's conversion and rounding."""
    assert show(value, kind, US) == us
    assert show(value, kind, METRIC) == metric


def test_a_step_of_ones_own() -> None:
    assert show(1.1430, "length", US, step=Fraction(1, 2)) == "3' 9\""
    assert show(1.1437, "length", METRIC, step=Fraction(1)) == "1.144 m"
    assert show(1.1437, "length", METRIC, step=Fraction(10)) == "1.14 m"
    assert show(0.1137, "length", METRIC, step=Fraction(10)) == "110 mm"
    assert show(0.1143, "length", Style("us", Fraction(1), "tenths")) == "5 in"


def test_ranges_say_the_unit_once() -> None:
    assert show_range(0.001, 0.002, "flow", style=US) == "951 to 1,900 US gal/h"
    assert show_range(0.1, 0.12, "length", style=US) == "3 7/8 to 4 3/4 in"
    assert show_range(0.1, 0.12, "length", style=METRIC) == "100 to 120 mm"
    assert show_range(0.5, 1.5, "length", style=METRIC) == "500 mm to 1.50 m"
    assert show_range(0.9144, 1.2192, "length", style=US) == "3' 0\" to 4' 0\""
    assert show_range(0.5, 2.0, "volume", style=METRIC) == "0.5 to 2 m³"
    assert show_range(0.1, 0.1001, "length", style=METRIC) == "100 mm"
    assert show_range(0.02, 0.02, "slope", style=US) == "2 %"


SIGNIFICANT = [
    (1234.5, 2, "1200"),
    (0.012345, 2, "0.012"),
    (2.0, 3, "2"),
    (99.96, 3, "100"),
    (100.0, 3, "100"),
    (-1234.5, 3, "-1230"),
    (0.0, 3, "0"),
    (1e-9, 2, "0.000000001"),
    (1e21, 2, "1000000000000000000000"),
]


@pytest.mark.parametrize(("value", "digits", "text"), SIGNIFICANT, ids=[s[2] for s in SIGNIFICANT])
def test_significant(value: float, digits: int, text: str) -> None:
    assert significant(value, digits) == text


@given(st.floats(min_value=-1e12, max_value=1e12), st.integers(min_value=1, max_value=6))
def test_significant_is_within_half_of_its_last_digit(value: float, digits: int) -> None:
    shown = Decimal(significant(value, digits))
    place = Decimal(10) ** (Decimal(value).adjusted() - digits + 1) if value else Decimal(1)
    assert abs(shown - Decimal(value)) <= place / 2


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("kind", ["length", "flow", "temperature"])
def test_what_is_not_finite_is_not_printed(value: float, kind: str) -> None:
    for style in (US, METRIC):
        with pytest.raises(ValueError, match="cannot print"):
            show(value, kind, style)


def test_callers_mistakes() -> None:
    with pytest.raises(ValueError, match="no such kind"):
        show(1.0, "money", US)
    with pytest.raises(ValueError, match="no such system"):
        style_for("imperial")
    with pytest.raises(ValueError, match="above nothing"):
        feet_inches(1.0, Fraction(0))
    assert style_for("us") is US
    assert style_for("metric") is METRIC


def test_money_to_its_hundredths() -> None:
    assert show_money(Decimal("120"), "EUR") == "120.00 EUR"
    assert parse(show_money(Decimal("99.5"), "USD"), "money").exact == Fraction(199, 2)


READABLE = [
    "area",
    "volume",
    "flow",
    "speed",
    "mass",
    "mass_per_area",
    "density",
    "pressure",
    "power",
    "slope",
    "share",
]


@given(
    st.floats(min_value=1e-3, max_value=1e5),
    st.sampled_from(READABLE),
    st.sampled_from([US, METRIC]),
)
def test_what_is_shown_can_be_typed(value: float, kind: str, style: Style) -> None:
    """But for the thousands, which stand apart to be read and are typed as digits alone: a comma may mean a point."""
    typed = show(value, kind, style).replace("," if style is US else "\u202f", "")
    assert parse(typed, kind).si == pytest.approx(value, rel=0.051)


@pytest.mark.parametrize(
    ("number", "us", "metric"),
    [("999", "999", "999"), ("4180", "4,180", "4\u202f180"), ("-12345.5", "-12,345.5", "-12\u202f345.5"),
     ("1234567", "1,234,567", "1\u202f234\u202f567")],
)  # fmt: skip
def test_thousands_are_written_as_the_reader_does(number: str, us: str, metric: str) -> None:
    """US: a comma (common practice). Metric: a narrow space, no comma or point (SI Brochure, 5.4.4; from memory)."""
    assert (grouped(number, "us"), grouped(number, "metric")) == (us, metric)


def test_a_range_of_money_is_rounded_once() -> None:
    assert show_money_range(4179, 12551.4, "USD", system="us") == "4,180 to 12,600 USD"
    assert show_money_range(4179, 4181, "EUR", system="metric") == "4\u202f180 EUR"
    assert show_money_range(90.95, 767.4, "USD", system="us") == "91 to 767 USD"  # to the nearest, not cut off


@given(
    st.one_of(st.floats(-1e6, 1e6), st.fractions(-1000, 1000)),
    st.sampled_from([Fraction(1, 16), Fraction(5), Fraction(1, 100)]),
)
def test_steps_are_counted_exactly(value: float | Fraction, step: Fraction) -> None:
    """The nearest whole number of steps, a half away from nothing, by fractions; a float's lost bit is made good."""
    lost = Fraction(1, 10**9) if isinstance(value, float) else 0
    nearest = math.floor(abs(Fraction(value)) / step + Fraction(1, 2) + lost)
    assert whole_steps(value, step) == (-nearest if value < 0 else nearest)
