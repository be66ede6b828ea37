"""Water in one reach at one flow: backwater of its crest where that covers the bed, normal depth where it does not."""

from __future__ import annotations

from msgspec import Struct

from rillwright.hydraulics import (
    Section,
    by_ferguson,
    ergun_speed,
    ferguson_speed,
    head_on_crest,
    hidden_share,
    normal_depth,
)
from rillwright.sources import default
from rillwright.water.places import Place


class Setting(Struct, frozen=True, kw_only=True):
    """With what a reach is computed: C of the crest [m^0.5/s], share of the width left open [-], porosity [-]."""

    crest_c: float
    open_share: float
    porosity: float


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

    @property
    def transit_m3(self) -> float:
        return self.above_rest_m3 + self.gravel_m3


def reach_state(place: Place, flow_m3s: float, setting: Setting) -> ReachState:
    """Water in a reach at a flow [m3/s].

    Under stones that are not sealed the gravel carries its part down from crest to crest, and only the rest is seen
    and runs over the crest. Sealed stones bring all of it up.
    """
    if flow_m3s <= 0.0:
        return _still(place)
    unsealed = not place.sealed
    slope = place.spacing_slope if unsealed else (0.0 if place.pool_like else max(place.slope, 0.0))
    hidden = _hidden(place, flow_m3s, slope, setting)
    seen = flow_m3s * (1.0 - hidden)
    over = seen if unsealed else flow_m3s
    depth = 0.0
    if place.crest is not None and over > 0.0:
        depth = head_on_crest(over, place.crest.crest_width_m * setting.open_share, setting.crest_c)
    levels, method, outside = _levels(place, seen, depth, setting)
    beds = place.beds_m
    depths = [max(level - bed, 0.0) for level, bed in zip(levels, beds, strict=True)]
    mean = _mean(depths)
    if not unsealed and place.pool_like:
        hidden = _hidden(place, flow_m3s, max(levels[0] - levels[-1], 0.0) / place.reach.length_m, setting)
    resting = [max((place.rest_m if place.rest_m is not None else bed) - bed, 0.0) for bed in beds]
    plan = place.reach.width_m * place.reach.length_m
    return ReachState(
        flow_m3s=flow_m3s,
        levels_m=levels,
        crest_flow_m3s=over,
        crest_depth_m=depth,
        mean_depth_m=mean,
        speed_ms=seen / (place.reach.width_m * setting.open_share * mean) if mean > 0.0 else 0.0,
        hidden=hidden,
        above_rest_m3=plan * max(mean - _mean(resting), 0.0),
        gravel_m3=plan * setting.porosity * _drained_m(place),
        method=method,
        outside=outside,
    )


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


def _levels(place: Place, seen_m3s: float, depth_m: float, setting: Setting) -> tuple[tuple[float, ...], str, str]:
    """Running levels [m] along the reach, the method, and its range note."""
    beds = place.beds_m
    if seen_m3s <= 0.0:
        return tuple(beds), "all of it in the gravel", "no water is seen: the gravel carries all of it"
    control = depth_m + (place.crest.crest.m if place.crest is not None else beds[-1])
    width = place.reach.width_m * setting.open_share
    d84 = default("gravel.d84").number * place.reach.grain_m
    if not place.pool_like and place.slope > 0.0:
        normal = normal_depth(seen_m3s, Section(bottom_m=width), place.slope, law=by_ferguson(d84))
        levels = tuple(max(control, bed + normal.depth_m) for bed in beds)
        return levels, "normal depth, Ferguson 2007", normal.outside
    return _backwater(place, seen_m3s, max(control, beds[-1] + depth_m), width, d84), "backwater of the crest", ""


def _backwater(place: Place, seen_m3s: float, control_m: float, width_m: float, d84_m: float) -> tuple[float, ...]:
    """Levels [m] up from the crest, each stretch higher by its friction slope after Ferguson."""
    beds = place.beds_m
    levels = [control_m]
    for bed in reversed(beds[:-1]):
        depth = max(levels[-1] - 0.5 * (bed + beds[len(beds) - len(levels)]), 1e-3)
        radius = width_m * depth / (width_m + 2.0 * depth)
        unit = ferguson_speed(radius, 1.0, d84_m).speed_ms
        levels.append(levels[-1] + place.step_m * (seen_m3s / (width_m * depth) / unit) ** 2)
    return tuple(reversed(levels))


def _hidden(place: Place, flow_m3s: float, slope: float, setting: Setting) -> float:
    """Share of the flow [-] in the gravel at a slope [-], by Ergun."""
    if slope <= 0.0 or place.reach.gravel_m <= 0.0:
        return 0.0
    speed = ergun_speed(slope, grain_m=place.reach.grain_m, porosity=setting.porosity).speed_ms
    return hidden_share(flow_m3s, place.reach.width_m * place.reach.gravel_m, speed)


def _drained_m(place: Place) -> float:
    """Mean thickness [m] of gravel that drains at stop: above the crest of a sealed stone, else all of it."""
    holds = place.crest.crest.m if place.crest is not None and place.sealed else None
    gravel = place.reach.gravel_m
    return _mean([gravel if holds is None else min(max(bed - holds, 0.0), gravel) for bed in place.beds_m])


def _mean(values: list[float]) -> float:
    """Mean of what stands at the ends of equal stretches [its unit]."""
    return (0.5 * (values[0] + values[-1]) + sum(values[1:-1])) / (len(values) - 1)
