"""Two levels of one place: within three standard errors of their difference they are one, and told; beyond, refused.

The weighted mean and its standard error are closed forms, from any text on adjustment. Sites are made.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.ground.sites import data, line

from rillwright.errors import InputError
from rillwright.ground import GroundLine, LineRole, Tin, joined, levels_at, tin_of
from rillwright.ground.tin import Method

SQUARE = [(0, 0, 0), (10, 0, 0), (10, 10, 0), (0, 10, 0)]
METHODS: tuple[Method, ...] = ("constrained", "split")
SHOT_M = 0.003  # a shot, where nobody says otherwise
APART_M = 3.0 * math.sqrt(2.0) * SHOT_M  # three standard errors of the difference of two shots


def level_at(tin: Tin, x: float, y: float) -> float:
    return float(levels_at(tin, np.array([(x, y)]))[0])


@pytest.mark.parametrize("method", METHODS)
def test_a_shot_a_hair_off_a_break_line_is_on_it_and_told(method: Method) -> None:
    """1.3 mm between a kerb and a shot on it: the whole ground stopped for that."""
    site = data([*SQUARE, (5, 5, 0.5013)], line("kerb", [(1, 5, 0.5), (9, 5, 0.5)]))
    tin = tin_of(site, method=method)
    (told,) = tin.agreed
    assert (told.first, told.second) == ("break line kerb", "point 5")
    assert told.levels_m == pytest.approx((0.5, 0.5013))
    assert told.at == pytest.approx((5.0, 5.0))
    # halfway between two shots the line's own error is that of a shot over the root of two: twice the weight
    assert told.taken_m == pytest.approx((2.0 * 0.5 + 0.5013) / 3.0, abs=1e-12)
    assert level_at(tin, 5.0, 5.0) == pytest.approx(told.taken_m, abs=1e-12)
    assert tin.area_m2 == pytest.approx(100.0)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("beside", [0.0, 5e-5])
def test_three_standard_errors_are_the_end_of_it(method: Method, beside: float) -> None:
    most = 3.0 * SHOT_M * math.sqrt(1.5)
    for off, stands in ((0.99 * most, True), (1.01 * most, False)):
        site = data([*SQUARE, (5, 5 + beside, 0.5 + off)], line("kerb", [(1, 5, 0.5), (9, 5, 0.5)]))
        if stands:
            assert len(tin_of(site, method=method).agreed) == 1
            continue
        with pytest.raises(InputError, match="break line kerb and point 5 give one place two levels"):
            tin_of(site, method=method)


@pytest.mark.parametrize("off", [0.0, 3e-5, 9e-5])
def test_two_points_at_one_place(off: float) -> None:
    site = data([*SQUARE, (5, 5, 1.0), (5 + off, 5, 1.010)])
    tin = tin_of(site)
    (told,) = tin.agreed
    assert (told.first, told.second) == ("point 5", "point 6")
    assert told.taken_m == pytest.approx(1.005)
    assert level_at(tin, 5.0, 5.0) == pytest.approx(1.005, abs=1e-6)
    assert len(tin.xyz) == 5
    with pytest.raises(InputError, match="point 5 and point 6 give one place two levels"):
        tin_of(data([*SQUARE, (5, 5, 1.0), (5 + off, 5, 1.0 + 1.01 * APART_M)]))


def test_a_level_that_is_known_better_weighs_more() -> None:
    """One shot to 3 mm, one of a cloud to 30 mm: a hundred to one."""
    cloud = replace(data([(5, 5, 1.05)], name="cloud"), sigma_m=0.030)
    tin = tin_of(joined([data([*SQUARE, (5, 5, 1.0)]), cloud]))
    (told,) = tin.agreed
    assert told.taken_m == pytest.approx((100.0 * 1.0 + 1.05) / 101.0)
    with pytest.raises(InputError, match="two levels"):
        tin_of(joined([data([*SQUARE, (5, 5, 1.0)]), replace(cloud, sigma_m=0.003)]))


def test_what_is_said_twice_to_the_millimetre_is_no_news() -> None:
    tin = tin_of(data([*SQUARE, (10, 10, 0.0009)]))
    assert (tin.agreed, tin.merged) == ((), 1)


def test_three_levels_of_one_place_are_one_mean() -> None:
    tin = tin_of(data([*SQUARE, (5, 5, 1.0), (5, 5, 1.003), (5, 5, 1.006)]))
    assert level_at(tin, 5.0, 5.0) == pytest.approx(1.003)
    assert len(tin.agreed) == 2


@pytest.mark.parametrize("method", METHODS)
def test_lines_that_cross_at_one_level_get_a_common_point(method: Method) -> None:
    site = data(SQUARE, line("kerb", [(1, 1, 1), (9, 9, 1)]), line("drain", [(1, 9, 1.004), (9, 1, 1.004)]))
    tin = tin_of(site, method=method)
    (told,) = tin.agreed
    assert (told.first, told.second) == ("break line kerb", "break line drain")
    assert told.taken_m == pytest.approx(1.002)
    assert level_at(tin, 5.0, 5.0) == pytest.approx(1.002)
    ends = tin.xyz[tin.breaks][:, :, :2]
    kept = shapely.union_all(shapely.linestrings(ends))
    for way in (((1, 1), (9, 9)), ((1, 9), (9, 1))):
        assert shapely.distance(shapely.Point(way[0]), kept) < 1e-9
        assert shapely.intersection(kept, shapely.LineString(way).buffer(1e-9)).length == pytest.approx(
            math.hypot(8, 8)
        )
    assert not tin.shots[np.hypot(*(tin.xyz[:, :2] - 5.0).T).argmin()]  # nobody shot the crossing


def test_a_line_that_crosses_itself_is_refused_at_whatever_level() -> None:
    loop = line("loop", [(1, 1, 0), (8, 8, 0), (8, 2, 0), (1, 6, 0)])
    with pytest.raises(InputError, match="break line loop crosses itself"):
        tin_of(data(SQUARE, loop))


@pytest.mark.parametrize("method", METHODS)
def test_a_line_may_cross_a_boundary_at_its_level(method: Method) -> None:
    edge = line("boundary", [(2, 2, 0), (8, 2, 0), (8, 8, 0), (2, 8, 0)], LineRole.BOUNDARY)
    tin = tin_of(data(SQUARE, edge, line("path", [(1, 5, 0.002), (9, 5, 0.002)])), method=method)
    assert {each.second for each in tin.agreed} == {"break line path"}
    assert tin.area_m2 == pytest.approx(36.0)


def crossing(turn: float, east: float) -> tuple[list[tuple[float, float, float]], tuple[GroundLine, ...]]:
    c, s = math.cos(turn), math.sin(turn)

    def there(x: float, y: float, z: float) -> tuple[float, float, float]:
        return (east + c * x - s * y, s * x + c * y, z)

    points = [there(*each) for each in (*SQUARE, (5.0, 2.0, 0.206), (7.0, 6.0, 0.3))]
    lines = (
        line("one", [there(2, 1, 0.2), there(6, 9, 0.24), there(8, 9, 0.4)]),
        line("two", [there(1, 2, 0.2), there(9, 2, 0.2)]),
    )
    return points, lines


@given(st.floats(0.0, math.tau), st.floats(-1000.0, 1000.0))
def test_a_site_may_be_turned_and_moved(turn: float, east: float) -> None:
    """The same is told, the same is taken."""
    points, lines = crossing(0.0, 0.0)
    as_drawn = tin_of(data(points, *lines)).agreed
    points, lines = crossing(turn, east)
    turned = tin_of(data(points, *lines)).agreed
    assert len(as_drawn) == 2
    assert [each.taken_m for each in turned] == pytest.approx([each.taken_m for each in as_drawn], abs=1e-9)
    assert [(each.first, each.second) for each in turned] == [(each.first, each.second) for each in as_drawn]
