"""Water on every crest, how far it falls, where it lands or what it runs down."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from rillwright.feature import Fall, FallKind, Feature, Reach, Stream
from rillwright.hydraulics import (
    Cling,
    SharedCrest,
    SlideFoot,
    cling,
    crest_depth_band,
    free_fall,
    landing,
    rand_drop,
    slide_foot,
    tilt_flow_ratio,
    weber_number,
)
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.joints import foot_level_m
from rillwright.water.result import CrestWater, ReachWater, StoneShare
from rillwright.water.spill import Joint, joints, on_crest

_DRY_M = 1e-4  # a high end that runs dry counts as wetted by a film, so that the ratio stays a number


def coefficient_band() -> Band:
    """C of a stone crest [m^0.5/s]."""
    return default("crest.c").band


def crest_water(
    fall: Fall, flow: Band, below: Band, *, arriving: Band, on_gravel: bool, cover_m: float | None = None
) -> CrestWater:
    """Water on one crest, above water that runs at a level [m] below it; it falls as far as that, or as the top of what
    covers it [m].

    Of `arriving` [m3/s], the gravel of the bed above brings `flow` up to the crest; where the stone lies on gravel that
    is all that goes over. Where it does not, and nothing seals it, water goes under it by its joint as well.
    """
    c, (joint, tight, wide) = coefficient_band(), joints()

    def at(flow_m3s: float, coefficient: float, joint: Joint, below_m: float) -> SharedCrest:
        leak = None if on_gravel else joint
        return on_crest(fall, flow_m3s, coefficient=coefficient, below_m=below_m, joint=leak)

    usual = at(flow.value, c.value, joint, below.value)
    ends = at(flow.low, c.high, wide, below.low), at(flow.high, c.low, tight, below.high)
    depth = band_of(_depth_m(fall, usual), *(_depth_m(fall, end) for end in ends))
    over = band_of(usual.over_m3s, *(end.over_m3s for end in ends))
    if cover_m is not None:
        below = Band(*(max(level, cover_m) for level in (below.value, below.low, below.high)))
    height = Band.exact(fall.crest.m) - below
    outside = crest_depth_band(usual.over_m3s, fall.crest_width_m, coefficient=c).outside
    return CrestWater(
        fall=fall.id,
        path=f"falls/{fall.id}",
        kind=fall.kind.value,
        flow_m3s=over,
        width_m=fall.crest_width_m,
        depth_m=depth,
        fall_height_m=height,
        in_range=not outside or flow.value <= 0.0,
        range_note=outside if flow.value > 0.0 else "",
        tilt_ratio=_tilt_ratio(fall, depth.value),
        weber=weber_number(depth.value),
        stones=_shares(fall, usual, ends),
        dry_share=0.0 if fall.stones or usual.over_m3s <= 0.0 else usual.stones[0].dry_share,
        drowned=usual.over_m3s / free if (free := _free_m3s(usual)) > 0.0 else 1.0,
        under=None if fall.sealed else _under(arriving, usual, ends),
        **_face(fall, over, height),
    )


def _depth_m(fall: Fall, water: SharedCrest) -> float:
    """Water over the crest's level [m]: over the lowest of several stones, or the middle of one."""
    return max(water.level_m - fall.crest.m, 0.0) if water.over_m3s > 0.0 else 0.0


def _free_m3s(water: SharedCrest) -> float:
    """What would run over at that level with nothing standing below [m3/s]."""
    return sum(one.flow_m3s / one.drowned for one in water.stones if one.drowned > 0.0)


def _tilt_ratio(fall: Fall, depth_m: float) -> float | None:
    if fall.tilt_m is None or fall.stones or depth_m <= 0.0:
        return None
    ratio = tilt_flow_ratio(depth_m, abs(fall.tilt_m))
    return ((depth_m + 0.5 * abs(fall.tilt_m)) / _DRY_M) ** 1.5 if ratio is None else ratio


def _shares(fall: Fall, usual: SharedCrest, ends: tuple[SharedCrest, SharedCrest]) -> tuple[StoneShare, ...]:
    """What each of several stones carries; the little that may run leaves the high ones driest."""

    def share(water: SharedCrest, i: int) -> float:
        return water.stones[i].flow_m3s / water.over_m3s if water.over_m3s > 0.0 else 0.0

    return tuple(
        StoneShare(
            width_m=stone.width_m,
            above_m=stone.above_m,
            depth_m=band_of(usual.stones[i].low_end_m, *(end.stones[i].low_end_m for end in ends)),
            share=band_of(share(usual, i), *(share(end, i) for end in ends)),
        )
        for i, stone in enumerate(fall.stones)
    )


def _under(arriving: Band, usual: SharedCrest, ends: tuple[SharedCrest, SharedCrest]) -> Band:
    """Share of what arrives that does not go over [-]."""
    flows = (arriving.value, arriving.low, arriving.high)
    shares = [
        max(1.0 - water.over_m3s / each, 0.0) if each > 0.0 else 0.0
        for water, each in zip((usual, *ends), flows, strict=True)
    ]
    return band_of(shares[0], *shares[1:])


def _face(fall: Fall, flow: Band, height: Band) -> dict[str, Any]:
    """What the water does below the crest, by the kind of fall; nothing where none runs or it does not fall."""
    nothing: dict[str, Any] = {"throw_m": None, "impact_ms": None}
    if height.value <= 0.0 or flow.value <= 0.0:
        return nothing
    unit = [q / fall.crest_width_m for q in (flow.value, flow.low, flow.high)]
    corners = [(unit[0], height.value)] + [
        (q, h) for q, h in ((unit[1], height.low), (unit[2], height.high)) if q > 0.0 and h > 0.0
    ]
    if fall.kind is FallKind.FREE:
        return _sheet(corners)
    if fall.kind is FallKind.STACKED:
        return nothing | _stack([q for q, _ in corners])
    return nothing | _slide(fall, corners)


def _sheet(corners: list[tuple[float, float]]) -> dict[str, Any]:
    far = [landing(q, h) for q, h in corners]
    near = [free_fall(q, h).lower_m for q, h in corners]
    rand = rand_drop(*corners[0])
    lowest = 0.0 if len(corners) < 3 else far[0].throw_m
    return {
        "throw_m": band_of(far[0].throw_m, lowest, *(each.throw_m for each in far[1:])),
        "throw_low_m": band_of(near[0], *near[1:]),
        "impact_ms": far[0].impact_ms,
        "pool_m": rand.pool_depth_m,
        "beyond_m": rand.sequent_depth_m,
    }


def _stack(flows_m2s: list[float]) -> dict[str, Any]:
    course = default("crest.course").band
    made: list[Cling] = [cling(q, step) for q in flows_m2s for step in (course.value, course.low, course.high)]
    return {
        "cling_radius_m": band_of(made[0].lip_radius_m, *(each.lip_radius_m for each in made)),
        "tread_m": band_of(made[0].tread_m, *(each.tread_m for each in made)),
    }


def _slide(fall: Fall, corners: list[tuple[float, float]]) -> dict[str, Any]:
    n = default("crest.slide_n").band
    feet: list[SlideFoot] = []
    for q, h in corners:
        length = math.hypot(fall.stone_depth_m, h)
        feet += [slide_foot(q, length, h, n=each) for each in (n.value, n.low, n.high)]
    return {
        "foot_depth_m": band_of(feet[0].depth_m, *(foot.depth_m for foot in feet)),
        "foot_speed_ms": band_of(feet[0].speed_ms, *(foot.speed_ms for foot in feet)),
    }


def crest_waters(
    feature: Feature,
    flows: Mapping[str, Band],
    reaches: Mapping[str, ReachWater],
    running: Mapping[str, Band],
    *,
    arriving: Mapping[str, Band],
) -> tuple[CrestWater, ...]:
    """Water on every crest: from what the bed above brings up to it and what its link carries in all [m3/s], and the
    running levels [m] of reaches and bodies."""
    return tuple(
        crest_water(
            fall,
            flows[fall.id],
            foot_level_m(feature, stream, fall, reaches=reaches, running=running),
            arriving=arriving[fall.id],
            on_gravel=_gravel_m(stream, fall) > 0.0,
            cover_m=feature.body(stream.into).cover_m if feature.below(stream, fall) is None else None,
        )
        for stream in feature.streams
        for fall in stream.falls
    )


def _gravel_m(stream: Stream, fall: Fall) -> float:
    """In the bed above a fall [m]."""
    above = stream.links[: stream.links.index(fall)]
    return next((link.gravel_m for link in reversed(above) if isinstance(link, Reach)), 0.0)
