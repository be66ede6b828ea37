"""The heaviest rain that a body is to take, and what its overflow does about it."""

from __future__ import annotations

from rillwright.feature import Body, BodyKind, Feature, Overflow
from rillwright.hydraulics import caught_rain, head_on_crest, pipe_entry_head
from rillwright.shape import PondShape, level_at, volume_at
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.crests import coefficient_band
from rillwright.water.result import Rain, WayOut


def rain_on(feature: Feature, body: Body, pond: PondShape) -> Rain | None:
    """What the rain of the climate brings to a body; None where nobody said how much.

    All that falls on its open water, on the streams that run into it, and the said share of what falls on its
    catchments, over the time that it lasts. An overflow must carry it at its heaviest; that the body's own rise
    takes the edge off that is left out.
    """
    fallen = feature.climate.rain_m
    if fallen is None:
        return None
    streams = [stream for stream in feature.streams if stream.into == body.id]
    surfaces = [(reach.open_width_m * reach.length_m, 1.0) for stream in streams for reach in stream.reaches]
    surfaces += [(each.area_m2, each.share) for each in body.catchments]
    surfaces += [(pond.area_m2, 1.0)] if body.kind is BodyKind.POND else []
    caught = caught_rain(fallen, surfaces)
    inflow = caught / feature.climate.rain_s
    held = body.waterline.m
    return Rain(
        body=body.id,
        rain_m=fallen,
        caught_m3=caught,
        inflow_m3s=inflow,
        rise_m=level_at(pond, volume_at(pond, held) + caught) - held,
        overflow_head_m=None
        if body.overflow is None
        else _head(body.overflow, default("climate.rain_peak").band.scale(inflow)),
    )


def way_out(feature: Feature, body: Body, pond: PondShape, *, stopped: Band, rain: Rain | None) -> WayOut:
    """What lets water out of a body, whose water stands `stopped` [m] when topped up while running.

    A top-up that is stuck open brings all that the supply gives; over the overflow it stands no higher than that needs.
    """
    overflow, supply = body.overflow, feature.supply.hose_m3s
    stuck = None
    if overflow is not None and supply is not None:
        over = _head(overflow, Band.exact(supply)).shift(overflow.level.m)
        stuck = Band(*(max(a, b) for a, b in zip(_ends(over), _ends(stopped), strict=True)))
    blocked = None
    if overflow is not None and rain is not None:
        blocked = Band(*(level_at(pond, volume_at(pond, each) + rain.caught_m3) for each in _ends(stopped)))
    return WayOut(
        body=body.id,
        sill_m=None if overflow is None else overflow.level.m,
        supply_m3s=supply,
        stuck_m=stuck,
        blocked_m=blocked,
    )


def _ends(band: Band) -> tuple[float, float, float]:
    return band.value, band.low, band.high


def _head(overflow: Overflow, inflow_m3s: Band) -> Band:
    """Water over the sill [m] when all that comes in goes out there."""
    flows = _ends(inflow_m3s)
    if overflow.pipe_m is not None:
        return Band(*(pipe_entry_head(flow, overflow.pipe_m) for flow in flows))
    c, width = coefficient_band(), overflow.width_m or 0.0
    return Band(*(head_on_crest(q, width, each) for q, each in zip(flows, (c.value, c.high, c.low), strict=True)))


def level_after(body: Body, pond: PondShape, rain: Rain, before: Band) -> Band:
    """Highest level [m] of a body that stood at a level `before` [m] when the rain began.

    The overflow holds it at its sill and the water over that, unless all of the rain finds room below.
    """
    filled = [
        level_at(pond, volume_at(pond, each) + rain.caught_m3) for each in (before.value, before.low, before.high)
    ]
    if body.overflow is None or rain.overflow_head_m is None:
        return Band(*filled)
    over = Band.exact(body.overflow.level.m) + rain.overflow_head_m
    levels = [
        min(full, max(sill, start))
        for full, sill, start in zip(
            filled,
            (over.value, over.low, over.high),
            (before.value, before.low, before.high),
            strict=True,
        )
    ]
    return Band(levels[0], min(levels), max(levels))
