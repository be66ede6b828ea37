"""Boxes and lines looked at together say what Shapely says of each pair."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString
from shapely import box as area

from rillwright.drawings import Box
from rillwright.drawings.room import box_of, crossings, has, held, of_boxes, of_segments, overlaps

places = st.one_of(st.floats(0, 40), st.integers(0, 40).map(float))
points = st.tuples(places, places)
boxes = st.builds(
    lambda at, size: Box(left=at[0], top=at[1], right=at[0] + size[0], bottom=at[1] + size[1]),
    points,
    st.tuples(st.floats(0.5, 20), st.floats(0.5, 20)),
)
some = st.lists(boxes, min_size=1, max_size=6)


def through(a: tuple[float, float], b: tuple[float, float], box: Box) -> bool:
    """Whether a line has a point in the inside of a box (DE-9IM: the insides meet)."""
    return bool(LineString((a, b)).relate_pattern(area(box.left, box.top, box.right, box.bottom), "T********"))


@given(st.lists(st.tuples(points, points).filter(lambda ends: ends[0] != ends[1]), max_size=6), some)
def test_lines_that_pass_through_boxes(
    segments: list[tuple[tuple[float, float], tuple[float, float]]], all_boxes: list[Box]
) -> None:
    of_box, of_segment = crossings(of_segments(segments), of_boxes(all_boxes))
    found = set(zip(of_box.tolist(), of_segment.tolist(), strict=True))
    for i, box in enumerate(all_boxes):
        for j, (a, b) in enumerate(segments):
            if through(a, b, box.grown(1e-7)) == through(a, b, box.grown(-1e-7)):  # else it touches
                assert ((i, j) in found) is through(a, b, box)


@given(some, some, st.lists(points, min_size=1, max_size=6))
def test_boxes_against_boxes_and_points(
    ours: list[Box], theirs: list[Box], all_points: list[tuple[float, float]]
) -> None:
    rows = of_boxes(ours)
    assert [box_of(row) for row in rows] == ours
    assert overlaps(rows, of_boxes(theirs)).tolist() == [any(a.overlaps(b) for b in theirs) for a in ours]
    assert held(rows, theirs[0]).tolist() == [theirs[0].holds(a) for a in ours]
    assert has(rows, np.array(all_points)).tolist() == [[a.has(point) for point in all_points] for a in ours]


def test_nothing_is_free_of_trouble() -> None:
    none = of_boxes(())
    assert crossings(of_segments(()), none)[0].size == 0
    assert crossings(of_segments((((0.0, 0.0), (1.0, 1.0)),)), none)[1].size == 0
    assert overlaps(of_boxes((Box(left=0.0, top=0.0, right=1.0, bottom=1.0),)), none).tolist() == [False]
