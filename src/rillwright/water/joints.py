"""The water at the foot of a fall: of the next bed, of the bed of the stream that is joined, or of the body."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.units import Band
from rillwright.water.result import ReachWater

_HAIR_M = 1e-9


def foot_level_m(
    feature: Feature, stream: Stream, fall: Fall, *, reaches: Mapping[str, ReachWater], running: Mapping[str, Band]
) -> Band:
    """Running level [m] of the water into which a fall falls; `running` [m] of bodies."""
    below = feature.below(stream, fall)
    if below is None:
        return running[stream.into]
    if not isinstance(below, Reach) or below.id not in reaches:
        return Band.exact(fall.foot.m)
    if stream.joins is None or below.stream == stream.id:
        return reaches[below.id].running_start_m
    return _at(reaches[below.id], below, stream.joins.station_m)


def landing_depths_m(feature: Feature, reaches: Mapping[str, ReachWater]) -> dict[str, Band]:
    """Running depth [m] where each fall lands on a bed, by fall: at its upper end, or where a stream joins it."""
    found = {}
    for stream, fall, bed in _on_beds(feature):
        water = reaches[bed.id]
        if water.profile is None:
            found[fall.id] = Band.exact(0.0)
        elif stream.joins is None or bed.stream == stream.id:
            found[fall.id] = water.profile.depths_m[0]
        else:
            level, low = _at(water, bed, stream.joins.station_m), bed.bed_at_m(stream.joins.station_m)
            found[fall.id] = Band(*(max(each - low, 0.0) for each in (level.value, level.low, level.high)))
    return found


def _on_beds(feature: Feature) -> Iterator[tuple[Stream, Fall, Reach]]:
    for stream in feature.streams:
        for fall in stream.falls:
            below = feature.below(stream, fall)
            if isinstance(below, Reach):
                yield stream, fall, below


def _at(water: ReachWater, reach: Reach, station_m: float) -> Band:
    """Running level of a reach [m] beside a station [m]: straight between those at which it is worked out."""
    stations, levels = (reach.station_m, reach.station_m + reach.length_m), (water.running_start_m, water.running_end_m)
    if water.profile is not None:
        stations, levels = water.profile.stations_m, water.profile.levels_m  # type: ignore[assignment]
    if station_m <= stations[0] + _HAIR_M:
        return levels[0]
    for (one, low), (other, high) in zip(
        zip(stations, levels, strict=True), zip(stations[1:], levels[1:], strict=True), strict=False
    ):
        if station_m <= other + _HAIR_M:
            share = min(max((station_m - one) / (other - one), 0.0), 1.0)
            ends = zip((low.value, low.low, low.high), (high.value, high.low, high.high), strict=True)
            return Band(*(a + (b - a) * share for a, b in ends))
    return levels[-1]
