"""A pond or a reservoir as areas with levels: sides between true offsets of its outline, shelf, floor."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.feature import Body, BodyKind
from rillwright.shape.laying import Levels, Patch, part_way
from rillwright.shape.rim_levels import Edges
from rillwright.shape.sides import Sides, inset, polygon_of, real_depth_m, sides_of

Floats = NDArray[np.float64]
ALMOST = 0.999  # of the depth at which sides meet, where nothing of the floor is left
LEAST_M2 = 1e-6


class Hole(Struct, frozen=True, kw_only=True, eq=False):
    """A body at one layer: `out_m` [m] outside its liner and `under_m` [m] under it, filled up to `fill_m` [m] above
    the liner's floor.
    """

    body: Body
    outline: Any
    sides: Sides
    under_m: float
    fill_m: float

    @property
    def out_m(self) -> float:
        """How far out the sides of this layer stand [m]: as far from the liner at right angles as under its floor."""
        if math.isinf(self.sides.up_per_across):
            return self.under_m
        return self.under_m * self.sides.stretch / self.sides.up_per_across

    def ring(self, depth_m: float, *, under_shelf: bool) -> Any:
        """The outline of this layer [m] below the waterline."""
        across = self.sides.inset_m(depth_m, under_shelf=under_shelf) - self.out_m
        return inset(self.outline, np.array([across]))[0]

    @property
    def edge(self) -> Any:
        """The outline at the waterline."""
        return self.ring(0.0, under_shelf=False)


def hole_of(body: Body, *, under_m: float, filled: bool) -> Hole:
    """A body's liner, or what lies `under_m` [m] under it, or `filled` with the gravel on its floor."""
    outline = polygon_of(body.outline, body.islands)
    return Hole(
        body=body, outline=outline, sides=sides_of(body), under_m=under_m, fill_m=body.gravel_m if filled else 0.0
    )


def pond_patches(hole: Hole, *, every_m: float) -> Iterator[Patch]:
    """The areas of a body inside its outline at the waterline, from the floor up.

    Between two outlines the side is straight. It is cut at least every `every_m` [m] of its depth: an outline that
    loses corners on the way down keeps true sides so.
    """
    import shapely

    body = hole.body
    path = f"ponds/{body.id}"
    depths = _depths(hole, every_m=every_m)
    rings = [(depth, hole.ring(depth, under_shelf=under)) for depth, under in depths]
    rings = [(depth, ring) for depth, ring in rings if ring.area > LEAST_M2]
    floor_depth, floor = rings[-1]
    yield Patch(path, floor, flat(body.waterline.m - floor_depth))
    for (low, upper), (deep, lower) in zip(rings[-2::-1], rings[:0:-1], strict=True):
        area = shapely.difference(upper, lower)
        if area.area > LEAST_M2:
            levels = between(upper, lower, levels=(body.waterline.m - low, body.waterline.m - deep))
            yield Patch(path, area, levels)


def _depths(hole: Hole, *, every_m: float) -> list[tuple[float, bool]]:
    """Depths of the outlines [m], and whether each lies under the shelf; from the waterline down."""
    body, sides = hole.body, hole.sides
    wanted = body.depth_m + body.gravel_m
    floor = real_depth_m(hole.outline, sides, wanted)
    if floor < wanted:
        floor *= ALMOST
    floor += hole.under_m - hole.fill_m
    shelf = sides.shelf_depth_m + hole.under_m
    parts = [(0.0, floor, False)] if not shelf < floor else [(0.0, shelf, False), (shelf, floor, True)]
    found: list[tuple[float, bool]] = []
    for top, bottom, under in parts:
        steps = 1 if sides.across_per_up == 0.0 else max(math.ceil((bottom - top) / every_m - 1e-9), 1)
        found += [(top + (bottom - top) * i / steps, under) for i in range(steps + 1)]
    return found


def lid(body: Body, area: Any, tops: Floats) -> Patch:
    """What lies over a buried reservoir: a surface through the tops (n, 3) [m] of its edge."""
    from rillwright.ground import GroundData, levels_at, tin_of

    tin = tin_of(GroundData(name=body.id, xyz=tops, sigma_m=0.0))

    def levels(places: Floats) -> Floats:
        found = levels_at(tin, places)
        away = ((places[:, None, :] - tops[None, :, :2]) ** 2).sum(axis=2)
        return np.where(np.isnan(found), tops[away.argmin(axis=1), 2], found)

    return Patch(f"ponds/{body.id}", area, levels)


def is_buried(body: Body) -> bool:
    return body.kind is BodyKind.RESERVOIR


def flat(level_m: float) -> Levels:
    """One level [m] everywhere."""
    return lambda places: np.full(len(places), level_m)


def between(upper: Any, lower: Any, *, levels: tuple[float, float]) -> Levels:
    """Straight from the outline of one area at the first level [m] to that of another at the second."""
    import shapely

    edges = [shapely.boundary(area) for area in (upper, lower)]
    for edge in edges:
        shapely.prepare(edge)
    high, low = levels

    def found(places: Floats) -> Floats:
        points = shapely.points(places)
        share = part_way(*(shapely.distance(edge, points) for edge in edges))
        return np.asarray(high + (low - high) * share)

    return found


def banked(hole: Hole, edges: Edges) -> Levels:
    """Straight from the outline at the waterline up to the liner's edge."""
    import shapely

    edge, waterline = hole.edge, hole.body.waterline.m
    shapely.prepare(edge)

    def found(places: Floats) -> Floats:
        away, high, _ = edges.nearest(places)
        off = shapely.distance(edge, shapely.points(places))
        return np.asarray(waterline + (high - waterline) * part_way(off, away))

    return found
