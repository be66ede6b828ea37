"""Streams as meshes: cross profiles, cut and bank by closed forms, faces, stones; and the whole of the examples."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
import shapely
import trimesh
from msgspec.structs import replace
from tests.shape import sample
from tests.shape.finished_sites import CREST, area_m2, edges_of, finished, heights, on_plane, pond, rectangle

from rillwright import job
from rillwright.feature import CrestStone, Fall, Feature, Stream
from rillwright.shape import Finished, Mesh, finish, mesh_levels, mesh_raster, mesh_section, parts_under, surface
from rillwright.shape import tin_of_mesh as plan_of
from rillwright.sources import default

EXAMPLES = sorted(job.examples())
WIDTH, GRAVEL, BANK = 0.60, 0.075, 0.20
RUN = BANK / default("earth.bank_side").number
LAYERS = ("dug", "liner", "finished")


def straight(*, reach_m: float, last_m: float, ground_m: float) -> Feature:
    """One level bed, straight into a pond, on level ground `ground_m` [m]; its bed lies `last_m` over the water."""
    body = replace(pond(rectangle(3.0, 3.0), waterline_m=-0.1), rims=())
    brook = sample.stream(into=body, drops_m=(), last_m=last_m, reach_m=reach_m, end=(-1.5, 0.0))
    return on_plane(body, streams=(replace(brook, head_ground=None),), ground_m=ground_m)


def more_earth(*, last_m: float, ground_m: float) -> tuple[float, float]:
    """Cut and fill [m3/m] of one more metre of it: what a bed of 6 m takes more than one of 4 m."""
    found = [
        {part.path: part for part in finished(straight(reach_m=long, last_m=last_m, ground_m=ground_m)).earth}
        for long in (4.0, 6.0)
    ]
    short, long = (each["streams/stream"] for each in found)
    return (long.cut_m3 - short.cut_m3) / 2.0, (long.fill_m3 - short.fill_m3) / 2.0


def test_a_bed_in_a_cut_by_hand() -> None:
    """Bed 0.4 m under level ground: from the liner up the banks to the edge, 0.2 m under the ground, then 1:1 out.

    A = (b + r) h to the edge, h = gravel and bank, r its run; (b + 2 r) H + H^2 / s above it.
    """
    bed = -0.1 + 0.3
    cut, fill = more_earth(last_m=0.3, ground_m=bed + 0.4)
    above = 0.4 - BANK
    area = (WIDTH + RUN) * (BANK + GRAVEL) + (WIDTH + 2.0 * RUN) * above + above**2 / default("earth.bank_side").number
    assert cut == pytest.approx(area, rel=5e-4)
    assert fill == pytest.approx(0.0, abs=1e-4)


def test_a_bed_on_a_bank_by_hand() -> None:
    """Bed 0.3 m over level ground: the edge at T, settled; a berm outside it on both sides, the bed's fill between.

    A = 2 (T c + T^2 / 2 s) + b f + r (f + T), with f from the ground to the liner.
    """
    cut, fill = more_earth(last_m=0.5, ground_m=0.1)
    top = 0.3 + BANK - default("pond.settlement").number * BANK
    floor = 0.3 - GRAVEL
    side = default("earth.berm_side").number
    area = 2.0 * (top * CREST + 0.5 * top**2 / side) + WIDTH * floor + RUN * (floor + top)
    assert fill == pytest.approx(area, rel=5e-4)
    assert cut == pytest.approx(0.0, abs=1e-4)


def test_a_cross_profile_is_what_it_is_drawn_as() -> None:
    """Across the middle of a bed: gravel level at the bed, liner under it, banks up to the edge on both sides."""
    made = finished(straight(reach_m=4.0, last_m=0.3, ground_m=0.2))
    line = [(-3.5, -2.0), (-3.5, 2.0)]
    top, liner = mesh_section(made.finished, line), mesh_section(made.liner, line)
    settles = default("pond.settlement").number * BANK
    edge = 0.5 * WIDTH + RUN
    for aside, level in ((0.0, 0.2), (edge, 0.4 - settles), (edge + CREST, 0.4 - settles), (edge + CREST + 0.5, 0.2)):
        for way in (-1.0, 1.0):
            assert np.interp(2.0 + way * aside, top.station_m, top.level_m) == pytest.approx(level, abs=1e-3)
    assert np.interp(2.0, liner.station_m, liner.level_m) == pytest.approx(0.2 - GRAVEL)
    assert np.interp(2.0 + 0.5 * WIDTH, liner.station_m, liner.level_m) == pytest.approx(0.2 - GRAVEL, abs=1e-3)


def test_a_fall_stands_upright_behind_its_stone() -> None:
    """Along the middle of four drops: face, foot and spill stone at the stations and levels of the long section."""
    feature = on_plane(*sample.four_drops().bodies, streams=sample.four_drops().streams, ground_m=0.2)
    made = finished(feature)
    stream = feature.streams[0]
    liner = mesh_section(made.liner, stream.path)
    top = mesh_section(made.finished, stream.path)
    for fall, above, below in zip(stream.falls, stream.reaches, (*stream.reaches[1:], None), strict=True):
        face = fall.station_m - fall.stone_depth_m
        levels = liner.level_m[np.abs(liner.station_m - face) < 1e-3]
        foot = feature.bodies[0].waterline.m if below is None else below.bed_start.m - below.gravel_m
        assert levels.max() - levels.min() == pytest.approx(above.bed_end.m - above.gravel_m - foot, abs=1e-6)
        on_stone = (top.station_m > face + 1e-3) & (top.station_m < fall.station_m - 1e-3)
        before = np.abs(top.station_m - fall.station_m) < 1e-3
        assert top.level_m[on_stone | before].max() == pytest.approx(fall.crest.m)


def test_stones_side_by_side_have_their_own_tops() -> None:
    feature = straight(reach_m=4.0, last_m=0.4, ground_m=0.2)
    stream = feature.streams[0]
    fall = stream.falls[0]
    stones = (CrestStone(width_m=0.15, above_m=0.02), CrestStone(width_m=0.25, above_m=0.0))
    with_stones = replace(feature, streams=(with_fall(stream, replace(fall, stones=stones)),))
    mesh = finished(with_stones).finished
    # it flows towards +x, so its left is +y
    levels = mesh_levels(mesh, [(-1.7, 0.15), (-1.7, 0.0), (-1.7, -0.15)])
    assert levels.tolist() == pytest.approx([fall.crest.m + 0.02, fall.crest.m, fall.crest.m])


def with_fall(stream: Stream, fall: Fall) -> Stream:
    return replace(stream, links=tuple(fall if link == stream.falls[-1] else link for link in stream.links))


@cache
def example(name: str) -> tuple[Feature, Finished]:
    opened = job.open(job.examples()[name])
    feature = opened.feature
    return feature, finish(feature, surface(feature))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_layer_covers_the_same_ground_once(name: str) -> None:
    """Area of the triangles in plan = area of their union, by Shapely = area of the ground: no holes, no overlaps."""
    made = example(name)[1]
    whole = area_m2(made.ground)
    for layer in LAYERS:
        mesh: Mesh = getattr(made, layer)
        plan = mesh.xyz[mesh.triangles[~mesh.upright]][:, :, :2]
        assert area_m2(mesh) == pytest.approx(whole, rel=1e-6)
        assert shapely.union_all(shapely.polygons(plan), grid_size=1e-6).area == pytest.approx(whole, rel=1e-6)
        upright = mesh.xyz[mesh.triangles[mesh.upright]]
        assert np.abs(np.cross(upright[:, 1] - upright[:, 0], upright[:, 2] - upright[:, 0])[:, 2]).max() < 1e-9


@pytest.mark.parametrize("name", EXAMPLES)
def test_faces_close_every_step(name: str) -> None:
    """Triangles hang together over every edge but those at which the ground ends: no slits where levels differ."""
    made = example(name)[1]
    end = shapely.union_all(
        [shapely.LineString(made.ground.xyz[list(edge)][:, :2]) for edge, n in edges_of(made.ground).items() if n == 1]
    )
    for layer in LAYERS:
        mesh: Mesh = getattr(made, layer)
        found = edges_of(mesh)
        inner = [
            edge for edge, n in found.items()
            if n == 1 and shapely.LineString(mesh.xyz[list(edge)][:, :2]).distance(end) > 1e-4
        ]  # fmt: skip
        assert inner == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_another_library_finds_the_same_mesh(name: str) -> None:
    """trimesh: surface, and the volume down to a level under all of it, as the sum of prisms."""
    mesh = example(name)[1].finished
    other = trimesh.Trimesh(vertices=mesh.xyz, faces=mesh.triangles, process=False)
    corners = mesh.xyz[mesh.triangles]
    size = 0.5 * np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    assert other.area == pytest.approx(size.sum(), rel=1e-9)
    low = float(mesh.xyz[:, 2].min()) - 1.0
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    under = (0.5 * (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) * (corners[:, :, 2].mean(axis=1) - low)).sum()
    raster = mesh_raster(mesh, cell_m=0.05)
    assert raster.volume_above_m3(low) == pytest.approx(under, rel=5e-3)


@pytest.mark.parametrize("name", EXAMPLES)
def test_cut_less_fill_is_the_change_of_volume(name: str) -> None:
    made = example(name)[1]

    def over(mesh: Mesh, low: float) -> float:
        tin = plan_of(mesh)
        corners = tin.xyz[tin.triangles]
        u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
        return float(0.5 * (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) @ (corners[:, :, 2].mean(axis=1) - low))

    low = float(made.dug.xyz[:, 2].min())
    net = sum(part.cut_m3 - part.fill_m3 for part in made.earth)
    moved = sum(part.cut_m3 + part.fill_m3 for part in made.earth)
    assert net == pytest.approx(over(made.ground, low) - over(made.dug, low), abs=5e-4 * moved)


@pytest.mark.parametrize("name", [EXAMPLES[0], *(pytest.param(name, marks=pytest.mark.deep) for name in EXAMPLES[1:])])
def test_raster_and_mesh_agree(name: str) -> None:
    """Cut and fill over cells of 2 cm, level for level, against the triangles: within 0.5 % of all earth moved."""
    made = example(name)[1]
    cell = 0.02
    before, after = mesh_raster(made.ground, cell_m=cell), mesh_raster(made.dug, cell_m=cell)
    assert before.corner == pytest.approx(after.corner, abs=1e-6)
    down = np.nan_to_num(before.level_m - after.level_m)
    moved = sum(part.cut_m3 + part.fill_m3 for part in made.earth)
    assert np.abs(down).sum() * cell**2 == pytest.approx(moved, rel=5e-3)


@pytest.mark.parametrize("name", EXAMPLES)
def test_layers_lie_over_each_other(name: str) -> None:
    """The dig lies under the liner, the liner under stone and gravel: but for the steps of a rim, where two layers step
    a liner's thickness apart."""
    feature, made = example(name)
    rng = np.random.default_rng(7)
    low, high = made.ground.xyz.min(axis=0), made.ground.xyz.max(axis=0)
    places = (low + rng.random((4000, 3)) * (high - low))[:, :2]
    dug, liner, top = (mesh_levels(getattr(made, layer), places.tolist()) for layer in LAYERS)
    inside = np.isin(parts_under(made.liner, places.tolist()), [f"ponds/{body.id}" for body in feature.bodies])
    for under, over in ((dug, liner), (liner, top)):
        above = (under - over)[~np.isnan(under)]
        assert (above > 2e-3).mean() < 2e-3
        assert above.max() < 0.05
    thick = (liner - dug)[inside]
    assert np.quantile(thick, 0.01) >= feature.liner.under_m - 1e-6


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_element_is_in_it_by_its_path(name: str) -> None:
    feature, made = example(name)
    paths = {f"ponds/{body.id}" for body in feature.bodies} | {f"reaches/{reach.id}" for reach in feature.reaches}
    paths |= {f"falls/{fall.id}" for fall in feature.falls}
    for layer in LAYERS:
        mesh: Mesh = getattr(made, layer)
        assert paths <= set(mesh.parts)
        assert set(np.unique(mesh.part_of)) == set(range(len(mesh.parts)))
        assert mesh.breaks.max() < len(mesh.xyz)
        assert heights(mesh).max() < 1.5


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_same_is_made_again(name: str) -> None:
    feature, made = example(name)
    again = finish(feature, surface(feature))
    assert again == made
    assert hash(again) == hash(made)
    other = replace(feature, liner=replace(feature.liner, underlay_m=feature.liner.underlay_m + 0.001))
    assert finish(other, surface(other)) != made
