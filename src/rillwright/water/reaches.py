"""Water in every reach with its band, open, half blocked and dammed by leaves."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from rillwright.hydraulics import ergun_speed
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.moving import moving_gravel
from rillwright.water.places import Place
from rillwright.water.reach import ReachState, Setting, pool_kept_m3, reach_state
from rillwright.water.result import ReachWater
from rillwright.water.stream_result import StreamProfile


class ReachBand(Struct, frozen=True, kw_only=True):
    """One reach as it is taken, and at the low and high end of its flow, crest, gravel and roughness.

    Water stands lowest where little runs over a smooth bed and highest where much runs over a rough one; it is slowest
    where little runs over a rough bed and fastest where much runs over a smooth one.
    """

    place: Place
    usual: ReachState
    low: ReachState
    high: ReachState
    slow: ReachState
    fast: ReachState

    @property
    def others(self) -> tuple[ReachState, ...]:
        """All but the usual state."""
        return self.low, self.high, self.slow, self.fast

    def level_m(self, end: int) -> Band:
        """Running level at its upper end (0) or lower end (-1) [m]."""
        return band_of(self.usual.levels_m[end], *(each.levels_m[end] for each in self.others))

    @property
    def crest_flow_m3s(self) -> Band:
        return band_of(self.usual.crest_flow_m3s, self.low.crest_flow_m3s, self.high.crest_flow_m3s)


def reach_band(
    place: Place, flow: Band, *, open_share: float = 1.0, dam_m: float = 0.0, speeds: bool = True
) -> ReachBand:
    """A reach over the band of its flow [m3/s], with `open_share` of its width open [-] and leaves `dam_m` [m] high.

    Without `speeds` only its levels and depths have their band, as those of a stream that is blocked.

    Low: little water, a sharp lip, loose gravel, a smooth bed. High: much water, a rough crest, tight gravel, a rough
    bed: its law may be off by the scatter of its data, and outside them by more.
    """
    voids = default("gravel.porosity").band
    loose, tight = voids.high, voids.low
    setting = Setting(crest="value", open_share=open_share, porosity=voids.value, dam_m=dam_m)
    usual = reach_state(place, flow.value, setting)
    factor = 1.0 if usual.profile is None else usual.profile.roughness
    told = speeds and open_share == 1.0 and dam_m == 0.0
    open_, rough = replace(setting, crest="high", porosity=loose), replace(setting, crest="low", porosity=tight)
    open_, rough = replace(open_, smooth=factor), replace(rough, smooth=1.0 / factor)
    low, high = reach_state(place, flow.low, open_), reach_state(place, flow.high, rough)
    return ReachBand(
        place=place,
        usual=usual,
        low=low,
        high=high,
        slow=reach_state(place, flow.low, rough) if told else low,
        fast=reach_state(place, flow.high, open_) if told else high,
    )


def reach_bands(
    places: tuple[Place, ...],
    flows: Mapping[str, Band],
    *,
    open_share: float = 1.0,
    dam_m: float = 0.0,
    speeds: bool = True,
) -> dict[str, ReachBand]:
    """Every reach over the band of its flow [m3/s], by id; all else as for one."""
    return {
        place.reach.id: reach_band(place, flows[place.reach.id], open_share=open_share, dam_m=dam_m, speeds=speeds)
        for place in places
    }


def reach_water(band: ReachBand) -> ReachWater:
    """What is told of one reach."""
    place, usual, others = band.place, band.usual, band.others
    return ReachWater(
        reach=place.reach.id,
        path=f"reaches/{place.reach.id}",
        pool_like=place.pool_like,
        flow_m3s=band_of(usual.flow_m3s, *(each.flow_m3s for each in others)),
        rest_level_m=place.rest_m,
        running_start_m=band.level_m(0),
        running_end_m=band.level_m(-1),
        depth_m=band_of(usual.mean_depth_m, *(each.mean_depth_m for each in others)),
        speed_ms=band_of(usual.speed_ms, *(each.speed_ms for each in others)),
        hidden=band_of(usual.hidden, *(each.hidden for each in others)),
        above_rest_m3=usual.above_rest_m3,
        gravel_m3=usual.gravel_m3,
        pool_m3=pool_kept_m3(place),
        method=usual.method,
        profile=_told(band),
        moving=moving_gravel(place, usual, others),
        notes=_notes(place, usual),
    )


def _notes(place: Place, usual: ReachState) -> tuple[str, ...]:
    """What lies outside what was measured: of the law of its bed, and of the water in its gravel."""
    said = [*usual.outside.split("; "), *_of_gravel(place, usual).split("; ")]
    return tuple(dict.fromkeys(note for note in said if note))


def _of_gravel(place: Place, usual: ReachState) -> str:
    """What of the water in the gravel lies outside Ergun's range, where it is driven hardest."""
    if place.reach.gravel_m <= 0.0 or usual.flow_m3s <= 0.0:
        return ""
    sealed = place.sealed and usual.profile is not None
    slope = max(usual.profile.slopes, default=0.0) if sealed and usual.profile else place.spacing_slope
    porosity = default("gravel.porosity").number
    return ergun_speed(slope, grain_m=place.reach.grain_m, porosity=porosity).outside if slope > 0.0 else ""


def _told(band: ReachBand) -> StreamProfile | None:
    """The profile with its bands; None where no water is seen."""
    found = band.usual.profile
    if found is None:
        return None
    beds = found.beds_m
    levels = tuple(
        band_of(level, *(each.levels_m[i] for each in band.others)) for i, level in enumerate(found.levels_m)
    )
    return StreamProfile(
        stations_m=found.stations_m,
        beds_m=beds,
        levels_m=levels,
        depths_m=tuple(_depth(level, bed) for level, bed in zip(levels, beds, strict=True)),
        speeds_ms=tuple(
            band_of(speed, *(_speed(each, i) for each in band.others)) for i, speed in enumerate(found.speeds_ms)
        ),
        froudes=found.froudes,
        energies_m=found.energies_m,
        hidden=tuple(_hidden(band.usual, share) for share in found.hidden),
        jumps_m=tuple(jump.station_m for jump in found.jumps),
        control=found.control,
        roughness=found.roughness,
        out_of_range=found.outside,
    )


def _depth(level: Band, bed_m: float) -> Band:
    return Band(*(max(each - bed_m, 0.0) for each in (level.value, level.low, level.high)))


def _speed(state: ReachState, index: int) -> float:
    return 0.0 if state.profile is None else state.profile.speeds_ms[index]


def _hidden(state: ReachState, share: float) -> float:
    """Share [-] of the whole flow in the gravel at a station, from that of what has not gone under the stones."""
    return 1.0 - (1.0 - share) * state.crest_flow_m3s / state.flow_m3s
