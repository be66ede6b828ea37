"""Outlines on surveyed ground: how much of them is known, and the ground inside them cut out exactly."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace
from shapely import Polygon

from rillwright.errors import InputError, Problem
from rillwright.feature import XY
from rillwright.ground.data import Floats, Indices
from rillwright.ground.net import turned_left
from rillwright.ground.plan import plan_of
from rillwright.ground.tin import Tin

ON_GROUND = 1e-6  # share of an outline that may lie off the ground by rounding


class Covered(Struct, frozen=True, kw_only=True):
    """How much of an outline lies on surveyed ground: areas [m2], and how far [m] it reaches beyond at most."""

    area_m2: float
    known_m2: float
    farthest_m: float

    @property
    def guessed_share(self) -> float:
        """Share of the outline's area [-] of which nobody took a level near enough."""
        return max(1.0 - self.known_m2 / self.area_m2, 0.0)

    @property
    def leaves(self) -> bool:
        return self.guessed_share > ON_GROUND


def covered(tin: Tin, outline: Sequence[XY]) -> Covered:
    """How much of an outline lies on the surveyed ground.

    Parameters
    ----------
    tin : Tin
        The surface.
    outline : sequence of (x, y)
        Its corners [m].

    Returns
    -------
    Covered
        Areas [m2] and the farthest reach beyond [m].

    Raises
    ------
    InputError
        If the outline crosses itself or has no area.

    References
    ----------
    Area of polygons by the shoelace: closed form.
    """
    ring, ground = _polygon(outline, "the outline"), footprint(tin)
    known = shapely.intersection(ring, ground).area
    away = shapely.distance(ground, shapely.points(ring.exterior.coords[:]))
    return Covered(area_m2=ring.area, known_m2=float(known), farthest_m=float(away.max()))


def cut_out(tin: Tin, outline: Sequence[XY], *, holes: Sequence[Sequence[XY]] = ()) -> Tin:
    """The surface inside an outline and outside holes that are drawn in plan alone, cut exactly.

    Parameters
    ----------
    tin : Tin
        The surface.
    outline : sequence of (x, y)
        Corners [m].
    holes : sequence of outlines
        Corners [m] of what has no ground.

    Returns
    -------
    Tin
        The part inside, every level as it was; corners on the cut are worked out and are no shots. Which of its sides
        were break lines is not kept.

    Raises
    ------
    InputError
        If the outline leaves the surveyed ground, with the share that would have to be guessed.

    References
    ----------
    Convex polygons cut by polygons: closed form.
    """
    found = covered(tin, outline)
    if found.leaves:
        message = "the outline leaves the surveyed ground"
        told = f"{found.guessed_share:.1%} of it, up to {found.farthest_m:.2f} m away, would be guessed"
        raise InputError(
            Problem(message=message, file=tin.name, found=told, allowed="an outline inside the levels taken")
        )
    shape: shapely.Geometry = _polygon(outline, "the outline")
    for hole in holes:
        shape = shapely.difference(shape, _polygon(hole, "a hole"))
    plan = plan_of(tin.xyz, tin.triangles)
    whole = shapely.contains_properly(shape, plan)
    met = np.flatnonzero(~whole & shapely.intersects(shape, plan))
    parts = shapely.constrained_delaunay_triangles(shapely.intersection(plan[met], shape))
    rings, owner = shapely.get_parts(parts, return_index=True)
    kept = shapely.area(rings) > 0.0
    corners = shapely.get_coordinates(rings[kept]).reshape(-1, 4, 2)[:, :3]
    return _sewn(tin, np.flatnonzero(whole), corners, met[owner[kept]])


def footprint(tin: Tin) -> shapely.Geometry:
    """The ground that a surface covers in plan, as a polygon in m."""
    every = list(plan_of(tin.xyz, tin.triangles))
    try:
        return shapely.coverage_union_all(every)
    except shapely.GEOSException:  # a triangle without width lies over its neighbour by the last digit
        return shapely.union_all(every)


def _sewn(tin: Tin, rows: Indices, pieces: Floats, of: Indices) -> Tin:
    """Whole triangles and pieces of others as one surface, with every place once."""
    a, b, c = (tin.xyz[tin.triangles[of, k]] for k in range(3))
    levels = np.empty(pieces.shape[:2])
    for k in range(3):
        levels[:, k] = _on_plane(a, b, c, pieces[:, k])
    added = np.concatenate((pieces, levels[:, :, None]), axis=2).reshape(-1, 3)
    every = np.concatenate((tin.xyz, added))
    shots = np.concatenate((tin.shots, np.zeros(len(added), dtype=bool)))
    triangles = np.concatenate((tin.triangles[rows], len(tin.xyz) + np.arange(len(added)).reshape(-1, 3)))
    keys = np.rint((every[:, :2] - every[:, :2].min(axis=0)) / 1e-7).astype(np.int64)
    _, first, row = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    triangles = first[row.reshape(-1)[triangles]]
    used = np.unique(triangles)
    where = np.zeros(len(every), dtype=np.int64)
    where[used] = np.arange(len(used))
    names = tin.names.at(np.where(used < len(tin.xyz), used, -1))
    kept = turned_left(every[used], where[triangles])
    cut = np.zeros((0, 2), dtype=np.int64)
    return replace(tin, xyz=every[used], triangles=kept, shots=shots[used], breaks=cut, names=names)


def _on_plane(a: Floats, b: Floats, c: Floats, at: Floats) -> Floats:
    """Levels [m] of planes through three corners each (p, 3) [m] at places (p, 2) [m]."""
    u, v, w = b - a, c - a, at - a[:, :2]
    whole = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    s = (w[:, 0] * v[:, 1] - w[:, 1] * v[:, 0]) / whole
    t = (u[:, 0] * w[:, 1] - u[:, 1] * w[:, 0]) / whole
    found: Floats = a[:, 2] + s * u[:, 2] + t * v[:, 2]
    return found


def _polygon(corners: Sequence[XY], what: str) -> Polygon:
    ring = shapely.Polygon(corners) if len(corners) >= 3 else shapely.Polygon()
    if not ring.area > 0.0 or not ring.is_valid:
        found = shapely.is_valid_reason(ring) if not ring.is_empty else f"{len(corners)} corners"
        raise InputError(
            Problem(message=f"{what} is no outline", found=found, allowed="a ring that never crosses itself")
        )
    return ring
