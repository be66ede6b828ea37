"""Water on its way: what streams and pipes hold, and what that does to levels."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rillwright.feature import Body, Feature, Holding, Reach
from rillwright.shape import Shape, level_at, volume_at
from rillwright.sources import default
from rillwright.water.network import entered
from rillwright.water.places import Place
from rillwright.water.reach import ReachState, Setting, rest_over_m3
from rillwright.water.run import PipedRun
from rillwright.water.run_result import Siphon
from rillwright.water.spill import lip_of, on_crest, over_bed_m


def usual_setting(*, open_share: float = 1.0) -> Setting:
    """The middle of every band; `open_share` [-] of the width is open."""
    return Setting(crest="value", open_share=open_share, porosity=default("gravel.porosity").number)


def transit_by_body(
    feature: Feature, reaches: tuple[Place, ...], states: Mapping[str, ReachState], runs: tuple[PipedRun, ...]
) -> dict[str, float]:
    """Water [m3] that each body gives to the streams that end in it, and to pipes that empty at stop."""
    found = {body.id: 0.0 for body in feature.bodies}
    for place in reaches:
        if place.into in found:
            found[place.into] += states[place.reach.id].transit_m3
    for run in runs:
        if not run.run.check_valve:
            pipes = (run.pipe, *run.outlet_pipes)
            found[run.run.source] += sum(0.25 * math.pi * pipe.inside_m**2 * pipe.length_m for pipe in pipes)
    for siphon in siphons(feature, reaches):
        found[siphon.body] += siphon.back_m3
    return found


def siphons(feature: Feature, reaches: tuple[Place, ...]) -> tuple[Siphon, ...]:
    """What runs back at stop through pipes that nothing shuts, out of the beds in which they end under water.

    From the water at rest there down to the pipe's end, or to the body's waterline where that is higher.
    """
    places = {place.reach.id: place for place in reaches}
    found = []
    for run in (each for each in feature.runs if not each.check_valve):
        for end in (each for each in run.ends if each.under_water):
            link = entered(feature, end)
            if isinstance(link, Reach):
                down = max(end.level.m, feature.body(run.source).waterline.m)
                back = rest_over_m3(places[link.id], down)
                if back > 0.0:
                    found.append(Siphon(run=run.id, bed=link.id, body=run.source, back_m3=back))
    return tuple(found)


def running_level(shape: Shape, body: Body, transit_m3: float) -> float:
    """Level [m] with the pump on: the held one if topped up while running, else what `transit_m3` [m3] leaves."""
    if body.holding is Holding.WHILE_RUNNING:
        return body.waterline.m
    pond = shape.pond(body.id)
    return level_at(pond, volume_at(pond, body.waterline.m) - transit_m3)


def outlet_levels(
    feature: Feature, states: Mapping[str, ReachState], links_m3s: Mapping[str, float]
) -> dict[str, float]:
    """Level [m] against which each end of a run lifts: its pipe's, or the water that runs there if that stands higher.

    `links_m3s` [m3/s] run through the links.
    """
    found = {}
    for end in (end for run in feature.runs for end in run.ends):
        link = entered(feature, end)
        there = end.level.m
        if isinstance(link, Reach):
            there = states[link.id].levels_m[0]
        elif link is not None:
            there = on_crest(
                link, links_m3s[link.id], coefficient=lip_of(link, over_bed_m(feature, link)).value
            ).level_m
        found[end.key] = max(end.level.m, there)
    return found
