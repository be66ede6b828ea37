"""Typed text in, exact quantities out; everything doubtful refused in plain words."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import UnitError
from rillwright.units import KINDS, RODS, parse, rod_reading

ALIKE = [
    "5' 7 3/8\"",
    "5'-7 3/8\"",
    "5' 7-3/8\"",
    "5'7-3/8",
    "5ft 7 3/8in",
    "5 ft 7 3/8 in",
    "5 ft. 7 3/8 in.",
    "5 FT 7 3/8 IN",
    '67 3/8"',
    "67-3/8 in",
    "67⅜″",
    "5′ 7 3/8″",
    "5’ 7 3/8”",
    "5‘ 7 3/8“",
    "5' 7 3/8''",
    "5' - 7 3/8\"",
    "5'\u00a07⅜\"",
    "5’7⅜",
    "67.375 in",
    " 5'  7 3/8\" ",
    "+5' 7.375\"",
]


@pytest.mark.parametrize("text", ALIKE)
def test_one_length_in_many_hands(text: str) -> None:
    read = parse(text, "length")
    inches = read.exact * (12 if read.unit == "ft" else 1)
    assert inches == Fraction(539, 8)
    assert read.si == 1.711325
    assert read.text == text


EXACT = [
    ("3' 9 1/4\"", "length", "ft", Fraction(181, 48)),
    ("45.25 in", "length", "in", Fraction(181, 4)),
    ("0.46 ft", "length", "ft", Fraction(23, 50)),
    ("5.7'", "length", "ft", Fraction(57, 10)),
    ("5 1/2'", "length", "ft", Fraction(11, 2)),
    ("-½ in", "length", "in", Fraction(-1, 2)),
    ("−5' 7\"", "length", "ft", Fraction(-67, 12)),
    ("1150 mm", "length", "mm", Fraction(1150)),
    ("45 mil", "length", "mil", Fraction(45)),
    ("1200 gph", "flow", "US gal/h", Fraction(1200)),
    ("20 gallons per minute", "flow", "US gal/min", Fraction(20)),
    ("3.6 m³/h", "flow", "m3/h", Fraction(18, 5)),
    ("1 sq. ft.", "area", "sq ft", Fraction(1)),
    ("2 ft²", "area", "sq ft", Fraction(2)),
    ("2 m^2", "area", "m2", Fraction(2)),
    ("1:50", "slope", "", Fraction(1, 50)),
    ("1 in 50", "slope", "", Fraction(1, 50)),
    ("-1:50", "slope", "", Fraction(-1, 50)),
    ("2 %", "slope", "%", Fraction(2)),
    ("1/4 in/ft", "slope", "in/ft", Fraction(1, 4)),
    ('1/4" per ft', "slope", "in/ft", Fraction(1, 4)),
    ("20 mm/m", "slope", "mm/m", Fraction(20)),
    ("40 %", "share", "%", Fraction(40)),
    ("0.4", "share", "", Fraction(2, 5)),
    ("120 EUR", "money", "EUR", Fraction(120)),
    ("USD 99.50", "money", "USD", Fraction(199, 2)),
    ("2 m of water", "pressure", "mH2O", Fraction(2)),
]


@pytest.mark.parametrize(("text", "kind", "unit", "exact"), EXACT, ids=[e[0] for e in EXACT])
def test_exact_in_the_typed_unit(text: str, kind: str, unit: str, exact: Fraction) -> None:
    read = parse(text, kind)
    assert (read.unit, read.exact, read.text, read.kind) == (unit, exact, text, kind)


SLOPES = ["2 %", "1:50", "1 in 50", "20 mm/m", "0.02", "2 cm/m", "0.24 in/ft", "20 ‰"]


@pytest.mark.parametrize("text", SLOPES)
def test_one_slope_in_many_hands(text: str) -> None:
    assert parse(text, "slope").si == pytest.approx(0.02, rel=1e-15)


REFUSED = [
    ("5'13\"", "length", "twelve inches or more"),
    ("0' 12\"", "length", "twelve inches or more"),
    ("5.7' 3\"", "length", "5.7 ft or"),
    ("5 1/2' 3\"", "length", "beside inches"),
    ("1,15 m", "length", r"write 1\.15 m"),
    ("5' 7,5\"", "length", r"write 5' 7\.5"),
    ("1,234 mm", "length", r"write 1234 mm, or 1\.234 mm"),
    ("1.234,5 mm", "length", "thousand separators"),
    ("1,234,567 mm", "length", "thousand separators"),
    ("1_000 mm", "length", "thousand separators"),
    ("1 234 mm", "length", "two numbers"),
    ("5'", "area", "not a unit of area"),
    ("5.7", "length", "needs a unit .*mm"),
    ("5 5/8", "length", "needs a unit"),
    (12, "flow", "needs a unit .*US gal/h.*L/s"),
    ('67/8"', "length", "not below 1"),
    ("5' 7 9/8\"", "length", "not below 1"),
    ("1/0 in", "length", "divides by nothing"),
    ("1:0", "slope", "run cannot be nothing"),
    ("nan", "length", "not a finite number"),
    ("-inf m", "length", "not a finite number"),
    (float("nan"), "slope", "not a finite number"),
    (float("inf"), "share", "not a finite number"),
    (float("-inf"), "share", "not a finite number"),
    ("", "length", "empty"),
    ("   ", "length", "empty"),
    ("4 cubits", "length", "'cubits' is not a unit of length"),
    ("5'7'", "length", "not a unit|begin"),
    ("5''' ", "length", "not a unit|begin"),
    ("12 ft", "flow", "not a unit of flow"),
    ("-5 gal", "volume", "below nothing"),
    ("-0.1", "share", "below nothing"),
    ("40", "share", "at most 1"),
    ("120", "money", "currency code"),
    ("$120", "money", "currency code"),
    ("EUR 120 USD", "money", "currency code"),
    ("-500 °F", "temperature", "absolute zero"),
    ("1" * 90 + " m", "length", "longer than"),
    ("٣ m", "length", "does not begin with a number"),
    (10**5000, "slope", "too large"),
    ("1e999", "slope", "not a unit"),
]


@pytest.mark.parametrize(("text", "kind", "message"), REFUSED, ids=[str(n) for n in range(len(REFUSED))])
def test_refused_in_plain_words(text: str | int | float, kind: str, message: str) -> None:
    with pytest.raises(UnitError, match=message) as caught:
        parse(text, kind)
    (problem,) = caught.value.problems
    assert problem.message
    assert problem.found


@pytest.mark.parametrize("thing", [None, True, [1], {"a": 1}, b"4 in", object()], ids=lambda it: type(it).__name__)
def test_what_is_no_text_or_number_is_refused(thing: Any) -> None:
    with pytest.raises(UnitError, match="not a quantity"):
        parse(thing, "length")
    with pytest.raises(UnitError, match="not a quantity"):
        rod_reading(thing, "metric")


def test_an_unknown_kind_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(ValueError, match="no such kind"):
        parse("1 m", "colour")


LIKELY = st.text(st.sampled_from("0123456789 .,'\"-+/:%ftinmLgalhpe½⅞’”′″ \t\nEUR²³°"), max_size=20)


@given(st.one_of(LIKELY, st.text(max_size=90), st.integers(), st.floats()), st.sampled_from(KINDS))
def test_any_text_is_read_or_refused(text: str | int | float, kind: str) -> None:
    try:
        read = parse(text, kind)
    except UnitError as error:
        str(error).encode()
    else:
        assert read.text == str(text)


@given(st.one_of(LIKELY, st.text(max_size=90), st.floats()), st.sampled_from([*RODS, "other"]))
def test_any_reading_is_read_or_refused(text: str | float, rod: str) -> None:
    try:
        read = rod_reading(text, rod)
    except UnitError as error:
        str(error).encode()
    else:
        assert read.kind == "length"


@given(st.floats(min_value=-1e6, max_value=1e6))
def test_a_bare_slope_is_exactly_its_decimal(slope: float) -> None:
    if abs(slope) > 1e-90 or slope == 0:
        assert parse(slope, "slope").si == slope
