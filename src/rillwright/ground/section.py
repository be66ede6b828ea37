"""A section of the ground along a line: exact where it passes from triangle to triangle, and as often as is asked."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.feature import XY
from rillwright.ground.data import Floats
from rillwright.ground.finder import bins_of, levels_at
from rillwright.ground.plan import plan_of, tree_of
from rillwright.ground.tin import Tin

MOST_STATIONS = 100_000


class Section(Struct, frozen=True, kw_only=True, eq=False):
    """Ground along a line: `station_m` (s,) from its start, `xy` (s, 2) [m], `level_m` (s,), NaN off the ground."""

    station_m: Floats
    xy: Floats
    level_m: Floats

    @property
    def off_m(self) -> float:
        """Length of the line that runs off the surveyed ground [m]."""
        gone = np.isnan(self.level_m)
        return float(np.diff(self.station_m)[gone[:-1] | gone[1:]].sum())


def section(tin: Tin, line: Sequence[XY], *, step_m: float | None = None) -> Section:
    """The ground along a line.

    Parameters
    ----------
    tin : Tin
        The surface.
    line : sequence of (x, y)
        At least two different places [m].
    step_m : float or None
        A station at least so often [m]; None: only where the ground's slope changes.

    Returns
    -------
    Section
        Stations, places and levels [m]: at the line's corners, at every edge of the surface that it crosses, and at
        every step.

    Raises
    ------
    InputError
        If the line has no length, or there would be more than 100,000 stations.

    References
    ----------
    A line cut by the edges of triangles: closed form.
    """
    way = np.array(line, dtype=np.float64).reshape(-1, 2)
    long = np.concatenate(((0.0,), np.cumsum(np.hypot(*np.diff(way, axis=0).T)))) if len(way) else np.zeros(1)
    whole = float(long[-1])
    if not (math.isfinite(whole) and whole > 0.0):
        raise InputError(
            Problem(message="a section needs a line of some length", allowed="two different places or more")
        )
    if step_m is not None and not (step_m > 0.0 and whole / step_m <= MOST_STATIONS):
        allowed = f"more than 0, and at most {MOST_STATIONS} stations"
        raise InputError(Problem(message="no usable step along a section", found=f"{step_m:g} m", allowed=allowed))
    triangles = plan_of(tin.xyz, tin.triangles)
    tree = tree_of(triangles)
    stations = [*long.tolist()]
    for (a, b), start in zip(itertools.pairwise(way), long[:-1], strict=True):
        leg = shapely.LineString((a, b))
        if leg.length == 0.0:
            continue
        cut = shapely.intersection(leg, triangles[tree.query(leg, predicate="intersects")])
        stations += (start + np.hypot(*(shapely.get_coordinates(cut) - a).T)).tolist()
    if step_m is not None:
        stations += np.arange(0.0, whole, step_m).tolist()
    station = np.sort(np.array(stations))
    station = station[np.concatenate(((True,), np.diff(station) > 1e-7))]
    xy = np.column_stack((np.interp(station, long, way[:, 0]), np.interp(station, long, way[:, 1])))
    return Section(station_m=station, xy=xy, level_m=levels_at(tin, xy, bins=bins_of(tin)))
