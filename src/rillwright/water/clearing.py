"""How long a pond stays cloudy with the silt of its build, and what the fill meter says of its volume."""

from __future__ import annotations

import math

from rillwright.feature import Body, Feature, Filled
from rillwright.hydraulics import settling_speed
from rillwright.shape import MeterDoubt, PondShape, drawn, volume_at
from rillwright.sources import default, water_viscosity
from rillwright.water.bands import band_of
from rillwright.water.result import Clearing, Metered


def clearing(body: Body, pond: PondShape, flow_m3s: float) -> Clearing | None:
    """Until one part in twenty of the silt is left, with `flow_m3s` [m3/s] turning the water over.

    It sinks out of the stirred water, and part of it stays behind in stream, gravel and intake at each turnover: the
    rates add up. Fine clay in cold water, of which little is caught, makes the long end. Algae do not settle so: green
    water is another matter.
    """
    if pond.volume_m3 <= 0.0 or pond.area_m2 <= 0.0:
        return None
    depth = pond.gross_m3 / pond.area_m2
    left = math.log(default("silt.left").number)
    bands = default("silt.caught").band, default("silt.fine").band, default("silt.water").band
    times = []
    for end in ("value", "low", "high"):
        caught, grain_m, warmth = (getattr(band, end) for band in bands)
        sinking = settling_speed(grain_m, viscosity_m2s=water_viscosity(warmth)) / depth
        times.append(-left / (sinking + caught * flow_m3s / pond.volume_m3))
    return Clearing(body=body.id, time_s=band_of(times[0], *times[1:]))


def metered(feature: Feature, ponds: dict[str, PondShape]) -> tuple[Metered, ...]:
    """Every reading of the fill meter beside the volume that the drawing has below its level."""
    left = {id: list(pond.doubts) for id, pond in ponds.items()}
    return tuple(_reading(one, ponds[one.body], left[one.body].pop(0)) for one in feature.filled)


def _reading(one: Filled, pond: PondShape, doubt: MeterDoubt | None) -> Metered:
    return Metered(
        body=one.body,
        level_m=one.level.m,
        meter_m3=one.meter_m3,
        worked_out_m3=volume_at(drawn(pond), one.level.m),
        used=bool(pond.as_drawn) and doubt is None,
        doubt=doubt,
    )
