"""Ponds as meshes, held against closed forms: frustum, cone, wedge, prism; berms; what the layer says by slices."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace
from tests.shape.finished_sites import (
    CREST,
    KIDNEY,
    area_m2,
    below_m3,
    finished,
    kidney,
    on_plane,
    pond,
    rectangle,
    regular,
)

from rillwright.feature import Feature
from rillwright.shape import Finished, PondShape, shape, surface_area_m2, tin_of_mesh


def of_pond(feature: Feature) -> tuple[Finished, PondShape]:
    return finished(feature), shape(feature).pond("pond")


def test_a_frustum_of_a_pyramid_dug_into_level_ground() -> None:
    """6 by 4 m at the ground, 0.7 m deep, sides 2:1: V = h/6 (A1 + 4 Am + A2), the prismoidal formula, exact here.

    References: prismoidal formula, any surveying text. Mesh: every plan inset is h/2 a side.
    """
    made = on_plane(pond(rectangle(5.9, 3.9)))  # the ground lies 0.1 m above the waterline: 0.05 m out a side
    earth = finished(made).earth[0]
    areas = [6.0 * 4.0, (6.0 - 0.35) * (4.0 - 0.35), (6.0 - 0.7) * (4.0 - 0.7)]
    assert earth.cut_m3 == pytest.approx(0.7 / 6.0 * (areas[0] + 4.0 * areas[1] + areas[2]), rel=1e-4)
    assert earth.fill_m3 == pytest.approx(0.0, abs=1e-4)
    assert earth.deepest_m == pytest.approx(0.7)


def test_a_cone_by_its_closed_form() -> None:
    """A hole of 64 corners whose sides meet: V = A h / 3, lined area A sqrt(1 + s^2) / ... by its own closed form."""
    corners, radius = 64, 2.0
    inner = radius * math.cos(math.pi / corners)  # from the middle to a side
    feature = on_plane(replace(pond(regular(corners, radius), depth_m=inner, side=1.0, waterline_m=0.0)))
    mesh = finished(feature).liner
    area = 0.5 * corners * radius**2 * math.sin(2.0 * math.pi / corners)
    assert below_m3(mesh, 0.0, "ponds/pond") == pytest.approx(area * inner / 3.0, rel=2e-3)
    lined = surface_area_m2(mesh, below_m=0.0, paths=["ponds/pond"])
    assert lined == pytest.approx(area * math.sqrt(2.0), rel=2e-3)


@pytest.mark.parametrize("side", [math.inf, 4.0, 2.0, 1.0])
@pytest.mark.parametrize("outline", [rectangle(5.0, 3.0), KIDNEY, regular(12, 2.0)], ids=["box", "kidney", "round"])
def test_water_and_lined_area_agree_with_the_slices(outline: tuple[tuple[float, float], ...], side: float) -> None:
    """The layer cuts bodies level by level: another way to the same volume and to the same surface of liner."""
    feature = on_plane(pond(outline, side=side, shelf=(0.2, 0.25), gravel_m=0.05, depth_m=0.5))
    made, known = of_pond(feature)
    waterline = feature.bodies[0].waterline.m
    assert below_m3(made.finished, waterline, "ponds/pond") == pytest.approx(known.gross_m3, rel=5e-3)
    lined = surface_area_m2(made.liner, below_m=waterline, paths=["ponds/pond"])
    assert lined == pytest.approx(known.lined_m2, rel=5e-3)


def test_what_is_dug_agrees_with_the_slices_and_their_underlay() -> None:
    """Liner and underlay of 6 mm: the dig stands as far outside the liner at right angles as it lies under it."""
    feature, _ = kidney()
    thick = replace(feature, liner=replace(feature.liner, thickness_m=0.001, underlay_m=0.005))
    made, known = of_pond(thick)
    assert made.earth[0].cut_m3 == pytest.approx(known.dig_m3, rel=5e-3)
    without = of_pond(feature)[0].earth[0].cut_m3
    lined = surface_area_m2(made.liner, below_m=0.0, paths=["ponds/pond"])
    assert made.earth[0].cut_m3 - without == pytest.approx(0.006 * lined, rel=0.02)


def test_refining_converges() -> None:
    """Sides cut ever more often come to one volume, that of the slices by the prismoidal formula."""
    volumes = [below_m3(kidney(every_m=step)[1].liner, -0.1, "ponds/pond") for step in (0.6, 0.2, 0.05, 0.0125)]
    steps = np.abs(np.diff(volumes))
    assert steps.max() < 1e-4 * volumes[-1]
    known = shape(kidney()[0]).pond("pond")
    deeper = replace(kidney()[0].bodies[0], depth_m=0.65, gravel_m=0.0)  # to the liner, under the gravel
    whole = shape(on_plane(deeper)).pond("pond").gross_m3
    assert volumes[-1] == pytest.approx(whole, rel=1e-4)
    assert whole > known.gross_m3


def test_a_berm_all_round_by_hand() -> None:
    """A square of 4 m at the rim, berm of 0.2 m on level ground, crest c, side 1:1 outside.

    Outside the edge: perimeter x (h c + h^2/2) and at the corners a quarter of a round berm each: pi (c^2 h + c h^2 +
    h^3 / 3). Inside it the pond's own side of 2:1 carries on up from the ground: a wedge that the closed form of a
    frustum takes off a prism.
    """
    high = 0.2
    body = pond(rectangle(3.7, 3.7), berm_m=high)  # waterline 0.3 m under the rim: 0.15 m out a side
    made = finished(on_plane(body)).earth[0]
    wall = 16.0 * (high * CREST + 0.5 * high**2) + math.pi * (CREST**2 * high + CREST * high**2 + high**3 / 3.0)
    inner = 16.0 * high - high / 6.0 * (16.0 + 4.0 * (4.0 - 0.1) ** 2 + (4.0 - 0.2) ** 2)
    assert made.fill_m3 == pytest.approx(wall + inner, rel=0.01)
    assert made.highest_m == pytest.approx(high, abs=1e-6)


def test_a_berm_ends_where_it_meets_the_ground() -> None:
    """Out from an edge 0.2 m over level ground: level for the crest, down 1:1, and there is the ground again."""
    made = finished(on_plane(pond(rectangle(3.7, 3.7), berm_m=0.2)))
    from rillwright.shape import mesh_levels

    out = [0.0, 0.5 * CREST, CREST, CREST + 0.1, CREST + 0.2, CREST + 0.3]
    levels = mesh_levels(made.finished, [(2.0 + each, 0.3) for each in out])
    assert levels.tolist() == pytest.approx([0.2, 0.2, 0.2, 0.1, 0.0, 0.0], abs=1e-4)


def test_a_shelf_is_level_and_its_edges_are_break_lines() -> None:
    feature, made = kidney()
    body = feature.bodies[0]
    level = body.waterline.m - body.shelf_depth_m
    mesh = made.liner
    corners = mesh.xyz[mesh.triangles[~mesh.upright]]
    flat = np.abs(corners[:, :, 2] - level).max(axis=1) < 1e-9
    u, v = corners[flat, 1] - corners[flat, 0], corners[flat, 2] - corners[flat, 0]
    drawn = shape(feature).pond("pond")
    rings = [ring for at, ring in drawn.rings if at == pytest.approx(level)]
    import shapely

    outer, inner = (shapely.Polygon(ring).area for ring in rings)
    found = 0.5 * np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum()
    assert found == pytest.approx(abs(outer - inner), rel=2e-3)
    ends = mesh.xyz[mesh.breaks]
    on_shelf = (np.abs(ends[:, :, 2] - level) < 1e-9).all(axis=1)
    long = np.hypot(*(ends[on_shelf, 1] - ends[on_shelf, 0]).T[:2]).sum()
    assert long == pytest.approx(sum(shapely.Polygon(ring).length for ring in rings), rel=2e-3)


def test_soil_that_is_left_and_soil_that_is_short() -> None:
    """By hand: dug less what the fill takes, of clay that swells to 1.4 and is placed in 0.9 of its room in the bank
    (US Army FM 5-434, soil conversion), fill settled by a tenth.
    """
    deep, shallow = pond(rectangle(4.0, 3.0), depth_m=0.8), pond(rectangle(4.0, 3.0), depth_m=0.1, berm_m=0.6)
    for body, short in ((deep, False), (shallow, True)):
        made = on_plane(body)
        made = replace(made, site=replace(made.site, soil="clay"))
        found = finished(made)
        dug, settled = (sum(getattr(part, name) for part in found.earth) for name in ("cut_m3", "fill_m3"))
        needed = settled / 0.9 / 0.9
        assert (needed > dug) == short
        assert found.soil.out_m3 == pytest.approx(max(dug - needed, 0.0) * 1.4, rel=0.02)
        assert found.soil.brought_in_m3 == pytest.approx(max(needed - dug, 0.0), rel=0.02)


def test_upright_sides_are_faces() -> None:
    """A box of 5 by 3 m: its sides stand upright, perimeter x depth of them, and have no area in plan."""
    made = finished(on_plane(pond(rectangle(5.0, 3.0), side=math.inf, depth_m=0.5))).liner
    faces = made.xyz[made.triangles[made.upright]]
    size = 0.5 * np.linalg.norm(np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0]), axis=1).sum()
    assert size == pytest.approx(16.0 * 0.6, rel=1e-3)  # 0.1 m of side above the waterline
    outward = np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0])
    assert np.abs(outward[:, 2]).max() < 1e-9
    assert ((outward * faces.mean(axis=1)).sum(axis=1) < 0.0).all()  # seen from the water, in the middle
    assert area_m2(made) == pytest.approx(tin_of_mesh(made).area_m2)
