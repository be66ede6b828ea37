"""Nearest places on a line of straight pieces, quick enough to be asked at every stake after every shot."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rillwright.feature import XY

_Floats = NDArray[np.float64]
_HAIR = 1e-9  # of a piece: nearer to its end, both pieces that meet there count


class Line(NamedTuple):
    """Pieces from `start` to `end` [m], their lengths [m], and how far along each begins [m]."""

    start: _Floats
    end: _Floats
    lengths_m: _Floats
    along_m: _Floats
    closed: bool

    @property
    def length_m(self) -> float:
        """Length of the whole [m]."""
        return float(self.along_m[-1] + self.lengths_m[-1])


class Nearest(NamedTuple):
    """The place on a line that is nearest to a point: distance [m], the place [m], how far along it lies [m]."""

    distance_m: float
    foot: XY
    along_m: float


def line_of(points: tuple[XY, ...]) -> Line:
    """The line through points [m], without pieces of no length; closed where it ends where it began."""
    whole = np.asarray(points, dtype=float)
    lengths = np.hypot(*(whole[1:] - whole[:-1]).T)
    keep = lengths > 0.0
    kept = lengths[keep]
    along = np.concatenate(([0.0], np.cumsum(kept)[:-1]))
    return Line(whole[:-1][keep], whole[1:][keep], kept, along, bool(np.allclose(whole[0], whole[-1], atol=1e-9)))


def nearest(line: Line, at: XY) -> Nearest:
    """The nearest place on a line."""
    way = line.end - line.start
    share = ((at[0] - line.start[:, 0]) * way[:, 0] + (at[1] - line.start[:, 1]) * way[:, 1]) / line.lengths_m**2
    share = np.minimum(np.maximum(share, 0.0), 1.0)
    x, y = line.start[:, 0] + share * way[:, 0], line.start[:, 1] + share * way[:, 1]
    away = (x - at[0]) ** 2 + (y - at[1]) ** 2
    best = int(np.argmin(away))
    along = float(line.along_m[best] + share[best] * line.lengths_m[best])
    return Nearest(math.sqrt(float(away[best])), (float(x[best]), float(y[best])), along)


def inside(outline: Line, at: XY) -> bool:
    """Whether a point lies within a closed outline: a ray from it crosses the outline an odd number of times."""
    (ax, ay), (bx, by) = outline.start.T, outline.end.T
    crossing = (ay > at[1]) != (by > at[1])
    rise = np.where(crossing, by - ay, 1.0)
    right = at[0] < ax + (at[1] - ay) * (bx - ax) / rise
    return bool(np.count_nonzero(crossing & right) % 2)


def clear_m(outline: Line, at: XY) -> float:
    """From a closed outline to a point [m]; negative within it."""
    distance = nearest(outline, at).distance_m
    return -distance if inside(outline, at) else distance


def direction_at(line: Line, along_m: float) -> XY:
    """Unit direction of a line so far along it [m]; where two pieces meet, half way between theirs."""
    count = len(line.lengths_m)
    at = min(max(int(np.searchsorted(line.along_m, along_m, side="right")) - 1, 0), count - 1)
    found = [at]
    share = (along_m - float(line.along_m[at])) / float(line.lengths_m[at])
    if share <= _HAIR and (at > 0 or line.closed):
        found.append((at - 1) % count)
    elif share >= 1.0 - _HAIR and (at < count - 1 or line.closed):
        found.append((at + 1) % count)
    ways = [(line.end[i] - line.start[i]) / line.lengths_m[i] for i in found]
    x, y = (float(sum(way[axis] for way in ways)) for axis in (0, 1))
    long = math.hypot(x, y)
    return (x / long, y / long) if long > _HAIR else (float(ways[0][0]), float(ways[0][1]))
