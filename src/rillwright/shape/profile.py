"""A body cut along a line: the liner's level against distance."""

from __future__ import annotations

from typing import Any

import numpy as np

from rillwright.feature import XY
from rillwright.shape.result import Line
from rillwright.shape.slices import Slices

_NEAR_M = 1e-7
_EVERY = 4  # inches: between them the sides of a curved outline are taken as straight
Span = tuple[float, float]


def profile(slices: Slices, *, waterline_m: float, through: XY, towards: XY) -> Line:
    """(distance, level) [m] of the surface below `waterline_m` [m], along a line `through` a point `towards` a way.

    Distances are from where the line first meets the outline at the waterline. Empty where it misses the body.
    """
    depths, outlines = _rings(slices)
    levels = [waterline_m - depth for depth in depths]
    spans = _spans(outlines, through, towards)
    if not spans[0]:
        return ()
    points: list[tuple[float, float]] = []
    for start, end in spans[0]:
        _walk(spans, levels, 0, (start, end), points)
    first = points[0][0]
    return _straightened([(at - first, level) for at, level in points])


def _rings(slices: Slices) -> tuple[list[float], list[Any]]:
    """Depths [m] and outlines from the waterline down: every change of slope, and every few inches between."""
    among = np.flatnonzero(slices.between(0.0, np.inf))
    depths, outlines = [float(slices.depths_m[among[0]])], [slices.tops[among[0]]]
    for i in among:
        shelf = i < among[-1] and slices.top_m2[i + 1] < slices.bottom_m2[i]
        if shelf or i == among[-1] or i % _EVERY == 0:
            depths.append(float(slices.depths_m[i + 1]))
            outlines.append(slices.bottoms[i])
        if shelf:
            depths.append(float(slices.depths_m[i + 1]))
            outlines.append(slices.tops[i + 1])
    return depths, outlines


def _spans(outlines: list[Any], through: XY, towards: XY) -> list[list[Span]]:
    """Where the line runs inside each outline, as distances from `through`."""
    import shapely

    low_x, low_y, high_x, high_y = shapely.bounds(outlines[0])
    origin, way = np.array(through), np.array(towards) / np.hypot(*towards)
    far = np.hypot(high_x - low_x, high_y - low_y) + np.hypot(origin[0] - low_x, origin[1] - low_y)
    line = shapely.LineString([origin - far * way, origin + far * way])
    parts, owners = shapely.get_parts(shapely.intersection(line, outlines), return_index=True)
    points, part_of = shapely.get_coordinates(parts, return_index=True)
    along = (points - origin) @ way
    spans: list[list[Span]] = [[] for _ in outlines]
    for part, owner in enumerate(owners):
        ends = along[part_of == part]
        if ends.size > 1:
            spans[owner].append((float(ends.min()), float(ends.max())))
    return [sorted(each) for each in spans]


def _walk(
    spans: list[list[Span]], levels: list[float], ring: int, span: Span, points: list[tuple[float, float]]
) -> None:
    start, end = span
    points.append((start, levels[ring]))
    if ring + 1 < len(spans):
        inner = [one for one in spans[ring + 1] if one[0] >= start - _NEAR_M and one[1] <= end + _NEAR_M]
        for one in inner:
            _walk(spans, levels, ring + 1, one, points)
        if not inner and ring + 2 == len(spans):  # the sides meet here
            points.append((0.5 * (start + end), levels[ring + 1]))
    points.append((end, levels[ring]))


def _straightened(points: list[tuple[float, float]]) -> Line:
    """The same line without its doubled points and those on a straight."""
    kept: list[tuple[float, float]] = []
    for point in points:
        if kept and np.hypot(point[0] - kept[-1][0], point[1] - kept[-1][1]) < _NEAR_M:
            continue
        while len(kept) > 1 and _straight(kept[-2], kept[-1], point):
            kept.pop()
        kept.append(point)
    return tuple(kept)


def _straight(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    aside = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    onward = (b[0] - a[0]) * (c[0] - b[0]) + (b[1] - a[1]) * (c[1] - b[1])
    return abs(aside) < _NEAR_M * max(abs(c[0] - a[0]) + abs(c[1] - a[1]), _NEAR_M) and onward >= 0.0
