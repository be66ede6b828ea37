"""The heaviest rain that a body is to take, and what its overflow does about it."""

from __future__ import annotations

from rillwright.feature import Body, BodyKind, Feature, Overflow
from rillwright.hydraulics import caught_rain, head_on_crest, pipe_entry_head
from rillwright.shape import PondShape, level_at, volume_at
from rillwright.units import Band
from rillwright.water.crests import coefficient_band
from rillwright.water.result import Rain


def rain_on(feature: Feature, body: Body, pond: PondShape) -> Rain | None:
    """What the rain of the climate brings to a body; None where nobody said how much.

    All that falls on its open water, on the streams that run into it, and the said share of what falls on its
    catchments, evenly over the time that it lasts.
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
        overflow_head_m=None if body.overflow is None else _head(body.overflow, inflow),
    )


def _head(overflow: Overflow, inflow_m3s: float) -> Band:
    """Water over the sill [m] when all that comes in goes out there."""
    if overflow.pipe_m is not None:
        return Band.exact(pipe_entry_head(inflow_m3s, overflow.pipe_m))
    c, width = coefficient_band(), overflow.width_m or 0.0
    return Band(*(head_on_crest(inflow_m3s, width, each) for each in (c.value, c.high, c.low)))


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
