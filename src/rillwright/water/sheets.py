"""How the water of each wet stone of a crest comes down: thrown, down a stack, down a slab, each by its own flow."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import Fall, FallKind
from rillwright.hydraulics import (
    Coefficient,
    SharedCrest,
    cling,
    coefficient_at,
    flow_on_crest,
    pool_wanted,
    slide_foot,
)
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.result import SheetWater

_LEVEL = 1e-6  # of its water: a stone less out of level counts as level
_ALL = 3  # corners of a sheet's band: as taken, least, most


class Strip(Struct, frozen=True, kw_only=True):
    """A width of crest over which the water is much the same: its flow per width [m2/s], top over the crest [m]."""

    at: str
    above_m: float
    unit_flow_m2s: tuple[float, float, float]  # as taken, least, most


def strips(fall: Fall, waters: Sequence[SharedCrest], coefficients: Sequence[Coefficient]) -> tuple[Strip, ...]:
    """The wet widths of a crest as it is taken, under the least and under the most water: its stones, or the ends of
    one out of level."""
    usual = waters[0]
    if fall.stones:
        found = (
            Strip(
                at=f"stone {i + 1}",
                above_m=stone.above_m,
                unit_flow_m2s=_three([water.stones[i].flow_m3s / stone.width_m for water in waters]),
            )
            for i, stone in enumerate(fall.stones)
        )
        return tuple(strip for strip in found if strip.unit_flow_m2s[0] > 0.0)
    tilt = abs(fall.tilt_m or 0.0)
    if usual.over_m3s <= 0.0:
        return ()
    if tilt <= _LEVEL * usual.stones[0].low_end_m:
        return (
            Strip(at="", above_m=0.0, unit_flow_m2s=_three([water.over_m3s / fall.crest_width_m for water in waters])),
        )
    pairs = list(zip(waters, coefficients, strict=True))
    low = [_local(c, water, water.stones[0].low_end_m) for water, c in pairs]
    high = [_local(c, water, water.stones[0].high_end_m) for water, c in pairs]
    ends = (
        Strip(at=f"{fall.low_end or 'low'} end", above_m=-0.5 * tilt, unit_flow_m2s=_three(low)),
        Strip(at="high end", above_m=0.5 * tilt, unit_flow_m2s=_three(high)),
    )
    return tuple(strip for strip in ends if strip.unit_flow_m2s[0] > 0.0)


def _three(flows: Sequence[float]) -> tuple[float, float, float]:
    usual, least, most = flows
    return usual, least, most


def _local(coefficient: Coefficient, water: SharedCrest, depth_m: float) -> float:
    """Flow per width [m2/s] at one end of a stone, by the C of the deepest water on it."""
    stone = water.stones[0]
    return (
        flow_on_crest(depth_m, 1.0, coefficient_at(coefficient, stone.low_end_m)) * stone.drowned
        if depth_m > 0.0
        else 0.0
    )


def sheets(fall: Fall, wet: Sequence[Strip], height: Band) -> tuple[SheetWater, ...]:
    """How the water of each strip comes down from the crest's height [m] over what it falls on; none where it does not
    fall."""
    return tuple(found for strip in wet if (found := _sheet(fall, strip, height.shift(strip.above_m))) is not None)


def _sheet(fall: Fall, strip: Strip, height: Band) -> SheetWater | None:
    if height.value <= 0.0:
        return None
    usual, least, most = strip.unit_flow_m2s
    corners = [(usual, height.value)]
    corners += [(q, h) for q, h in ((least, height.low), (most, height.high)) if q > 0.0 and h > 0.0]
    plain = SheetWater(at=strip.at, unit_flow_m2s=band_of(*strip.unit_flow_m2s), height_m=height)
    if fall.kind is FallKind.FREE:
        return _thrown(plain, corners)
    if fall.kind is FallKind.STACKED:
        return _down_stack(plain, [q for q, _ in corners])
    return _down_slab(fall, plain, corners)


def _thrown(plain: SheetWater, corners: list[tuple[float, float]]) -> SheetWater:
    pools = [pool_wanted(q, h) for q, h in corners]
    far = [pool.lands for pool in pools]
    lowest = far[0].throw_m if len(corners) == _ALL else 0.0
    return replace(
        plain,
        throw_m=band_of(far[0].throw_m, lowest, *(each.throw_m for each in far[1:])),
        throw_low_m=band_of(*(each.lower_m for each in far)),
        impact_ms=far[0].impact_ms,
        pool_depth_m=band_of(*(each.depth_m for each in pools)),
        pool_length_m=band_of(*(each.length_m for each in pools)),
        drop_number=pools[0].drop_number,
        notes=_said(far[0].outside),
    )


def _down_stack(plain: SheetWater, flows_m2s: list[float]) -> SheetWater:
    course = default("crest.course").band
    made = [cling(q, step) for q in flows_m2s for step in (course.value, course.low, course.high)]
    return replace(
        plain,
        cling_radius_m=band_of(*(each.lip_radius_m for each in made)),
        tread_m=band_of(*(each.tread_m for each in made)),
    )


def _down_slab(fall: Fall, plain: SheetWater, corners: list[tuple[float, float]]) -> SheetWater:
    n = default("crest.slide_n").band
    feet = [
        slide_foot(q, math.hypot(fall.stone_depth_m, h), h, n=each)
        for q, h in corners
        for each in (n.value, n.low, n.high)
    ]
    return replace(
        plain,
        foot_depth_m=band_of(*(foot.depth_m for foot in feet)),
        foot_speed_ms=band_of(*(foot.speed_ms for foot in feet)),
        notes=_said(feet[0].outside),
    )


def _said(outside: str) -> tuple[str, ...]:
    return tuple(outside.split("; ")) if outside else ()


def hardest(found: Sequence[SheetWater]) -> SheetWater | None:
    """Where most water comes down to the width: farthest thrown, fastest, least apt to cling; None where none falls."""
    return max(found, key=lambda sheet: sheet.unit_flow_m2s.value, default=None)


def over_all(found: Sequence[SheetWater], name: str) -> Band | None:
    """What a crest's sheets are told by: the value where most comes down, from the least to the most of all of them.

    A stone that may stay dry counts for the least only where no other surely runs.
    """
    worst = hardest(found)
    bands = [(sheet, band) for sheet in found if (band := getattr(sheet, name)) is not None]
    if worst is None or not bands:
        return None
    value: float = getattr(worst, name).value
    sure = [band for sheet, band in bands if sheet.unit_flow_m2s.low > 0.0] or [band for _, band in bands]
    return band_of(value, *(band.low for band in sure), *(band.high for _, band in bands))
