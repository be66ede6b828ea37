"""Shapes in plan: places along a stream's centre line, and its banks."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rillwright.assessment import XY


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
