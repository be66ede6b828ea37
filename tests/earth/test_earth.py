"""Soil by hand: cut and fill along a bed, berms, footings, groundwater."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape import sample

from rillwright.earth import Earth, dig_floor_m, move_earth, ridge_area_m2
from rillwright.earth.berms import berm_fill_m3
from rillwright.earth.section import stream_earth
from rillwright.feature import Feature, Footing, Reach, Surface
from rillwright.shape import Line, LongSection, shape


def moved(feature: Feature) -> Earth:
    return move_earth(feature, shape(feature))


def along(ground: Line, dig: Line, *, bed_m: float, bank_m: float) -> tuple[float, float, float]:
    """Cut, fill [m3] and deepest cut [m] of one level bed, 10 m long and 1 m wide, banks and berms 1:1."""
    stream = sample.four_drops().streams[0]
    first = stream.links[0]
    assert isinstance(first, Reach)
    level = sample.level(bed_m)
    reach = replace(first, length_m=10.0, width_m=1.0, bank_m=bank_m, pitch_m=0.0, bed_start=level, bed_end=level)
    section = LongSection(
        stream=stream.id, length_m=10.0, ground=ground, ground_guessed=False, dig=dig, liner=(), bed=(), stones=()
    )
    found = stream_earth(replace(stream, links=(reach,)), section, cut_side=1.0, crest_m=0.3, fill_side=1.0)
    return found.cut_m3, found.fill_m3, found.deepest_m


def test_a_level_cut_by_hand() -> None:
    """0.5 m deep, floor 1 m, sides 1:1: (1 + 0.5) x 0.5 x 10 m. Banks end below the ground: nothing to fill."""
    cut, fill, deepest = along(((0.0, 0.0), (10.0, 0.0)), ((0.0, -0.5), (10.0, -0.5)), bed_m=-0.4, bank_m=0.2)
    assert (cut, fill, deepest) == pytest.approx((7.5, 0.0, 0.5))


def test_fill_is_not_taken_off_the_cut() -> None:
    """Ground from 0.5 m above the dig to 0.5 m below it: cut and fill are counted apart, each for its half.

    Cut: integral of d (1 + d) over 5 m with d from 0.5 to 0: 5 (0.25 + 0.5^2 / 3). Fill under the bed: 5 x 0.25.
    """
    cut, fill, _ = along(((0.0, 0.5), (10.0, -0.5)), ((0.0, 0.0), (10.0, 0.0)), bed_m=-9.0, bank_m=0.0)
    assert cut == pytest.approx(5.0 * (0.25 + 0.25 / 3.0))
    assert fill == pytest.approx(5.0 * 0.25)


def test_banks_above_the_ground_are_built_up_on_both_sides() -> None:
    """Bed at the ground, bank 0.2 m: a ridge of 0.2 (0.3 + 0.2) on each side, and no cut below nought."""
    ground = ((0.0, 0.0), (10.0, 0.0))
    cut, fill, deepest = along(ground, ((0.0, 0.0), (10.0, 0.0)), bed_m=0.0, bank_m=0.2)
    assert (cut, deepest) == (0.0, 0.0)
    assert fill == pytest.approx(10.0 * 2.0 * 0.2 * 0.5)


@pytest.mark.parametrize(("height", "area"), [(0.0, 0.0), (-0.5, 0.0), (0.2, 0.10), (1.0, 1.3)])
def test_ridge(height: float, area: float) -> None:
    assert ridge_area_m2(height, crest_m=0.3, up_per_across=1.0) == pytest.approx(area)


def test_berm_of_one_height_by_hand() -> None:
    body = sample.four_drops().bodies[0]
    level = replace(body, rims=tuple(replace(rim, berm_m=0.2) for rim in body.rims))
    assert berm_fill_m3(level, 10.0, crest_m=0.3, up_per_across=1.0) == pytest.approx(10.0 * 0.2 * 0.5)
    one = replace(body, rims=(replace(body.rims[0], berm_m=0.2),))  # falls off evenly to nothing and rises again
    assert berm_fill_m3(one, 10.0, crest_m=0.3, up_per_across=1.0) == pytest.approx(10 * (0.03 + 0.04 / 3))
    none = replace(body, rims=tuple(replace(rim, berm_m=0.0) for rim in body.rims))
    assert berm_fill_m3(none, 10.0, crest_m=0.3, up_per_across=1.0) == 0.0


def test_a_box_is_dug_with_room_for_what_lies_under_its_liner() -> None:
    """Reservoir 2.0 x 1.2 x 0.9 m, upright, waterline at -0.20, mean ground at -0.03: 2.4 m2 x 1.07 m at least."""
    feature = sample.buried()
    dig = next(one for one in moved(feature).digs if one.path == "ponds/store")
    assert dig.bank_m3 >= 2.4 * 1.07
    assert dig.bank_m3 == pytest.approx(2.4 * 1.07, rel=0.03)  # felt and liner are 6 mm all round
    assert dig.deepest_m == pytest.approx(0.0 - (-0.20 - 0.9 - 0.0061))


@pytest.mark.parametrize(
    ("x_m", "clear"),
    [(-4.0, 2.0 - 1.0), (-5.0, 3.0 - 1.0), (-2.5, 0.5 - 1.0)],
)
def test_one_to_one_line_by_hand(x_m: float, clear: float) -> None:
    """Upright pond from x = -2 to 2 m, dug to 1.0 m below a footing's base that is `x` away: line minus dig."""
    feature = sample.four_drops()
    square = ((-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0))
    pond = replace(sample.body(square, depth_m=0.5, waterline_m=0.0), side_up_per_across=1e9, gravel_m=0.0)
    under = feature.liner.thickness_m + feature.liner.underlay_m
    base = sample.level(1.0 - 0.5 - under, Surface.GROUND)
    footing = Footing(id="house", line=((x_m, -1.0), (x_m, 1.0)), base=base)
    site = replace(feature.site, footings=(footing,))
    earth = moved(
        replace(
            feature, bodies=(pond,), streams=(sample.stream(into=pond, end=(2.0, 0.0), way=(-1.0, 0.0)),), site=site
        )
    )
    found = next(one for one in earth.clearances if one.path == "ponds/pond")
    assert found.footing == "house"
    assert found.clearance_m == pytest.approx(clear, abs=1e-6)


def test_a_stream_by_a_footing_is_looked_at_too() -> None:
    """A footing across the stream: it is dug under it, at no distance."""
    feature = sample.four_drops()
    base = sample.level(2.0, Surface.GROUND)
    footing = Footing(id="wall", line=((-6.0, -1.0), (-6.0, 1.0)), base=base)
    earth = moved(replace(feature, site=replace(feature.site, footings=(footing,))))
    found = next(one for one in earth.clearances if one.path == "streams/stream")
    assert found.clearance_m < -1.0


def test_groundwater_is_measured_from_the_deepest_dig() -> None:
    feature = sample.four_drops()
    assert moved(feature).groundwater_above_floor_m is None
    drawn = shape(feature)
    floor = dig_floor_m(feature, feature.bodies[0], drawn.pond("pond"))
    wet = replace(feature, site=replace(feature.site, groundwater=sample.level(floor + 0.12, Surface.WATER)))
    assert moved(wet).groundwater_above_floor_m == pytest.approx(0.12)


def test_a_soil_that_nobody_named_has_no_slope() -> None:
    feature = sample.four_drops()
    assert {dig.soil_up_per_across for dig in moved(feature).digs} == {None}
    named = replace(feature, site=replace(feature.site, soil="type B"))
    assert {dig.soil_up_per_across for dig in moved(named).digs} == {1.0}
