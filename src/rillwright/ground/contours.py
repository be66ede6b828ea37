"""Contours: exact on every triangle, joined to lines that close or end at the surface's edge."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.ground.data import Floats, Indices
from rillwright.ground.net import edge_keys, sides
from rillwright.ground.tin import Tin

MOST_LEVELS = 1000


class Contour(Struct, frozen=True, kw_only=True, eq=False):
    """A line of one level [m], `xy` (k, 2) [m] with higher ground to its left; closed, its start is not repeated."""

    level_m: float
    xy: Floats
    closed: bool

    @property
    def length_m(self) -> float:
        """Length in plan [m]."""
        line = np.concatenate((self.xy, self.xy[:1])) if self.closed else self.xy
        return float(np.hypot(*np.diff(line, axis=0).T).sum())

    @property
    def area_m2(self) -> float:
        """Area inside a closed line [m2], positive round high ground; 0 where it ends at the edge."""
        if not self.closed:
            return 0.0
        x, y = (self.xy - self.xy[0]).T
        return float((x * _next(y) - _next(x) * y).sum() / 2)


def _next(values: Floats) -> Floats:
    return np.roll(values, -1)


def even_levels(tin: Tin, *, every_m: float) -> tuple[float, ...]:
    """The multiples of an interval between the lowest and the highest level of a surface [m].

    Parameters
    ----------
    tin : Tin
        The surface.
    every_m : float
        Interval [m], more than 0.

    Returns
    -------
    tuple of float
        Levels [m], rising.

    Raises
    ------
    InputError
        If there are more than 1000, or the interval is none.
    """
    low, high = float(tin.xyz[:, 2].min()), float(tin.xyz[:, 2].max())
    if not (math.isfinite(every_m) and every_m > 0.0 and (high - low) / every_m <= MOST_LEVELS):
        allowed = f"more than 0, and at most {MOST_LEVELS} contours in {high - low:.3f} m"
        raise InputError(
            Problem(message="no usable interval between contours", found=f"{every_m:g} m", allowed=allowed)
        )
    first, last = math.ceil(low / every_m - 1e-9), math.floor(high / every_m + 1e-9)
    return tuple(step * every_m for step in range(first, last + 1))


def contours(tin: Tin, levels_m: Sequence[float]) -> tuple[Contour, ...]:
    """The contours of a surface at some levels.

    Parameters
    ----------
    tin : Tin
        The surface.
    levels_m : sequence of float
        Levels [m].

    Returns
    -------
    tuple of Contour
        Lines in m, level by level. A corner exactly at the level counts as above it, so that every line goes on to the
        edge of the surface or back to its start; level ground at the level is bounded by one, not filled with them.

    References
    ----------
    The line in which a plane cuts a triangle: closed form.
    """
    every = sides(tin.triangles)
    keys = edge_keys(every, len(tin.xyz))
    _, first, edge = np.unique(keys, return_index=True, return_inverse=True)
    ends = every[first]
    edges_of = edge.reshape(3, -1).T
    found: list[Contour] = []
    for level in levels_m:
        found += _at(tin, float(level), ends, edges_of)
    return tuple(found)


def _at(tin: Tin, level: float, ends: Indices, edges_of: Indices) -> list[Contour]:
    above = tin.xyz[:, 2] >= level
    corners = above[tin.triangles]
    cut = np.flatnonzero(corners.any(axis=1) & ~corners.all(axis=1))
    if not len(cut):
        return []
    down = corners[cut] & ~np.roll(corners[cut], -1, axis=1)  # side k runs from above to below
    up = ~corners[cut] & np.roll(corners[cut], -1, axis=1)
    rows = np.arange(len(cut))
    start = edges_of[cut[rows], down.argmax(axis=1)]
    end = edges_of[cut[rows], up.argmax(axis=1)]
    a, b = tin.xyz[ends[:, 0]], tin.xyz[ends[:, 1]]
    follows = dict(zip(start.tolist(), end.tolist(), strict=True))
    ended = set(follows.values())
    begun = [edge for edge in start.tolist() if edge not in ended]
    lines = []
    for first in (*begun, *start.tolist()):
        if first not in follows:
            continue
        way = [first]
        while way[-1] in follows:
            way.append(follows.pop(way[-1]))
        closed = way[-1] == way[0] and len(way) > 1
        picked = np.array(way[:-1] if closed else way)
        low, high = a[picked], b[picked]
        share = (level - low[:, 2]) / (high[:, 2] - low[:, 2])
        xy = low[:, :2] + share[:, None] * (high[:, :2] - low[:, :2])
        xy = _without_repeats(xy, closed=closed)
        if len(xy) >= (3 if closed else 2):
            lines.append(Contour(level_m=level, xy=xy, closed=closed))
    return lines


def _without_repeats(xy: Floats, *, closed: bool) -> Floats:
    """The line without points that repeat the one before: where it runs through a corner of triangles."""
    before = np.roll(xy, 1, axis=0)
    kept = np.abs(xy - before).max(axis=1) > 1e-9
    if not closed:
        kept[0] = True
    left: Floats = xy[kept]
    return left
