"""Where the triangles of two surfaces lie over each other in plan: convex pieces, cut exactly."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from rillwright.ground.data import Flags, Floats, Indices
from rillwright.ground.tin import Tin

AT_ONCE = 100_000  # pairs cut together


def pairs(first: Tin, second: Tin) -> Indices:
    """Rows of triangles of both surfaces whose boxes in plan meet (p, 2)."""
    boxes = []
    for tin in (first, second):
        plan = tin.xyz[tin.triangles][:, :, :2]
        boxes.append(shapely.box(*plan.min(axis=1).T, *plan.max(axis=1).T))
    one, other = shapely.STRtree(boxes[1]).query(boxes[0])
    a, b = first.xyz[first.triangles[one]][:, :, :2], second.xyz[second.triangles[other]][:, :, :2]
    meet = ~(_beyond(a, b) | _beyond(b, a))
    return np.column_stack((one[meet], other[meet]))


def _beyond(corners: Floats, others: Floats) -> Flags:
    """Whether the triangles `others` (p, 3, 2) lie wholly to the right of a side of those of `corners`."""
    x, y = (np.ascontiguousarray(corners[:, :, k].T) for k in (0, 1))
    u, v = (np.ascontiguousarray(others[:, :, k].T) for k in (0, 1))
    found = np.zeros(len(corners), dtype=bool)
    for side in range(3):
        on = (side + 1) % 3
        way_x, way_y = x[on] - x[side], y[on] - y[side]
        left = [way_x * (v[k] - y[side]) - way_y * (u[k] - x[side]) <= 0.0 for k in range(3)]
        found |= left[0] & left[1] & left[2]
    return found


def pieces(first: Tin, second: Tin) -> Iterator[tuple[Indices, Floats]]:
    """Batches of pairs of triangles (p, 2) with the corners (p, 6, 2) [m] of what they share.

    A piece has at most six corners; one with fewer repeats its first.
    """
    every = pairs(first, second)
    for start in range(0, len(every), AT_ONCE):
        rows = every[start : start + AT_ONCE]
        corners = first.xyz[first.triangles[rows[:, 0]]][:, :, :2]
        cutter = second.xyz[second.triangles[rows[:, 1]]][:, :, :2]
        for side in range(3):
            corners, kept = _cut(corners, cutter[:, side], cutter[:, (side + 1) % 3])
            rows, corners, cutter = rows[kept], corners[kept], cutter[kept]
        if len(rows):
            padding = np.repeat(corners[:, :1], 6 - corners.shape[1], axis=1)
            yield rows, np.concatenate((corners, padding), axis=1)


def _cut(corners: Floats, start: Floats, end: Floats) -> tuple[Floats, Indices]:
    """What of convex polygons (p, k, 2) lies left of a line each, (p, k + 1, 2), and which have anything left."""
    way = end - start
    off = corners - start[:, None]
    left = way[:, None, 0] * off[:, :, 1] - way[:, None, 1] * off[:, :, 0]
    after, left_after = np.roll(corners, -1, axis=1), np.roll(left, -1, axis=1)
    inside = left >= 0.0
    crosses = inside != (left_after >= 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(crosses, left / (left - left_after), 0.0)
    met = corners + share[:, :, None] * (after - corners)
    count, sides = left.shape
    slots = np.stack((corners, met), axis=2).reshape(count, 2 * sides, 2)
    used = np.stack((inside, crosses), axis=2).reshape(count, 2 * sides)
    order = np.argsort(~used, axis=1, kind="stable")[:, : sides + 1]
    kept = np.take_along_axis(slots, order[:, :, None], axis=1)
    there = np.take_along_axis(used, order, axis=1)
    kept = np.where(there[:, :, None], kept, kept[:, :1])
    return kept, np.flatnonzero(used.sum(axis=1) >= 3)
