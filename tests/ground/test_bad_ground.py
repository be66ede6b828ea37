"""Bad input: named errors that say which lines and places, never a traceback, never a silent repair."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.ground.sites import data, grid, line

from rillwright.errors import InputError
from rillwright.ground import GroundData, LineRole, Thinning, cut_out, raster, section, tin_of
from rillwright.ground.tin import Method

SQUARE = [(0, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)]
METHODS: tuple[Method, ...] = ("constrained", "split")


def faces(points: Sequence[Sequence[float]], *rows: tuple[int, int, int]) -> GroundData:
    return GroundData(name="faces", xyz=np.array(points, dtype=float), faces=np.array(rows))


def refused(call: Callable[[], object]) -> str:
    with pytest.raises(InputError) as caught:
        call()
    return str(caught.value)


@pytest.mark.parametrize("method", METHODS)
def test_crossing_break_lines_are_both_named(method: Method) -> None:
    site = data(SQUARE, line("kerb", [(1, 1, 1), (9, 9, 1)]), line("wall", [(1, 9, 2), (9, 1, 2)]))
    told = refused(lambda: tin_of(site, method=method))
    assert "break lines kerb and wall cross" in told
    assert "x 5.000 m, y 5.000 m, levels 1.000 m and 2.000 m" in told


@pytest.mark.parametrize("method", METHODS)
def test_a_break_line_that_crosses_itself(method: Method) -> None:
    site = data(SQUARE, line("loop", [(1, 1, 0), (8, 8, 0), (8, 2, 0), (1, 6, 0)]))
    assert "break line loop crosses itself" in refused(lambda: tin_of(site, method=method))


@pytest.mark.parametrize("method", METHODS)
def test_every_crossing_is_told_at_once(method: Method) -> None:
    rungs = [line(f"rung {k}", [(1, 1 + k, 0.1), (9, 1 + k, 0.1)]) for k in range(5)]
    site = data(SQUARE, line("pole", [(5, 0.5, 0), (5, 9, 0)]), *rungs)
    told = refused(lambda: tin_of(site, method=method))
    assert all(f"break lines pole and rung {k} cross" in told for k in range(5))


def test_one_place_at_two_levels() -> None:
    site = data([*SQUARE, (10.00001, 10, 0.4)], names=("a", "b", "c", "d", "e"))
    told = refused(lambda: tin_of(site))
    assert "point c and point e give one place two levels" in told
    assert "0.000 m and 0.400 m at x 10.000 m, y 10.000 m" in told


@pytest.mark.parametrize("off", [0.0, 3e-5, 6e-5, 9e-5])
def test_places_that_are_one_for_any_instrument(off: float) -> None:
    """However they round: less than a tenth of a millimetre apart is one place, or is seen to be next to it."""
    for start in (1.0, 1.00003, 1.00007):
        site = data([*SQUARE, (start, 5, 1.0), (start + off, 5, 2.0)])
        assert "point 5 and point 6 give one place two levels" in refused(partial(tin_of, site))


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("beside", [0.0, 5e-5])
def test_a_point_on_a_break_line_at_another_level(method: Method, beside: float) -> None:
    site = data([*SQUARE, (5, 5 + beside, 0.5)], line("kerb", [(1, 5, 0), (9, 5, 0)]))
    told = refused(lambda: tin_of(site, method=method))
    assert "break line kerb and point 5 give one place two levels" in told


@pytest.mark.parametrize("method", METHODS)
def test_a_point_on_a_break_line_at_its_level_is_on_it(method: Method) -> None:
    site = data([*SQUARE, (5, 5, 0.5)], line("kerb", [(1, 5, 0), (9, 5, 1)]))
    assert tin_of(site, method=method).area_m2 == pytest.approx(100.0)


def test_one_and_the_same_level_twice_is_said() -> None:
    tin = tin_of(data([*SQUARE, SQUARE[0], SQUARE[2]]))
    assert (tin.merged, len(tin.xyz)) == (2, 4)


@pytest.mark.parametrize("count", [0, 1, 2])
def test_too_few(count: int) -> None:
    assert "too few levels for a surface (found " + str(count) in refused(lambda: tin_of(data(SQUARE[:count])))


def test_three_that_are_two() -> None:
    assert "found 2" in refused(lambda: tin_of(data([SQUARE[0], SQUARE[1], SQUARE[1]])))


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.1, math.pi / 2])
def test_all_in_one_line(angle: float) -> None:
    row = [(500_000 + k * math.cos(angle), 4_000_000 + k * math.sin(angle), 0.1 * k) for k in range(30)]
    assert "one straight line" in refused(lambda: tin_of(data(row)))


def test_an_outline_that_leaves_the_surveyed_ground_says_how_much_is_guessed() -> None:
    tin = grid(10.0, 10.0, 2, lambda x, y: 0.0 * x)
    told = refused(lambda: cut_out(tin, [(5, 2), (15, 2), (15, 8), (5, 8)]))
    assert "leaves the surveyed ground (found 50.0% of it, up to 5.00 m away, would be guessed" in told
    assert "Self-intersection" in refused(lambda: cut_out(tin, [(1, 1), (5, 5), (5, 1), (1, 5)]))


UNUSABLE = {
    "no number": lambda: tin_of(data([*SQUARE, (1, 1, math.nan)])),
    "without end": lambda: tin_of(data([*SQUARE, (math.inf, 1, 0)])),
    "off the earth": lambda: tin_of(data([*SQUARE, (1e9, 1, 0)])),
    "too wide": lambda: tin_of(data([*SQUARE, (200_000, 1, 0)])),
    "a line that is a point": lambda: tin_of(data(SQUARE, line("dot", [(5, 5, 0), (5, 5, 0)]))),
    "a boundary of two": lambda: tin_of(data(SQUARE, line("edge", [(1, 1, 0), (5, 5, 0)], LineRole.BOUNDARY))),
    "all of it a hole": lambda: tin_of(data([(5, 5, 0)], line("hole", SQUARE, LineRole.HOLE))),
    "a face of nothing": lambda: tin_of(faces(SQUARE, (0, 1, 9))),
    "a face that stands": lambda: tin_of(faces([*SQUARE, (5, 0, 3)], (0, 1, 2), (0, 1, 4))),
    "faces over each other": lambda: tin_of(faces([*SQUARE, (5, 5, 3)], (0, 1, 2), (0, 1, 4))),
    "faces that cross": lambda: tin_of(faces([*SQUARE, (5, -5, 3)], (0, 1, 2), (1, 3, 4))),
    "no face": lambda: tin_of(faces(SQUARE)),
    "a section of nothing": lambda: section(grid(1, 1, 1, lambda x, y: x), [(0, 0), (0, 0)]),
    "a section without end": lambda: section(grid(1, 1, 1, lambda x, y: x), [(0, 0), (1, 1)], step_m=1e-9),
    "a raster of too many cells": lambda: raster(grid(1, 1, 1, lambda x, y: x), cell_m=1e-5),
    "a cloud into too many cells": lambda: Thinning((0, 0), (1e6, 1e6), cell_m=0.1, file="cloud"),
}


@pytest.mark.parametrize("name", UNUSABLE)
def test_unusable_ground(name: str) -> None:
    assert refused(UNUSABLE[name])


@given(
    st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), st.integers(0, 1)), max_size=12),
    st.lists(st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), st.just(0)), min_size=2, max_size=4), max_size=3),
    st.sampled_from(METHODS),
)
def test_whatever_is_given(
    points: list[tuple[int, int, int]], lines: list[list[tuple[int, int, int]]], method: Method
) -> None:
    """On a coarse grid everything meets: a surface through all of it, or an error that says why not."""
    site = data(points, *(line(f"l{k}", each) for k, each in enumerate(lines)))
    try:
        tin = tin_of(site, method=method)
    except InputError as refusal:
        told = str(refusal)
    else:
        told = f"{tin.area_m2:.3f} m2"
        assert tin.area_m2 > 0.0
        assert tin.triangles.max() < len(tin.xyz)
    assert told


def test_faces_are_taken_as_they_are() -> None:
    """Clockwise or not; points that no face names are left out."""
    tin = tin_of(faces([*SQUARE, (50, 50, 50)], (0, 2, 1), (0, 2, 3)))
    assert tin.area_m2 == pytest.approx(100.0)
    assert len(tin.xyz) == 4
    assert tin.named(3) == "point 4"


def test_thinning_keeps_ground_or_the_lowest() -> None:
    rng = np.random.default_rng(5)
    xyz = np.column_stack((rng.random((5000, 2)) * 10.0, rng.random(5000)))
    none, some = (Thinning((0.0, 0.0), (10.0, 10.0), cell_m=1.0, file="cloud") for _ in range(2))
    told = xyz[:, 2] < 0.5
    for start in range(0, 5000, 700):
        part = slice(start, start + 700)
        none.take(xyz[part], np.zeros(len(xyz[part]), dtype=bool))
        some.take(xyz[part], told[part])
    lowest, ground = none.kept(), some.kept()
    assert (lowest[1], ground[1]) == (False, True)
    cells = np.floor(xyz[:, :2]).astype(int) @ (1, 10)
    assert sorted(lowest[0][:, 2]) == pytest.approx(sorted(xyz[cells == c, 2].min() for c in range(100)))
    assert len(ground[0]) == 100
    assert ground[0][:, 2].max() < 0.5
    assert np.abs(ground[0][:, :2] % 1.0 - 0.5).max() < 0.4
