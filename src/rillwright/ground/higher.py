"""Where one surface lies above another, as areas in plan; and cut and fill told apart by parts of it."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from rillwright.ground.data import Floats, Indices
from rillwright.ground.overlay import pieces
from rillwright.ground.tin import Tin
from rillwright.ground.volumes import NOTHING_M, fall_of, levels_on, means_above

GRID_M = 1e-5  # to which the corners of areas are rounded


def higher(before: Tin, after: Tin) -> Any:
    """Where `after` lies above `before`: a polygon, or several.

    Parameters
    ----------
    before : Tin
        The one surface.
    after : Tin
        The other.

    Returns
    -------
    polygon or multipolygon
        In m, bounded by the line in which the two meet; corners rounded to 0.01 mm.

    References
    ----------
    The line in which two planes meet, over each convex piece that two triangles share: closed form.
    """
    found: list[Any] = []
    planes = (fall_of(before), fall_of(after))
    for rows, corners in pieces(before, after):
        rise = levels_on(planes[1], rows[:, 1], corners) - levels_on(planes[0], rows[:, 0], corners)
        rise[np.abs(rise) < NOTHING_M] = 0.0
        some = (rise > 0.0).any(axis=1)
        found += list(shapely.polygons(_left_of_nought(corners[some], rise[some])))
    parts = [part for part in found if part.area > 0.0]
    return shapely.union_all(parts, grid_size=GRID_M) if parts else shapely.Polygon()


def _left_of_nought(corners: Floats, rise: Floats) -> Floats:
    """Of convex polygons (p, k, 2) what rises, (p, 2 k, 2); corners repeat where there are fewer."""
    after, rise_after = np.roll(corners, -1, axis=1), np.roll(rise, -1, axis=1)
    up = rise > 0.0
    crosses = up != (rise_after > 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(crosses, rise / (rise - rise_after), 0.0)
    met = corners + share[:, :, None] * (after - corners)
    count, sides = rise.shape
    slots = np.stack((corners, met), axis=2).reshape(count, 2 * sides, 2)
    used = np.stack((up, crosses), axis=2).reshape(count, 2 * sides)
    order = np.argsort(~used, axis=1, kind="stable")
    kept = np.take_along_axis(slots, order[:, :, None], axis=1)
    there = np.take_along_axis(used, order, axis=1)
    found: Floats = np.where(there[:, :, None], kept, kept[:, :1])
    return found


def earth_by_part(before: Tin, after: Tin, part_of: Indices, *, parts: int) -> Floats:
    """Cut and fill from one surface to another, apart for each part of the other.

    Parameters
    ----------
    before : Tin
        The ground as it is.
    after : Tin
        As it is to be.
    part_of : array, shape (t,)
        To which part each triangle of `after` belongs, from 0.
    parts : int
        How many parts there are.

    Returns
    -------
    array, shape (parts, 4)
        Cut and fill [m3], deepest cut and highest fill [m].

    References
    ----------
    The integral of a linear difference over each convex piece that two triangles share: closed form.
    """
    found = np.zeros((parts, 4))
    planes = (fall_of(before), fall_of(after))
    for rows, corners in pieces(before, after):
        rise = levels_on(planes[1], rows[:, 1], corners) - levels_on(planes[0], rows[:, 0], corners)
        rise[np.abs(rise) < NOTHING_M] = 0.0
        part = part_of[rows[:, 1]]
        for k in range(1, corners.shape[1] - 1):
            fan, three = corners[:, (0, k, k + 1)], rise[:, (0, k, k + 1)]
            u, v = fan[:, 1] - fan[:, 0], fan[:, 2] - fan[:, 0]
            area = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2
            found[:, 0] += np.bincount(part, area * means_above(-three)[0], parts)
            found[:, 1] += np.bincount(part, area * means_above(three)[0], parts)
        np.maximum.at(found[:, 2], part, -rise.min(axis=1))
        np.maximum.at(found[:, 3], part, rise.max(axis=1))
    return found
