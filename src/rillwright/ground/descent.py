"""The way that water takes over a surface of triangles: steepest descent, exact from edge to edge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from rillwright.feature import XY
from rillwright.ground.data import Floats, Indices
from rillwright.ground.finder import Bins, bins_of, triangles_under
from rillwright.ground.net import doubled_areas, over_sides
from rillwright.ground.tin import Tin

FLAT = 1e-9  # a slope that is no slope [-]
AT_CORNER = 1e-9  # share of a side within which a place on it is its corner
MOST_STEPS = 200_000
_EDGE, _HOLLOW = -2, -3  # why it ends on a side


class Descent(Struct, frozen=True, kw_only=True, eq=False):
    """`way` (k, 3) [m] from the start downhill; how it `ends`: hollow, flat, edge (of the known ground), nowhere (the
    start lies off it)."""

    way: Floats
    ends: str


_Way = list[tuple[float, float, float]]


class _At(NamedTuple):
    """Where the water is: in triangle `row`, come over its side `side` (-1: somewhere inside); on corner `row`; at its
    end, in a triangle, with `side` saying why.
    """

    on: str  # triangle | corner | end
    row: int
    side: int
    x: float
    y: float


class _Hill(Struct, frozen=True, eq=False):
    """A surface as plain lists, and what lies next to what."""

    xyz: list[list[float]]
    triangles: list[list[int]]
    fall: list[list[float]]  # how the ground falls: x and y of the steepest way down, as slopes [-]
    over: list[list[int]]  # the triangle over each side, -1 where there is none
    first: Indices  # (n + 1,) into `about`
    about: Indices  # triangles about each corner, one corner after the other


def descend(tin: Tin, starts: Sequence[XY], *, bins: Bins | None = None, fills_m: float = 0.0) -> tuple[Descent, ...]:
    """The way of steepest descent from some places.

    On a triangle water runs straight down its slope; over an edge it runs on where the next triangle falls away, and
    along the edge where both fall towards it; from a corner it takes the steepest way. It ends where nothing near lies
    lower, on level ground, or where nobody knows the ground. A hollow no deeper than `fills_m` is filled: the way goes
    on over its water to where that leaves it.

    Parameters
    ----------
    tin : Tin
        The surface.
    starts : sequence of (x, y)
        Places [m].
    bins : Bins or None
        Those of the surface, where they were made before.
    fills_m : float
        Depth of hollows that are filled [m].

    Returns
    -------
    tuple of Descent
        One a start; levels [m], of the ground or of the water in a hollow, never rise along it.

    References
    ----------
    Steepest descent on a surface that is straight over each triangle: definition.
    """
    if not len(starts):
        return ()
    places = np.array(starts, dtype=np.float64).reshape(-1, 2)
    rows, _ = triangles_under(tin, places, bins=bins if bins is not None else bins_of(tin))
    hill = _hill(tin)
    found = []
    for row, (x, y) in zip(rows.tolist(), places.tolist(), strict=True):
        if row < 0:
            found.append(_nowhere(x, y))
            continue
        way, ends, last = _down(hill, [], _At("triangle", row, -1, x, y))
        while ends == "hollow" and fills_m > 0.0 and last.on == "corner":
            out = _filled(tin, way, last.row, fills_m)
            if out is None:
                break
            if out < 0:
                ends = "edge"
                break
            way, ends, last = _down(hill, way, _At("corner", out, -1, *hill.xyz[out][:2]))
        found.append(Descent(way=np.array(way), ends=ends))
    return tuple(found)


def _filled(tin: Tin, way: _Way, bottom: int, fills_m: float) -> int | None:
    """The first corner beyond the spill of a hollow, -1 where that is the edge; None if it is too deep to be filled.

    The way through the hollow is lifted to its water, and led on to its spill.
    """
    levels, onward = _spills(tin)
    top = float(levels[bottom])
    if not top - float(tin.xyz[bottom, 2]) <= fills_m:
        return None
    for i in range(len(way) - 1, -1, -1):
        if way[i][2] >= top:
            break
        way[i] = (*way[i][:2], top)
    row = int(onward[bottom])
    while row >= 0 and float(levels[row]) >= top:
        way.append((float(tin.xyz[row, 0]), float(tin.xyz[row, 1]), top))
        row = int(onward[row])
    return row


@lru_cache(maxsize=4)
def _spills(tin: Tin) -> tuple[Floats, Indices]:
    from rillwright.ground.spill_net import spill_levels_on

    return spill_levels_on(tin)


def _nowhere(x: float, y: float) -> Descent:
    return Descent(way=np.array([[x, y, math.nan]]), ends="nowhere")


@lru_cache(maxsize=4)  # the ground stays as it is while the work on it changes
def _hill(tin: Tin) -> _Hill:
    a, b, c = (tin.xyz[tin.triangles[:, k]] for k in range(3))
    u, v = b - a, c - a
    doubled = doubled_areas(tin.xyz, tin.triangles)
    fall_x = -(u[:, 2] * v[:, 1] - v[:, 2] * u[:, 1]) / doubled
    fall_y = -(u[:, 0] * v[:, 2] - v[:, 0] * u[:, 2]) / doubled
    corner = tin.triangles.reshape(-1)
    order = np.argsort(corner, kind="stable")
    return _Hill(
        tin.xyz.tolist(),
        tin.triangles.tolist(),
        np.column_stack((fall_x, fall_y)).tolist(),
        over_sides(tin.triangles, len(tin.xyz)).tolist(),
        np.searchsorted(corner[order], np.arange(len(tin.xyz) + 1)),
        order // 3,
    )


def _down(hill: _Hill, way: _Way, at: _At) -> tuple[_Way, str, _At]:
    """The way so far, led on from a place until it ends; how, and where."""
    way.append((at.x, at.y, min(_level(hill, at), way[-1][2] if way else math.inf)))
    ends = ""
    for _ in range(MOST_STEPS):
        to, ends = _from_triangle(hill, at) if at.on == "triangle" else _from_corner(hill, at)
        if to is None:
            break
        level = _level(hill, to)
        if (to.x, to.y) != way[-1][:2]:
            way.append((to.x, to.y, min(level, way[-1][2])))
        at = to
    return way, ends or "hollow", at


def _level(hill: _Hill, at: _At) -> float:
    if at.on == "corner":
        return hill.xyz[at.row][2]
    x, y, z = hill.xyz[hill.triangles[at.row][0]]
    fall_x, fall_y = hill.fall[at.row]
    return z - fall_x * (at.x - x) - fall_y * (at.y - y)


def _from_triangle(hill: _Hill, at: _At) -> tuple[_At | None, str]:
    """On to the side that the slope runs to, and over it or along it."""
    fall_x, fall_y = hill.fall[at.row]
    if math.hypot(fall_x, fall_y) <= FLAT:
        return None, "flat"
    corners = hill.triangles[at.row]
    side, far = -1, math.inf
    for k in range(3):
        if k == at.side:
            continue
        px, py, _ = hill.xyz[corners[k]]
        qx, qy, _ = hill.xyz[corners[(k + 1) % 3]]
        outward = fall_x * (qy - py) - fall_y * (qx - px)  # the outside lies to the right of a side
        if outward <= 0.0:
            continue
        away = ((px - at.x) * (qy - py) - (py - at.y) * (qx - px)) / outward
        if away < far:
            side, far = k, away
    if side < 0:  # it runs back to the side that it came over
        side, far = at.side, 0.0
    far = max(far, 0.0)
    return _over_side(hill, at.row, side, (at.x + fall_x * far, at.y + fall_y * far))


def _over_side(hill: _Hill, row: int, side: int, place: XY) -> tuple[_At | None, str]:
    """From a place on a side: to its corner if it is one, over it, along it, or off the known ground."""
    corners = hill.triangles[row]
    p, q = corners[side], corners[(side + 1) % 3]
    (px, py, pz), (qx, qy, qz) = hill.xyz[p], hill.xyz[q]
    along = ((place[0] - px) * (qx - px) + (place[1] - py) * (qy - py)) / ((qx - px) ** 2 + (qy - py) ** 2)
    if along <= AT_CORNER:
        return _At("corner", p, -1, px, py), ""
    if along >= 1.0 - AT_CORNER:
        return _At("corner", q, -1, qx, qy), ""
    beyond = hill.over[row][side]
    x, y = px + along * (qx - px), py + along * (qy - py)
    if beyond < 0:
        return _At("end", row, _EDGE, x, y), ""
    back = next(k for k in range(3) if hill.triangles[beyond][k] == q)  # there it runs from q to p
    fall_x, fall_y = hill.fall[beyond]
    if fall_x * (qy - py) - fall_y * (qx - px) > 0.0:
        return _At("triangle", beyond, back, x, y), ""
    if math.hypot(fall_x, fall_y) <= FLAT:
        return _At("triangle", beyond, back, x, y), ""  # and there it stands
    if abs(qz - pz) <= FLAT * math.hypot(qx - px, qy - py):
        return _At("end", row, _HOLLOW, x, y), ""
    low, (lx, ly) = (q, (qx, qy)) if qz < pz else (p, (px, py))
    return _At("corner", low, -1, lx, ly), ""


def _from_corner(hill: _Hill, at: _At) -> tuple[_At | None, str]:
    """The steepest way down from a corner, through one of the triangles about it or along one of their sides."""
    if at.on == "end":
        return None, "edge" if at.side == _EDGE else "hollow"
    steepest, to, rim = FLAT, None, False
    level = hill.xyz[at.row][2]
    for row in hill.about[hill.first[at.row] : hill.first[at.row + 1]].tolist():
        corners = hill.triangles[row]
        k = corners.index(at.row)
        ahead, behind = corners[(k + 1) % 3], corners[(k + 2) % 3]
        fall_x, fall_y = hill.fall[row]
        slope = math.hypot(fall_x, fall_y)
        ux, uy = hill.xyz[ahead][0] - at.x, hill.xyz[ahead][1] - at.y
        vx, vy = hill.xyz[behind][0] - at.x, hill.xyz[behind][1] - at.y
        right_of_ahead, left_of_behind = fall_x * uy - fall_y * ux > 0.0, vx * fall_y - vy * fall_x > 0.0
        bare = (hill.over[row][k] < 0 and right_of_ahead, hill.over[row][(k + 2) % 3] < 0 and left_of_behind)
        rim = rim or any(bare)
        if slope > steepest and not right_of_ahead and not left_of_behind:
            steepest, to = slope, _At("triangle", row, -1, at.x, at.y)
        for other, x, y, off in ((ahead, ux, uy, bare[0]), (behind, vx, vy, bare[1])):
            slope = (level - hill.xyz[other][2]) / math.hypot(x, y)
            if slope > steepest:
                leaves = _At("end", row, _EDGE, at.x, at.y)
                steepest, to = slope, leaves if off else _At("corner", other, -1, *hill.xyz[other][:2])
    if to is None:
        return None, "edge" if rim else "hollow"
    return to, ""
