"""Which triangle lies under a place: a grid of bins over the surface, asked for many places at once."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from rillwright.ground.data import Floats, Indices
from rillwright.ground.tin import Tin

EDGE_M = 1e-7  # a place this little outside a triangle lies on its edge
MOST_TIMES = 16  # entries of bins for each triangle, at most


class Bins(Struct, frozen=True, kw_only=True, eq=False):
    """Triangles by the bins that their boxes touch: `first` (bins + 1,) into `triangles`."""

    corner: Floats  # (2,) [m]
    size_m: float
    across: int
    up: int
    first: Indices
    triangles: Indices


def bins_of(tin: Tin) -> Bins:
    """The bins of a surface, about one a triangle; sizes in m."""
    plan = tin.xyz[tin.triangles][:, :, :2]
    low, high = plan.min(axis=1), plan.max(axis=1)
    corner = low.min(axis=0)
    wide = np.maximum(high.max(axis=0) - corner, 1e-9)
    size = float(np.sqrt(wide[0] * wide[1] / len(plan)))
    while True:
        start = np.floor((low - corner) / size).astype(np.int64)
        count = np.floor((high - corner) / size).astype(np.int64) - start + 1
        entries = count.prod(axis=1)
        if entries.sum() <= MOST_TIMES * len(plan) + 64:
            break
        size *= 1.5
    across, up = (int(n) + 1 for n in np.floor(wide / size))
    owner = np.repeat(np.arange(len(plan)), entries)
    rank = np.arange(len(owner)) - np.repeat(np.cumsum(entries) - entries, entries)
    cell = (start[owner, 1] + rank // count[owner, 0]) * across + start[owner, 0] + rank % count[owner, 0]
    order = np.argsort(cell, kind="stable")
    first = np.searchsorted(cell[order], np.arange(across * up + 1))
    return Bins(corner=corner, size_m=size, across=across, up=up, first=first, triangles=owner[order])


def triangles_under(tin: Tin, places: Floats, *, bins: Bins | None = None) -> tuple[Indices, Floats]:
    """The triangle under each place, and the shares of its three corners there.

    Parameters
    ----------
    tin : Tin
        The surface.
    places : array, shape (p, 2)
        x and y [m].
    bins : Bins or None
        Those of the surface, where they were made before.

    Returns
    -------
    tuple of arrays, shapes (p,) and (p, 3)
        Row of the triangle, -1 where there is no ground; shares [-].

    References
    ----------
    Barycentric coordinates: definition.
    """
    bins = bins if bins is not None else bins_of(tin)
    places = np.asarray(places, dtype=np.float64).reshape(-1, 2)
    found = np.full(len(places), -1, dtype=np.int64)
    shares = np.zeros((len(places), 3))
    at = np.floor((places - bins.corner) / bins.size_m)
    at = np.where(np.abs(at) < 1e9, at, -1e9).astype(np.int64)  # a place that is no number, or far off
    at += (at == -1) & (places > bins.corner - EDGE_M)
    at -= (at == (bins.across, bins.up)) & (places <= bins.corner + bins.size_m * at + EDGE_M)
    left = np.flatnonzero((at >= 0).all(axis=1) & (at < (bins.across, bins.up)).all(axis=1))
    cell = at[left, 1] * bins.across + at[left, 0]
    entry, end = bins.first[cell], bins.first[cell + 1]
    while len(left):
        going = entry < end
        left, entry, end = left[going], entry[going], end[going]
        candidate = bins.triangles[entry]
        share, away = _shares(tin, candidate, places[left])
        hit = away >= -EDGE_M
        found[left[hit]], shares[left[hit]] = candidate[hit], share[hit]
        left, entry, end = left[~hit], entry[~hit] + 1, end[~hit]
    return found, shares


def levels_at(tin: Tin, places: Floats, *, bins: Bins | None = None) -> Floats:
    """Level [m] of the surface at places (p, 2) [m]; not a number where there is no ground.

    Parameters
    ----------
    tin : Tin
        The surface.
    places : array, shape (p, 2)
        x and y [m].
    bins : Bins or None
        Those of the surface, where they were made before.

    Returns
    -------
    array, shape (p,)
        Levels [m].

    References
    ----------
    Straight over each triangle: definition.
    """
    found, shares = triangles_under(tin, places, bins=bins)
    levels: Floats = (tin.xyz[tin.triangles[found], 2] * shares).sum(axis=1)
    return np.where(found >= 0, levels, np.nan)


def _shares(tin: Tin, rows: Indices, places: Floats) -> tuple[Floats, Floats]:
    """Shares of the corners of some triangles at one place each (r, 3), none below nought, and how far [m] it lies
    inside the nearest edge, negative outside.
    """
    a, b, c = (tin.xyz[tin.triangles[rows, k], :2] for k in range(3))
    whole = _cross(b - a, c - a)
    parts = np.column_stack((_cross(b - places, c - places), _cross(c - places, a - places), np.zeros(len(rows))))
    parts[:, 2] = _cross(a - places, b - places)
    long = np.column_stack([np.hypot(*(q - p).T) for p, q in ((b, c), (c, a), (a, b))])
    away = (parts / long).min(axis=1)
    shares = np.maximum(parts / whole[:, None], 0.0)
    return shares / np.maximum(shares.sum(axis=1), 1e-300)[:, None], away


def _cross(p: Floats, q: Floats) -> Floats:
    found: Floats = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    return found
