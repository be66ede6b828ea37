"""The level at a place, how far the nearest shot lies, and what that does to the level's band."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct

from rillwright.feature import XY
from rillwright.ground.data import Floats, Indices
from rillwright.ground.finder import triangles_under
from rillwright.ground.net import edge_keys, over_sides, sides
from rillwright.ground.plan import plan_of, points_of, tree_of
from rillwright.ground.tin import Tin
from rillwright.sources import default

NEIGHBOURS = 8
REACHED = 24  # of so many shots round a place the nearest are its neighbours
BAND = 1.96  # standard errors to either side: 95 in 100 of a normal error


class Spot(Struct, frozen=True, kw_only=True):
    """A level [m] read off a surface, with its standard error [m] and where that comes from.

    `nearest` is the nearest shot, `nearest_m` away; `outside_m` how far outside the surveyed ground the place lies (0
    inside): the level of the nearest edge is carried there, and is a guess.
    """

    at: XY
    level_m: float
    sigma_m: float
    nearest: str
    nearest_m: float
    outside_m: float
    rough_m_per_m: float  # by how much the ground leaves the straight between shots, for each metre from one

    @property
    def guessed(self) -> bool:
        return self.outside_m > 0.0

    @property
    def low_m(self) -> float:
        return self.level_m - BAND * self.sigma_m

    @property
    def high_m(self) -> float:
        return self.level_m + BAND * self.sigma_m


def spots(tin: Tin, places: Sequence[XY]) -> tuple[Spot, ...]:
    """Levels at some places, with their bands.

    Between shots the ground is taken to be straight; it is not. How far it may be off grows with the distance to the
    nearest shot and with the roughness of the neighbourhood: through the eight shots about the place, on its side of
    every break line, a best plane is laid, and what they leave of it is reached over the share `ground.reach` of the
    distance at which they stand from each other. Ground is never taken to be smoother than `ground.uneven`. Both are
    defaults. The error of the shots themselves comes on top, by the share of each corner; an error that all shots have
    in common is not in it. Outside the surveyed ground the slope of the neighbourhood comes on top for the whole way to
    its edge.

    Parameters
    ----------
    tin : Tin
        The surface.
    places : sequence of (x, y)
        Places [m].

    Returns
    -------
    tuple of Spot
        Levels, standard errors and distances [m].

    References
    ----------
    The model of the band is common practice, no source. The plane is that of least squares: definition.
    """
    from scipy.spatial import cKDTree

    if not places:
        return ()
    asked = np.array(places, dtype=np.float64)
    shots = np.flatnonzero(tin.shots)
    away, near = (np.asarray(each) for each in cKDTree(tin.xyz[shots, :2]).query(asked))
    on, outside = _onto(tin, asked)
    rows, shares = triangles_under(tin, on)
    beside = _beside(tin)
    found = []
    for i, at in enumerate(asked):
        rough, slope = _roughness(tin.xyz[_around(tin, int(rows[i]), at, beside)])
        share = shares[i]
        own = tin.sigma_m * float(np.sqrt((share**2).sum()))
        between = rough * float(away[i])
        beyond = slope * float(outside[i])
        found.append(
            Spot(
                at=(float(at[0]), float(at[1])),
                level_m=float(tin.xyz[tin.triangles[rows[i]], 2] @ share),
                sigma_m=float(np.sqrt(own**2 + between**2 + beyond**2)),
                nearest=tin.named(int(shots[near[i]])),
                nearest_m=float(away[i]),
                outside_m=float(outside[i]),
                rough_m_per_m=rough,
            )
        )
    return tuple(found)


def _onto(tin: Tin, asked: Floats) -> tuple[Floats, Floats]:
    """The places, those outside moved to the nearest edge of the surface, and how far [m] they were moved."""
    rows, _ = triangles_under(tin, asked)
    moved, outside = asked.copy(), np.zeros(len(asked))
    off = np.flatnonzero(rows < 0)
    if not len(off):
        return moved, outside
    triangles = plan_of(tin.xyz, tin.triangles)
    tree = tree_of(triangles)
    points = points_of(asked[off])
    (which, nearest), distance = tree.query_nearest(points, all_matches=False, return_distance=True)
    for i, row, away in zip(off[which].tolist(), nearest.tolist(), distance.tolist(), strict=True):
        line = shapely.shortest_line(triangles[row], shapely.Point(asked[i]))
        moved[i], outside[i] = shapely.get_coordinates(line)[0], away
    return moved, outside


def _beside(tin: Tin) -> Indices:
    """The triangle over each side of each triangle (t, 3), -1 where there is none or the ground breaks."""
    count = len(tin.xyz)
    broken = np.isin(edge_keys(sides(tin.triangles), count), edge_keys(tin.breaks, count))
    return np.where(broken.reshape(3, -1).T, -1, over_sides(tin.triangles, count))


def _around(tin: Tin, row: int, at: Floats, beside: Indices) -> Indices:
    """The shots nearest to a place [m] that are reached from its triangle without passing a break line."""
    seen, ring = {row}, [row]
    corners: set[int] = set(tin.triangles[row].tolist())
    while ring and len(corners) < REACHED:
        ring = sorted({over for each in ring for over in beside[each].tolist() if over >= 0} - seen)
        seen.update(ring)
        corners.update(tin.triangles[ring].reshape(-1).tolist())
    reached = np.array(sorted(corners), dtype=np.int64)
    reached = reached[tin.shots[reached]]
    away = ((tin.xyz[reached, :2] - at) ** 2).sum(axis=1)
    nearest: Indices = reached[np.argsort(away, kind="stable")[:NEIGHBOURS]]
    return nearest


def _roughness(around: Floats) -> tuple[float, float]:
    """By how much some shots (k, 3) [m] leave their best plane, for each metre between them, and that plane's slope."""
    least = default("ground.uneven").number
    off = around - around.mean(axis=0)
    if len(around) < 3:
        return least, 0.0
    plane = np.linalg.lstsq(off[:, :2], off[:, 2], rcond=1e-9)[0]
    slope = float(np.hypot(*plane))
    if len(around) < 5:
        return least, slope
    left = float(np.sqrt(((off[:, 2] - off[:, :2] @ plane) ** 2).sum() / (len(around) - 3)))
    between = np.hypot(*(around[:, None, :2] - around[None, :, :2]).transpose(2, 0, 1))
    np.fill_diagonal(between, np.inf)
    apart = default("ground.reach").number * float(between.min(axis=1).mean())
    return max(least, left / apart), slope
