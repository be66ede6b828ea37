"""What leaves a body by its overflow, how much of it before the rim goes, and the way that it takes from there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from rillwright.containment.places import top_band, worst
from rillwright.containment.rim_result import LowPlace, OverflowOut, SpillPath
from rillwright.containment.spilling import Over, way_from
from rillwright.feature import XY, Body, Feature, Overflow
from rillwright.shape import RimLine
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water import HighWater, Water, overflow_carries

ORDINARY = ("rest", "running", "stopped")


def outs(feature: Feature, water: Water, lows: Sequence[LowPlace]) -> tuple[OverflowOut, ...]:
    """What leaves each body that has an overflow before the lowest place of its rim goes.

    Parameters
    ----------
    feature : Feature
        Bodies and their overflows.
    water : Water
        What the heaviest rain brings [m3/s].
    lows : sequence of LowPlace
        The lowest place of each body [m].

    Returns
    -------
    tuple of OverflowOut
        One a body of which both levels are known [m, m3/s].

    References
    ----------
    Levels taken off each other; flow by that height over the sill: `rillwright.water.overflow_carries`.
    """
    rains = {rain.body: rain.inflow_m3s for rain in water.rains}
    tops = {low.water: low.top_m for low in lows}
    found = []
    for body in feature.bodies:
        path = f"ponds/{body.id}"
        if body.overflow is None or path not in tops:
            continue
        sill = top_band(body.overflow.level.m, body.overflow.level)
        room = tops[path] - sill
        peak = default("climate.rain_peak").band.scale(rains[body.id]) if body.id in rains else None
        found.append(
            OverflowOut(
                water=path,
                sill_m=sill,
                rim_m=tops[path],
                room_m=room,
                carries_m3s=overflow_carries(body.overflow, room, coefficient=_crest(body.overflow)),
                peak_m3s=peak,
            )
        )
    return tuple(found)


def _crest(overflow: Overflow) -> Band:
    """Of a notch, as of any crest [m^0.5/s]; of a pipe it has no use."""
    return Band.exact(1.0) if overflow.width_m is None else default("crest.c").band


def led(feature: Feature, water: Water, over: Over) -> tuple[SpillPath, ...]:
    """The way of what leaves by each overflow of which it is said where it lies, from where that lets go of it.

    A notch lets go of it just outside the edge beside its place; a pipe or a channel where it ends.
    """
    return tuple(path for body in feature.bodies if (path := _led(body, water.highest, over)) is not None)


def _led(body: Body, highest: Iterable[HighWater], over: Over) -> SpillPath | None:
    overflow = body.overflow
    if overflow is None or overflow.at is None:
        return None
    water = f"ponds/{body.id}"
    rim, at, along_m = _nearest(over.rims.values(), overflow.at)
    if rim is None:
        return None
    start, stands = (overflow.ends, "") if overflow.ends is not None else over.begins(rim, at)
    way, ends, towards, nearest = way_from(start, over, water=water, stands=stands)
    sill = top_band(overflow.level.m, overflow.level)
    return SpillPath(
        water=water,
        rim=rim.path,
        at=overflow.at,
        along_m=along_m,
        level_m=sill,
        spare_m=sill - _ordinary(water, highest),
        way=way,
        ends=ends,
        towards=towards,
        nearest_m=nearest,
        over="overflow",
    )


def _nearest(rims: Iterable[RimLine], at: XY) -> tuple[RimLine | None, XY, float]:
    """The outer edge nearest to a place, the place on it, and how far along it that lies [m]."""
    best: tuple[float, RimLine | None, XY, float] = (np.inf, None, at, 0.0)
    for rim in rims:
        if rim.kind == "outer":
            away = [float(np.hypot(point.at[0] - at[0], point.at[1] - at[1])) for point in rim.points]
            row = int(np.argmin(away))
            if away[row] < best[0]:
                best = away[row], rim, rim.points[row].at, rim.points[row].along_m
    return best[1:]


def _ordinary(water: str, highest: Iterable[HighWater]) -> Band:
    """The highest water of an ordinary day [m]."""
    return worst(high for high in highest if high.path == water and high.case in ORDINARY).level_m
