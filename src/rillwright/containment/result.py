"""Every top that must stand above water, against the highest water that it meets."""

from __future__ import annotations

from msgspec import Struct

from rillwright.containment.rim_result import (
    LowPlace,
    OverflowOut,
    Raise,
    RimFill,
    RimProfile,
    Settles,
    SpillPath,
    Through,
    Uphill,
    Wick,
)
from rillwright.units import Band
from rillwright.water import HighWater


class Freeboard(Struct, frozen=True, kw_only=True):
    """Height of one rim, bank or upturn above the highest water [m]; `berm_needed_m` is built up, before it settles."""

    path: str
    kind: str  # rim | bank | upturn
    top_m: Band
    against: HighWater
    freeboard_m: Band
    berm_needed_m: float | None
    run_m: float | None  # of a lap


class Containment(Struct, frozen=True, kw_only=True):
    tops: tuple[Freeboard, ...]
    spills_first: str | None  # path of the top with the least freeboard
    profiles: tuple[RimProfile, ...] = ()  # height to spare along every rim
    spills: tuple[SpillPath, ...] = ()  # where the water of each body and reach would leave first, and go
    raises: tuple[Raise, ...] = ()  # which stretches of rim to raise
    lows: tuple[LowPlace, ...] = ()  # where each body and reach has least to spare
    unsure: tuple[LowPlace, ...] = ()  # where each has least at the low end of its band, on ground that is no guess
    uphill: tuple[Uphill, ...] = ()  # rims at which higher ground slopes to the water
    wicks: tuple[Wick, ...] = ()  # edges over which something may lift water
    throughs: tuple[Through, ...] = ()  # what goes through the liner
    fills: tuple[RimFill, ...] = ()  # fill under the edges, where it is highest and where it holds most
    settles: tuple[Settles, ...] = ()  # berms of a named kind of fill
    may: tuple[SpillPath, ...] = ()  # where each may leave first, by the bands of its levels, and run up to a wall
    led: tuple[SpillPath, ...] = ()  # the way of what leaves by an overflow
    outs: tuple[OverflowOut, ...] = ()  # what leaves by each overflow before the rim goes
