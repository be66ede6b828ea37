"""The far end of a long section: on up the side above the water, over the rim, and held there."""

from __future__ import annotations

import math

from rillwright.feature import XY, Body, Rim
from rillwright.shape.result import Line


def far_rim(body: Body, far: XY) -> Rim | None:
    """The rim of a body at which its section ends: the nearest to that place, else the lowest; None without rims."""
    placed = [(math.dist(rim.at, far), rim) for rim in body.rims if rim.at is not None]
    if placed:
        return min(placed, key=lambda pair: pair[0])[1]
    return min(body.rims, key=top_m, default=None)


def top_m(rim: Rim) -> float:
    """Level of the liner's edge at a rim [m], as shot where it is built, else over its berm before that settles."""
    return rim.top.m if rim.top is not None else rim.ground.m + rim.berm_m


def over_rim(body: Body, rim: Rim, *, end_m: float, held_m: float) -> Line:
    """The liner beyond the station `end_m` [m] of the far waterline: up to the rim and level on for `held_m` [m]."""
    rise = max(top_m(rim) - body.waterline.m, 0.0)
    top = end_m + rise / body.side_up_per_across
    return ((top, body.waterline.m + rise), (top + held_m, body.waterline.m + rise))


def dug_to_ground(body: Body, rim: Rim, *, end_m: float, under_m: float) -> Line:
    """The dig beyond the station `end_m` [m] of the far waterline: up behind the liner to the ground that was there."""
    rise = max(rim.ground.m - body.waterline.m, 0.0)
    return ((end_m + under_m + rise / body.side_up_per_across, body.waterline.m + rise),) if rise > 0.0 else ()
