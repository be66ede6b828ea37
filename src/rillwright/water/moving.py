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
from rillwright.water.landing import Landing
from rillwright.water.places import Place
from rillwright.water.reach import ReachState, section_of
from rillwright.water.result import CrestWater, SheetWater
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
        notes=_notes(shields_stone(shear.value).outside, stays.value, usual.mean_depth_m),
    )


def _notes(outside: str, stone_m: float, water_m: float) -> tuple[str, ...]:
    """What of a stone that just stays lies outside what was measured: stones lay well under water."""
    return tuple(note for note in (outside, _PROUD if stone_m > water_m else "") if note)


_PROUD = "the stone that just stays is larger than the water over it is deep"


def _pulls(place: Place, state: ReachState) -> list[float]:
    """Pull on the bed at each station [Pa]."""
    if state.profile is None:
        return []
    width, section = place.reach.open_width_m, section_of(place)
    box = section.side_run == section.dish_m == 0.0
    return [
        bed_shear(
            width * depth / (width + 2.0 * depth) if box else section.at(depth).hydraulic_radius_m,
            slope,
        )
        if depth > 0.0
        else 0.0
        for depth, slope in zip(state.profile.depths_m, state.profile.slopes, strict=True)
    ]


_NOWHERE = Landing(pool=Band.exact(0.0), length=0.0, beside=0.0)  # another fall comes first


def impacts(feature: Feature, crests: Iterable[CrestWater], places: Mapping[str, Landing]) -> tuple[Impact, ...]:
    """Where each free sheet lands, on beds and in bodies, and what the water there makes of it.

    Of a crest whose stones carry different flows, the sheet that asks for the largest stone.
    """
    waters = {crest.fall: crest for crest in crests}
    found = []
    for stream in feature.streams:
        for fall in stream.falls:
            crest = waters[fall.id]
            if crest.impact_ms is not None and crest.impact_ms > 0.0 and crest.flow_m3s.value > 0.0:
                below, place = _below(feature, stream, fall), places.get(fall.id, _NOWHERE)
                each = [_impact(crest, sheet, below, place) for sheet in crest.sheets if sheet.impact_ms]
                found.append(max(each, key=lambda impact: impact.stone_m.value))
    return tuple(found)


def _impact(crest: CrestWater, sheet: SheetWater, below: Reach | None, place: Landing) -> Impact:
    pool, speed = place.pool, sheet.impact_ms or 0.0

    def left(unit_flow_m2s: float, pool_m: float) -> float:
        thick = unit_flow_m2s / speed
        return jet_speed_in_pool(speed, thick, max(pool_m, 0.0)) if thick > 0.0 else 0.0

    flow = sheet.unit_flow_m2s
    remains = Band(left(flow.value, pool.value), left(flow.low, pool.high), left(flow.high, pool.low))
    loose = [isbash_stone(each, coefficient=ISBASH_LOOSE).size_m for each in (remains.value, remains.high)]
    return Impact(
        fall=crest.fall,
        path=crest.path,
        at=sheet.at,
        notes=_notes("", loose[0], pool.value),
        speed_ms=speed,
        pool_m=pool,
        length_m=place.length or None,
        wanted_depth_m=sheet.pool_depth_m,
        wanted_length_m=sheet.pool_length_m,
        left_ms=remains,
        stone_m=Band(loose[0], isbash_stone(remains.low, coefficient=ISBASH_SET).size_m, loose[1]),
        grain_m=None if below is None or below.gravel_m <= 0.0 else below.grain_m,
    )


def _below(feature: Feature, stream: Stream, fall: Fall) -> Reach | None:
    """The bed on which a fall lands; None where it is the body, or another fall comes first."""
    below = feature.below(stream, fall)
    return below if isinstance(below, Reach) else None
