"""Hatching as plain line segments, clipped here so that every writer draws the same."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from rillwright.drawings.display import Point, Polyline


def strokes(
    polygon: Sequence[Point], *, spacing_mm: float, angle_deg: float = 45.0, pen: str = "hatch"
) -> tuple[Polyline, ...]:
    """Parallel lines inside a polygon.

    Parameters
    ----------
    polygon
        Corners on paper, even-odd inside.
    spacing_mm
        Between two lines [mm].
    angle_deg
        Of the lines, counter-clockwise from level [deg].
    pen
        Pen by name.
    """
    return tuple(Polyline(points=segment, pen=pen) for segment in _segments(polygon, spacing_mm, angle_deg))


def under(line: Sequence[Point], *, spacing_mm: float, depth_mm: float, pen: str = "hatch") -> tuple[Polyline, ...]:
    """Strokes at 45 degrees along the underside of a line from left to right, as earth is shown below a dig.

    Parameters
    ----------
    line
        Points on paper; below it is solid.
    spacing_mm
        Between two strokes [mm].
    depth_mm
        Longest stroke from the line into what is below [mm].
    pen
        Pen by name.
    """
    left, right = line[0][0], line[-1][0]
    bottom = max(y for _, y in line) + 2 * depth_mm
    far = 2 * (bottom - min(y for _, y in line)) + depth_mm
    solid = (*line, (right + far, line[-1][1]), (right + far, bottom), (left - far, bottom), (left - far, line[0][1]))
    found: list[Polyline] = []
    for low, high in _segments(solid, spacing_mm, 45.0):
        for piece in _ends(low, high, depth_mm, bottom):
            start, stop = piece
            if left <= min(start[0], stop[0]) and max(start[0], stop[0]) <= right:
                found.append(Polyline(points=piece, pen=pen))
    return tuple(found)


def _ends(a: Point, b: Point, depth: float, bottom: float) -> Iterator[tuple[Point, Point]]:
    """The stretches of a stroke that begin on the line: from either end that is not the far side of what is solid."""
    length = math.dist(a, b)
    if length <= 2 * depth and max(a[1], b[1]) < bottom - 1e-6:
        yield (a, b)
        return
    t = min(1.0, depth / length) if length else 0.0
    step = ((b[0] - a[0]) * t, (b[1] - a[1]) * t)
    if a[1] < bottom - 1e-6:
        yield (a, (a[0] + step[0], a[1] + step[1]))
    if b[1] < bottom - 1e-6:
        yield ((b[0] - step[0], b[1] - step[1]), b)


def _segments(polygon: Sequence[Point], spacing: float, angle_deg: float) -> Iterator[tuple[Point, Point]]:
    if len(polygon) < 3:
        return
    angle = math.radians(-angle_deg)
    along, across = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
    turned = [(x * along[0] + y * along[1], x * across[0] + y * across[1]) for x, y in polygon]
    sides = list(zip(turned, [*turned[1:], turned[0]], strict=True))
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    for index in range(math.floor(low / spacing) + 1, math.ceil(high / spacing)):
        v = index * spacing
        cuts = sorted(a[0] + (b[0] - a[0]) * (v - a[1]) / (b[1] - a[1]) for a, b in sides if (a[1] <= v) != (b[1] <= v))
        for start, stop in zip(cuts[::2], cuts[1::2], strict=False):
            yield _back(start, v, along, across), _back(stop, v, along, across)


def _back(u: float, v: float, along: Point, across: Point) -> Point:
    return (u * along[0] + v * across[0], u * along[1] + v * across[1])
