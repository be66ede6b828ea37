"""Scales, bars and hatching. 1 ft = 0.3048 m by definition (international yard and pound, 1959)."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.drawings import Area, Box, Text, View
from rillwright.drawings.hatch import strokes, under
from rillwright.drawings.profile import between, level_at, pools
from rillwright.drawings.scale import STANDARD, bar, choose, nice_below, words

A3 = Box(left=0, top=0, right=390, bottom=250)


@pytest.mark.parametrize(
    ("wide", "high", "system", "scale"),
    [
        (3.8, 2.0, "metric", 10),
        (19.0, 5.0, "metric", 50),
        (15.0, 12.6, "metric", 75),
        (4.6, 1.0, "us", 12),
        (18.0, 3.0, "us", 48),
    ],
)
def test_the_largest_standard_scale_that_fits(wide: float, high: float, system: str, scale: int) -> None:
    assert choose(wide, high, A3, system=system) == scale


def test_inch_scales_are_said_as_the_rule_has_them() -> None:
    """A scale of 1:n in which a fraction of an inch is one foot: n = 12 over that fraction."""
    for n in STANDARD["us"]:
        said = words(n, "us")
        inches, feet = said.split(" (")[0].removesuffix(" ft").split(" in = ")
        assert int(feet) * 12 / float(Fraction(inches)) == n
    assert words(48, "us") == "1/4 in = 1 ft (1:48)"
    assert words(50, "metric") == "1:50"


def test_metric_scales_hold_those_of_iso_5455() -> None:
    """ISO 5455 (from memory): reductions by 1, 2 and 5 times powers of ten."""
    assert {10, 20, 50, 100, 200, 500, 1000} <= set(STANDARD["metric"])


@pytest.mark.parametrize("scale", [10.0, 25.0, 48.0, 100.0, 240.0])
def test_bars_are_as_long_as_they_say(scale: float) -> None:
    group = bar(View(scale=scale, origin=(0, 0), at=(0, 0)), (5.0, 5.0))
    boxes = [item for item in group.items if isinstance(item, Area)]
    said = [item.text for item in group.items if isinstance(item, Text) and item.text.endswith((" m", " ft"))]
    for quarter, (text, unit) in zip((boxes[3], boxes[7]), ((said[0], 1.0), (said[1], 0.3048)), strict=True):
        length = max(x for x, _ in quarter.points) - 5.0
        assert length == pytest.approx(float(text.split()[0]) * unit * 1000 / scale, abs=0.2)
        assert length <= 60.0 + 1e-9


@given(st.floats(1e-3, 1e6))
def test_nice_numbers_are_below_and_near(limit: float) -> None:
    nice = nice_below(limit)
    assert nice <= limit * (1 + 1e-6)
    assert nice >= limit / 2.5 * (1 - 1e-6)


def test_hatch_of_a_square_is_as_long_as_area_over_spacing() -> None:
    # the strokes of a fine hatch times their spacing are the area: integral geometry, any direction
    square = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
    for angle in (0.0, 45.0, 30.0, 90.0):
        total = sum(math.dist(*line.points) for line in strokes(square, spacing_mm=0.25, angle_deg=angle))
        assert total * 0.25 == pytest.approx(1600.0, rel=0.02)


def test_hatch_under_a_line_stays_under_it() -> None:
    line = ((0.0, 10.0), (30.0, 10.0), (30.0, 25.0), (60.0, 25.0), (70.0, 10.0), (90.0, 10.0))
    found = under(line, spacing_mm=1.5, depth_mm=4.0)
    assert len(found) > 40
    for stroke in found:
        (x0, y0), (x1, y1) = stroke.points
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        here = level_at(line, middle[0])
        assert here is not None
        assert middle[1] >= here - 1e-6
        assert math.dist((x0, y0), (x1, y1)) <= 8.0 + 1e-6


def test_reading_a_line() -> None:
    line = ((0.0, 1.0), (2.0, 1.0), (2.0, 0.5), (4.0, 0.3))
    assert level_at(line, 2.0) == 0.5
    assert level_at(line, 2.0, after=False) == 1.0
    assert level_at(line, 3.0) == pytest.approx(0.4)
    assert level_at(line, 5.0) is None
    expected = ((1.0, 1.0), (2.0, 1.0), (2.0, 0.5), (3.0, 0.4))
    for found, wanted in zip(between(line, 1.0, 3.0), expected, strict=True):
        assert found == pytest.approx(wanted)


def test_water_stands_in_each_hollow() -> None:
    bed = ((0.0, 1.0), (1.0, 0.0), (2.0, 1.0), (3.0, 0.5), (4.0, 1.0))
    found = pools(bed, lambda _: 0.75)
    assert len(found) == 2
    areas = [abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(p, [*p[1:], p[0]], strict=True))) / 2 for p in found]
    assert areas == pytest.approx([0.75 * 1.5 / 2, 0.25 * 1.0 / 2])
