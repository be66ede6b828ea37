"""Shapes in plan: places along a stream's centre line, and its banks."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from rillwright.assessment import XY
from rillwright.drawings.display import Box


def length_of(path: Sequence[XY]) -> float:
    """Length of a line [m]."""
    return sum(math.dist(a, b) for a, b in zip(path, path[1:], strict=False))  # noqa: RUF007


def at_station(path: Sequence[XY], share: float) -> tuple[XY, XY]:
    """The point at a share of a line's length [-], and the direction of the line there as a unit vector."""
    left = max(0.0, min(1.0, share)) * length_of(path)
    direction = (1.0, 0.0)
    for a, b in zip(path, path[1:], strict=False):  # noqa: RUF007
        piece = math.dist(a, b)
        if piece == 0.0:
            continue
        direction = ((b[0] - a[0]) / piece, (b[1] - a[1]) / piece)
        if left <= piece:
            return (a[0] + direction[0] * left, a[1] + direction[1] * left), direction
        left -= piece
    return path[-1], direction


def part_of(path: Sequence[XY], first: float, last: float) -> tuple[XY, ...]:
    """The part of a line between two shares of its length [-]."""
    whole, run = length_of(path), 0.0
    inner: list[XY] = []
    for a, b in itertools.pairwise(path):
        run += math.dist(a, b)
        if first * whole + 1e-9 < run < last * whole - 1e-9:
            inner.append(b)
    return (at_station(path, first)[0], *inner, at_station(path, last)[0])


def middle_of(points: Sequence[XY]) -> XY:
    """The middle of the box round some points [m]."""
    xs, ys = zip(*points, strict=True)
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def nearest_on(path: Sequence[XY], to: XY) -> XY:
    """The point of a line that is nearest to a place [m]."""
    found = []
    for a, b in itertools.pairwise(path):
        along = (b[0] - a[0], b[1] - a[1])
        size = along[0] ** 2 + along[1] ** 2
        share = ((to[0] - a[0]) * along[0] + (to[1] - a[1]) * along[1]) / size if size else 0.0
        share = min(max(share, 0.0), 1.0)
        found.append((a[0] + share * along[0], a[1] + share * along[1]))
    return min(found, key=lambda point: math.dist(point, to))


def clipped(a: XY, b: XY, box: Box) -> tuple[XY, XY] | None:
    """The part of a stretch that lies in a box [mm], or None."""
    low, high = 0.0, 1.0
    change = (b[0] - a[0], b[1] - a[1])
    for start, step, least, most in (
        (a[0], change[0], box.left, box.right),
        (a[1], change[1], box.top, box.bottom),
    ):
        if step == 0.0:
            if not least <= start <= most:
                return None
            continue
        ends = sorted(((least - start) / step, (most - start) / step))
        low, high = max(low, ends[0]), min(high, ends[1])
    if low >= high:
        return None
    return tuple((a[0] + change[0] * t, a[1] + change[1] * t) for t in (low, high))  # type: ignore[return-value]


def beside(path: Sequence[XY], offset_m: float) -> tuple[XY, ...]:
    """A line beside another, `offset_m` [m] to the left of the way along it, mitred at its corners."""
    points: list[XY] = []
    for index, point in enumerate(path):
        before = _unit(path[max(index - 1, 0)], path[max(index, 1)])
        after = _unit(path[min(index, len(path) - 2)], path[min(index + 1, len(path) - 1)])
        normal = (-(before[1] + after[1]), before[0] + after[0])
        size = math.hypot(*normal)
        if size < 1e-9:
            normal, size = (-before[1], before[0]), 1.0
        # a mitre, held back where the line turns sharply
        reach = offset_m / max(size / 2, 0.5)
        points.append((point[0] + normal[0] / size * reach, point[1] + normal[1] / size * reach))
    return tuple(points)


def _unit(a: XY, b: XY) -> XY:
    size = math.dist(a, b)
    return ((b[0] - a[0]) / size, (b[1] - a[1]) / size) if size else (1.0, 0.0)


def long_way(outline: Sequence[XY]) -> XY:
    """The direction of the long side of the least rectangle round an outline [m], a unit vector.

    One side of that rectangle lies along a side of the convex hull: a theorem of plane geometry.
    """
    hull = _hull(outline)
    best: tuple[float, XY] = (math.inf, (1.0, 0.0))
    for a, b in itertools.pairwise((*hull, hull[0])):
        size = math.dist(a, b)
        x, y = (b[0] - a[0]) / size, (b[1] - a[1]) / size
        along = [p[0] * x + p[1] * y for p in hull]
        across = [p[1] * x - p[0] * y for p in hull]
        wide, high = max(along) - min(along), max(across) - min(across)
        if wide * high < best[0] * (1.0 - 1e-9):
            best = (wide * high, (x, y) if wide >= high else (-y, x))
    return best[1]


def _hull(outline: Sequence[XY]) -> list[XY]:
    """The corners of the convex hull, counter-clockwise."""
    points = sorted(set(outline))
    halves: list[list[XY]] = []
    for way in (points, points[::-1]):
        half: list[XY] = []
        for p in way:
            while len(half) > 1 and not _left(half[-2], half[-1], p):
                half.pop()
            half.append(p)
        halves.append(half[:-1])
    return [*halves[0], *halves[1]]


def _left(a: XY, b: XY, p: XY) -> bool:
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0.0
