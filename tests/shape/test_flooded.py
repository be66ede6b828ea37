"""Water on a surface of triangles: closed forms of cones and planes, and its shore where the surface comes through."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from rillwright.shape import Mesh, WaterLine, flooded


def mesh(xyz: Any, rows: Any, parts: tuple[str, ...] = ("ponds/p",), part_of: Any = None, upright: Any = None) -> Mesh:
    triangles = np.asarray(rows, dtype=np.int64).reshape(-1, 3)
    return Mesh(
        name="finished",
        xyz=np.asarray(xyz, dtype=np.float64),
        triangles=triangles,
        parts=parts,
        part_of=np.zeros(len(triangles), dtype=np.int64) if part_of is None else np.asarray(part_of),
        upright=np.zeros(len(triangles), dtype=np.bool_) if upright is None else np.asarray(upright),
        breaks=np.empty((0, 2), dtype=np.int64),
    )


def cone(around: int = 64) -> Mesh:
    """Its tip 1 m down, its edge 2 m from the tip's axis, at level 1 m: a side of 1 in 1 from -1 to 1 m."""
    angles = np.arange(around) * 2 * math.pi / around
    xyz = [(0.0, 0.0, -1.0)] + [(2 * math.cos(a), 2 * math.sin(a), 1.0) for a in angles]
    return mesh(xyz, [(0, 1 + i, 1 + (i + 1) % around) for i in range(around)])


def plan_area(of: Mesh) -> float:
    a, b, c = (of.xyz[of.triangles[:, k], :2] for k in range(3))
    turned: NDArray[np.float64] = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    return float(turned.sum() / 2)


@pytest.mark.parametrize("level", [-0.9, 0.0, 0.7])
def test_water_in_a_cone_ends_at_its_own_radius(level: float) -> None:
    """Of a 64-sided cone: 64 triangles of half r² sin(360°/64), r the height above its tip."""
    found = flooded(cone(), {"ponds/p": WaterLine(upper_m=level, lower_m=level)}, name="water at rest")
    radius = level + 1.0
    assert plan_area(found) == pytest.approx(32 * radius**2 * math.sin(2 * math.pi / 64), rel=1e-12)
    assert np.abs(found.xyz[:, 2] - level).max() == 0.0
    assert np.hypot(found.xyz[:, 0], found.xyz[:, 1]).max() == pytest.approx(radius, rel=1e-12)
    assert found.name == "water at rest"


def test_over_its_edge_all_of_it_is_wet_and_under_its_tip_none() -> None:
    high, low = (flooded(cone(), {"ponds/p": WaterLine(upper_m=z, lower_m=z)}, name="w") for z in (1.5, -1.5))
    assert len(high.triangles) == 64
    assert len(low.triangles) == len(low.xyz) == 0


def test_only_parts_with_a_level_and_no_upright_faces() -> None:
    xyz = [(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 0, 1), (1, 0, 1)]
    rows = [(0, 1, 2), (0, 2, 3), (0, 5, 4), (0, 1, 5)]
    bed = mesh(xyz, rows, ("reaches/b1.bed", "ground"), (0, 1, 0, 0), (False, False, True, True))
    found = flooded(bed, {"reaches/b1": WaterLine(upper_m=0.1, lower_m=0.1)}, name="w")
    assert len(found.triangles) == 1
    assert plan_area(found) == pytest.approx(0.5)


def test_running_water_slopes_along_its_way() -> None:
    """A straight way 4 m long that falls 0.2 m, then a bend: half of the fall is gone where half of the way is."""
    xyz = [(x, y, -1.0) for x in (0.0, 2.0, 4.0) for y in (-0.5, 0.5)]
    rows = [(0, 2, 1), (1, 2, 3), (2, 4, 3), (3, 4, 5)]
    line = WaterLine(upper_m=0.2, lower_m=0.0, along=((0.0, 0.0), (4.0, 0.0)))
    found = flooded(mesh(xyz, rows, ("reaches/b1",)), {"reaches/b1": line}, name="w")
    assert found.xyz[:, 2] == pytest.approx(0.2 - found.xyz[:, 0] * 0.05)
    bent = WaterLine(upper_m=1.0, lower_m=0.0, along=((0.0, 0.0), (4.0, 0.0), (4.0, 4.0)))
    corner = [(4.0, 0.0, -1.0), (4.0, 4.0, -1.0), (0.0, 0.0, -1.0)]
    found = flooded(mesh(corner, [(0, 1, 2)], ("reaches/b1",)), {"reaches/b1": bent}, name="w")
    assert sorted(found.xyz[:, 2]) == pytest.approx([0.0, 0.5, 1.0])


@given(
    st.lists(st.tuples(*[st.floats(-2, 2)] * 3), min_size=3, max_size=3, unique=True),
    st.floats(-2, 2),
    st.floats(0, 1),
)
def test_more_water_covers_no_less_and_all_of_it_is_over_the_ground(
    corners: list[tuple[float, float, float]], level: float, more: float
) -> None:
    ground = mesh(corners, [(0, 1, 2)])
    whole = abs(plan_area(ground))
    low, high = (
        abs(plan_area(flooded(ground, {"ponds/p": WaterLine(upper_m=z, lower_m=z)}, name="w")))
        for z in (level, level + more)
    )
    assert -1e-12 <= low <= high + 1e-9 <= whole + 2e-9
