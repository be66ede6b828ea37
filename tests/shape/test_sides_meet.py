"""Sides that meet before the depth wished for: the real depth is said, and that it is not the wished one."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape import sample

from rillwright.shape import shape


def test_an_upside_down_pyramid() -> None:
    """A square of 4 m with sides 1:1 comes to a point 2 m down, whatever depth is wished for."""
    square = ((-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0))
    feature = sample.four_drops()
    pond = replace(sample.body(square, depth_m=70.0), side_up_per_across=1.0)
    found = shape(replace(feature, bodies=(pond,)))
    assert found.depth_m(pond) == pytest.approx(2.0, abs=1e-3)
    assert found.pond("pond").short_m == pytest.approx(68.0, abs=1e-3)


def test_a_depth_that_is_reached_is_the_one_wished_for() -> None:
    feature = sample.four_drops()
    assert shape(feature).depth_m(feature.bodies[0]) == feature.bodies[0].depth_m
