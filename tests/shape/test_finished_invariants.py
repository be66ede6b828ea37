"""What must not change in a finished surface when the site is turned or moved; islands; unknown ground; absurdity."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape import sample
from tests.shape.finished_sites import (
    KIDNEY,
    area_m2,
    below_m3,
    finished,
    moved,
    on_plane,
    pond,
    rectangle,
)

from rillwright.errors import NoAnswer
from rillwright.feature import XY, Feature, Island
from rillwright.shape import finish, mesh_levels, mesh_section, shape, surface
from rillwright.sources import default


def winding() -> Feature:
    """A kidney pond and a stream of two falls that bends into it, on ground that slopes two ways."""
    body = replace(pond(KIDNEY, shelf=(0.25, 0.3), gravel_m=0.05), rims=())
    brook = sample.stream(into=body, drops_m=(0.15,), last_m=0.2, reach_m=3.0, end=(0.0, 0.0))
    path = ((-4.2, -2.6), (-2.4, -2.0), (-1.2, -0.4), (0.05, 0.3))
    return on_plane(body, streams=(replace(brook, path=path, head_ground=None),), ground_m=0.05, fall=(-0.03, 0.02))


def turned(feature: Feature, *, turn: float, by: XY) -> Feature:
    def at(place: XY) -> XY:
        return moved((place,), turn=turn, by=by)[0]

    bodies = tuple(replace(body, outline=moved(body.outline, turn=turn, by=by)) for body in feature.bodies)
    streams = tuple(replace(stream, path=tuple(map(at, stream.path))) for stream in feature.streams)
    marks = tuple(replace(mark, at=at(mark.at)) if mark.at is not None else mark for mark in feature.marks)
    return replace(feature, bodies=bodies, streams=streams, marks=marks)


def earth(feature: Feature) -> list[float]:
    return [each for part in finished(feature).earth for each in (part.cut_m3, part.fill_m3)]


@given(turn=st.floats(0.0, 2.0 * math.pi), east=st.floats(-5e5, 5e5), north=st.floats(-5e5, 5e5))
@settings(max_examples=6)
def test_turning_and_moving_change_nothing(turn: float, east: float, north: float) -> None:
    """To the last digits that a place so far away has left: where they differ, one is rounded by 0.01 mm otherwise."""
    feature = winding()
    assert earth(turned(feature, turn=turn, by=(east, north))) == pytest.approx(earth(feature), rel=1e-6, abs=2e-6)


def test_turning_leaves_every_layer_as_it_was() -> None:
    """Levels at a thousand places, to a hundredth of a millimetre; beside upright faces a place may lie on either."""
    feature = winding()
    known = finished(feature)
    places = tuple(map(tuple, np.random.default_rng(4).uniform(-6.0, 5.0, (1000, 2)).tolist()))
    for turn, by in ((0.4, (12.0, -7.0)), (2.9, (-340.0, 81.0))):
        found = finished(turned(feature, turn=turn, by=by))
        there = moved(places, turn=turn, by=by)
        for layer in ("ground", "dug", "liner", "finished"):
            one, other = getattr(known, layer), getattr(found, layer)
            apart = np.abs(mesh_levels(one, places) - mesh_levels(other, there))
            assert np.quantile(apart, 0.998) < 1e-5
            assert len(one.triangles) == pytest.approx(len(other.triangles), abs=4)


@pytest.mark.parametrize("turn", [0.0, 0.7])
def test_a_line_over_it_reads_the_same_turned(turn: float) -> None:
    """The section from the head of the stream into the pond, level by level."""
    feature = winding()
    line = (*feature.streams[0].path, (2.0, 1.0))
    known = mesh_section(finished(feature).finished, line)
    far = turned(feature, turn=turn, by=(300.0, -40.0))
    found = mesh_section(finished(far).finished, moved(line, turn=turn, by=(300.0, -40.0)))
    stations = np.linspace(0.05, known.station_m[-1] - 0.05, 60)
    stations = stations[np.abs(stations[:, None] - known.station_m[None, :]).min(axis=1) > 5e-3]
    one = np.interp(stations, known.station_m, known.level_m)
    other = np.interp(stations, found.station_m, found.level_m)
    assert other == pytest.approx(one, abs=2e-3)


def test_raising_the_water_of_the_ground_moves_earth_one_way() -> None:
    """Ground that lies 0.1 m higher gives more cut and no more fill."""
    low, high = (earth(on_plane(pond(rectangle(4.0, 3.0), berm_m=0.2), ground_m=level)) for level in (0.0, 0.1))
    assert high[0] > low[0]
    assert high[1] <= low[1] + 1e-9


def test_an_island_in_a_pond_is_dry_and_has_sides() -> None:
    """A square island of 1 m, its edge 0.2 m over the water: the pond holds as much less as the slices say."""
    body = pond(rectangle(6.0, 5.0), depth_m=0.5)
    square = moved(rectangle(1.2, 1.2), turn=0.0, by=(0.5, 0.2))
    island = Island(id="isle", of="ponds/pond", outline=square, top_m=0.2)
    feature = on_plane(replace(body, islands=(island,)))
    made = finished(feature)
    held = below_m3(made.liner, body.waterline.m, "ponds/pond")
    assert held == pytest.approx(shape(feature).pond("pond").gross_m3, rel=5e-3)
    settles = default("pond.settlement").number * 0.1  # of what stands over the ground
    levels = mesh_levels(made.finished, [(0.5, 0.2), (0.5 + 0.6, 0.2), (0.5 + 0.6 + 0.1, 0.2)])
    assert levels.tolist() == pytest.approx([0.1 - settles, -0.1, -0.3], abs=5e-3)


def test_a_stream_parts_round_an_island() -> None:
    body = replace(pond(rectangle(3.0, 3.0)), rims=())
    brook = sample.stream(into=body, drops_m=(), last_m=0.3, reach_m=5.0, width_m=1.6, end=(-1.5, 0.0))
    square = moved(rectangle(0.8, 0.5), turn=0.0, by=(-4.0, 0.0))
    island = Island(id="isle", of="reaches/stream-r1", outline=square, top_m=0.1)
    reach = replace(brook.reaches[0], islands=(island,))
    stream = replace(brook, links=(reach, *brook.links[1:]), head_ground=None)
    made = finished(on_plane(body, streams=(stream,), ground_m=0.1))
    levels = mesh_levels(made.finished, [(-4.0, 0.0), (-4.0, 0.5), (-4.0, -0.5)])
    assert levels[1:].tolist() == pytest.approx([0.2, 0.2], abs=1e-3)
    assert levels[0] > 0.28


def test_ground_that_nobody_knows_is_said() -> None:
    """Without three levels that have a place the ground is taken from the edges, and all of it is a guess."""
    feature = sample.four_drops()
    made = finish(feature, surface(feature))
    assert area_m2(made.finished) == pytest.approx(area_m2(made.ground), rel=1e-6)
    assert any("nobody took a level" in remark for remark in made.remarks)


def test_ground_steeper_than_its_batter_is_said() -> None:
    """On a slope of 1.2 up to one across a berm of 1:1 never meets the ground below: cut off, and said so."""
    feature = on_plane(pond(rectangle(3.0, 3.0), berm_m=0.3), fall=(1.2, 0.0), far_m=120.0)
    made = finished(feature)
    assert any("does not meet" in remark for remark in made.remarks)


def test_ground_that_is_no_surface_has_no_finished_work() -> None:
    feature = on_plane(pond(rectangle(3.0, 3.0)))
    two = replace(feature.marks[-1], id="twice", level=sample.level(1.0, feature.marks[-1].level.surface))
    wrong = replace(feature, marks=(*feature.marks, two))
    with pytest.raises(NoAnswer, match="no surface"):
        finish(wrong, surface(wrong))


@pytest.mark.parametrize(
    "body",
    [
        pond(rectangle(3.0, 3.0), depth_m=9.0),  # its sides meet before
        pond(rectangle(0.4, 0.3), depth_m=0.6, shelf=(0.3, 0.3)),
        pond(rectangle(3.0, 3.0), side=0.2, depth_m=0.5),
        pond(rectangle(3.0, 3.0), waterline_m=0.4),  # the water stands over its rim
        pond(rectangle(3.0, 3.0), berm_m=3.0),
    ],
    ids=["too deep", "all shelf", "flat", "drowned", "on a bank"],
)
def test_absurd_ponds_are_made_all_the_same(body: object) -> None:
    made = finished(on_plane(body))  # type: ignore[arg-type]
    assert area_m2(made.finished) == pytest.approx(area_m2(made.ground), rel=1e-6)
    assert np.isfinite(made.dug.xyz).all()


@given(
    bends=st.lists(st.tuples(st.floats(-1.2, 1.2), st.floats(0.8, 3.0)), min_size=1, max_size=4),
    slope=st.floats(-0.1, 0.1),
)
@settings(max_examples=5)
def test_however_a_stream_bends(bends: list[tuple[float, float]], slope: float) -> None:
    """Random courses, some over themselves: one level a place, all of the ground covered, layers apart by no more than
    there is between them."""
    body = replace(pond(rectangle(3.0, 3.0)), rims=())
    path, heading, at = [(-1.5, 0.0)], math.pi, (-1.5, 0.0)
    for turn, long in bends:
        heading += turn
        at = (at[0] + long * math.cos(heading), at[1] + long * math.sin(heading))
        path.append(at)
    long = sum(math.dist(a, b) for a, b in itertools.pairwise(path))
    brook = sample.stream(into=body, drops_m=(0.15, 0.1), last_m=0.2, reach_m=long / 3.0)
    feature = on_plane(body, streams=(replace(brook, path=tuple(path[::-1]), head_ground=None),), fall=(slope, 0.0))
    made = finished(feature)
    whole = area_m2(made.ground)
    for mesh in (made.dug, made.liner, made.finished):
        assert area_m2(mesh) == pytest.approx(whole, rel=1e-6)
        assert np.isfinite(mesh.xyz).all()
