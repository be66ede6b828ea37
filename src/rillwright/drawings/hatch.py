"""Hatching as plain line segments, clipped here so that every writer draws the same."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from rillwright.drawings.display import Point, Polyline


def strokes(
    polygon: Sequence[Point], *, spacing_mm: float, angle_deg: float = 45.0, pen: str = "hatch", depth_mm: float | None = None
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
    depth_mm
        How far a line runs in from the edge where it begins, at its upper end [mm]; None: all the way through.
    """
    return tuple(
        Polyline(points=segment, pen=pen) for segment in _segments(polygon, spacing_mm, angle_deg, depth_mm)
    )


def _segments(
    polygon: Sequence[Point], spacing: float, angle_deg: float, depth: float | None
) -> Iterator[tuple[Point, Point]]:
    if len(polygon) < 3:
        return
    angle = math.radians(-angle_deg)
    along, across = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
    turned = [(x * along[0] + y * along[1], x * across[0] + y * across[1]) for x, y in polygon]
    sides = list(zip(turned, [*turned[1:], turned[0]], strict=True))
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    down_is_forward = along[1] > 0
    for index in range(math.floor(low / spacing) + 1, math.ceil(high / spacing)):
        v = index * spacing
        cuts = sorted(
            a[0] + (b[0] - a[0]) * (v - a[1]) / (b[1] - a[1]) for a, b in sides if (a[1] <= v) != (b[1] <= v)
        )
        for start, stop in zip(cuts[::2], cuts[1::2], strict=False):
            if depth is not None and stop - start > depth:
                start, stop = (start, start + depth) if down_is_forward else (stop - depth, stop)
            yield _back(start, v, along, across), _back(stop, v, along, across)


def _back(u: float, v: float, along: Point, across: Point) -> Point:
    return (u * along[0] + v * across[0], u * along[1] + v * across[1])
