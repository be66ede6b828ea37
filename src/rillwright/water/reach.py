"""Water in one reach at one flow: gradually varied flow up from its crest, or down a slide."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import Reach
from rillwright.hydraulics import (
    FlowLaw,
    GravelBed,
    Profile,
    Section,
    SteadyChannel,
    by_ferguson,
    ergun_speed,
    head_on_lip,
    hidden_share,
    scaled_law,
    steady_profile,
)
from rillwright.sources import default
from rillwright.water.joined_profile import joined_profile
from rillwright.water.places import Place
from rillwright.water.spill import on_crest, stone_lip


class Setting(Struct, frozen=True, kw_only=True):
    """With what a reach is computed: which end of the C of its crest, share of the width left open [-], porosity [-].

    `smooth` [-] is what the speeds of the law are multiplied by; `dam_m` [m] the height of leaves caught on the crest,
    and on a slide across its bed as well.
    """

    crest: Literal["value", "low", "high"]
    open_share: float
    porosity: float
    smooth: float = 1.0
    dam_m: float = 0.0


class ReachState(Struct, frozen=True, kw_only=True):
    """One reach at one flow: levels [m] from its upper to its lower end, and what comes and goes with the pump [m3]."""

    flow_m3s: float
    levels_m: tuple[float, ...]
    crest_flow_m3s: float
    crest_depth_m: float
    mean_depth_m: float
    speed_ms: float
    hidden: float
    above_rest_m3: float
    gravel_m3: float
    method: str
    outside: str
    profile: Profile | None = None  # None: at rest, or all of it in the gravel

    @property
    def transit_m3(self) -> float:
        return self.above_rest_m3 + self.gravel_m3


def reach_state(place: Place, flow_m3s: float, setting: Setting) -> ReachState:
    """Water in a reach at a flow [m3/s].

    Under stones that are not sealed the gravel carries its part down from crest to crest, and only the rest is seen
    and runs over the crest. Sealed stones bring all of it up; above them water and gravel share one energy slope.
    """
    if flow_m3s <= 0.0:
        return _still(place)
    under = 0.0 if place.sealed else flow_m3s * _hidden(place, flow_m3s, place.spacing_slope, setting)
    over = flow_m3s - under
    depth = _on_crest(place, over, setting)
    found = _profile(place, over, depth, setting) if over > 0.0 else None
    beds = place.beds_m
    levels = tuple(beds) if found is None else found.levels_m
    mean = _mean([max(level - bed, 0.0) for level, bed in zip(levels, beds, strict=True)])
    resting = _mean([max((place.rest_m if place.rest_m is not None else bed) - bed, 0.0) for bed in beds])
    plan = place.reach.open_width_m * place.reach.length_m
    box = place.reach.side_up_per_across is None and place.reach.dish_m == 0.0
    level = plan * max(mean - resting, 0.0) if box else _over_rest_m3(place, levels)
    return ReachState(
        flow_m3s=flow_m3s,
        levels_m=levels,
        crest_flow_m3s=over,
        crest_depth_m=depth,
        mean_depth_m=mean,
        speed_ms=0.0 if found is None else _mean(list(found.speeds_ms)),
        hidden=1.0 if found is None else (under + over * _mean(list(found.hidden))) / flow_m3s,
        above_rest_m3=level + pool_over_rest_m3(place),
        gravel_m3=(plan - _pool_m2(place)) * setting.porosity * _drained_m(place),
        method="all of it in the gravel"
        if found is None
        else _METHOD.format("backwater" if place.pool_like else "slide"),
        outside="no water is seen: the gravel carries all of it" if found is None else found.outside,
        profile=found,
    )


_METHOD = "gradually varied flow, {}, Ferguson 2007"


def section_of(place: Place, *, open_share: float = 1.0) -> Section:
    """The section of the water: its banks widen it where their side is said, else they stand upright in it.

    Where part of the width is blocked, as much of its banks is.
    """
    reach = place.reach
    side = math.inf if reach.side_up_per_across is None else reach.side_up_per_across
    return Section(bottom_m=reach.open_width_m * open_share, side_run=open_share / side, dish_m=reach.dish_m)


def _sections(place: Place, section: Section, open_share: float) -> tuple[Section, ...]:
    """The section for all stations, or beside islands one for each."""
    if not place.widths_m:
        return (section,)
    return tuple(replace(section, bottom_m=width * open_share) for width in place.widths_m)


def _over_rest_m3(place: Place, levels_m: tuple[float, ...]) -> float:
    """Water above what stands at rest [m3]: the sections along the bed."""
    section = section_of(place)
    over = []
    for level, bed in zip(levels_m, place.beds_m, strict=True):
        rest = max((place.rest_m if place.rest_m is not None else bed) - bed, 0.0)
        over.append(max(section.at(max(level - bed, 0.0)).area_m2 - section.at(rest).area_m2, 0.0))
    return place.reach.length_m * _mean(over)


def rest_over_m3(place: Place, down_to_m: float) -> float:
    """Water at rest in a bed above a level [m]: the sections along it [m3]; nothing where it drains dry."""
    if place.rest_m is None:
        return 0.0
    section, down = section_of(place), min(down_to_m, place.rest_m)
    held = [section.at(max(place.rest_m - bed, 0.0)).area_m2 for bed in place.beds_m]
    left = [section.at(max(down - bed, 0.0)).area_m2 for bed in place.beds_m]
    return place.reach.length_m * (_mean(held) - _mean(left))


def _pool_m2(place: Place) -> float:
    """Plan of the plunge pool in a bed [m2]."""
    return 0.0 if place.plunge is None else place.reach.floor_width_m * place.plunge.length_m


def pool_kept_m3(place: Place) -> float:
    """Water that the plunge pool in a bed keeps below its lower lip with the pump off [m3]."""
    if place.plunge is None:
        return 0.0
    return _pool_m2(place) * (place.plunge.depth_m - place.slope * place.plunge.length_m)


def pool_over_rest_m3(place: Place) -> float:
    """Water in the plunge pool that goes with the pump [m3]: above its lip or the water at rest, up to the bed's line.

    A wedge, straight along the pool: closed form.
    """
    if place.plunge is None or place.slope <= 0.0:
        return 0.0
    reach, long = place.reach, place.plunge.length_m
    lip = reach.bed_start.m - place.slope * long
    top = max(reach.bed_start.m - max(lip, -math.inf if place.rest_m is None else place.rest_m), 0.0)
    return 0.5 * reach.floor_width_m * top * top / place.slope


def law_of(place: Place, *, smooth: float = 1.0) -> FlowLaw:
    """The law of the reach's bed, its speeds times `smooth` [-]."""
    law = by_ferguson(default("gravel.d84").number * place.reach.grain_m)
    return law if smooth == 1.0 else scaled_law(law, smooth)


def _on_crest(place: Place, over_m3s: float, setting: Setting) -> float:
    """Water on the crest [m], over what leaves dam it."""
    if place.crest is None or place.lip is None or over_m3s <= 0.0:
        return 0.0
    c = getattr(place.lip, setting.crest)
    if not place.crest.stones and not place.crest.tilt_m:
        return head_on_lip(over_m3s, place.crest.crest_width_m * setting.open_share, c)
    water = on_crest(place.crest, over_m3s, coefficient=c, open_share=setting.open_share)
    return water.level_m - place.crest.crest.m


def _profile(place: Place, seen_m3s: float, depth_m: float, setting: Setting) -> Profile:
    """Water along the reach: the crest with the water on it controls its lower end, or it leaves that freely."""
    reach, beds = place.reach, tuple(place.beds_m)
    section = section_of(place, open_share=setting.open_share)
    width = section.bottom_m
    in_gravel = place.sealed and reach.gravel_m > 0.0
    held: tuple[float, ...] = ()
    if setting.dam_m > 0.0 and not place.pool_like:  # leaves may catch anywhere on a slide: at its upper end as well
        dammed = beds[0] + setting.dam_m + head_on_lip(seen_m3s, width, getattr(stone_lip(), setting.crest))
        held = (dammed, *(-math.inf for _ in beds[1:]))
    channel = SteadyChannel(
        stations_m=place.stations_m,
        beds_m=beds,
        sections=_sections(place, section, setting.open_share),
        contraction_k=default("narrow.contraction").number if place.widths_m else 0.0,
        expansion_k=default("narrow.expansion").number if place.widths_m else 0.0,
        law=law_of(place, smooth=setting.smooth),
        gravel=GravelBed(thickness_m=_gravel_m(reach), grain_m=reach.grain_m, porosity=setting.porosity)
        if in_gravel
        else None,
        held_m=held,
    )
    level = None if place.crest is None else place.crest.crest.m + setting.dam_m + depth_m
    if place.coming:
        return joined_profile(seen_m3s, channel, level_m=level, coming=place.coming)
    return steady_profile(seen_m3s, channel, level_m=level)


def _still(place: Place) -> ReachState:
    """No flow: water at rest where the crest holds it, else the bed alone."""
    rest = place.rest_m
    levels = tuple(bed if rest is None else max(bed, rest) for bed in place.beds_m)
    return ReachState(
        flow_m3s=0.0,
        levels_m=levels,
        crest_flow_m3s=0.0,
        crest_depth_m=0.0,
        mean_depth_m=_mean([level - bed for level, bed in zip(levels, place.beds_m, strict=True)]),
        speed_ms=0.0,
        hidden=0.0,
        above_rest_m3=0.0,
        gravel_m3=0.0,
        method="at rest",
        outside="",
    )


def _hidden(place: Place, flow_m3s: float, slope: float, setting: Setting) -> float:
    """Share of the flow [-] in the gravel at a slope [-], by Ergun."""
    if slope <= 0.0 or place.reach.gravel_m <= 0.0:
        return 0.0
    speed = ergun_speed(slope, grain_m=place.reach.grain_m, porosity=setting.porosity).speed_ms
    return hidden_share(flow_m3s, place.reach.open_width_m * _gravel_m(place.reach), speed)


def _gravel_m(reach: Reach) -> float:
    """Thickness of the gravel [m] over the width of the bed: less where banks of a said side narrow it downwards."""
    return reach.gravel_m * 0.5 * (reach.width_m + reach.floor_width_m) / reach.width_m


def _drained_m(place: Place) -> float:
    """Mean thickness [m] of gravel that drains at stop: above the crest of a sealed stone, else all of it."""
    holds = place.crest.crest.m if place.crest is not None and place.sealed else None
    gravel = place.reach.gravel_m
    return _mean([gravel if holds is None else min(max(bed - holds, 0.0), gravel) for bed in place.beds_m])


def _mean(values: list[float]) -> float:
    """Mean of what stands at the ends of equal stretches [its unit]."""
    return (0.5 * (values[0] + values[-1]) + sum(values[1:-1])) / (len(values) - 1)
