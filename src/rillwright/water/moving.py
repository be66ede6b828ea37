"""Gravel that the water of a reach moves, and the stone that stays where a sheet lands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.hydraulics import (
    ISBASH_LOOSE,
    ISBASH_SET,
    SHIELDS,
    bed_shear,
    isbash_stone,
    jet_speed_in_pool,
    shields_stone,
)
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.places import Place
from rillwright.water.reach import ReachState, section_of
from rillwright.water.result import CrestWater
from rillwright.water.stream_result import Impact, MovingGravel


def moving_gravel(place: Place, usual: ReachState, others: Iterable[ReachState]) -> MovingGravel | None:
    """The gravel that just stays where the water pulls hardest, by Shields; None where no water is seen."""
    pulls = _pulls(place, usual)
    if not pulls or place.reach.gravel_m <= 0.0:
        return None
    worst = max(range(len(pulls)), key=lambda i: pulls[i])
    shear = band_of(pulls[worst], *(max(_pulls(place, each), default=0.0) for each in others))
    stays = Band(
        shields_stone(shear.value).size_m,
        shields_stone(shear.low, shields=SHIELDS.high).size_m,
        shields_stone(shear.high, shields=SHIELDS.low).size_m,
    )
    return MovingGravel(
        station_m=place.stations_m[worst],
        shear_pa=shear,
        grain_m=place.reach.grain_m,
        stays_m=stays,
        share=stays.scale(1.0 / place.reach.grain_m),
    )


def _pulls(place: Place, state: ReachState) -> list[float]:
    """Pull on the bed at each station [Pa]."""
    if state.profile is None:
        return []
    width, section = place.reach.open_width_m, section_of(place)
    return [
        bed_shear(
            width * depth / (width + 2.0 * depth) if section.side_run == 0.0 else section.at(depth).hydraulic_radius_m,
            slope,
        )
        if depth > 0.0
        else 0.0
        for depth, slope in zip(state.profile.depths_m, state.profile.slopes, strict=True)
    ]


def impacts(
    feature: Feature, crests: Iterable[CrestWater], depths: Mapping[str, Band], pools: Mapping[str, Band]
) -> tuple[Impact, ...]:
    """Where each free sheet lands, from the depth of the water there [m]: on beds, by fall, and in bodies."""
    waters = {crest.fall: crest for crest in crests}
    found = []
    for stream in feature.streams:
        for fall in stream.falls:
            crest = waters[fall.id]
            if crest.impact_ms is not None and crest.impact_ms > 0.0 and crest.flow_m3s.value > 0.0:
                below = _below(feature, stream, fall)
                pool = pools[stream.into] if below is None else depths[fall.id] + Band.exact(_dug_m(fall, crest))
                found.append(_impact(crest, fall, below, pool))
    return tuple(found)


def _impact(crest: CrestWater, fall: Fall, below: Reach | None, pool: Band) -> Impact:
    speed = crest.impact_ms or 0.0

    def left(flow_m3s: float, pool_m: float) -> float:
        sheet = flow_m3s / fall.crest_width_m / speed
        return jet_speed_in_pool(speed, sheet, max(pool_m, 0.0)) if sheet > 0.0 else 0.0

    flow = crest.flow_m3s
    remains = Band(left(flow.value, pool.value), left(flow.low, pool.high), left(flow.high, pool.low))
    loose = [isbash_stone(each, coefficient=ISBASH_LOOSE).size_m for each in (remains.value, remains.high)]
    return Impact(
        fall=fall.id,
        path=crest.path,
        speed_ms=speed,
        pool_m=pool,
        left_ms=remains,
        stone_m=Band(loose[0], isbash_stone(remains.low, coefficient=ISBASH_SET).size_m, loose[1]),
        grain_m=None if below is None or below.gravel_m <= 0.0 else below.grain_m,
    )


def _dug_m(fall: Fall, crest: CrestWater) -> float:
    """How much deeper than on the bed the water is where a sheet lands [m]: in a plunge pool, if it does land in it."""
    if fall.plunge is None or crest.throw_m is None or crest.throw_m.high > fall.plunge.length_m:
        return 0.0
    return fall.plunge.depth_m


def _below(feature: Feature, stream: Stream, fall: Fall) -> Reach | None:
    """The bed on which a fall lands; None where it is the body, or another fall comes first."""
    below = feature.below(stream, fall)
    return below if isinstance(below, Reach) else None
