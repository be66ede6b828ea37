"""Banks of a said side and plunge pools, as meshes and in the long section, by closed forms; the sites are invented."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from msgspec.structs import replace
from tests.shape import sample
from tests.shape.finished_sites import below_m3, finished, on_plane, pond, rectangle

from rillwright.feature import Fall, Feature, Plunge, Reach, Stream
from rillwright.shape import Finished, Mesh, finish, mesh_section, shape, surface
from rillwright.sources import default

WIDTH, GRAVEL, BANK = 0.60, 0.075, 0.20
ABOVE = default("earth.bank_side").number
STEADY = 5e-3  # of volumes of the meshes
POOL = Plunge(depth_m=0.18, length_m=0.7)
SIDES = (0.5, 1.0, 2.0, math.inf)


def with_side(stream: Stream, side: float | None) -> Stream:
    links = tuple(replace(link, side_up_per_across=side) if isinstance(link, Reach) else link for link in stream.links)
    return replace(stream, links=links)


def straight(side: float | None, *, reach_m: float, ground_m: float, last_m: float = 0.3) -> Feature:
    """One level bed, straight into a pond, on level ground `ground_m` [m]; its bed lies `last_m` over the water."""
    body = replace(pond(rectangle(3.0, 3.0), waterline_m=-0.1), rims=())
    brook = sample.stream(into=body, drops_m=(), last_m=last_m, reach_m=reach_m, end=(-1.5, 0.0))
    return on_plane(body, streams=(replace(with_side(brook, side), head_ground=None),), ground_m=ground_m)


def per_metre(side: float | None, *, ground_m: float) -> tuple[float, Finished, Finished]:
    """Cut [m3/m] of one more metre, and both meshes: of a bed of 4 m and of one of 6 m."""
    both = [finished(straight(side, reach_m=long, ground_m=ground_m)) for long in (4.0, 6.0)]
    cuts = [{part.path: part.cut_m3 for part in made.earth}["streams/stream"] for made in both]
    return (cuts[1] - cuts[0]) / 2.0, both[0], both[1]


@pytest.mark.parametrize("side", SIDES)
def test_a_bed_in_a_cut_by_its_own_side(side: float) -> None:
    """End areas: a trapezoid from the liner's floor to its edge by the side said, another above it as any cut."""
    bed = -0.1 + 0.3
    cut, _, _ = per_metre(side, ground_m=bed + 0.4)
    deep, above = BANK + GRAVEL, 0.4 - BANK
    floor = WIDTH - 2.0 * GRAVEL / side
    edge = floor + 2.0 * deep / side
    area = deep * (floor + deep / side) + above * (edge + above / ABOVE)
    assert cut == pytest.approx(area, rel=STEADY)


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("depth", [0.04, 0.15])
def test_water_over_such_a_bed(side: float, depth: float) -> None:
    """The finished surface holds (b + y / s) y to each metre: what the section of its water has (chow-1959, table 2-1,
    from memory)."""
    _, short, long = per_metre(side, ground_m=0.4)
    held = [below_m3(made.finished, 0.2 + depth, "reaches/stream-r1") for made in (short, long)]
    assert (held[1] - held[0]) / 2.0 == pytest.approx((WIDTH + depth / side) * depth, rel=STEADY)


@pytest.mark.parametrize("side", [None, 1.0])
def test_a_dished_bed_in_its_meshes(side: float | None) -> None:
    """Water over it and gravel under it by end areas to each metre: a V of the bed's width, prisms of one thickness."""
    dish, deep = 0.05, 0.12
    made = []
    for long in (4.0, 6.0):
        feature = straight(side, reach_m=long, ground_m=0.6)
        stream = feature.streams[0]
        bed = replace(stream.reaches[0], dish_m=dish)
        made.append((bed, finished(replace(feature, streams=(replace(stream, links=(bed, stream.falls[0])),)))))
    paths = "reaches/stream-r1"
    held = [below_m3(each.finished, 0.2 + deep, paths) for _, each in made]
    rim, floor = BANK - dish, made[0][0].floor_width_m
    if side is None:  # banks from the edges of the floor to the liner's edge; the gravel lies on them up to the bed's
        run = rim / ABOVE / (rim + GRAVEL)
        edge = WIDTH + 2.0 * run * GRAVEL
    else:
        run, edge = 1.0 / side, WIDTH
    over = deep - dish
    area = 0.5 * WIDTH * dish + (edge + run * over) * over
    assert (held[1] - held[0]) / 2.0 == pytest.approx(area, rel=STEADY)
    full = [below_m3(each.liner, 0.2 + dish, paths) - below_m3(each.finished, 0.2 + dish, paths) for _, each in made]
    assert (full[1] - full[0]) / 2.0 == pytest.approx(0.5 * (floor + edge) * GRAVEL, rel=STEADY)


def test_gravel_on_the_bed_by_its_own_side() -> None:
    """Between liner and finished surface lie (b - g / s) g of gravel to each metre, prism on prism."""
    side = 0.5
    _, short, long = per_metre(side, ground_m=0.4)
    full = [
        below_m3(made.liner, 0.2, "reaches/stream-r1") - below_m3(made.finished, 0.2, "reaches/stream-r1")
        for made in (short, long)
    ]
    assert (full[1] - full[0]) / 2.0 == pytest.approx((WIDTH - GRAVEL / side) * GRAVEL, rel=STEADY)


def test_steeper_banks_dig_less_and_one_up_to_one_across_lays_the_edge_as_before() -> None:
    cuts = [per_metre(side, ground_m=0.6)[0] for side in SIDES]
    assert cuts == sorted(cuts, reverse=True)
    said, unsaid = (surface(straight(side, reach_m=4.0, ground_m=0.6)).rims for side in (1.0, None))
    assert said == unsaid


@cache
def fallen(pool: Plunge | None, *, pitch_m: float = 0.0) -> Feature:
    """Two beds with a fall between them, and the pool at its foot, in a cut."""
    body = replace(pond(rectangle(3.0, 3.0), waterline_m=-0.1), rims=())
    brook = sample.stream(into=body, drops_m=(0.2,), last_m=0.3, reach_m=2.5, end=(-1.5, 0.0))
    links = tuple(
        replace(link, plunge=pool) if isinstance(link, Fall) and link == brook.falls[0] else link
        for link in brook.links
    )
    if pitch_m:
        upper, fall, lower, last = links
        assert isinstance(lower, Reach)
        end = replace(lower.bed_end, m=lower.bed_start.m - pitch_m)
        links = (upper, fall, replace(lower, pitch_m=pitch_m, bed_end=end), last)
    return on_plane(body, streams=(replace(brook, links=links, head_ground=None),), ground_m=0.6)


def test_a_plunge_pool_holds_its_prism_below_the_bed() -> None:
    made = finished(fallen(POOL))
    held = below_m3(made.finished, 0.2, "reaches/stream-r2")
    assert held == pytest.approx(WIDTH * POOL.length_m * POOL.depth_m, rel=STEADY)


def test_a_plunge_pool_is_dug_as_far_as_the_face_behind_the_stones() -> None:
    """What it adds to the dig is a prism from the face to its end wall, as wide as the bed."""
    cuts = []
    for pool in (None, POOL):
        made = finished(fallen(pool))
        cuts.append({part.path: part.cut_m3 for part in made.earth}["streams/stream"])
    back = fallen(POOL).streams[0].falls[0].stone_depth_m
    assert cuts[1] - cuts[0] == pytest.approx(WIDTH * (POOL.length_m + back) * POOL.depth_m, rel=STEADY)


def test_walls_of_a_plunge_pool_stand_upright() -> None:
    """Along the middle and across it: floor, walls as high as it is deep, and the bed beyond."""
    feature = fallen(POOL)
    stream, made = feature.streams[0], finished(fallen(POOL))
    fall = stream.falls[0]
    top = mesh_section(made.finished, stream.path)
    out = fall.station_m + POOL.length_m
    assert np.interp(fall.station_m + 0.01, top.station_m, top.level_m) == pytest.approx(0.2 - POOL.depth_m)
    wall = top.level_m[np.abs(top.station_m - out) < 1e-3]
    assert (wall.min(), wall.max()) == pytest.approx((0.2 - POOL.depth_m, 0.2))
    x = stream.path[0][0] + fall.station_m + 0.3
    across = mesh_section(made.liner, [(x, -2.0), (x, 2.0)])
    side = across.level_m[np.abs(across.station_m - 2.0 - 0.5 * WIDTH) < 1e-3]
    assert (side.min(), side.max()) == pytest.approx((0.2 - GRAVEL - POOL.depth_m, 0.2 - GRAVEL))


def test_the_long_section_goes_down_into_it() -> None:
    feature = fallen(POOL)
    before, after = (shape(each).sections[0] for each in (fallen(None), feature))
    fall = feature.streams[0].falls[0]
    out = fall.station_m + POOL.length_m
    for line, deep in ((after.bed, 0.0), (after.liner, GRAVEL)):
        assert min(z for s, z in line if s == fall.station_m) == pytest.approx(0.2 - POOL.depth_m - deep)
        assert [z for s, z in line if s == pytest.approx(out)] == pytest.approx([0.2 - POOL.depth_m - deep, 0.2 - deep])
    deepest = [min(z for s, z in each.dig if s < fall.station_m + 1.0) for each in (before, after)]
    assert deepest[0] - deepest[1] == pytest.approx(POOL.depth_m)
    face = [one.corners for one in after.stones if one.fall == fall.id and one.kind == "face"]
    assert min(z for _, z in face[0]) == pytest.approx(0.2 - POOL.depth_m - GRAVEL)


def test_all_layers_of_a_plunge_pool_still_cover_the_ground_once() -> None:
    """With liner and underlay of some thickness, and banks of two sides: whole, and in the right order."""
    made_of = fallen(POOL)
    stream = with_side(made_of.streams[0], 1.5)
    feature = replace(made_of, streams=(stream,), liner=replace(made_of.liner, thickness_m=0.002, underlay_m=0.006))
    made = finish(feature, surface(feature))
    whole = np.array([plan_m2(mesh) for mesh in (made.ground, made.dug, made.liner, made.finished)])
    assert whole == pytest.approx(np.full(4, whole[0]), rel=1e-6)
    lines = [mesh_section(mesh, stream.path) for mesh in (made.dug, made.liner, made.finished)]
    fall = stream.falls[0]
    at = fall.station_m + np.linspace(0.02, POOL.length_m - 0.02, 20)
    dug, liner, top = (np.interp(at, line.station_m, line.level_m) for line in lines)
    assert liner - dug == pytest.approx(np.full(20, 0.008), abs=1e-5)
    assert top - liner == pytest.approx(np.full(20, GRAVEL), abs=1e-5)


def plan_m2(mesh: Mesh) -> float:
    corners = mesh.xyz[mesh.triangles][:, :, :2]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return float(0.5 * (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).sum())
