"""Which of many boxes on paper are free, and how many lines run under each: all looked at together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from rillwright.drawings.display import Box, Point

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Rows = npt.NDArray[np.intp]
Pairs = tuple[Rows, Rows]

_NO_WIDTH_MM = 1e-12


def of_boxes(boxes: Sequence[Box]) -> Floats:
    """Boxes as rows of left, top, right, bottom, shape (n, 4) [mm]."""
    return np.array([(box.left, box.top, box.right, box.bottom) for box in boxes], dtype=np.float64).reshape(-1, 4)


def box_of(row: Floats) -> Box:
    """A row as a box."""
    left, top, right, bottom = map(float, row)
    return Box(left=left, top=top, right=right, bottom=bottom)


def of_segments(segments: Sequence[tuple[Point, Point]]) -> Floats:
    """Segments as rows of x, y of one end and of the other, shape (n, 4) [mm]."""
    return np.array([(*a, *b) for a, b in segments], dtype=np.float64).reshape(-1, 4)


def grown(boxes: Floats, by_mm: float) -> Floats:
    """Boxes larger by `by_mm` [mm] on every side."""
    return np.column_stack((boxes[:, :2] - by_mm, boxes[:, 2:] + by_mm))


def held(boxes: Floats, frame: Box) -> Flags:
    """Which boxes lie wholly in the frame, shape (n,)."""
    left, top, right, bottom = boxes.T
    found: Flags = (frame.left <= left) & (frame.top <= top) & (right <= frame.right) & (bottom <= frame.bottom)
    return found


def overlaps(boxes: Floats, others: Floats) -> Flags:
    """Which boxes share more than an edge with any of the others, shape (n,)."""
    left, top, right, bottom = (column[:, None] for column in boxes.T)
    far_left, far_top, far_right, far_bottom = others.T
    found: Flags = ((left < far_right) & (far_left < right) & (top < far_bottom) & (far_top < bottom)).any(axis=1)
    return found


def has(boxes: Floats, points: Floats) -> Flags:
    """Which box has which point, edges included, shape (n, m)."""
    left, top, right, bottom = (column[:, None] for column in boxes.T)
    x, y = points.T
    found: Flags = (left <= x) & (x <= right) & (top <= y) & (y <= bottom)
    return found


def crossings(segments: Floats, boxes: Floats) -> Pairs:
    """Which segment passes through the inside of which box: their numbers, pair by pair, the box's first."""
    left, top, right, bottom = (column[:, None] for column in boxes.T)
    xs, ys = segments[:, 0::2], segments[:, 1::2]
    near = (xs.min(axis=1) < right) & (left < xs.max(axis=1)) & (ys.min(axis=1) < bottom) & (top < ys.max(axis=1))
    of_box, of_segment = np.nonzero(near)
    met = meet(segments[of_segment], boxes[of_box])
    return of_box[met], of_segment[met]


def meet(segments: Floats, boxes: Floats) -> Flags:
    """Whether each segment passes through the inside of the box beside it, shape (n,) (clipping by parameter)."""
    low, high = np.zeros(len(boxes)), np.ones(len(boxes))
    with np.errstate(divide="ignore", invalid="ignore"):
        for axis in (0, 1):
            start, change = segments[:, axis], segments[:, axis + 2] - segments[:, axis]
            least, most = boxes[:, axis], boxes[:, axis + 2]
            t0, t1 = (least - start) / change, (most - start) / change
            still = np.abs(change) < _NO_WIDTH_MM
            inside = (least < start) & (start < most)
            low = np.maximum(low, np.where(still, np.where(inside, -np.inf, np.inf), np.minimum(t0, t1)))
            high = np.minimum(high, np.where(still, np.where(inside, np.inf, -np.inf), np.maximum(t0, t1)))
    found: Flags = low < high
    return found
