"""Surfaces of triangles as a drawing needs them: levels on a grid, lines of one level, a cut along a line."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.assessment import XY, Mesh

Floats = NDArray[np.float64]
_FLAT_M = 1e-6  # no rod tells less
_INSIDE = 1e-9  # so far outside a triangle, by share, still counts as on its side


class Grid(Struct, frozen=True, eq=False):
    """Places in rows and columns, `step_m` apart, the first at `low`; `values` (rows, columns), nan where unknown."""

    low: XY
    step_m: float
    values: Floats

    def at(self, points: Floats) -> Floats:
        """Values at the places nearest to some points (n, 2) [m]; nan off the grid."""
        rows, columns = self.values.shape
        i = np.rint((points[:, 1] - self.low[1]) / self.step_m).astype(np.int64)
        j = np.rint((points[:, 0] - self.low[0]) / self.step_m).astype(np.int64)
        inside = (i >= 0) & (i < rows) & (j >= 0) & (j < columns)
        found = np.full(len(points), np.nan)
        found[inside] = self.values[i[inside], j[inside]]
        return found


def levels(mesh: Mesh, low: XY, high: XY, *, step_m: float) -> Grid:
    """Levels of a surface at the places of a grid from `low` to `high` [m], `step_m` [m] apart."""
    columns, rows = (int(np.ceil((b - a) / step_m)) + 1 for a, b in zip(low, high, strict=True))
    values = np.full((rows, columns), np.nan)
    flat = mesh.triangles[~mesh.upright]
    corners = mesh.xyz[flat]
    places = (corners[:, :, :2] - np.array(low)) / step_m
    first = np.ceil(places.min(axis=1) - 1e-6).astype(np.int64).clip(0)
    last = np.floor(places.max(axis=1) + 1e-6).astype(np.int64)
    last = np.minimum(last, np.array([columns - 1, rows - 1]))
    for at, z, (j0, i0), (j1, i1) in zip(places, corners[:, :, 2], first, last, strict=True):
        if j1 < j0 or i1 < i0:
            continue
        xs, ys = np.arange(j0, j1 + 1), np.arange(i0, i1 + 1)[:, None]
        a, b, c = at
        twice = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])
        if abs(twice) < 1e-12:
            continue
        v = ((xs - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (ys - a[1])) / twice
        w = ((b[0] - a[0]) * (ys - a[1]) - (xs - a[0]) * (b[1] - a[1])) / twice
        inside = (v >= -_INSIDE) & (w >= -_INSIDE) & (v + w <= 1.0 + _INSIDE)
        found = z[0] + v * (z[1] - z[0]) + w * (z[2] - z[0])
        values[i0 : i1 + 1, j0 : j1 + 1][inside] = found[inside]
    return Grid(low, step_m, values)


def level_lines(mesh: Mesh, level_m: float) -> Floats:
    """Where a surface has one level [m]: pieces (n, 2, 2) of places [m], one for each triangle that it crosses."""
    corners = mesh.xyz[mesh.triangles[~mesh.upright]]
    # a corner that lies on the level counts as above it: no line twice, none that ends at a corner, none round a flat
    off = corners[:, :, 2] - level_m
    return _crossed(corners[:, :, :2], np.where(np.abs(off) < _FLAT_M, _FLAT_M, off))


def grid_lines(grid: Grid, value: float) -> Floats:
    """Where a grid has one value: pieces (n, 2, 2) of places [m], in the two triangles of each of its cells."""
    rows, columns = grid.values.shape
    ys, xs = np.meshgrid(np.arange(rows), np.arange(columns), indexing="ij")
    places = np.stack((grid.low[0] + xs * grid.step_m, grid.low[1] + ys * grid.step_m), axis=-1)
    off = np.where(grid.values == value, 1e-9, grid.values - value)
    halves = []
    for picks in (((0, 0), (0, 1), (1, 1)), ((0, 0), (1, 1), (1, 0))):
        at = [places[i : rows - 1 + i, j : columns - 1 + j].reshape(-1, 2) for i, j in picks]
        height = [off[i : rows - 1 + i, j : columns - 1 + j].reshape(-1) for i, j in picks]
        corners, heights = np.stack(at, axis=1), np.stack(height, axis=1)
        known = np.isfinite(heights).all(axis=1)
        halves.append(_crossed(corners[known], heights[known]))
    return np.concatenate(halves)


def _crossed(places: Floats, heights: Floats) -> Floats:
    """Pieces along which triangles (n, 3, 2) with heights (n, 3) are at nought."""
    above = heights > 0.0
    crossed = above.any(axis=1) & ~above.all(axis=1)
    places, heights, above = places[crossed], heights[crossed], above[crossed]
    alone = np.where(above.sum(axis=1) == 1, above.argmax(axis=1), (~above).argmax(axis=1))
    rows = np.arange(len(alone))
    own, own_height = places[rows, alone], heights[rows, alone]
    ends = []
    for turn in (1, 2):
        other = (alone + turn) % 3
        share = own_height / (own_height - heights[rows, other])
        ends.append(own + share[:, None] * (places[rows, other] - own))
    return np.stack(ends, axis=1)


def cut_along(mesh: Mesh, start: XY, end: XY) -> list[tuple[float, float]]:
    """A surface along a straight line: (distance from its start, level) [m] by distance, upright faces as two levels.

    Where the surface is not known the line has a gap; its ends are given twice then, and nothing between.
    """
    a, b = np.array(start), np.array(end)
    length = float(np.hypot(*(b - a)))
    along = (b - a) / length
    flat = mesh.triangles[~mesh.upright]
    corners = mesh.xyz[flat]
    off = (corners[:, :, 0] - a[0]) * -along[1] + (corners[:, :, 1] - a[1]) * along[0]
    s = (corners[:, :, 0] - a[0]) * along[0] + (corners[:, :, 1] - a[1]) * along[1]
    pieces = _crossed(np.stack((s, corners[:, :, 2]), axis=-1), np.where(off == 0.0, 1e-9, off))
    found: list[tuple[float, float]] = []
    for piece in sorted(sorted(map(tuple, piece)) for piece in pieces.tolist()):
        (s0, z0), (s1, z1) = _clipped(piece, length)
        if s1 - s0 > 1e-9:
            found += [point for point in ((s0, z0), (s1, z1)) if not found or point != found[-1]]
    return found


def _clipped(piece: Sequence[tuple[float, float]], length: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """The part of a piece (distance, level) between nought and a length [m]."""
    (s0, z0), (s1, z1) = piece
    if s1 <= s0:
        return (s0, z0), (s0, z0)
    low, high = max(s0, 0.0), min(s1, length)

    def level(s: float) -> float:
        return z0 + (z1 - z0) * (s - s0) / (s1 - s0)

    return (low, level(low)), (high, level(high))
