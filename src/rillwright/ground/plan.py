"""The triangles of a surface and the edges of a net in plan, as shapes that can be searched."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from rillwright.ground.data import Floats, Indices

Shapes = NDArray[np.object_]


def plan_of(xyz: Floats, triangles: Indices) -> Shapes:
    """Triangles (t, 3) of points (n, 3) [m] as polygons in plan."""
    made: Any = shapely.polygons(xyz[triangles][:, :, :2])
    return np.asarray(made, dtype=np.object_)


def lines_of(xyz: Floats, edges: Indices) -> Shapes:
    """Edges (e, 2) of points (n, 3) [m] as lines in plan."""
    made: Any = shapely.linestrings(xyz[edges][:, :, :2])
    return np.asarray(made, dtype=np.object_)


def points_of(xyz: Floats) -> Shapes:
    """Points (n, 2 or 3) [m] in plan."""
    made: Any = shapely.points(xyz[:, :2])
    return np.asarray(made, dtype=np.object_)


def tree_of(shapes: Shapes) -> shapely.STRtree:
    """The shapes, to be searched."""
    return shapely.STRtree(list(shapes))
