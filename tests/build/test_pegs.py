"""Pegs off the work: closed-form places, and distances by shapely, which the code does not use there."""

from __future__ import annotations

import math

import pytest
import shapely
from msgspec.structs import replace
from tests.examples.folders import NAMES, worked
from tests.shape import sample

from rillwright.build import Build, Stake, pegged, plan_build
from rillwright.build.lines import direction_at, inside, line_of, nearest
from rillwright.build.pegs import half_work_m
from rillwright.feature import Feature
from rillwright.liner import size_liner
from rillwright.shape import shape
from rillwright.stone import place_stone
from rillwright.water import water


def planned(feature: Feature) -> Build:
    drawn = shape(feature)
    wet = water(feature, drawn)
    return plan_build(feature, drawn, wet, liner=size_liner(feature, drawn), stone=place_stone(feature, drawn))


def stake(stakes: tuple[Stake, ...], text: str) -> Stake:
    return next(one for one in stakes if one.text == text)


def test_beside_a_straight_stream_by_hand() -> None:
    """The stream runs east along y = 0, bed 0.60 m, splash 0.30 m: the peg stands 0.30 + 0.30 + 1.00 m to the north."""
    found = planned(sample.four_drops())
    one = stake(found.stakes, "stream-r1 ends")
    assert one.at == pytest.approx((-8.0, 0.0))
    assert one.peg is not None
    assert one.peg.at == pytest.approx((-8.0, 1.6))
    assert (one.peg.offset_m, one.peg.clear) == (1.0, True)
    assert one.peg.away_m == pytest.approx(1.6)
    assert one.peg.way == "to the left, looking downstream"


def test_outward_from_an_oval_by_hand() -> None:
    """Oval 4 by 3 m: at its long end the peg of the waterline stands 1 m farther out on the axis; that of the floor's
    edge on the same spot, and the tape from it is longer by what the floor lies in: 0.60 m of depth two up to one
    across is 0.30 m, and the shelf 0.30 m."""
    found = planned(sample.four_drops())
    edge, floor = (stake(found.stakes, f"pond, {what}, east") for what in ("waterline", "edge of the floor"))
    assert edge.peg is not None
    assert floor.peg is not None
    assert edge.peg.at == pytest.approx((3.0, 0.0), abs=1e-6)
    assert edge.peg.away_m == pytest.approx(1.0, abs=1e-6)
    assert floor.peg.at == pytest.approx((3.0, 0.0), abs=0.15)  # outward of the nearest straight piece of the oval
    assert floor.peg.away_m == pytest.approx(1.6, abs=0.02)


def test_the_peg_gives_way_to_the_other_side_and_says_where_nothing_is_free() -> None:
    """West of the pond the stream runs in: outward of its end there is no free ground within three offsets."""
    found = planned(sample.four_drops())
    west = stake(found.stakes, "pond, waterline, west")
    assert west.peg is not None
    assert not west.peg.clear
    assert all(one.peg.clear for one in found.stakes if one.peg is not None and not one.text.endswith("west"))


@pytest.mark.parametrize("name", NAMES)
def test_clear_pegs_stand_clear_of_all_work_by_shapely(name: str) -> None:
    done = worked(name)
    feature = done.feature
    stakes = plan_build(
        feature, done.shape, done.water, liner=size_liner(feature, done.shape), stone=place_stone(feature, done.shape)
    ).stakes
    offset = feature.site.stake_offset_m
    ponds = [shapely.Polygon(body.outline) for body in feature.bodies]
    lines = [(stream, shapely.LineString(stream.path)) for stream in feature.streams]
    assert any(one.peg is not None for one in stakes)
    for one in stakes:
        if one.peg is None or one.at is None:
            assert one.at is None
            continue
        peg = shapely.Point(one.peg.at)
        assert one.peg.away_m == pytest.approx(math.dist(one.peg.at, one.at), abs=1e-6)
        if one.peg.clear:
            assert min(pond.distance(peg) for pond in ponds) >= 0.5 * offset - 1e-6
            for stream, line in lines:
                station = line.project(peg, normalized=True) * stream.length_m
                assert line.distance(peg) - half_work_m(stream, station) >= 0.5 * offset - 1e-6


@pytest.mark.parametrize("offset_m", [0.5, 1.0, 2.0])
def test_the_offset_is_as_it_is_given(offset_m: float) -> None:
    feature = sample.four_drops()
    for one in pegged(feature, planned(feature).stakes, offset_m=offset_m):
        if one.peg is not None and one.station_m is not None and one.peg.clear:
            assert one.peg.offset_m in (offset_m, 2 * offset_m, 3 * offset_m)
            line = shapely.LineString(feature.streams[0].path)
            half = half_work_m(feature.streams[0], one.station_m)
            assert line.distance(shapely.Point(one.peg.at)) == pytest.approx(half + one.peg.offset_m, abs=1e-6)
    moved = replace(feature, site=replace(feature.site, stake_offset_m=offset_m))
    first = stake(planned(moved).stakes, "stream-r1 ends").peg
    assert first is not None
    assert first.offset_m == offset_m


POINTS = [(0.3, 0.2), (2.5, -0.7), (-1.0, 3.0), (0.0, 0.0), (4.0, 4.0), (1.0, 1.0), (-2.2, 0.4)]


@pytest.mark.parametrize("at", POINTS, ids=str)
def test_lines_agree_with_shapely(at: tuple[float, float]) -> None:
    ring = ((2.0, 0.0), (1.0, 2.5), (-1.5, 1.0), (-0.5, 0.2), (-1.0, -2.0))
    line, polygon, point = line_of((*ring, ring[0])), shapely.Polygon(ring), shapely.Point(at)
    found = nearest(line, at)
    assert found.distance_m == pytest.approx(polygon.exterior.distance(point), abs=1e-12)
    assert found.along_m == pytest.approx(polygon.exterior.project(point), abs=1e-9)
    assert inside(line, at) is polygon.contains(point)


def test_direction_at_a_bend_lies_half_way() -> None:
    line = line_of(((0.0, 0.0), (2.0, 0.0), (2.0, 3.0)))
    half = math.sqrt(0.5)
    assert direction_at(line, 1.0) == pytest.approx((1.0, 0.0))
    assert direction_at(line, 2.0) == pytest.approx((half, half))
    assert direction_at(line, 4.0) == pytest.approx((0.0, 1.0))
    assert direction_at(line, 5.0) == pytest.approx((0.0, 1.0))
