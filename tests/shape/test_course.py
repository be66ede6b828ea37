"""A stream in plan: widths, edges and area against closed forms and Shapely's own offset of a line (OGC buffer)."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape.sample import body, oval, stream

from rillwright.feature import XY, Stream
from rillwright.shape import course_of

BANK_M = 0.20  # of the sample, at one up to one across: so far lies the liner's edge outside the bed
WIDTH_M = 0.60


def along(*path: XY, **more: float) -> Stream:
    made = stream(into=body(oval(4.0, 3.0)), **more)  # type: ignore[arg-type]
    return replace(made, path=path)


def long_way(*turns_deg: float, leg_m: float = 2.0) -> tuple[XY, ...]:
    """A path of legs, each turned so much from the one before."""
    x, y, heading = 0.0, 0.0, 0.0
    path = [(x, y)]
    for turn in (0.0, *turns_deg):
        heading += math.radians(turn)
        x, y = x + leg_m * math.cos(heading), y + leg_m * math.sin(heading)
        path.append((x, y))
    return tuple(path)


def test_a_straight_stream_is_a_rectangle() -> None:
    course = course_of(along((0.0, 0.0), (8.0, 0.0)))
    for edge, box in ((False, shapely.box(0.0, -0.3, 8.0, 0.3)), (True, shapely.box(-BANK_M, -0.5, 8.0, 0.5))):
        assert shapely.symmetric_difference(course.area(edge=edge), box).area < 1e-6


def test_stations_are_stretched_over_the_drawn_path() -> None:
    course = course_of(along((0.0, 0.0), (4.0, 0.0), (4.0, 6.0)))  # 10 m drawn, 8 m of beds
    places = course.places(np.array([0.0, 3.2, 8.0, -0.5]))
    assert np.allclose(places, [(0.0, 0.0), (4.0, 0.0), (4.0, 6.0), (-0.5, 0.0)])
    stations, aside, outside = course.locate(np.array([(2.0, 0.4), (4.5, 3.0)]))
    assert np.allclose(stations, [1.6, 5.6])
    assert np.allclose(aside, [0.4, -0.5])
    assert np.allclose(outside, [-0.1, 0.0])


@pytest.mark.parametrize("turns", [(30.0,), (-75.0,), (45.0, -60.0), (89.0, -89.0)])
def test_mitred_bends_are_the_offset_of_the_line(turns: tuple[float, ...]) -> None:
    """Shapely's buffer of the line with mitred joins and flat ends."""
    path = long_way(*turns)
    made = course_of(along(*path)).area(edge=False)
    offset = shapely.LineString(path).buffer(0.5 * WIDTH_M, join_style="mitre", cap_style="flat", mitre_limit=5.0)
    assert shapely.symmetric_difference(made, offset).area < 1e-6


def test_sharp_bends_are_rounded() -> None:
    """Between the offset with bevelled joins and that with round ones."""
    path = long_way(150.0)
    made, line = course_of(along(*path)).area(edge=False), shapely.LineString(path)
    bevelled = line.buffer(0.5 * WIDTH_M, join_style="bevel", cap_style="flat")
    rounded = line.buffer(0.5 * WIDTH_M, join_style="round", cap_style="flat", quad_segs=64)
    assert bevelled.area < made.area < rounded.area
    assert made.area == pytest.approx(rounded.area, rel=0.005)


def test_the_edges_at_a_bend_end_on_the_mitre() -> None:
    course = course_of(along((0.0, 0.0), (4.0, 0.0), (4.0, 4.0)))
    middle = np.array([4.0])
    left = course.places(middle) + course.across(middle) * 0.3
    right = course.places(middle) - course.across(middle) * 0.3
    assert np.allclose([left[0], right[0]], [(3.7, 0.3), (4.3, -0.3)])


def test_a_wider_reach_widens_over_twice_the_length() -> None:
    made = along((0.0, 0.0), (8.0, 0.0))
    links = list(made.links)
    links[2] = replace(made.reaches[1], width_m=1.0)  # from station 2 to 4
    course = course_of(replace(made, links=tuple(links)))
    at = np.array([1.0, 2.0, 2.2, 2.4, 3.9, 4.2, 4.4, 7.0])
    assert np.allclose(course.half_m(at, edge=False), [0.3, 0.3, 0.4, 0.5, 0.5, 0.4, 0.3, 0.3])
    assert np.allclose(course.half_m(at), course.half_m(at, edge=False) + BANK_M)
    trapezium = 8.0 * 0.6 + (1.6 + 2 * 0.2) * 0.4  # closed form: a bulge of 0.4 m, 1.6 m long, and two flares
    assert course.area(edge=False).area == pytest.approx(trapezium, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-170.0, 170.0), min_size=1, max_size=6), st.floats(0.4, 3.0))
def test_however_it_bends_its_area_is_one_clean_outline(turns: list[float], leg_m: float) -> None:
    path = long_way(*turns, leg_m=leg_m)
    assume(shapely.LineString(path).is_simple)
    area = course_of(along(*path)).area()
    assert area.is_valid
    assert area.geom_type == "Polygon"
    assert area.area <= shapely.LineString(path).length * 2.0 * 0.5 + 0.2 + len(turns) * 0.5**2 + 1e-9


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-80.0, 80.0), min_size=1, max_size=5), st.floats(-math.pi, math.pi))
def test_turning_the_site_changes_no_size(turns: list[float], angle: float) -> None:
    path = long_way(*turns)
    turned = tuple(
        (x * math.cos(angle) - y * math.sin(angle) + 7.0, x * math.sin(angle) + y * math.cos(angle) - 3.0)
        for x, y in path
    )
    one, other = (course_of(along(*each)).area() for each in (path, turned))
    assert other.area == pytest.approx(one.area, rel=1e-6)
    assert other.length == pytest.approx(one.length, rel=1e-6)


def test_a_path_of_many_pieces_is_located_as_one_of_few(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a long path only the pieces about a place are looked at; the answer is that of looking at all."""
    count = 150
    path = tuple((0.1 * i, 2.0 * math.sin(0.05 * i)) for i in range(count))
    course = course_of(along(*path))
    places = np.random.default_rng(5).uniform((-1.0, -3.0), (16.0, 3.0), (300, 2))
    near = course.locate(places, past_m=0.3)
    monkeypatch.setattr("rillwright.shape.course.FEW_PIECES", count)
    whole = course.locate(places, past_m=0.3)
    assert np.allclose(near[0], whole[0])
    assert np.allclose(near[2], whole[2])
    inside = (whole[2] < 0.0) & (whole[0] > 0.0) & (whole[0] < course.length_m)
    assert inside.sum() > 20
    line = shapely.LineString(path)
    assert np.allclose(np.abs(whole[1][inside]), shapely.distance(line, shapely.points(places[inside])), atol=1e-3)
