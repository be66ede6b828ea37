"""Water on every crest, how far it falls, where it lands."""

from __future__ import annotations

from collections.abc import Mapping

from rillwright.feature import Fall, FallKind, Feature, Stream
from rillwright.hydraulics import crest_depth_band, landing, tilt_flow_ratio
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.circuit import band_of
from rillwright.water.result import CrestWater, ReachWater

_DRY_M = 1e-4  # a high end that runs dry counts as wetted by a film, so that the ratio stays a number


def coefficient_band() -> Band:
    """C of a stone crest [m^0.5/s]."""
    usual = default("crest.c")
    return Band(usual.number, usual.low or usual.number, usual.high or usual.number)


def crest_water(fall: Fall, flow: Band, below: Band) -> CrestWater:
    """Water on one crest at a flow [m3/s], above water that runs at a level [m] below it."""
    c, width = coefficient_band(), fall.crest_width_m
    usual = crest_depth_band(flow.value, width, coefficient=c)
    ends = [crest_depth_band(q, width, coefficient=c).depth_m for q in (flow.low, flow.high)]
    depth = band_of(usual.depth_m.value, ends[0].low, ends[1].high)
    height = Band.exact(fall.crest.m) - below
    throw, impact = _throw(fall, flow, height)
    tilt = None
    if fall.tilt_m is not None and depth.value > 0.0:
        tilt = tilt_flow_ratio(depth.value, abs(fall.tilt_m))
        if tilt is None:
            tilt = ((depth.value + 0.5 * abs(fall.tilt_m)) / _DRY_M) ** 1.5
    return CrestWater(
        fall=fall.id,
        path=f"falls/{fall.id}",
        kind=fall.kind.value,
        flow_m3s=flow,
        width_m=width,
        depth_m=depth,
        fall_height_m=height,
        throw_m=throw,
        impact_ms=impact,
        in_range=not usual.outside or flow.value <= 0.0,
        range_note=usual.outside if flow.value > 0.0 else "",
        tilt_ratio=tilt,
    )


def _throw(fall: Fall, flow: Band, height: Band) -> tuple[Band | None, float | None]:
    """Where a free sheet lands [m] and how fast [m/s]; stacked falls and slides keep to their stone."""
    if fall.kind is not FallKind.FREE or height.value <= 0.0 or flow.value <= 0.0:
        return None, None
    usual = landing(flow.value / fall.crest_width_m, height.value)
    ends = [
        landing(q / fall.crest_width_m, h).throw_m
        for q, h in ((flow.low, height.low), (flow.high, height.high))
        if q > 0.0 and h > 0.0
    ]
    return band_of(usual.throw_m, *(ends or [0.0])), usual.impact_ms


def crest_waters(
    feature: Feature,
    flows: Mapping[str, Band],
    reaches: Mapping[str, ReachWater],
    running: Mapping[str, Band],
) -> tuple[CrestWater, ...]:
    """Water on every crest, from the flow over each [m3/s] and the running levels [m] of reaches and bodies."""
    return tuple(
        crest_water(fall, flows[fall.id], _below(stream, fall, reaches, running))
        for stream in feature.streams
        for fall in stream.falls
    )


def _below(stream: Stream, fall: Fall, reaches: Mapping[str, ReachWater], running: Mapping[str, Band]) -> Band:
    for link in stream.links[stream.links.index(fall) + 1 :]:
        return reaches[link.id].running_start_m if link.id in reaches else Band.exact(fall.foot.m)
    return running[stream.into]
