"""Water along a bed into which another stream runs: below that with the flow of both, above it with its own."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from rillwright.feature import Feature
from rillwright.hydraulics import Profile, SteadyChannel, steady_profile
from rillwright.water.places import Coming, Place

_LEAST = 1e-3  # of the flow: water that hardly moves still has a profile


def with_coming(feature: Feature, places: tuple[Place, ...], flows: Mapping[str, float]) -> tuple[Place, ...]:
    """The places with what runs into each from other streams, of the flow [m3/s] of each link."""
    found = []
    for place in places:
        streams, whole = feature.joining(place.reach), flows[place.reach.id]
        coming = tuple(
            Coming(station_m=stream.joins.station_m, share=flows[stream.links[-1].id] / whole)
            for stream in streams
            if stream.joins is not None and whole > 0.0
        )
        found.append(replace(place, coming=coming) if coming else place)
    return tuple(found)


def joined_profile(
    flow_m3s: float, channel: SteadyChannel, *, level_m: float | None, coming: tuple[Coming, ...]
) -> Profile:
    """The profile of a channel that carries `flow_m3s` [m3/s] at its lower end, where `level_m` [m] holds its water.

    What is coming enters at the station nearest to it. There the level is the same on both sides: the thrust of the
    water that comes in from the side is left out.
    """
    flow, level, last = flow_m3s, level_m, len(channel.stations_m) - 1
    parts: list[Profile] = []
    for each in sorted(coming, key=lambda one: -one.station_m):
        at = min(range(last + 1), key=lambda i, each=each: abs(channel.stations_m[i] - each.station_m))  # type: ignore[misc]
        if at < last:
            parts.insert(0, steady_profile(flow, _part(channel, at, last), level_m=level))
            level, last = parts[0].levels_m[0], at
        flow = max(flow - each.share * flow_m3s, _LEAST * flow_m3s)
    if last > 0 or not parts:
        parts.insert(0, steady_profile(flow, _part(channel, 0, last), level_m=level))
    return _together(parts) if len(parts) > 1 else parts[0]


def _part(channel: SteadyChannel, first: int, last: int) -> SteadyChannel:
    """The channel from one of its stations to another."""
    rows = slice(first, last + 1)
    sections = channel.sections if len(channel.sections) == 1 else channel.sections[rows]
    return replace(
        channel, stations_m=channel.stations_m[rows], beds_m=channel.beds_m[rows], sections=sections,
        held_m=channel.held_m[rows],
    )  # fmt: skip


def _together(parts: list[Profile]) -> Profile:
    """Profiles one after the other as one; where two meet the lower one counts."""
    rows = {
        name: tuple(value for part in parts[:-1] for value in getattr(part, name)[:-1]) + getattr(parts[-1], name)
        for name in (
            "stations_m", "beds_m", "levels_m", "depths_m", "speeds_ms", "froudes", "energies_m", "slopes", "seen_m3s",
            "hidden",
        )
    }  # fmt: skip
    notes = dict.fromkeys(note for part in parts for note in part.outside.split("; ") if note)
    return replace(
        parts[-1],
        **rows,
        jumps=tuple(jump for part in parts for jump in part.jumps),
        outside="; ".join(notes),
        roughness=max(part.roughness for part in parts),
    )
