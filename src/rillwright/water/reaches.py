"""Water in every reach with its band, open and half blocked."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from rillwright.sources import default
from rillwright.units import Band
from rillwright.water.bands import band_of
from rillwright.water.crests import coefficient_band
from rillwright.water.places import Place
from rillwright.water.reach import ReachState, Setting, reach_state
from rillwright.water.result import ReachWater


class ReachBand(Struct, frozen=True, kw_only=True):
    """One reach as it is taken, and at the low and high end of its flow, crest and gravel."""

    place: Place
    usual: ReachState
    low: ReachState
    high: ReachState

    def level_m(self, end: int) -> Band:
        """Running level at its upper end (0) or lower end (-1) [m]."""
        return band_of(self.usual.levels_m[end], self.low.levels_m[end], self.high.levels_m[end])

    @property
    def crest_flow_m3s(self) -> Band:
        return band_of(self.usual.crest_flow_m3s, self.low.crest_flow_m3s, self.high.crest_flow_m3s)


def reach_band(place: Place, flow: Band, *, open_share: float = 1.0) -> ReachBand:
    """A reach over the band of its flow [m3/s], with `open_share` of its width open [-].

    Low: little water, a sharp lip, loose gravel. High: much water, a rough crest, tight gravel.
    """
    c, voids = coefficient_band(), default("gravel.porosity")
    loose, tight = voids.high or voids.number, voids.low or voids.number
    usual = Setting(crest_c=c.value, open_share=open_share, porosity=voids.number)
    return ReachBand(
        place=place,
        usual=reach_state(place, flow.value, usual),
        low=reach_state(place, flow.low, Setting(crest_c=c.high, open_share=open_share, porosity=loose)),
        high=reach_state(place, flow.high, Setting(crest_c=c.low, open_share=open_share, porosity=tight)),
    )


def reach_bands(
    places: tuple[Place, ...], flows: Mapping[str, Band], *, open_share: float = 1.0
) -> dict[str, ReachBand]:
    """Every reach over the band of its flow [m3/s], by id; `open_share` of the width is open [-]."""
    return {place.reach.id: reach_band(place, flows[place.reach.id], open_share=open_share) for place in places}


def reach_water(band: ReachBand) -> ReachWater:
    """What is told of one reach."""
    place, usual, ends = band.place, band.usual, (band.low, band.high)
    return ReachWater(
        reach=place.reach.id,
        path=f"reaches/{place.reach.id}",
        pool_like=place.pool_like,
        flow_m3s=band_of(usual.flow_m3s, *(end.flow_m3s for end in ends)),
        rest_level_m=place.rest_m,
        running_start_m=band.level_m(0),
        running_end_m=band.level_m(-1),
        depth_m=band_of(usual.mean_depth_m, *(end.mean_depth_m for end in ends)),
        speed_ms=band_of(usual.speed_ms, *(end.speed_ms for end in ends)),
        hidden=band_of(usual.hidden, *(end.hidden for end in ends)),
        above_rest_m3=usual.above_rest_m3,
        gravel_m3=usual.gravel_m3,
        method=usual.method,
    )
