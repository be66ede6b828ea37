"""Water as it would stand on a surface of triangles: cut off along its shore."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.feature import XY, Reach, Stream
from rillwright.shape.course import course_of
from rillwright.shape.surface_result import Mesh

Floats = NDArray[np.float64]


class WaterLine(Struct, frozen=True, kw_only=True):
    """A level of water [m]: the same all over, or a stream's, from `upper_m` to `lower_m` along the way it runs."""

    upper_m: float
    lower_m: float
    along: tuple[XY, ...] = ()


def flooded(mesh: Mesh, lines: Mapping[str, WaterLine], *, name: str) -> Mesh:
    """The water over the parts of a surface that have a level, as a surface of its own.

    Each triangle is lifted to its water and cut where the surface comes through: exact, for both are plane. Upright
    faces carry none.

    Parameters
    ----------
    mesh : Mesh
        What the water lies on.
    lines : Mapping[str, WaterLine]
        Level [m] by element, as ponds/basin; parts of an element, as ponds/basin.shelf, are the element's.
    name : str
        What the surface is called, as 'water at rest'.
    """
    pieces: list[Floats] = []
    part_of: list[NDArray[np.int64]] = []
    for number, path in enumerate(mesh.parts):
        line = lines.get(path.partition(".")[0])
        if line is None:
            continue
        ground = mesh.xyz[mesh.triangles[(mesh.part_of == number) & ~mesh.upright]]
        found = _wet(ground, _levels(ground, line))
        pieces.append(found)
        part_of.append(np.full(len(found), number))
    corners = np.concatenate(pieces) if pieces else np.empty((0, 3, 3))
    xyz, rows = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    triangles = rows.reshape(-1, 3).astype(np.int64)
    keep = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    owners = np.concatenate(part_of) if part_of else np.empty(0, dtype=np.int64)
    return Mesh(
        name=name,
        xyz=xyz,
        triangles=triangles[keep],
        parts=mesh.parts,
        part_of=owners[keep].astype(np.int64),
        upright=np.zeros(int(keep.sum()), dtype=np.bool_),
        breaks=np.empty((0, 2), dtype=np.int64),
    )


def _levels(places: Floats, line: WaterLine) -> Floats:
    """Level of the water at each place (..., 3) [m]: along a stream by the nearest point of its way."""
    if line.upper_m == line.lower_m or len(line.along) < 2:
        return np.full(places.shape[:-1], (line.upper_m + line.lower_m) / 2)
    way = np.asarray(line.along)
    legs = np.diff(way, axis=0)
    lengths = np.sqrt((legs**2).sum(axis=1))
    gone = np.concatenate([[0.0], np.cumsum(lengths)])
    share = np.zeros(places.shape[:-1])
    nearest = np.full(places.shape[:-1], np.inf)
    for start, leg, length, before in zip(way[:-1], legs, lengths, gone[:-1], strict=True):
        if length == 0.0:
            continue
        off = places[..., :2] - start
        on = np.clip((off * leg).sum(axis=-1) / length**2, 0.0, 1.0)
        away = np.sqrt(((off - on[..., None] * leg) ** 2).sum(axis=-1))
        share = np.where(away < nearest, (before + on * length) / gone[-1], share)
        nearest = np.minimum(away, nearest)
    return line.upper_m + share * (line.lower_m - line.upper_m)


def _wet(ground: Floats, levels: Floats) -> Floats:
    """Triangles of water (n, 3, 3) over triangles of ground (t, 3, 3) under levels (t, 3)."""
    over = levels - ground[..., 2]
    water = ground.copy()
    water[..., 2] = levels
    wet = over > 0.0
    count = wet.sum(axis=1)
    whole = water[count == 3]
    tip, left, right = _from(water, over, np.argmax(wet, axis=1), count == 1)
    tips = np.stack([tip[:, 0], left, right], axis=1)
    rest, left, right = _from(water, over, np.argmin(wet, axis=1), count == 2)
    near = np.stack([left, rest[:, 1], rest[:, 2]], axis=1)
    far = np.stack([left, rest[:, 2], right], axis=1)
    return np.concatenate([whole, tips, near, far])


def _from(
    water: Floats, over: Floats, corner: NDArray[np.int64], which: NDArray[np.bool_]
) -> tuple[Floats, Floats, Floats]:
    """Those triangles, each begun at that corner, and where the shore crosses its two sides from there."""
    order = (corner[which, None] + np.arange(3)) % 3
    places = np.take_along_axis(water[which], order[..., None], axis=1)
    height = np.take_along_axis(over[which], order, axis=1)
    first, others = places[:, :1], places[:, 1:]
    share = (height[:, :1] / (height[:, :1] - height[:, 1:]))[..., None]
    shore = first + share * (others - first)
    return places, shore[:, 0], shore[:, 1]


def reach_way(stream: Stream, reach: Reach) -> tuple[XY, ...]:
    """Where a reach runs in plan, from its upper to its lower end [m]."""
    course = course_of(stream)
    start, end = reach.station_m, reach.station_m + reach.length_m
    between = course.marks[(course.marks > start) & (course.marks < end)]
    places = course.places(np.concatenate([[start], between, [end]]))
    return tuple((float(x), float(y)) for x, y in places)
