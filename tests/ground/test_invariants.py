"""What must hold on any ground: against SciPy and Shapely, turned and shifted, refined, from surface to surface."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay
from tests.ground.sites import Height, bank, data, grid, line, on, rough

from rillwright.ground import (
    GroundData,
    GroundLine,
    LineRole,
    Tin,
    contours,
    covered,
    even_levels,
    footprint,
    levels_at,
    raster,
    section,
    spots,
    tin_of,
    triangles_under,
    volumes_between,
    volumes_to_level,
)
from rillwright.ground.data import Floats
from rillwright.ground.net import edge_keys, sides

SEEDS = st.integers(min_value=0, max_value=10_000)


def turned(given: GroundData, angle: float, shift: tuple[float, float, float]) -> GroundData:
    c, s = math.cos(angle), math.sin(angle)
    turn = np.array(((c, -s, 0.0), (s, c, 0.0), (0.0, 0.0, 1.0)))
    lines = tuple(GroundLine(id=each.id, xyz=each.xyz @ turn.T + shift, role=each.role) for each in given.lines)
    return GroundData(name=given.name, xyz=given.xyz @ turn.T + shift, lines=lines)


@given(seed=SEEDS)
def test_levels_are_those_of_scipy(seed: int) -> None:
    """Without break lines the surface is Delaunay's: levels as SciPy interpolates them."""
    points = rough(seed)
    tin = tin_of(data(points))
    asked = np.random.default_rng(seed + 1).random((300, 2)) * 22.0 - 1.0
    theirs = LinearNDInterpolator(Delaunay(points[:, :2]), points[:, 2])(asked)
    assert levels_at(tin, asked) == pytest.approx(theirs, abs=1e-9, nan_ok=True)


@given(seed=SEEDS)
def test_every_break_line_is_kept_by_both_methods(seed: int) -> None:
    """The library keeps each edge whole; halving them keeps their way and levels. Both give nearly the same ground."""
    site = bank(seed)
    kept, halved = tin_of(site, method="constrained"), tin_of(site, method="split")
    count, first = len(kept.xyz), len(site.xyz)
    there = set(edge_keys(sides(kept.triangles), count).tolist())
    for each in site.lines:
        rows = first + np.arange(len(each.xyz))
        assert set(edge_keys(np.column_stack((rows[:-1], rows[1:])), count).tolist()) <= there
        first += len(each.xyz)
        between = (each.xyz[:-1] + each.xyz[1:]) / 2
        for tin in (kept, halved):
            assert levels_at(tin, between[:, :2]) == pytest.approx(between[:, 2], abs=1e-9)
    assert kept.area_m2 == pytest.approx(halved.area_m2, rel=1e-9)
    assert halved.shots.sum() == count
    apart = volumes_between(kept, halved)
    assert apart.cut_m3 + apart.fill_m3 < 0.01 * kept.area_m2


@given(seed=SEEDS)
def test_cut_less_fill_is_the_change_of_volume(seed: int) -> None:
    """Over ground that both surfaces cover, against each surface's own volume to one level (closed form)."""
    before, after = (tin_of(data(rough(seed + k, count=80))) for k in (0, 1))
    found, back = volumes_between(before, after), volumes_between(after, before)
    level = min(before.xyz[:, 2].min(), after.xyz[:, 2].min()) - 1.0
    change = volumes_to_level(before, level).cut_m3 - volumes_to_level(after, level).cut_m3
    assert found.net_m3 == pytest.approx(change, abs=1e-7)
    assert (found.cut_m3, found.fill_m3) == pytest.approx((back.fill_m3, back.cut_m3), abs=1e-9)
    assert found.common_m2 == pytest.approx(400.0, abs=1e-7)
    assert found.only_before_m2 == pytest.approx(0.0, abs=1e-7)


@given(seed=SEEDS, lift=st.floats(min_value=-1.0, max_value=1.0))
def test_a_lifted_surface_is_filled_by_its_lift(seed: int, lift: float) -> None:
    points = rough(seed, count=60)
    before, after = tin_of(data(points)), tin_of(data(points + np.array((0.0, 0.0, lift))))
    found = volumes_between(before, after)
    assert (found.fill_m3, found.cut_m3) == pytest.approx((400 * max(lift, 0.0), 400 * max(-lift, 0.0)), abs=1e-6)


@given(seed=SEEDS)
def test_overlaps_are_those_of_shapely(seed: int) -> None:
    """Surfaces that cover different ground: common and other areas against unions and intersections of polygons."""
    one, other = (
        tin_of(data(rough(seed, count=50))),
        tin_of(data(rough(seed + 1, count=50) + np.array((7.3, -4.1, 0.2)))),
    )
    found, (p, q) = volumes_between(one, other), (footprint(one), footprint(other))
    assert found.common_m2 == pytest.approx(shapely.intersection(p, q).area, abs=1e-7)
    assert found.only_before_m2 == pytest.approx(shapely.difference(p, q).area, abs=1e-7)
    assert found.only_after_m2 == pytest.approx(shapely.difference(q, p).area, abs=1e-7)
    assert found.cut_m2 + found.fill_m2 == pytest.approx(found.common_m2, abs=1e-7)


@given(
    seed=SEEDS,
    angle=st.floats(min_value=0.0, max_value=6.3),
    east=st.floats(min_value=-500_000, max_value=500_000),
    north=st.floats(min_value=-5_000_000, max_value=5_000_000),
)
def test_turning_or_shifting_the_site_changes_nothing(seed: int, angle: float, east: float, north: float) -> None:
    site = bank(seed, count=80)
    other = turned(site, angle, (east, north, 12.0))
    here, there = tin_of(site), tin_of(other)
    assert there.area_m2 == pytest.approx(here.area_m2, rel=1e-7)
    low = float(here.xyz[:, 2].min())
    for level in (0.0, 0.31):
        one, two = volumes_to_level(here, level), volumes_to_level(there, level + 12.0)
        assert (one.cut_m3, one.fill_m3) == pytest.approx((two.cut_m3, two.fill_m3), abs=1e-4)
        lines = [
            sum(each.length_m for each in contours(tin, [at])) for tin, at in ((here, level), (there, level + 12.0))
        ]
        assert lines[0] == pytest.approx(lines[1], abs=1e-3)
    places = [(5.0, 5.0), (12.0, 16.0), (23.0, 4.0)]
    moved = turned(data([(*at, low) for at in places]), angle, (east, north, 12.0)).xyz
    for one_spot, other_spot in zip(spots(here, places), spots(there, [(x, y) for x, y, _ in moved]), strict=True):
        assert other_spot.level_m - 12.0 == pytest.approx(one_spot.level_m, abs=1e-5)
        assert other_spot.sigma_m == pytest.approx(one_spot.sigma_m, abs=1e-5)
        assert other_spot.nearest == one_spot.nearest


def test_refining_converges() -> None:
    """A dome z = 1 - (x^2 + y^2) / 50 on 10 by 10: volume to the closed form, a quarter of the error a halving."""
    exact = 100.0 - 2 * (10.0**4 / 3) / 50.0

    def volume(cells: int) -> float:
        tin = grid(10.0, 10.0, cells, lambda x, y: 10.0 - (x**2 + y**2) / 50.0)
        return volumes_to_level(tin, 9.0).net_m3

    errors = [abs(volume(cells) - exact) for cells in (4, 8, 16, 32)]
    for coarse, fine in itertools.pairwise(errors):
        assert fine == pytest.approx(coarse / 4, rel=0.02)


@given(seed=SEEDS)
def test_mesh_and_raster_volume(seed: int) -> None:
    """Within 0.5 %, over a surface with a ditch along break lines."""
    tin = tin_of(bank(seed))
    low = float(tin.xyz[:, 2].min())
    exact = volumes_to_level(tin, low).cut_m3
    assert raster(tin, cell_m=0.2).volume_above_m3(low) == pytest.approx(exact, rel=0.005)


@given(seed=SEEDS)
def test_contours_close_or_end_at_the_edge(seed: int) -> None:
    tin = tin_of(bank(seed))
    found = contours(tin, even_levels(tin, every_m=0.1))
    rim = shapely.boundary(footprint(tin))
    assert found
    for each in found:
        assert levels_at(tin, each.xy) == pytest.approx(np.full(len(each.xy), each.level_m), abs=1e-6)
        if each.closed:
            assert each.area_m2 != 0.0
        else:
            assert shapely.distance(rim, shapely.points(each.xy[[0, -1]])).max() < 1e-6


@given(seed=SEEDS)
def test_contours_part_what_lies_above(seed: int) -> None:
    """Higher ground lies to the left; the area above a level is what the closed form of the triangles says."""
    tin = tin_of(data(rough(seed, count=100)))
    level = float(np.median(tin.xyz[:, 2]))
    lines = contours(tin, [level])
    for each in lines:
        start, end = each.xy[:-1], each.xy[1:]
        long = np.hypot(*(end - start).T)
        wide = long > 1e-3
        left = np.column_stack((start[:, 1] - end[:, 1], end[:, 0] - start[:, 0])) / np.maximum(long, 1e-12)[:, None]
        beside = ((start + end) / 2 + 1e-5 * left)[wide]
        higher = levels_at(tin, beside)
        assert np.all(higher[~np.isnan(higher)] >= level - 1e-9)


def test_level_ground_at_the_level_is_bounded_not_filled() -> None:
    flat = [(x, y, 1.0 if 1 <= x <= 3 and 1 <= y <= 3 else 0.0) for x in range(5) for y in range(5)]
    tin = tin_of(data(flat))
    (ring,) = contours(tin, [1.0])
    assert ring.closed
    assert ring.area_m2 == pytest.approx(4.0, abs=1e-9)
    assert contours(tin, [1.0 + 1e-9]) == ()


@given(seed=SEEDS)
def test_sections_are_exact(seed: int) -> None:
    """Straight between stations: with one at every edge that is crossed, the middle of a piece has the middle level."""
    tin = tin_of(bank(seed))
    found = section(tin, [(2.0, 3.0), (15.0, 12.0), (15.0, 30.0)], step_m=0.7)
    known = ~np.isnan(found.level_m)
    both = known[:-1] & known[1:]
    middle = (found.xy[:-1] + found.xy[1:])[both] / 2
    assert levels_at(tin, middle) == pytest.approx((found.level_m[:-1] + found.level_m[1:])[both] / 2, abs=1e-7)
    assert found.off_m == pytest.approx(10.0, abs=0.7)
    assert found.station_m[-1] == pytest.approx(math.hypot(13.0, 9.0) + 18.0)


@given(seed=SEEDS)
def test_a_place_is_found_in_the_triangle_that_shapely_finds(seed: int) -> None:
    tin = tin_of(bank(seed))
    asked = np.random.default_rng(seed).random((100, 2)) * 24.0 - 2.0
    rows, shares = triangles_under(tin, asked)
    ground = footprint(tin)
    inside = shapely.contains_xy(ground, asked)
    assert (rows[inside] >= 0).all()
    assert (rows[shapely.distance(ground, shapely.points(asked)) > 1e-6] < 0).all()
    corners = tin.xyz[tin.triangles[rows[inside]]][:, :, :2]
    assert (corners * shares[inside][:, :, None]).sum(axis=1) == pytest.approx(asked[inside], abs=1e-6)


def test_bands_widen_with_distance_and_roughness() -> None:
    smooth = tin_of(data(on(rough(1)[:, :2], lambda x, y: 0.05 * x)))
    wild = tin_of(data(rough(1)))
    at = [(10.0, 10.0), (20.5, 10.0), (26.0, 10.0)]
    calm, rugged = spots(smooth, at), spots(wild, at)
    for here, there in zip(calm, rugged, strict=True):
        assert there.rough_m_per_m > here.rough_m_per_m
        assert there.sigma_m > here.sigma_m
    assert [each.guessed for each in calm] == [False, True, True]
    assert calm[0].sigma_m < calm[1].sigma_m < calm[2].sigma_m
    assert calm[1].outside_m == pytest.approx(0.5, abs=1e-6)
    on_a_shot = spots(wild, [(0.0, 0.0)])[0]
    assert on_a_shot.nearest_m == 0.0
    assert on_a_shot.nearest == "point 1"
    assert on_a_shot.sigma_m == pytest.approx(wild.sigma_m)


def test_a_break_line_is_no_roughness() -> None:
    """Two smooth terraces with a bank between: its break lines are known ground, without them it is taken for rough."""
    rng = np.random.default_rng(2)
    x, y = rng.random((2, 300)) * 20.0
    flat = np.abs(y - 10.25) > 0.5
    points = np.column_stack((x, y, np.where(y > 10.0, 1.0, 0.0)))[flat]
    along = np.linspace(0.5, 19.5, 30)
    foot, head = (np.column_stack((along, np.full(30, y), np.full(30, z))) for y, z in ((10.0, 0.0), (10.5, 1.0)))
    told = tin_of(data(points, line("foot", foot), line("head", head)))
    untold = tin_of(data(np.vstack((points, foot, head))))
    for at in ((10.0, 9.8), (10.0, 10.25), (10.0, 10.8)):
        assert spots(told, [at])[0].rough_m_per_m < 0.25 * spots(untold, [at])[0].rough_m_per_m


def hillside(seed: int, *, steepness: float) -> Height:
    """A made hillside of twelve waves; the steeper, the shorter."""
    rng = np.random.default_rng(seed)
    waves = [(*rng.normal(0.0, steepness, 2), rng.random() * 6.0, rng.normal(0.0, 0.12)) for _ in range(12)]

    def height(x: Floats, y: Floats) -> Floats:
        found: Floats = 0.08 * x + sum(size * np.sin(a * x + b * y + turn) for a, b, turn, size in waves)
        return found

    return height


@pytest.mark.parametrize(
    ("steepness", "shots", "least"),
    [(0.25, 20, 0.9), (0.25, 50, 0.9), (0.25, 200, 0.9), (0.6, 20, 0.8), (0.6, 50, 0.9), (0.6, 200, 0.9)],
)
def test_bands_hold_the_ground_that_nobody_shot(steepness: float, shots: int, least: float) -> None:
    """Of made hillsides few places are shot: of the others nine in ten or more lie in bands that say 95 in 100.

    Where the shots stand farther apart than the waves are long, nothing shows the waves, and only eight in ten do.
    """
    held: list[bool] = []
    for seed in range(3):
        height = hillside(seed, steepness=steepness)
        places = np.random.default_rng(seed + 100).random((600, 2)) * 20.0
        corners = np.array(((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)))
        tin = tin_of(data(on(np.vstack((places[:shots], corners)), height)))
        found = spots(tin, [(float(x), float(y)) for x, y in places[shots:]])
        truth = height(*places[shots:].T)
        held += [each.low_m <= level <= each.high_m for each, level in zip(found, truth, strict=True)]
    assert least <= np.mean(held) < 1.0


def test_an_outline_that_leaves_the_ground() -> None:
    """Half of a square outside: 50 % guessed, 5 m beyond at most (closed form)."""
    tin = grid(10.0, 10.0, 2, lambda x, y: 0.0 * x)
    found = covered(tin, [(5, 2), (15, 2), (15, 8), (5, 8)])
    assert found.guessed_share == pytest.approx(0.5)
    assert found.farthest_m == pytest.approx(5.0)
    assert found.leaves


def a_square(*lines: GroundLine) -> Tin:
    return tin_of(data([(0, 0, 0), (4, 0, 0), (4, 4, 0), (0, 4, 0)], *lines))


def test_boundary_with_levels() -> None:
    ring = line("edge", [(1, 1, 0.5), (3, 1, 0.5), (3, 3, 0.5), (1, 3, 0.5)], LineRole.BOUNDARY)
    tin = a_square(ring)
    assert tin.area_m2 == pytest.approx(4.0)
    assert np.isnan(levels_at(tin, np.array([(0.5, 0.5)]))).all()


@given(st.floats(0.0, 2.0 * math.pi), st.floats(-4e5, 4e5), st.floats(-4e5, 4e5))
def test_levels_in_rows_are_laid_alike_wherever_the_site_lies(angle: float, east: float, north: float) -> None:
    """Of every four neighbours of a grid both diagonals are Delaunay's; on a saddle they hold other volumes."""
    x, y = np.meshgrid(np.arange(9.0), np.arange(7.0))
    places = np.column_stack((x.ravel(), y.ravel()))
    saddle = on(places, lambda x, y: 0.05 * (x - 4.0) * (y - 3.0))
    c, s = math.cos(angle), math.sin(angle)
    there = np.column_stack((c * places[:, 0] - s * places[:, 1] + east, s * places[:, 0] + c * places[:, 1] + north))
    known, found = tin_of(data(saddle)), tin_of(data(np.column_stack((there, saddle[:, 2]))))
    assert set(map(frozenset, found.triangles.tolist())) == set(map(frozenset, known.triangles.tolist()))
    assert found.area_m2 == pytest.approx(48.0, rel=1e-8)
