"""A body cut level by level: areas, volumes and lined surface of its slices, from the top down."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from rillwright.shape.sides import Sides, inset

if TYPE_CHECKING:
    from numpy.typing import NDArray

INCH_M = 0.0254
MOST_SLICES = 600  # fifty feet by the inch; what is higher still is cut coarser, whatever was typed
_SAME_M = 1e-9


class Slices(Struct, frozen=True):
    """Slices between `depths_m` [m] below the waterline; areas [m2] at the top and the bottom of each, volume [m3]."""

    depths_m: NDArray[np.float64]  # one more than there are slices
    top_m2: NDArray[np.float64]
    bottom_m2: NDArray[np.float64]
    volume_m3: NDArray[np.float64]
    side_m2: NDArray[np.float64]  # surface of the sides
    tops: NDArray[Any]  # outlines
    bottoms: NDArray[Any]

    def between(self, top_m: float, bottom_m: float) -> NDArray[np.bool_]:
        """Which slices lie between the two depths [m]."""
        middle = 0.5 * (self.depths_m[:-1] + self.depths_m[1:])
        return np.asarray((middle > top_m) & (middle < bottom_m))

    def surface_m2(self, top_m: float, bottom_m: float) -> float:
        """Surface [m2] of sides, shelf and floor between two depths [m]."""
        among = np.flatnonzero(self.between(top_m, bottom_m))
        if not among.size:
            return 0.0
        flats = self.bottom_m2[among[:-1]] - self.top_m2[among[1:]]
        return float(self.side_m2[among].sum() + flats.sum() + self.bottom_m2[among[-1]])


def cut(polygon: Any, sides: Sides, breaks_m: tuple[float, ...]) -> Slices:
    """Cut between the least and the greatest of `breaks_m` [m, below the waterline], and at each of them.

    Every inch is cut, or every few inches where that would make more than `MOST_SLICES`.

    A slice holds h/6 (A_top + 4 A_middle + A_bottom), the prismoidal formula: exact where the area is a square or
    cubic polynomial of depth, as it is between plane sides.

    References: prismoidal formula, any surveying text.
    """
    import shapely

    depths = _depths(sides, breaks_m)
    tops, bottoms = depths[:-1], depths[1:]
    middles = 0.5 * (tops + bottoms)
    shelf = np.where(middles > sides.shelf_depth_m, sides.shelf_width_m, 0.0)
    insets = np.concatenate([part * sides.across_per_up + shelf for part in (tops, middles, bottoms)])
    distinct, back = np.unique(insets, return_inverse=True)
    outlines = inset(polygon, distinct)
    top_m2, middle_m2, bottom_m2 = np.split(shapely.area(outlines)[back], 3)
    heights = bottoms - tops
    if math.isinf(sides.up_per_across):
        side_m2 = np.split(shapely.length(outlines)[back], 3)[0] * heights
    else:
        side_m2 = (top_m2 - bottom_m2) * sides.stretch
    top_outlines, _, bottom_outlines = np.split(outlines[back], 3)
    return Slices(
        depths_m=depths,
        top_m2=top_m2,
        bottom_m2=bottom_m2,
        volume_m3=heights / 6.0 * (top_m2 + 4.0 * middle_m2 + bottom_m2),
        side_m2=side_m2,
        tops=top_outlines,
        bottoms=bottom_outlines,
    )


def _depths(sides: Sides, breaks_m: tuple[float, ...]) -> NDArray[np.float64]:
    top, bottom = min(breaks_m), max(breaks_m)
    every = INCH_M * max(1, math.ceil((bottom - top) / INCH_M / MOST_SLICES))
    first, last = math.ceil(top / every), math.floor(bottom / every)
    fixed = [depth for depth in (*breaks_m, sides.shelf_depth_m) if top <= depth <= bottom]
    inches = [
        depth
        for depth in (every * count for count in range(first, last + 1))
        if all(abs(depth - at) > 1e-3 for at in fixed)  # a sliver beside a break helps nobody
    ]
    depths = np.array(sorted([*fixed, *inches]))
    kept = np.concatenate([[True], np.diff(depths) > _SAME_M])
    return np.asarray(depths[kept])
