"""The width that islands leave to the water of a bed, station by station."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from rillwright.feature import Reach, Stream
from rillwright.shape import course_of

_BETWEEN = 8  # places that are looked at in each stretch: an island may lie between two stations
_LEAST = 0.05  # of the bed's width: an island that closes its bed is told as one that leaves it


def open_widths_m(stream: Stream, reach: Reach, stations_m: tuple[float, ...]) -> tuple[float, ...]:
    """Width of the bed less what islands take of it, the least near each station [m].

    Parameters
    ----------
    stream : Stream
        With its course in plan.
    reach : Reach
        One of its beds.
    stations_m : tuple of float
        Along the stream from its head, rising [m].

    Returns
    -------
    tuple of float
        One for each station [m]; empty where the bed has no island.
    """
    if not reach.islands:
        return ()
    import shapely

    course = course_of(stream)
    fine = np.interp(np.arange((len(stations_m) - 1) * _BETWEEN + 1) / _BETWEEN, np.arange(len(stations_m)), stations_m)
    middle, half = course.places(fine), 0.5 * reach.width_m * course.across(fine)
    lines = shapely.linestrings(np.stack((middle - half, middle + half), axis=1))
    land = shapely.union_all([shapely.Polygon(island.outline) for island in reach.islands])
    taken = np.asarray(shapely.length(shapely.intersection(lines, land)))
    edges = [0, *(i * _BETWEEN - _BETWEEN // 2 for i in range(1, len(stations_m))), len(fine)]
    most = [float(taken[a : b + 1].max()) for a, b in pairwise(edges)]
    return tuple(max(reach.width_m - each, _LEAST * reach.width_m) for each in most)
