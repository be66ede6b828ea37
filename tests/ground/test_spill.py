"""Lowest ways out: made cases in closed form, real ground, and against a search by brute force and two libraries."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.ground.sites import data, grid, rough
from tests.ground.test_terrain import garden, sample

from rillwright.errors import InputError
from rillwright.ground import Raster, Tin, raster, spill_from, spill_levels, spill_levels_on, spill_on, tin_of
from rillwright.ground.data import Floats
from rillwright.ground.spill_twin import by_heap

MM = 1e-3


def of(level: Floats, cell_m: float = 0.1) -> Raster:
    return Raster(corner=(0.0, 0.0), cell_m=cell_m, level_m=np.asarray(level, dtype=np.float64))


def both_ways(level: Floats) -> Floats:
    """Spill levels [m], which the kernel and its twin give alike to the last bit."""
    compiled, plain = (spill_levels(of(level), compiled=how).level_m for how in (True, False))
    assert np.array_equal(compiled, plain, equal_nan=True)
    return compiled


def by_union(level: Floats) -> Floats:
    """Brute force: cells are added from the lowest up and joined to those that lie beside them, 0 being the outside."""
    rows, columns = level.shape
    over = list(range(rows * columns + 1))
    members: list[list[int]] = [[], *([each] for each in range(1, rows * columns + 1))]
    found = np.full(rows * columns + 1, np.nan)

    def root(each: int) -> int:
        while over[each] != each:
            each = over[each]
        return each

    def join(one: int, other: int, at: float) -> None:
        one, other = sorted((root(one), root(other)))
        if one == other:
            return
        over[other] = one
        if one == 0:
            found[members[other]] = at
        else:
            members[one] += members[other]

    def number(row: int, column: int) -> int:
        inside = 0 <= row < rows and 0 <= column < columns
        return row * columns + column + 1 if inside and not np.isnan(level[row, column]) else 0

    there = [(row, column) for row in range(rows) for column in range(columns) if number(row, column)]
    added = {0}
    for row, column in sorted(there, key=lambda cell: float(level[cell])):
        added.add(number(row, column))
        for up in (-1, 0, 1):
            for across in (-1, 0, 1):
                near = number(row + up, column + across)
                if near in added:
                    join(number(row, column), near, float(level[row, column]))
    return found[1:].reshape(rows, columns)


# Closed forms


def test_a_bowl_with_a_notch_spills_over_the_notch() -> None:
    """A paraboloid 4 m across under a flat rim of 1 m: closed form, the notch's level."""
    y, x = (np.mgrid[0:61, 0:61] - 30) * 0.1
    level = np.minimum(x**2 + y**2, 4.0) / 4.0
    level[30, 47:] = 0.7312  # a notch through the rim, from the bowl to the edge
    levels = both_ways(level)
    assert abs(levels[30, 30] - 0.7312) < MM
    found = spill_from(spill_levels(of(level)), [(3.05, 3.05)])
    assert found.level_m == 0.7312
    assert found.at[1] == pytest.approx(3.05)
    assert found.at[0] >= 3.05 + 2.0 * 0.7312**0.5 - 0.1  # where the bowl reaches the notch's level
    assert found.way[0][:2] == pytest.approx((3.05, 3.05))
    assert found.way[-1][0] == pytest.approx(6.05)
    assert max(z for _, _, z in found.way) == 0.7312


def two_basins() -> Floats:
    """Two valleys side by side, a sill of 0.5 m between them; the right one leaves at 0.3 m."""
    level = np.ones((21, 41))
    level[1:-1, 1:20] = 0.1
    level[1:-1, 21:-1] = 0.05
    level[10, 20] = 0.5
    level[3, 40] = 0.3
    return level


def test_of_two_basins_the_one_behind_spills_over_the_sill_between_them() -> None:
    level = two_basins()
    levels = both_ways(level)
    assert levels[10, 5] == 0.5
    assert levels[10, 30] == 0.3
    found = spill_from(spill_levels(of(level)), [(0.55, 1.05)])
    assert found.level_m == 0.5
    assert found.at == pytest.approx((2.05, 1.05))
    assert found.way[-1] == pytest.approx((4.05, 0.35, 0.3))
    over = spill_from(spill_levels(of(level)), [(0.55, 1.05), (3.05, 1.05)])
    assert over.level_m == 0.3
    assert over.at == pytest.approx((4.05, 0.35))


def test_water_passes_between_two_cells_that_touch_at_a_corner() -> None:
    level = np.ones((5, 5))
    level[2, 2], level[1, 1], level[0, 0] = 0.0, 0.2, 0.1
    assert both_ways(level)[2, 2] == 0.2


def test_ground_that_is_missing_is_the_outside() -> None:
    level = np.ones((7, 9))
    level[2:5, 2:7] = 0.0
    assert both_ways(level)[3, 3] == 1.0
    level[3, 7] = np.nan
    levels = both_ways(level)
    assert np.isnan(levels[3, 7])
    assert levels[3, 3] == 0.0


def test_on_even_slopes_nothing_is_held_back() -> None:
    level = np.add.outer(np.arange(30) * 0.02, np.arange(40) * -0.01)
    assert np.array_equal(both_ways(level), level)
    assert np.array_equal(both_ways(np.zeros((4, 6))), np.zeros((4, 6)))


def test_many_saddles_at_few_levels_and_one_far_off() -> None:
    """Levels that crowd: they are put in order otherwise, and come out the same."""
    rng = np.random.default_rng(11)
    both_ways(np.round(3.0 * rng.random((50, 60))))
    level = rng.random((50, 60))
    level[20, 30] = 1e6
    both_ways(level)


@pytest.mark.parametrize("shape", [(1, 1), (1, 9), (2, 7), (9, 1), (3, 3)])
def test_small_rasters(shape: tuple[int, int]) -> None:
    level = np.random.default_rng(3).random(shape)
    assert np.array_equal(both_ways(level), by_union(level))


# Against a search by brute force, and two libraries


@given(st.integers(0, 2**32 - 1), st.integers(1, 9), st.integers(1, 9), st.booleans(), st.booleans())
@settings(deadline=None, max_examples=60)
def test_as_brute_force_has_it(seed: int, rows: int, columns: int, steps: bool, holes: bool) -> None:
    rng = np.random.default_rng(seed)
    level = rng.random((rows, columns))
    if steps:
        level = np.round(4.0 * level)  # many at one level
    if holes:
        level[rng.random(level.shape) < 0.2] = np.nan
    if np.isnan(level).all():
        return
    assert np.array_equal(both_ways(level), by_union(level), equal_nan=True)


def test_real_ground_as_scipy_fills_its_hollows() -> None:
    """Grey reconstruction by erosion from the edge, rounds of SciPy's grey erosion until nothing changes."""
    from scipy.ndimage import grey_erosion

    level = sample()[::4, ::4] / 100.0
    held = np.full_like(level, level.max())
    held[[0, -1]], held[:, [0, -1]] = level[[0, -1]], level[:, [0, -1]]
    while True:
        lower = np.maximum(grey_erosion(held, size=(3, 3), mode="nearest"), level)
        lower = np.minimum(lower, held)
        if np.array_equal(lower, held):
            break
        held = lower
    assert np.array_equal(both_ways(level), held)


def test_raising_a_cell_never_lowers_a_spill() -> None:
    rng = np.random.default_rng(5)
    level = rng.random((40, 40))
    before = both_ways(level)
    level[rng.random(level.shape) < 0.1] += 0.2
    assert (both_ways(level) >= before).all()


def test_turning_the_ground_turns_the_levels() -> None:
    level = np.random.default_rng(6).random((30, 40))
    levels = both_ways(level)
    assert np.array_equal(both_ways(level[::-1, ::-1].copy()), levels[::-1, ::-1])
    assert np.array_equal(both_ways(level.T.copy()), levels.T)
    assert both_ways(level + 2.0) == pytest.approx(levels + 2.0, abs=1e-12)


def test_the_way_is_one() -> None:
    """It goes from cell to cell, never above the level that water has reached, and ends at the edge of the ground."""
    ground = raster(tin_of(data(garden(), name="terrain")), cell_m=0.3)
    levels = spill_levels(ground)
    held = levels.level_m - ground.level_m
    row, column = (int(each) for each in np.unravel_index(int(np.nanargmax(held)), held.shape))
    at = (ground.corner[0] + 0.3 * (column + 0.5), ground.corner[1] + 0.3 * (row + 0.5))
    found = spill_from(levels, [at])
    way = np.array(found.way)
    assert held[row, column] > 0.05
    assert way[:, 2].max() == found.level_m == levels.level_m[row, column]
    assert np.abs(np.diff(way[:, :2], axis=0)).max() == pytest.approx(0.3)
    top = int(way[:, 2].argmax())
    assert found.at == pytest.approx(tuple(way[top, :2]))
    assert way[top + 1 :, 2].max(initial=-np.inf) <= found.level_m
    edge = np.concatenate((way[-1, :2] - ground.corner, np.array(ground.corner) + 18.0 - way[-1, :2]))
    assert edge.min() < 0.6


# On triangles


def test_a_pond_of_triangles_spills_over_its_lowest_corner() -> None:
    """A pit in a bank with a dip in one side: exactly the level of the dip's corner."""
    points = [(x, y, 1.0) for x, y in ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))]
    points += [(x, y, 0.0) for x, y in ((1.5, 1.5), (2.5, 1.5), (2.5, 2.5), (1.5, 2.5))]
    points += [(4.0, 2.0, 0.437), (3.0, 2.0, 0.41)]
    tin = tin_of(data(points))
    found = spill_on(tin, [(2.0, 2.0)])
    assert found.level_m == 0.437
    assert found.at == (4.0, 2.0)
    assert found.way[0] == (2.0, 2.0, 0.0)


def net_by_union(tin: Tin) -> Floats:
    """Brute force: for each point the lowest level at which points below it join it to the edge."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    z = tin.xyz[:, 2]
    pairs = np.concatenate([tin.triangles[:, [a, b]] for a, b in ((0, 1), (1, 2), (2, 0))])
    keys, times = np.unique(np.sort(pairs, axis=1), axis=0, return_counts=True)
    edge = np.unique(keys[times == 1])
    found = np.full(len(z), np.nan)
    for level in np.sort(z):
        inside = keys[(z[keys] <= level).all(axis=1)]
        graph = coo_matrix((np.ones(len(inside)), inside.T), shape=(len(z), len(z)))
        _, part = connected_components(graph, directed=False)
        out = np.isin(part, part[edge[z[edge] <= level]]) & (z <= level)
        found[out & np.isnan(found)] = level
    return found


def test_triangles_as_brute_force_has_them() -> None:
    tin = tin_of(data(rough(4)))
    assert np.array_equal(spill_levels_on(tin)[0], net_by_union(tin))


def test_cells_and_triangles_come_together() -> None:
    """A round dish, finer and finer: the raster's spill goes to that of the triangles."""
    tin = grid(4.0, 4.0, 80, lambda x, y: np.minimum(0.25 * np.hypot(x - 2.0, y - 2.0), 0.3 + 0.02 * x))
    exact = spill_on(tin, [(2.0, 2.0)]).level_m
    off = [
        abs(spill_from(spill_levels(raster(tin, cell_m=cell)), [(2.0, 2.0)]).level_m - exact)
        for cell in (0.2, 0.05, 0.0125)
    ]
    assert off[2] < MM
    assert all(each <= 0.02 * cell for each, cell in zip(off, (0.2, 0.05, 0.0125), strict=True))


def test_the_same_on_a_slope_of_triangles() -> None:
    tin = grid(3.0, 2.0, 6, lambda x, y: 0.1 * x + 0.0 * y)
    found = spill_on(tin, [(2.2, 0.9)])
    assert found.level_m == pytest.approx(0.22)
    assert found.at == pytest.approx((2.2, 0.9))


# What cannot be used


def test_bad_rasters_are_named() -> None:
    for level, told in (
        (np.full((3, 3), np.nan), "no cell of the raster has ground"),
        (np.zeros((0, 3)), "no usable raster"),
        (np.zeros(4), "no usable raster"),
        (np.array([[0.0, np.inf]]), "a level without an end"),
    ):
        with pytest.raises(InputError, match=told):
            spill_levels(of(level))


def test_bad_places_are_named() -> None:
    levels = spill_levels(of(np.array([[0.0, np.nan], [0.0, 0.0]])))
    for places in ([(0.15, 0.05)], [(9.0, 0.0)]):
        with pytest.raises(InputError, match="a place without ground"):
            spill_from(levels, places)
    with pytest.raises(InputError, match="no place is given"):
        spill_from(levels, [])
    tin = grid(1.0, 1.0, 2, lambda x, y: x + y)
    with pytest.raises(InputError, match="a place without ground"):
        spill_on(tin, [(3.0, 0.5)])
    with pytest.raises(InputError, match="no place is given"):
        spill_on(tin, [])


def test_the_twin_alone_answers_where_there_is_no_compiler(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "rillwright.ground.spill_kernel", None)
    level = np.random.default_rng(9).random((12, 12))
    assert np.array_equal(spill_levels(of(level)).level_m, by_heap(level))


@given(st.integers(0, 10_000), st.integers(5, 40), st.integers(5, 40))
@settings(max_examples=25, deadline=None)
def test_against_a_library_of_pictures(seed: int, rows: int, columns: int) -> None:
    """scikit-image: reconstruction by erosion from the edge in fills the hollows of rough ground alike."""
    morphology = pytest.importorskip("skimage.morphology", reason="scikit-image is asked for on one platform alone")
    level = np.random.default_rng(seed).random((rows, columns))
    held = np.full_like(level, level.max())
    held[[0, -1]], held[:, [0, -1]] = level[[0, -1]], level[:, [0, -1]]
    theirs = morphology.reconstruction(held, level, method="erosion", footprint=np.ones((3, 3)))
    assert both_ways(level) == pytest.approx(theirs, abs=1e-12)
