"""Lowest way out over triangles: exact, for on a surface of triangles it always runs along their sides."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rillwright.errors import InputError, Problem
from rillwright.feature import XY
from rillwright.ground.data import Floats, Indices
from rillwright.ground.finder import triangles_under
from rillwright.ground.net import edge_keys, sides
from rillwright.ground.spill import Spill
from rillwright.ground.spill_twin import flooded_from
from rillwright.ground.tin import Tin


def spill_levels_on(tin: Tin) -> tuple[Floats, Indices]:
    """To which level water must rise at each point of a surface before it leaves, and where it goes on.

    Parameters
    ----------
    tin : Tin
        The surface.

    Returns
    -------
    tuple of arrays, shape (n,)
        Spill levels [m], no number at a point without a triangle; row of the next point on the way out, -1 where the
        surface ends.

    References
    ----------
    Water over triangles passes from one hollow to the next at a corner: definition of a level that is straight over
    each. From the edge inwards with a heap: barnes-2014.
    """
    count = len(tin.xyz)
    edges = sides(tin.triangles)
    _, first, times = np.unique(edge_keys(edges, count), return_index=True, return_counts=True)
    beside: list[list[int]] = [[] for _ in range(count)]
    for one, other in edges[first].tolist():
        beside[one].append(other)
        beside[other].append(one)
    outlets = np.unique(edges[first[times == 1]]).tolist()
    outside = np.ones(count, dtype=bool)
    outside[edges.reshape(-1)] = False
    level, onward = flooded_from(tin.xyz[:, 2].tolist(), outlets=outlets, beside=beside, outside=outside)
    return np.array(level), np.array(onward)


def spill_on(tin: Tin, places: Sequence[XY]) -> Spill:
    """Where the water of a body leaves that stands over some places of a surface of triangles.

    Parameters
    ----------
    tin : Tin
        The surface.
    places : sequence of (x, y)
        Places of the body [m]; the one from which water leaves at the lowest level counts.

    Returns
    -------
    Spill
        Level [m], place and way, from the place down to the lowest corner of its triangle and on along sides.

    Raises
    ------
    InputError
        If a place has no ground, or none is given.
    """
    if not places:
        raise InputError(Problem(message="no place is given from which water could leave"))
    asked = np.array(places, dtype=np.float64)
    rows, shares = triangles_under(tin, asked)
    if (rows < 0).any():
        x, y = asked[int(np.argmin(rows))]
        raise InputError(Problem(message="a place without ground", field=f"at x {x:g} m, y {y:g} m"))
    level, onward = spill_levels_on(tin)
    corners = tin.triangles[rows]
    own = (tin.xyz[corners, 2] * shares).sum(axis=1)
    low = corners[np.arange(len(rows)), tin.xyz[corners, 2].argmin(axis=1)]
    out = np.maximum(level[low], own)
    best = int(out.argmin())
    chain = [int(low[best])]
    while onward[chain[-1]] >= 0:
        chain.append(int(onward[chain[-1]]))
    way = [(float(asked[best, 0]), float(asked[best, 1]), float(own[best]))]
    way += [(float(x), float(y), float(z)) for x, y, z in tin.xyz[chain]]
    spill = next(each for each in way if each[2] >= out[best])
    return Spill(level_m=float(out[best]), at=(spill[0], spill[1]), way=tuple(way))
