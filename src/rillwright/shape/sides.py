"""How far in from its outline the side of a body stands, by depth; and the outlines that follow from it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from rillwright.feature import XY, Body, Island

if TYPE_CHECKING:
    from numpy.typing import NDArray

_ROUNDS = 6
_PARTS = 17
_SMALL = 0.05


class Sides(Struct, frozen=True, kw_only=True):
    """Straight sides `up_per_across` [-], with one level shelf [m]. Depths are below the waterline, negative above."""

    up_per_across: float
    shelf_width_m: float
    shelf_depth_m: float

    @property
    def across_per_up(self) -> float:
        """Run of the side over its rise [-]; none where it is vertical."""
        return 0.0 if math.isinf(self.up_per_across) else 1.0 / self.up_per_across

    @property
    def stretch(self) -> float:
        """Sloping surface over its plan [-]; of no use where the side is vertical."""
        return math.hypot(1.0, self.up_per_across)

    def inset_m(self, depth_m: float, *, under_shelf: bool) -> float:
        """Distance in from the outline at the waterline [m], at `depth_m` [m]."""
        return depth_m * self.across_per_up + (self.shelf_width_m if under_shelf else 0.0)


def sides_of(body: Body) -> Sides:
    """The sides of a body. A shelf of no width, or not above the floor, is none."""
    shelf = body.shelf_width_m > 0.0 and 0.0 < body.shelf_depth_m < body.depth_m
    return Sides(
        up_per_across=body.side_up_per_across,
        shelf_width_m=body.shelf_width_m if shelf else 0.0,
        shelf_depth_m=body.shelf_depth_m if shelf else math.inf,
    )


def polygon_of(outline: tuple[XY, ...], islands: Sequence[Island] = ()) -> Any:
    """The outline as a polygon, without the islands in it."""
    import shapely

    return shapely.Polygon(outline, [island.outline for island in islands])


def inset(polygon: Any, insets_m: NDArray[np.float64]) -> NDArray[Any]:
    """The polygon's outlines `insets_m` [m] further in, further out where negative; empty where nothing is left.

    Corners are mitred: every straight edge goes on as one plane side, as a digger cuts it, and a rectangle stays one.
    A little beyond the point where all is gone, the geometry engine may give a small outline turned inside out. It is
    known by its middle, which lies nearer to the edge than it ought to, and is emptied.
    """
    import shapely

    found: NDArray[Any] = shapely.buffer(polygon, -insets_m, quad_segs=4, join_style="mitre")
    small = np.flatnonzero((insets_m > 0.0) & (shapely.area(found) < _SMALL * polygon.area))
    if small.size:
        aside = shapely.distance(shapely.point_on_surface(found[small]), polygon.boundary)
        found[small[aside < insets_m[small]]] = shapely.Polygon()
    return found


def real_depth_m(polygon: Any, sides: Sides, wanted_m: float) -> float:
    """The depth that is reached [m]: `wanted_m` [m], or less where the sides meet before it."""

    def left(depths_m: NDArray[np.float64], *, under_shelf: bool) -> NDArray[np.bool_]:
        import shapely

        insets = depths_m * sides.across_per_up + (sides.shelf_width_m if under_shelf else 0.0)
        open_areas: NDArray[np.float64] = shapely.area(inset(polygon, insets))
        return open_areas > 0.0

    under = wanted_m > sides.shelf_depth_m
    if left(np.array([wanted_m]), under_shelf=under)[0]:
        return wanted_m
    low = 0.0
    if under:
        low = sides.shelf_depth_m
        edges = [left(np.array([low]), under_shelf=side)[0] for side in (False, True)]
        if edges[0] and not edges[1]:
            return low  # the shelf itself is the floor
        if not edges[0]:
            low, wanted_m, under = 0.0, low, False
    high = wanted_m
    for _ in range(_ROUNDS):
        depths = np.linspace(low, high, _PARTS)
        dry = int(left(depths[1:-1], under_shelf=under).sum())
        low, high = float(depths[dry]), float(depths[dry + 1])
    return 0.5 * (low + high)
