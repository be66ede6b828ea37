"""How a surface of triangles takes the light: smooth where it runs on, sharp where it breaks or stands upright."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.shape import Mesh

_SMOOTH_RAD = math.radians(15.0)  # a surface that turns more over a side is seen to break there
_LEAST = 1e-9  # of a normal's length, before it is made one: what is shorter faces nowhere


class Shaded(Struct, frozen=True, kw_only=True, eq=False):
    """Places and normals (n, 3), y up; `triangles` (t, 3) rows of them, in the `order` (t,) in which they lie now.

    `breaks` (b, 2) are rows of the same: the sides of triangles over which the surface breaks.
    """

    places: NDArray[np.float32]
    normals: NDArray[np.float32]
    triangles: NDArray[np.uint32]
    order: NDArray[np.int64]
    breaks: NDArray[np.uint32]


def shaded(mesh: Mesh, *, origin_m: tuple[float, float, float]) -> Shaded:
    """Each corner of a triangle with its normal: one with its neighbours' round a place as far as no side breaks.

    A side breaks where the surface says so, and where it turns by more than 15 degrees.

    Triangles lie part by part. Several normals are weighed by the angles at the place (Thürmer and Wüthrich 1998), so
    that it does not matter how a plane was cut into triangles.
    """
    order = np.argsort(mesh.part_of, kind="stable")
    triangles, upright = mesh.triangles[order], mesh.upright[order]
    corners = triangles.reshape(-1)
    facing = _facing(mesh.xyz[triangles]).reshape(-1, 3)
    first = _together(len(corners), *_joined(triangles, upright, mesh, facing=facing))
    own, rows = np.unique(first, return_inverse=True)
    sums = np.stack([np.bincount(rows, weights=facing[:, axis], minlength=len(own)) for axis in range(3)], axis=1)
    lengths = np.sqrt((sums**2).sum(axis=1))
    nowhere = lengths <= _LEAST
    sums[nowhere] = (0.0, 0.0, 1.0)
    normals = sums / np.where(nowhere, 1.0, lengths)[:, None]
    return Shaded(
        places=_y_up(mesh.xyz[corners[own]] - np.asarray(origin_m)),
        normals=_y_up(normals),
        triangles=rows.reshape(-1, 3).astype("<u4"),
        order=order,
        breaks=_breaks(mesh, corners[own]),
    )


def _breaks(mesh: Mesh, rows_of: NDArray[np.int64]) -> NDArray[np.uint32]:
    """Breaks by the first of the places that stand for each of their ends."""
    used, firsts = np.unique(rows_of, return_index=True)
    known = np.isin(mesh.breaks, used).all(axis=1) if len(mesh.breaks) else np.zeros(0, dtype=np.bool_)
    found: NDArray[np.uint32] = firsts[np.searchsorted(used, mesh.breaks[known])].astype("<u4")
    return found


def _facing(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """At each corner of each triangle (t, 3) its normal, as long as the angle there [rad]; none of a flat one."""
    out = np.roll(corners, -1, axis=1) - corners
    back = np.roll(corners, 1, axis=1) - corners
    across = np.cross(out, back)
    twice = np.sqrt((across**2).sum(axis=-1))
    angle = np.arctan2(twice, (out * back).sum(axis=-1))
    found: NDArray[np.float64] = across * np.divide(angle, twice, out=np.zeros_like(twice), where=twice > 0)[..., None]
    return found


def _y_up(xyz: NDArray[np.float64]) -> NDArray[np.float32]:
    """East, north, level as the file's x, -z, y."""
    return np.ascontiguousarray(np.stack([xyz[:, 0], xyz[:, 2], -xyz[:, 1]], axis=1), dtype="<f4") + np.float32(0.0)


def _joined(
    triangles: NDArray[np.int64], upright: NDArray[np.bool_], mesh: Mesh, *, facing: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Corners that share a normal, in pairs: those at either end of a side of two triangles, where it is no break."""
    count = len(mesh.xyz)
    at = np.arange(triangles.size).reshape(-1, 3)[~upright]
    starts, ends = at.reshape(-1), np.roll(at, -1, axis=1).reshape(-1)
    corners = triangles.reshape(-1)
    sides = _sides(corners[starts], corners[ends], count)
    sides[np.isin(sides, _sides(mesh.breaks[:, 0], mesh.breaks[:, 1], count))] = -1
    sorted_by = np.argsort(sides, kind="stable")
    sides, starts, ends = sides[sorted_by], starts[sorted_by], ends[sorted_by]
    _, firsts, counts = np.unique(sides, return_index=True, return_counts=True)
    one = firsts[(counts == 2) & (sides[firsts] >= 0)]
    a, b = facing[starts[one]], facing[starts[one + 1]]
    sizes = np.sqrt((a**2).sum(axis=1) * (b**2).sum(axis=1))
    one = one[(a * b).sum(axis=1) >= math.cos(_SMOOTH_RAD) * sizes]
    same_way = corners[starts[one]] == corners[starts[one + 1]]
    other = np.where(same_way, starts[one + 1], ends[one + 1]), np.where(same_way, ends[one + 1], starts[one + 1])
    return np.concatenate([starts[one], ends[one]]), np.concatenate(other)


def _sides(a: NDArray[np.int64], b: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    return np.minimum(a, b) * count + np.maximum(a, b)


def _together(count: int, one: NDArray[np.int64], other: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each corner, the first of all those that it shares its normal with."""
    first = np.arange(count)
    while True:
        least = np.minimum(first[one], first[other])
        after = first.copy()
        np.minimum.at(after, one, least)
        np.minimum.at(after, other, least)
        after = after[after]
        if np.array_equal(after, first):
            return first
        first = after
