"""Reading lines of levels along a stream: a level at a station, and the water that stands over a bed."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

Line = Sequence[tuple[float, float]]


def level_at(line: Line, station_m: float, *, after: bool = True) -> float | None:
    """The line's level [m] at a station [m]; at a vertical face the level after it, or before it. None off its ends."""
    found: float | None = None
    for (x0, z0), (x1, z1) in itertools.pairwise(line):
        if x0 <= station_m <= x1:
            z = z1 if x1 == x0 and after else z0 if x1 == x0 else z0 + (z1 - z0) * (station_m - x0) / (x1 - x0)
            if not after:
                return z
            found = z
    return found


def cut_and_fill(dig: Line, ground: Line) -> tuple[Line, tuple[Line, ...]]:
    """What is solid before any fill, the lower of dig and ground; and outlines of the fill between them."""
    solid: list[tuple[float, float]] = []
    fills: list[Line] = []
    for (x0, z0), (x1, z1) in itertools.pairwise(_crossed(dig, ground)):
        low, high = _ground_at(ground, x0), _ground_at(ground, x1)
        solid += [(x0, min(z0, low)), (x1, min(z1, high))]
        if x1 > x0 and max(z0 - low, z1 - high) > 1e-6:
            fills.append(((x0, low), (x0, max(z0, low)), (x1, max(z1, high)), (x1, high)))
    return tuple(point for i, point in enumerate(solid) if i == 0 or point != solid[i - 1]), tuple(fills)


def _ground_at(ground: Line, station_m: float) -> float:
    found = level_at(ground, station_m)
    return found if found is not None else ground[0][1] if station_m < ground[0][0] else ground[-1][1]


def _crossed(dig: Line, ground: Line) -> list[tuple[float, float]]:
    """The dig with a point wherever the ground bends, or the two cross."""
    points = [dig[0]]
    for (x0, z0), (x1, z1) in itertools.pairwise(dig):
        inside = [x0, *sorted({x for x, _ in ground if x0 < x < x1}), x1]
        for a, b in itertools.pairwise(inside):
            za, zb = (z0 + (z1 - z0) * (x - x0) / (x1 - x0) if x1 > x0 else z for x, z in ((a, z0), (b, z1)))
            da, db = za - _ground_at(ground, a), zb - _ground_at(ground, b)
            if da * db < 0.0:
                t = da / (da - db)
                points.append((a + (b - a) * t, za + (zb - za) * t))
            points.append((b, zb))
    return points


def between(line: Line, start_m: float, stop_m: float) -> tuple[tuple[float, float], ...]:
    """The part of a line from one station to another [m], cut true at both ends."""
    points: list[tuple[float, float]] = []
    for (x0, z0), (x1, z1) in itertools.pairwise(line):
        if x1 < start_m or x0 > stop_m:
            continue
        for x, z in ((x0, z0), (x1, z1)):
            if x < start_m and x1 > x0:
                z, x = z0 + (z1 - z0) * (start_m - x0) / (x1 - x0), start_m
            elif x > stop_m and x1 > x0:
                z, x = z0 + (z1 - z0) * (stop_m - x0) / (x1 - x0), stop_m
            if not points or points[-1] != (x, z):
                points.append((x, z))
    return tuple(points)


def pools(line: Line, level: Callable[[float], float]) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Polygons between a bed and the water over it, one for each place where it stands; `level` [m] by station [m]."""
    found: list[tuple[tuple[float, float], ...]] = []
    current: list[tuple[float, float]] = []
    for (x0, z0), (x1, z1) in itertools.pairwise(line):
        d0, d1 = level(x0) - z0, level(x1) - z1
        if d0 > 0 and not current:
            current = [(x0, level(x0)), (x0, z0)]
        if (d0 > 0) != (d1 > 0):
            t = d0 / (d0 - d1)
            x = x0 + (x1 - x0) * t
            current.append((x, z0 + (z1 - z0) * t))
            if d1 <= 0:
                found.append(tuple(current))
                current = []
                continue
        if d1 > 0:
            current.append((x1, z1))
    if current:
        current.append((current[-1][0], level(current[-1][0])))
        found.append(tuple(current))
    return tuple(polygon for polygon in found if len(polygon) > 2)
