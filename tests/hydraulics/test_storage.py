"""Areas at levels: volume, area and level from each other, against closed forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.hydraulics import conical_volume, prismoidal_layers, prismoidal_volume, stage_curve

LEVELS = [0.0254 * i for i in range(37)]  # an inch apart, 36 in deep


def _pond(level: float) -> float:
    """An oval 4 m by 2.6 m at the top, sides 1 across to 2 up."""
    inset = (LEVELS[-1] - level) / 2
    return math.pi * (2.0 - inset) * (1.3 - inset)


def _pond_volume(level: float) -> float:
    a, b, top = 2.0 - LEVELS[-1] / 2, 1.3 - LEVELS[-1] / 2, level
    return math.pi * (a * b * top + (a + b) * top**2 / 4 + top**3 / 12)


CURVE = stage_curve(LEVELS, [_pond(level) for level in LEVELS])


@given(st.floats(0.0, LEVELS[-1]))
def test_against_the_exact_oval(level: float) -> None:
    assert CURVE.volume(level) == pytest.approx(_pond_volume(level), rel=1e-5, abs=1e-12)
    assert CURVE.area(level) == pytest.approx(_pond(level), rel=1e-5)


@given(st.floats(0.0, 1.5))
def test_level_is_the_inverse_of_volume(level: float) -> None:
    assert CURVE.level(CURVE.volume(level)) == pytest.approx(level, rel=1e-9, abs=1e-9)


@given(st.floats(0.0, 1.2), st.floats(0.0, 1.2))
def test_volumes_add_up(low: float, high: float) -> None:
    assert CURVE.between(low, high) == -CURVE.between(high, low)
    middle = (low + high) / 2
    parts = CURVE.between(low, middle) + CURVE.between(middle, high)
    assert parts == pytest.approx(CURVE.between(low, high), rel=1e-9, abs=1e-12)
    assert (CURVE.between(low, high) > 0) == (high > low) or abs(high - low) < 1e-12


def test_area_is_the_slope_of_volume() -> None:
    for level in (0.1, 0.33, 0.8, 1.1):
        step = 1e-6
        slope = CURVE.between(level - step, level + step) / (2 * step)
        assert slope == pytest.approx(CURVE.area(level), rel=1e-7)


def test_beyond_the_ends() -> None:
    assert (CURVE.volume(-1.0), CURVE.area(-1.0)) == (0.0, 0.0)
    assert CURVE.between(LEVELS[-1], LEVELS[-1] + 0.1) == pytest.approx(0.1 * CURVE.areas_m2[-1], rel=1e-9)
    assert CURVE.level(0.0) == 0.0


@given(st.floats(0.1, 20.0), st.floats(0.0, 1.0), st.floats(0.01, 2.0))
def test_conical_is_exact_for_similar_sections(area: float, share: float, height: float) -> None:
    """Side lengths go straight with the level, so the area half way up is ((1 + s)/2)^2."""
    exact = prismoidal_volume(area * share**2, area * ((1 + share) / 2) ** 2, area, height_m=height)
    assert conical_volume(area * share**2, area, height) == pytest.approx(exact, rel=1e-12)


def test_layers_of_a_cubic_are_exact() -> None:
    levels = [0.0, 0.1, 0.2, 0.5, 0.8]
    areas = [1 + 2 * z + 3 * z**2 + 4 * z**3 for z in levels]
    exact = 0.8 + 0.8**2 + 0.8**3 + 0.8**4
    assert prismoidal_layers(levels, areas) == pytest.approx(exact, rel=1e-12)
