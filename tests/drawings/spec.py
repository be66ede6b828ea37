"""What a sample is made of, and the shapes that samples share."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.feature import (
    XY,
    BodyKind,
    Level,
    Origin,
    Surface,
)


class Spec(Struct, frozen=True, kw_only=True):
    """What a sample is made of; lengths in metres."""

    name: str
    system: str
    reaches: tuple[tuple[float, float], ...]  # (length, pitch)
    drops: tuple[float, ...]
    stone: float = 0.06
    gravel: float = 0.075
    width: float = 0.7
    pond_length: float = 4.2
    pond_width: float = 3.0
    depth: float = 0.8
    shelf: float = 0.3
    kind: BodyKind = BodyKind.POND
    path: tuple[XY, ...] = ()
    build_up: float = 0.0
    left_over: float = 0.0
    north_rad: float = 0.35


def planned(m: float, surface: Surface, origin: Origin = Origin.PLANNED) -> Level:
    return Level(m, surface, origin, "sample")


def oval(centre: XY, length: float, width: float, *, wobble: float = 0.06, count: int = 28) -> tuple[XY, ...]:
    points = []
    for index in range(count):
        angle = math.tau * index / count
        r = 1.0 + wobble * math.sin(3 * angle + 0.7)
        points.append((centre[0] + r * length / 2 * math.cos(angle), centre[1] + r * width / 2 * math.sin(angle)))
    return tuple(points)
