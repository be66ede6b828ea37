"""What must not change when a site is moved, turned or drawn larger, and what must only grow."""

from __future__ import annotations

import math
from functools import lru_cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape.sample import body, feature, oval

from rillwright.feature import XY
from rillwright.shape import PondShape, area_at, level_at, shape, volume_at

KIDNEY: tuple[XY, ...] = (
    (0.0, 0.0),
    (2.5, -0.4),
    (4.5, 0.3),
    (4.8, 2.0),
    (3.5, 2.8),
    (2.4, 1.9),
    (1.0, 2.6),
    (-0.3, 1.5),
)


@lru_cache
def pond(outline: tuple[XY, ...], *, depth_m: float = 0.6, scale: float = 1.0) -> PondShape:
    one = replace(
        body(outline, waterline_m=-0.1 * scale, depth_m=depth_m),
        shelf_width_m=0.25 * scale,
        shelf_depth_m=0.3 * scale,
        gravel_m=0.05 * scale,
        stone_share=0.1,
        rims=(),
    )
    return shape(feature(bodies=(one,), streams=(), runs=())).ponds[0]


def figures(found: PondShape) -> list[float]:
    return [
        found.area_m2,
        found.perimeter_m,
        found.gross_m3,
        found.volume_m3,
        found.dig_m3,
        found.lined_m2,
        found.floor_m,
    ]


@pytest.mark.parametrize("outline", [oval(4.0, 3.0), KIDNEY], ids=["oval", "kidney"])
@given(turn=st.floats(0.0, 2.0 * math.pi), east=st.floats(-500.0, 500.0), north=st.floats(-500.0, 500.0))
def test_turning_and_moving_change_nothing(outline: tuple[XY, ...], turn: float, east: float, north: float) -> None:
    cos, sin = math.cos(turn), math.sin(turn)
    moved = tuple((east + cos * x - sin * y, north + sin * x + cos * y) for x, y in outline)
    assert figures(pond(moved)) == pytest.approx(figures(pond(outline)), rel=1e-9)


@given(scale=st.floats(0.5, 3.0))
def test_volume_goes_with_the_cube_of_size(scale: float) -> None:
    large = pond(tuple((scale * x, scale * y) for x, y in KIDNEY), depth_m=0.6 * scale, scale=scale)
    assert large.gross_m3 == pytest.approx(scale**3 * pond(KIDNEY).gross_m3, rel=1e-7)
    assert large.lined_m2 == pytest.approx(scale**2 * pond(KIDNEY).lined_m2, rel=1e-7)


@given(depth=st.floats(0.05, 2.0), more=st.floats(0.01, 1.0))
def test_deeper_is_more(depth: float, more: float) -> None:
    shallow, deep = pond(KIDNEY, depth_m=depth), pond(KIDNEY, depth_m=depth + more)
    assert deep.volume_m3 >= shallow.volume_m3 * (1 - 1e-9)
    assert deep.floor_m <= shallow.floor_m + 1e-9


@given(level=st.floats(-0.7, 0.2))
def test_a_level_is_found_again_by_its_volume(level: float) -> None:
    found = pond(KIDNEY)
    assert level_at(found, volume_at(found, level)) == pytest.approx(level, abs=1.1e-6)


@given(low=st.floats(-0.7, 0.2), high=st.floats(-0.7, 0.2))
def test_storage_rises(low: float, high: float) -> None:
    found = pond(KIDNEY)
    low, high = min(low, high), max(low, high)
    assert volume_at(found, low) <= volume_at(found, high)
    assert area_at(found, low) <= area_at(found, high) + 1e-9


def test_storage_table_is_of_its_pond() -> None:
    found = pond(KIDNEY)
    levels = [level for level, _, _ in found.storage]
    assert levels == sorted(set(levels))
    assert levels[0] == pytest.approx(found.floor_m)
    assert levels[-1] >= -0.1 + 0.3048 - 1e-9
    assert volume_at(found, -0.1) == pytest.approx(found.volume_m3, rel=1e-12)
    assert area_at(found, -0.1) == pytest.approx(found.area_m2, rel=1e-12)
    assert volume_at(found, 5.0) > volume_at(found, 4.0)
    assert volume_at(found, -9.0) == 0.0
    assert level_at(found, -1.0) == found.storage[0][0]


def test_the_slope_of_volume_is_the_net_area() -> None:
    found = pond(oval(4.0, 3.0))
    for level in (-0.6, -0.3, -0.15, 0.1):
        slope = (volume_at(found, level + 1e-5) - volume_at(found, level - 1e-5)) / 2e-5
        assert slope == pytest.approx(0.9 * area_at(found, level), rel=1e-4)
