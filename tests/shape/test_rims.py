"""The liner's edge as it runs: closed, clear of itself, the water to its left; lengths against closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape.sample import body, buried, feature, four_drops, level, oval, stream, two_streams

from rillwright.feature import XY, Body, Feature, Island, Mark, Rim, Surface
from rillwright.ground import GroundData
from rillwright.shape import RimLine, RimPoint, surface

NEAR_M = 0.25  # the default distance between two places of a rim


def ring(line: RimLine) -> shapely.Polygon:
    return shapely.Polygon([point.at for point in line.points])


def rim(id: str, ground_m: float, at: XY | None, *, berm_m: float = 0.0) -> Rim:
    return Rim(id=id, body="pond", ground=level(ground_m, Surface.GROUND), berm_m=berm_m, settlement=0.1, at=at)


def pond(*rims: Rim, outline: tuple[XY, ...] | None = None) -> Body:
    return replace(body(outline or oval(4.0, 3.0)), rims=rims)


def alone(made: Body) -> Feature:
    return feature(bodies=(made,), streams=(), runs=())


def at_rim(line: RimLine, id: str) -> RimPoint:
    return min(line.points, key=lambda point: (point.by != f"rims/{id}", abs(point.fill_m - 99.0), point.along_m))


def ramanujan_m(a: float, b: float) -> float:
    """Circumference of an ellipse with these half axes: Ramanujan 1914, second formula, from memory."""
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1.0 + 3.0 * h / (10.0 + math.sqrt(4.0 - 3.0 * h)))


def test_an_oval_pond_has_the_length_of_its_ellipse() -> None:
    """Where the rim lies at the waterline its edge is the outline; 400 corners are nearly as long as the ellipse."""
    made = pond(rim("a", -0.10, (2.0, 0.0)), outline=oval(4.0, 3.0, points=400))
    (line,) = surface(alone(made)).rims
    assert line.length_m == pytest.approx(ramanujan_m(2.0, 1.5), rel=1e-4)


def test_a_rectangle_is_set_out_by_the_rise_of_its_side() -> None:
    """0.20 m over the water at two up to one across: 0.10 m further out on every side, corners mitred."""
    box = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))
    found = surface(alone(pond(rim("a", 0.10, (4.0, 1.0)), outline=box)))
    (line,) = found.rims
    assert line.length_m == pytest.approx(2 * (4.2 + 3.2))
    assert shapely.symmetric_difference(ring(line), shapely.box(-0.1, -0.1, 4.1, 3.1)).area < 1e-9
    assert found.footprints[0][0] == "ponds/pond"


def test_between_rims_the_top_runs_straight_where_no_ground_is_known() -> None:
    """Two rims on opposite sides of a circle: half way between them the mean of both, berms and settlement too."""
    circle = oval(4.0, 4.0, points=360)
    made = pond(rim("east", 0.0, (2.1, 0.0)), rim("west", 0.10, (-2.1, 0.0), berm_m=0.20), outline=circle)
    (line,) = surface(alone(made)).rims
    south = min(line.points, key=lambda point: math.dist(point.at, (0.0, -2.1)))
    assert south.ground_m == pytest.approx(0.05, abs=0.005)
    assert south.fill_m == pytest.approx(0.10, abs=0.01)
    assert south.top_m == pytest.approx(0.05 + 0.09, abs=0.01)
    assert south.ground_is == "guess"
    tops = {point.by: point for point in line.points if abs(point.at[1]) < 1e-6}
    assert tops["rims/east"].top_m == pytest.approx(0.0, abs=1e-4)
    assert tops["rims/west"].top_m == pytest.approx(0.10 + 0.20 * 0.9, abs=1e-4)


def test_a_rim_has_its_own_level_where_it_lies() -> None:
    made = four_drops()
    at = (0.3, 1.7)
    rims = (replace(made.bodies[0].rims[0], at=at, ground=level(0.123, Surface.GROUND)), *made.bodies[0].rims[1:])
    line = surface(replace(made, bodies=(replace(made.bodies[0], rims=rims),))).rims[0]
    nearest = min(line.points, key=lambda point: math.dist(point.at, at))
    assert nearest.top_m == pytest.approx(0.123)
    assert nearest.by == "rims/pond-high"


def test_rims_without_a_place_are_spread_in_their_order_and_are_a_guess() -> None:
    rims = [rim(name, 0.01 * i, None) for i, name in enumerate("abcd")]
    found = surface(alone(pond(*rims)))
    (line,) = found.rims
    order = [point.by for point in line.points]
    changes = [one for one, other in pairwise(order) if one != other]
    assert [one.removeprefix("rims/") for one in dict.fromkeys(changes)] == ["a", "b", "c", "d"]
    assert {point.ground_is for point in line.points} == {"guess"}
    assert found.guessed_m == pytest.approx(line.length_m)
    assert any("without a place" in remark for remark in found.remarks)


def test_pond_and_stream_have_one_rim_with_a_step_at_every_fall() -> None:
    made = four_drops()
    found = surface(made)
    (line,) = found.rims
    brook = made.streams[0]
    assert line.path == "ponds/pond"
    assert {point.water for point in line.points} == {"ponds/pond", *(f"reaches/{reach.id}" for reach in brook.reaches)}
    for reach in brook.reaches:
        mine = [point for point in line.points if point.water == f"reaches/{reach.id}"]
        for point in mine:
            assert point.station_m is not None
            assert reach.station_m - 1e-6 <= point.station_m <= reach.station_m + reach.length_m + 1e-6
            assert point.top_m == pytest.approx(reach.bed_start.m + reach.bank_m - point.settles_m)
            assert point.settles_m == pytest.approx(0.1 * min(max(point.fill_m, 0.0), reach.bank_m))
        ends = sorted({round(point.station_m or 0.0, 6) for point in mine})
        assert ends[0] == pytest.approx(reach.station_m)
        assert ends[-1] == pytest.approx(reach.station_m + reach.length_m)
    steps = [
        (one, other)
        for one, other in pairwise(line.points)
        if one.water != other.water and one.water.startswith("reaches/") and other.water.startswith("reaches/")
    ]
    assert len(steps) == 2 * (len(brook.reaches) - 1)  # every fall within the stream, on both banks
    for one, other in steps:
        assert one.station_m == other.station_m
        assert math.dist(one.at, other.at) <= 0.0101


@pytest.mark.parametrize("made", [four_drops(), buried(), two_streams()], ids=["one", "buried", "two streams"])
def test_every_rim_is_closed_clear_of_itself_and_has_the_water_to_its_left(made: Feature) -> None:
    found = surface(made)
    whole = shapely.union_all([shapely.Polygon(outline) for _, outline in found.footprints])
    assert len(found.rims) == 1
    for line in found.rims:
        polygon = ring(line)
        assert line.closed
        assert polygon.is_valid
        assert polygon.exterior.is_ccw == (line.kind == "outer")
        assert shapely.symmetric_difference(polygon, whole).area < 1e-6
        gaps = [b.along_m - a.along_m for a, b in pairwise(line.points)]
        assert min(gaps) > 0.0
        assert max(gaps) <= NEAR_M + 1e-9
        apart = [math.dist(a.at, b.at) for a, b in pairwise(line.points)]
        assert gaps == pytest.approx(apart)


def test_an_island_has_a_rim_of_its_own_the_other_way_round() -> None:
    box = ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5))
    island = Island(id="rock", of="ponds/pond", outline=box, top_m=0.15)
    made = alone(replace(pond(rim("a", 0.10, (2.0, 0.0))), islands=(island,)))
    outer, inner = surface(made).rims
    assert (outer.kind, inner.kind, inner.path) == ("outer", "island", "islands/rock")
    assert not ring(inner).exterior.is_ccw
    assert ring(inner).area == pytest.approx((1.0 - 2 * 0.075) ** 2)  # two up to one across, on every side
    assert {round(point.top_m + point.settles_m, 9) for point in inner.points} == {0.05}


def test_an_island_in_a_bed_stands_above_its_bed() -> None:
    made = four_drops()
    brook = made.streams[0]
    x, y = brook.path[0]
    box = ((x + 0.8, y - 0.1), (x + 1.2, y - 0.1), (x + 1.2, y + 0.1), (x + 0.8, y + 0.1))
    head = brook.reaches[0]
    island = Island(id="tuft", of=f"reaches/{head.id}", outline=box, top_m=0.05)
    split = replace(head, islands=(island,))
    assert split.open_width_m == pytest.approx(head.width_m - 0.4 * 0.2 / head.length_m)
    found = surface(replace(made, streams=(replace(brook, links=(split, *brook.links[1:])),)))
    inner = found.rims[-1]
    assert {point.water for point in inner.points} == {f"reaches/{head.id}"}
    assert all(0.8 <= (point.station_m or 0.0) <= 1.2 for point in inner.points)
    assert {round(point.top_m + point.settles_m, 9) for point in inner.points} == {round(head.bed_start.m + 0.05, 9)}
    assert found.plan_faults == ()


def surveyed(made: Feature, slope: XY = (0.02, -0.01)) -> tuple[Feature, GroundData]:
    """The feature on a plane of ground, with a grid of levels all round it."""
    xs, ys = (axis.ravel() for axis in np.meshgrid(np.linspace(-14.0, 6.0, 11), np.linspace(-5.0, 5.0, 6)))
    xyz = np.column_stack((xs, ys, slope[0] * xs + slope[1] * ys))
    return made, GroundData(name="invented.csv", xyz=xyz)


def test_on_surveyed_ground_the_top_follows_the_ground() -> None:
    made, ground = surveyed(alone(pond(rim("a", 0.0, None))))
    (line,) = surface(made, ground).rims
    for point in line.points:
        if point.ground_is != "guess":
            assert point.ground_m == pytest.approx(0.02 * point.at[0] - 0.01 * point.at[1])
    assert {point.ground_is for point in line.points} <= {"shot", "between", "guess"}
    nearest = [np.hypot(*(ground.xyz[:, :2] - point.at).T).min() for point in line.points]
    shot = [point.ground_is == "shot" for point in line.points]
    assert max(away for away, one in zip(nearest, shot, strict=True) if one) <= 0.6096 + 1e-9  # two feet


def test_levels_at_odds_are_told_and_the_rims_are_there_all_the_same() -> None:
    made, ground = surveyed(four_drops())
    marks = tuple(
        Mark(id=name, role="point", level=level(m, Surface.GROUND), at=(1.0, 9.0))
        for name, m in (("a", 0.2), ("b", 0.5))
    )
    found = surface(replace(made, marks=(*made.marks, *marks)), ground)
    assert len(found.ground_faults) == 1
    assert "marks/a" in found.ground_faults[0]
    assert "marks/b" in found.ground_faults[0]
    assert found.rims


def moved(made: Feature, angle: float, by: XY) -> Feature:
    cos, sin = math.cos(angle), math.sin(angle)

    def put(place: XY) -> XY:
        return (place[0] * cos - place[1] * sin + by[0], place[0] * sin + place[1] * cos + by[1])

    bodies = tuple(
        replace(
            each,
            outline=tuple(map(put, each.outline)),
            rims=tuple(replace(one, at=None if one.at is None else put(one.at)) for one in each.rims),
        )
        for each in made.bodies
    )
    return replace(
        made, bodies=bodies, streams=tuple(replace(each, path=tuple(map(put, each.path))) for each in made.streams)
    )


@settings(max_examples=12, deadline=None)
@given(st.floats(-math.pi, math.pi), st.floats(-500.0, 500.0), st.floats(-500.0, 500.0))
def test_turning_and_shifting_the_site_changes_nothing(angle: float, x: float, y: float) -> None:
    made = four_drops()
    places = ((0.2, 1.7), (1.9, -0.7))
    rims = tuple(replace(one, at=at) for one, at in zip(made.bodies[0].rims, places, strict=True))
    made = replace(made, bodies=(replace(made.bodies[0], rims=rims),))
    (one,), (other,) = surface(made).rims, surface(moved(made, angle, (x, y))).rims
    assert len(one.points) == len(other.points)
    assert other.length_m == pytest.approx(one.length_m)
    for a, b in zip(one.points, other.points, strict=True):
        assert (a.by, a.water, a.ground_is) == (b.by, b.water, b.ground_is)
        assert b.top_m == pytest.approx(a.top_m, abs=1e-6)
        assert b.along_m == pytest.approx(a.along_m, abs=1e-5)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(-100.0, 100.0), min_size=1, max_size=4), st.floats(0.5, 2.5))
def test_however_the_stream_bends_the_rim_never_crosses_itself(turns: list[float], leg_m: float) -> None:
    made = four_drops()
    x, y, heading = -2.0, 0.0, math.pi
    path = [(x, y)]
    for turn in (0.0, *turns):
        heading += math.radians(turn)
        x, y = x + leg_m * math.cos(heading), y + leg_m * math.sin(heading)
        path.append((x, y))
    assume(shapely.LineString(path).is_simple)
    made = replace(made, streams=(replace(made.streams[0], path=tuple(reversed(path))),))
    for line in surface(made).rims:
        polygon = ring(line)
        assert polygon.is_valid
        assert polygon.exterior.is_ccw == (line.kind == "outer")
        assert all(math.isfinite(point.top_m) for point in line.points)


def faults(made: Feature) -> list[tuple[str, str, str]]:
    return [(fault.kind, fault.path, fault.other) for fault in surface(made).plan_faults]


def test_faults_in_plan_are_named() -> None:
    made = four_drops()
    brook = made.streams[0]
    assert faults(made) == []
    looped = ((-6.0, 1.0), (-3.0, -1.0), (-4.0, -2.0), (-5.0, 2.0), (-2.0, 0.0))
    assert ("crosses", "streams/stream", "streams/stream") in faults(with_path(made, looped))
    hairpin = ((-6.0, 0.6), (-3.0, 0.6), (-2.7, 0.3), (-3.0, 0.0), (-6.0, 0.0), (-6.0, -2.0), (-2.0, -0.2))
    assert ("meets itself", "streams/stream", "streams/stream") in faults(with_path(made, hairpin))
    assert faults(with_path(made, ((-12.0, 0.0), (-4.0, 0.0)))) == [("ends short", "streams/stream", "ponds/pond")]
    assert faults(with_path(made, ((-8.0, 0.0), (1.0, 0.0)))) == [("runs on inside", "streams/stream", "ponds/pond")]
    second = replace(body(oval(3.0, 3.0, centre=(3.0, 0.0)), id="two"))
    assert faults(replace(made, bodies=(*made.bodies, second))) == [("lies over", "ponds/pond", "ponds/two")]
    other = stream(id="other", into=made.bodies[0], end=(-1.9, 0.3))
    two = replace(made, streams=(brook, other))
    assert ("lies over", "streams/stream", "streams/other") in faults(two)


def with_path(made: Feature, path: tuple[XY, ...]) -> Feature:
    return replace(made, streams=(replace(made.streams[0], path=path),))
