"""Where one surface lies above another, as areas in plan; and cut and fill told apart by parts of it."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from rillwright.ground.data import Floats, Indices
from rillwright.ground.finder import levels_at
from rillwright.ground.net import sides as sides_of
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
    return above_and_below(before, after, after)[0]


def above_and_below(ground: Tin, built: Tin, cut: Tin) -> tuple[Any, Any]:
    """Where a surface lies above the ground, and where another over the same triangles in plan lies below it.

    Parameters
    ----------
    ground : Tin
        The ground as it is.
    built : Tin
        What is built up where it lies above the ground.
    cut : Tin
        What is cut down to where it lies below; triangles and places as those of `built`.

    Returns
    -------
    tuple of polygon or multipolygon
        In m, bounded by the lines in which they meet the ground; corners rounded to 0.01 mm.

    References
    ----------
    The line in which two planes meet, over each convex piece that two triangles share: closed form.
    """
    seams = [_seams(ground), _seams(built)]
    lines: tuple[list[Floats], list[Floats]] = ([*seams], [*seams])
    planes = [fall_of(tin) for tin in (ground, built, cut)]
    for rows, corners in pieces(ground, built):
        level = levels_on(planes[0], rows[:, 0], corners)
        for found, plane, way in zip(lines, planes[1:], (1.0, -1.0), strict=True):
            rise = way * (levels_on(plane, rows[:, 1], corners) - level)
            rise[np.abs(rise) < NOTHING_M] = 0.0
            some = (rise > 0.0).any(axis=1) & (rise <= 0.0).any(axis=1)
            found.append(_level_sides(corners[some], rise[some]))
    above, below = (np.concatenate(each) for each in lines)
    return _within(above, ground, built), _within(below, cut, ground)


def _within(sides: Floats, lower: Tin, upper: Tin) -> Any:
    """What lines (s, 2, 2) [m] enclose where the one surface lies above the other."""
    lines = shapely.union_all(shapely.linestrings(sides), grid_size=GRID_M)
    faces = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    if not len(faces):
        return shapely.Polygon()
    inside = shapely.get_coordinates(shapely.point_on_surface(faces))
    return shapely.union_all(faces[levels_at(upper, inside) - levels_at(lower, inside) > NOTHING_M])


def _seams(tin: Tin) -> Floats:
    """The sides at which a surface ends, in plan (e, 2, 2) [m]."""
    every = np.sort(sides_of(tin.triangles), axis=1)
    single, count = np.unique(every, axis=0, return_counts=True)
    found: Floats = tin.xyz[single[count == 1]][:, :, :2]
    return found


def _level_sides(corners: Floats, rise: Floats) -> Floats:
    """Of convex polygons (p, k, 2) that rise in a part, the sides (s, 2, 2) of that part along which nothing rises."""
    after, rise_after = np.roll(corners, -1, axis=1), np.roll(rise, -1, axis=1)
    crosses = ((rise > 0.0) & (rise_after < 0.0)) | ((rise < 0.0) & (rise_after > 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(crosses, rise / (rise - rise_after), 0.0)
    met = corners + share[:, :, None] * (after - corners)
    count, sides = rise.shape
    slots = np.stack((corners, met), axis=2).reshape(count, 2 * sides, 2)
    nought = np.stack((rise == 0.0, crosses), axis=2).reshape(count, 2 * sides)
    rows = np.arange(count)
    first = slots[rows, nought.argmax(axis=1)]
    away = np.where(nought, ((slots - first[:, None]) ** 2).sum(axis=2), 0.0)
    ends = np.stack((first, slots[rows, away.argmax(axis=1)]), axis=1)
    found: Floats = ends[away.max(axis=1) > 0.0]
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
        To which part each triangle of `after` belongs, from 0 [-].
    parts : int
        How many parts there are [-].

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
