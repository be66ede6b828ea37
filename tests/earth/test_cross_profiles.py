"""Cut and fill where banks have a side of their own and where a plunge pool is dug: end areas and prisms by hand."""

from __future__ import annotations

import math

import pytest
import shapely
from msgspec.structs import replace
from tests.shape import sample

from rillwright.earth import Earth, move_earth
from rillwright.earth.section import bank_cut_m2, cut_area_m2, ridge_area_m2, stream_earth
from rillwright.feature import Fall, Plunge, Reach, Stream
from rillwright.shape import Line, LongSection, shape
from rillwright.stone.lots import face, reach_gravel

POOL = Plunge(depth_m=0.2, length_m=0.8)


def long_bed(side: float | None, *, pool: Plunge | None = None) -> Stream:
    """A fall at nought and one level bed below it, 10 m long and 1 m wide with 0.1 m of gravel, banks 0.3 m high."""
    stream = sample.four_drops().streams[0]
    bed, fall = stream.reaches[1], stream.falls[0]
    level = sample.level(0.0)
    reach = replace(
        bed, station_m=0.0, length_m=10.0, width_m=1.0, gravel_m=0.1, bank_m=0.3, pitch_m=0.0, bed_start=level,
        bed_end=level, side_up_per_across=side,
    )  # fmt: skip
    return replace(stream, links=(replace(fall, station_m=0.0, plunge=pool), reach))


def earth(stream: Stream, *, ground_m: float) -> tuple[float, float, float]:
    """Cut, fill [m3] and deepest cut [m], with no thickness of liner."""
    pool = stream.plunge_in(stream.reaches[0])
    dig: Line = ((0.0, -0.1), (10.0, -0.1))
    if pool is not None:
        out, deep = pool.length_m, -0.1 - pool.depth_m
        dig = ((0.0, deep), (out, deep), (out, -0.1), (10.0, -0.1))
    section = LongSection(
        stream=stream.id, length_m=10.0, ground=((0.0, ground_m), (10.0, ground_m)), ground_guessed=False, dig=dig,
        liner=(), bed=(), stones=(),
    )  # fmt: skip
    found = stream_earth(stream, section, cut_side=1.0, crest_m=0.3, fill_side=1.0)
    return found.cut_m3, found.fill_m3, found.deepest_m


@pytest.mark.parametrize("side", [0.5, 2.0, math.inf])
def test_a_cut_by_the_side_of_its_banks(side: float) -> None:
    """Ground 0.5 m over the bed: a trapezoid 0.4 m high from the liner's floor to its edge, 1:1 above for 0.2 m."""
    floor = 1.0 - 2.0 * 0.1 / side
    edge = floor + 2.0 * 0.4 / side
    area = 0.5 * (floor + edge) * 0.4 + 0.5 * (edge + edge + 2.0 * 0.2) * 0.2
    assert earth(long_bed(side), ground_m=0.5) == pytest.approx((10.0 * area, 0.0, 0.6))
    assert bank_cut_m2(1.0, 0.6, bank_m=0.6, bank_side=2.0, up_per_across=1.0) == cut_area_m2(1.0, 0.6, up_per_across=2)


@pytest.mark.parametrize("side", [None, 2.0])
@pytest.mark.parametrize("ground", [0.5, -0.05, -0.08, -0.2])
def test_a_dished_bed_by_the_figure_of_its_dig(side: float | None, ground: float) -> None:
    """Cut and fill across one metre of it by Shapely: the dig of the bed and its banks against level ground."""
    dish = 0.06
    stream = long_bed(side)
    bed = replace(stream.reaches[0], dish_m=dish)
    half, high = 0.5 * bed.floor_width_m, dish * bed.floor_width_m / 1.0
    up = 1.0 if side is None else side
    bank = 0.3 if side is not None else 2.0
    rise = bank - (-0.1 + high)
    edge, sky = (half + rise / up, bank), 4.0
    dig = shapely.Polygon(
        [(-edge[0] - sky, bank + sky), (-edge[0], bank), (-half, high - 0.1), (0.0, -0.1), (half, high - 0.1), edge,
         (edge[0] + sky, bank + sky)]
    )  # fmt: skip
    soil = shapely.box(-9.0, -9.0, 9.0, ground)
    cut, fill, _ = earth(replace(stream, links=(stream.falls[0], bed)), ground_m=ground)
    assert cut == pytest.approx(10.0 * dig.intersection(soil).area, abs=1e-9)
    under = shapely.Polygon([(-half, ground), (-half, high - 0.1), (0.0, -0.1), (half, high - 0.1), (half, ground)])
    ridge = 2.0 * ridge_area_m2(0.3 - ground, crest_m=0.3, up_per_across=1.0)
    if ground <= -0.1:
        assert fill == pytest.approx(10.0 * (under.area + ridge))
    elif ground < 0.0:
        assert fill == pytest.approx(10.0 * (0.5 * half * 2 * (high - 0.1 - ground) ** 2 / high + ridge))


def test_a_plunge_pool_in_a_cut_is_a_prism_more() -> None:
    plain, pooled = (earth(long_bed(None, pool=pool), ground_m=0.5) for pool in (None, POOL))
    assert pooled[0] - plain[0] == pytest.approx(1.0 * 0.8 * 0.2)
    assert pooled[1] == plain[1]
    assert pooled[2] - plain[2] == pytest.approx(0.2)


def test_a_plunge_pool_in_fill_leaves_it_out_as_far_as_it_goes() -> None:
    """Ground 0.05 m under the dig: the pool takes 0.05 m of fill away and 0.15 m of the ground."""
    plain, pooled = (earth(long_bed(None, pool=pool), ground_m=-0.15) for pool in (None, POOL))
    assert pooled[0] - plain[0] == pytest.approx(1.0 * 0.8 * 0.15)
    assert plain[1] - pooled[1] == pytest.approx(1.0 * 0.8 * 0.05)


def of(found: Earth) -> dict[str, float]:
    return {dig.path: dig.bank_m3 for dig in found.digs}


def test_the_whole_dig_goes_back_to_the_face_and_out_behind_the_wall() -> None:
    """By the long section of a feature: spill stone 0.4 m, pool 0.8 m, 6.1 mm of liner and underlay behind its wall."""
    feature = sample.four_drops()
    stream = feature.streams[0]
    links = tuple(
        replace(link, plunge=POOL) if isinstance(link, Fall) and link == stream.falls[0] else link
        for link in stream.links
    )
    pooled = replace(feature, streams=(replace(stream, links=links),))
    high = sample.level(stream.head.m + 0.4)
    both = [replace(each, streams=(replace(each.streams[0], head_ground=high),)) for each in (feature, pooled)]
    # the ground falls from the head to the pond's rim, everywhere over the bed of the second reach
    before, after = (of(move_earth(each, shape(each)))["streams/stream"] for each in both)
    assert after - before == pytest.approx(0.6 * (0.4 + 0.8 + 0.0061) * 0.2, rel=1e-3)


def test_a_named_soil_is_held_against_the_steepest_bank() -> None:
    feature = sample.four_drops()
    stream = feature.streams[0]
    links = tuple(
        replace(link, side_up_per_across=3.0) if isinstance(link, Reach) and link == stream.reaches[1] else link
        for link in stream.links
    )
    steep = replace(feature, streams=(replace(stream, links=links),))
    dig = next(one for one in move_earth(steep, shape(steep)).digs if one.path == "streams/stream")
    assert dig.side_up_per_across == 3.0


def test_stone_stands_on_the_floor_of_the_pool_and_gravel_narrows_with_its_banks() -> None:
    fall = sample.four_drops().streams[0].falls[1]
    plain, pooled = (face(replace(fall, plunge=pool), 0.6).volume_m3 for pool in (None, POOL))
    assert pooled / plain == pytest.approx((fall.drop_m + 0.2) / fall.drop_m)
    reach = long_bed(2.0).reaches[0]
    assert reach_gravel(reach).volume_m3 == pytest.approx(10.0 * 0.1 * (1.0 - 0.1 / 2.0))
