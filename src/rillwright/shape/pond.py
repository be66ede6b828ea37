"""A body by depth: true inward outlines, storage, hole, lined surface, profiles."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

import numpy as np

from rillwright.feature import XY, Body, LinerSpec
from rillwright.shape.profile import profile
from rillwright.shape.result import PondShape
from rillwright.shape.sides import polygon_of, real_depth_m, sides_of
from rillwright.shape.slices import Slices, cut
from rillwright.shape.storage import EDGE_M, Storage, storage_table

FOOT_M = 0.3048


@lru_cache(maxsize=32)  # a level that changes in the stream changes nothing of the pond
def pond_shape(body: Body, liner: LinerSpec) -> tuple[PondShape, Slices]:
    """The body by depth, and the slices from which it was summed.

    The sides go on at their slope above the waterline, to the highest rim or a foot, and below the floor through the
    gravel to the liner. Of the hole, `water_share` less `stone_share` is water; the pores of the floor's gravel,
    below the bed, are not counted. Above the waterline of a reservoir lies its cover: there water has `cover_share`.
    """
    sides, polygon = sides_of(body), polygon_of(body.outline, body.islands)
    floor_m = real_depth_m(polygon, sides, body.depth_m)
    liner_floor_m = real_depth_m(polygon, sides, body.depth_m + body.gravel_m)
    waterline = body.waterline.m
    ground_m = waterline - _ground_level_m(body)
    top_m = min(-FOOT_M, ground_m, *(waterline - rim.finished_m for rim in body.rims))
    slices = cut(polygon, sides, (top_m, min(ground_m, floor_m), 0.0, floor_m, liner_floor_m))
    wet = slices.between(0.0, floor_m)
    gross = float(slices.volume_m3[wet].sum())
    net_share = body.water_share * (1.0 - body.stone_share)
    under = liner.under_m
    long_way, middle = _long_way(polygon)
    across = (-long_way[1], long_way[0])
    shape = PondShape(
        body=body.id,
        area_m2=float(polygon.area),
        perimeter_m=float(polygon.length),
        floor_m=waterline - floor_m,
        storage=_covered(
            storage_table(slices, waterline_m=waterline, floor_depth_m=floor_m, net_share=net_share),
            waterline,
            1.0 if body.cover_share is None else body.cover_share / net_share,
        ),
        gross_m3=gross,
        volume_m3=gross * net_share,
        dig_m3=float(slices.volume_m3[slices.between(ground_m, math.inf)].sum())
        + under * slices.surface_m2(ground_m, math.inf),
        rings=_rings(slices, waterline, (0.0, sides.shelf_depth_m, floor_m)),
        profile_along=profile(slices, waterline_m=waterline, through=middle, towards=long_way),
        profile_across=profile(slices, waterline_m=waterline, through=middle, towards=across),
        lined_m2=slices.surface_m2(0.0, math.inf),
        short_m=max(body.depth_m - floor_m, 0.0),
    )
    return shape, slices


def _covered(rows: Storage, waterline_m: float, ratio: float) -> Storage:
    """The table with what lies above the waterline [m] holding `ratio` [-] of what it held: the voids of a cover."""
    held = next((volume for level, _, volume in rows if level >= waterline_m - EDGE_M), rows[-1][2])
    return tuple(
        (level, area, volume if level <= waterline_m else held + ratio * (volume - held))
        for level, area, volume in rows
    )


def _ground_level_m(body: Body) -> float:
    """Mean of the ground levels at the rims; the waterline where none is known."""
    return float(np.mean([rim.ground.m for rim in body.rims])) if body.rims else body.waterline.m


def _long_way(polygon: Any) -> tuple[XY, XY]:
    """Direction of the long side of the least rectangle round the outline, and that rectangle's middle."""
    import shapely

    corners = shapely.get_coordinates(shapely.oriented_envelope(polygon))
    first, second = corners[1] - corners[0], corners[2] - corners[1]
    side = first if np.hypot(*first) >= np.hypot(*second) else second
    way, middle = side / np.hypot(*side), 0.5 * (corners[0] + corners[2])
    return (float(way[0]), float(way[1])), (float(middle[0]), float(middle[1]))


def _rings(slices: Slices, waterline_m: float, depths_m: tuple[float, ...]) -> tuple[tuple[float, tuple[XY, ...]], ...]:
    """Outlines at the given depths: above and below where two differ, as on a shelf."""
    import shapely

    rings: list[tuple[float, tuple[XY, ...]]] = []
    for depth in depths_m:
        found: list[Any] = []
        for depths, outlines in ((slices.depths_m[1:], slices.bottoms), (slices.depths_m[:-1], slices.tops)):
            at = np.flatnonzero(np.abs(depths - depth) < 1e-9)
            found += [outlines[i] for i in at if not any(outlines[i].equals(other) for other in found)]
        for outline in found:
            for part in shapely.get_parts(outline):
                points = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(part.exterior)[:-1])
                if points:
                    rings.append((waterline_m - depth, points))
    return tuple(rings)
