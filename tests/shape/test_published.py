"""Bodies by depth against exact volumes and surfaces, each value as its source gives it.

The rows of the frusta, the cone and the sheets are closed forms of any book of solid geometry, worked out outside this
code; no page was opened for them. A round outline is drawn as a polygon about its circle: its area is that
of the circle times (n/pi) tan(pi/n), and so is every volume and surface between its sides.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from msgspec.structs import replace
from tests.published.rows import Row, check
from tests.shape.sample import body, feature

from rillwright.feature import XY, Body
from rillwright.shape import Line, PondShape, level_at, shape, volume_at

SIDES = 60


def round_outline(radius_m: float) -> tuple[XY, ...]:
    corner = radius_m / math.cos(math.pi / SIDES)
    turns = [2.0 * math.pi * i / SIDES for i in range(SIDES)]
    return tuple((corner * math.cos(turn), corner * math.sin(turn)) for turn in turns)


def of_circle(drawn: float) -> float:
    return drawn / (SIDES / math.pi * math.tan(math.pi / SIDES))


def box_outline(length_m: float, width_m: float) -> tuple[XY, ...]:
    return ((0.0, 0.0), (length_m, 0.0), (length_m, width_m), (0.0, width_m))


def pond(outline: tuple[XY, ...], **more: object) -> PondShape:
    one: Body = replace(body(outline), **more)
    return shape(feature(bodies=(one,), streams=(), runs=())).ponds[0]


def developed_m(line: Line) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(line))


FRUSTUM = "closed form, pi h/3 (R^2 + R r + r^2): circular frustum R 2.0, r 1.5, h 0.5"
PYRAMID = "closed form, h/6 (A1 + 4 Am + A2): rectangle 4 x 3, sides 1 to 1, h 0.6, areas 12, 8.16, 5.04"
SHEET = "closed form, length + 2 depth: what a sheet needs in a box with upright sides"
CONE = "closed form: cone r 5, h 2"


def frustum() -> PondShape:
    return pond(round_outline(2.0), depth_m=0.5, side_up_per_across=1.0)


def pyramid() -> PondShape:
    return pond(box_outline(4.0, 3.0), depth_m=0.6, side_up_per_across=1.0)


def upright(length_m: float, width_m: float, depth_m: float, **more: object) -> PondShape:
    return pond(box_outline(length_m, width_m), depth_m=depth_m, side_up_per_across=math.inf, **more)


def cone(depth_m: float = 2.0) -> PondShape:
    return pond(round_outline(5.0), depth_m=depth_m, side_up_per_across=0.4)


L_SHAPE = ((0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (6.0, 6.0), (6.0, 10.0), (0.0, 10.0))


def row(call: Callable[[], float], printed: str, source: str) -> Row:
    return Row(call=call, printed=printed, source=source)


ROWS = [
    pytest.param(row(lambda: of_circle(frustum().gross_m3), "4.843289", FRUSTUM), id="frustum"),
    pytest.param(row(lambda: pyramid().gross_m3, "4.968", PYRAMID), id="pyramid"),
    pytest.param(row(lambda: pyramid().storage[0][1], "5.04", PYRAMID), id="pyramid floor"),
    pytest.param(row(lambda: of_circle(cone(3.0).gross_m3), "52.360", CONE + ", pi r^2 h/3"), id="cone"),
    pytest.param(row(lambda: of_circle(cone(3.0).lined_m2), "84.590", CONE + ", pi r slant"), id="cone lined"),
    pytest.param(row(lambda: cone(3.0).floor_m + 0.10, "-2.000", CONE + ": deeper cannot be dug"), id="cone depth"),
    pytest.param(row(lambda: developed_m(cone(3.0).profile_along) / 2, "5.385", CONE + ", slant"), id="cone slant"),
    pytest.param(row(lambda: developed_m(upright(8, 5, 2).profile_along), "12", SHEET), id="sheet along"),
    pytest.param(row(lambda: developed_m(upright(8, 5, 2).profile_across), "9", SHEET), id="sheet across"),
    pytest.param(
        row(
            lambda: developed_m(upright(12, 8, 2.5, shelf_width_m=1.0, shelf_depth_m=1.0).profile_along),
            "17",
            SHEET + "; upright steps change nothing",
        ),
        id="sheet over a shelf",
    ),
    pytest.param(row(lambda: pond(L_SHAPE).area_m2, "84", "shoelace formula, by hand"), id="L area"),
    pytest.param(row(lambda: pond(L_SHAPE).perimeter_m, "40", "by hand"), id="L perimeter"),
    pytest.param(
        row(lambda: pond(L_SHAPE, side_up_per_across=1.0, depth_m=1.0).storage[0][1], "48", "by hand: 84 - 40 + 4"),
        id="L a metre in",
    ),
]


@pytest.mark.parametrize("row", ROWS)
def test_printed(row: Row) -> None:
    check(row)


def test_a_narrow_pond_ends_in_a_ridge() -> None:
    """4 by 1, two up to one across: the sides meet a metre down. Hip roof upside down, h b (2 L + ridge)/6 = 11/6."""
    found = pond(box_outline(4.0, 1.0), depth_m=2.0)
    assert found.floor_m == pytest.approx(-0.10 - 1.0, abs=1e-6)
    assert found.gross_m3 == pytest.approx(11.0 / 6.0, rel=1e-6)
    assert min(level for _, level in found.profile_across) == pytest.approx(found.floor_m, abs=1e-6)


def test_a_shelf_too_wide_for_the_pond_is_its_floor() -> None:
    found = pond(box_outline(2.0, 1.0), depth_m=1.0, shelf_width_m=0.6, shelf_depth_m=0.2)
    assert found.floor_m == pytest.approx(-0.30)
    assert found.gross_m3 == pytest.approx(0.2 / 6.0 * (2.0 * 1.0 + 4.0 * 1.9 * 0.9 + 1.8 * 0.8))


def test_shelf_by_hand() -> None:
    """Upright box 4 x 3, 1 deep, shelf 0.3 wide and 0.4 deep: 12 x 0.4 + 3.4 x 2.4 x 0.6; the shelf is 12 - 8.16."""
    found = pond(box_outline(4.0, 3.0), depth_m=1.0, side_up_per_across=math.inf, shelf_width_m=0.3, shelf_depth_m=0.4)
    assert found.gross_m3 == pytest.approx(12.0 * 0.4 + 8.16 * 0.6)
    assert found.lined_m2 == pytest.approx(14.0 * 0.4 + (12.0 - 8.16) + 11.6 * 0.6 + 8.16)
    assert sorted({round(level, 9) for level, _ in found.rings}) == [-1.10, -0.50, -0.10]


def test_hole_has_gravel_and_felt_under_it() -> None:
    """Upright box 2 x 1, 0.5 deep, ground at the waterline: 0.05 of gravel, 6.1 mm of liner and felt all over."""
    flat = replace(body(box_outline(2.0, 1.0), waterline_m=0.0), rims=())
    found = pond(
        flat.outline, waterline=flat.waterline, rims=(), depth_m=0.5, side_up_per_across=math.inf, gravel_m=0.05
    )
    lined = 2.0 + 6.0 * 0.55
    assert found.lined_m2 == pytest.approx(lined)
    assert found.dig_m3 == pytest.approx(2.0 * 0.55 + 0.0061 * lined)
    assert found.gross_m3 == pytest.approx(1.0)


def test_hole_goes_up_to_the_ground_and_no_further() -> None:
    """Rims at 0.00 and -0.06: the mean, -0.03, is 0.07 above the waterline."""
    found = pond(box_outline(2.0, 1.0), depth_m=0.5, side_up_per_across=math.inf)
    assert found.dig_m3 == pytest.approx(2.0 * 0.57 + 0.0061 * (2.0 + 6.0 * 0.57))


def test_stone_and_blocks_leave_their_share() -> None:
    whole = pond(box_outline(4.0, 3.0))
    less = pond(box_outline(4.0, 3.0), stone_share=0.10, water_share=0.40)
    assert less.gross_m3 == whole.gross_m3
    assert less.volume_m3 == pytest.approx(0.9 * 0.4 * whole.gross_m3)


def test_over_a_reservoirs_waterline_water_has_the_voids_of_its_cover() -> None:
    """By hand: 12 m2 with upright sides. Blocks: 0.95 x 12 x 0.6 m3; 0.12 m3 more rise 0.12 / (12 x 0.40) = 25 mm."""
    found = upright(4.0, 3.0, 0.6, water_share=0.95, stone_share=0.0, cover_share=0.40)
    held = 0.95 * 12.0 * 0.6
    waterline = found.floor_m + 0.6
    assert volume_at(found, waterline) == pytest.approx(held)
    assert level_at(found, held + 0.12) - waterline == pytest.approx(0.025)
    assert waterline - level_at(found, held - 0.12) == pytest.approx(0.12 / (12.0 * 0.95))
