"""Flows, water in transit and running levels, brought to agree with one another."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rillwright.errors import NoAnswer
from rillwright.feature import Feature, Holding
from rillwright.shape import Shape, level_at, volume_at
from rillwright.sources import default, limit
from rillwright.water.network import first_crest, link_flows
from rillwright.water.places import Place, places
from rillwright.water.reach import ReachState, Setting, reach_state
from rillwright.water.run import PipedRun, piped

MOST_ROUNDS = 50
AGREED_M = 1e-6  # a hundredth of the tenth of a millimetre that anybody needs
_HALVING_FROM = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What has been brought to agree: flows [m3/s], lifts and levels [m], water in transit [m3], by id."""

    runs: tuple[PipedRun, ...]
    places: tuple[Place, ...]
    flows_m3s: Mapping[str, float]  # by run
    links_m3s: Mapping[str, float]  # by reach and fall
    states: Mapping[str, ReachState]  # by reach
    outlets_m: Mapping[str, float]  # water or pipe end, by run
    running_m: Mapping[str, float]  # by body
    transit_m3: Mapping[str, float]  # by body
    rounds: int

    @property
    def lifts_m(self) -> dict[str, float]:
        """Static head of each run [m]."""
        return {run.run.id: self.outlets_m[run.run.id] - self.running_m[run.run.source] for run in self.runs}


def usual_setting(*, open_share: float = 1.0) -> Setting:
    """The middle of every band; `open_share` [-] of the width is open."""
    return Setting(crest_c=default("crest.c").number, open_share=open_share, porosity=default("gravel.porosity").number)


def settle(feature: Feature, shape: Shape) -> Settled:
    """Solve for the running levels.

    Running level -> lift -> flow -> water on crests and beds -> water in transit -> running level, until no level moves
    by more than a thousandth of a millimetre.

    Raises
    ------
    NoAnswer
        After 50 rounds without agreement, with the level that still moves.
    """
    setting, reaches = usual_setting(), places(feature)
    running = {body.id: body.waterline.m for body in feature.bodies}
    outlets = {run.id: run.outlet_level.m for run in feature.runs}
    most_ms = next((said.value for said in feature.overrides if said.limit == "pipe.speed"), limit("pipe.speed").good)
    runs = tuple(
        piped(run, system=feature.system, static_m=outlets[run.id] - running[run.source], most_ms=most_ms)
        for run in feature.runs
    )
    for count in range(1, MOST_ROUNDS + 1):
        flows = {run.run.id: run.point(outlets[run.run.id] - running[run.run.source]).flow_m3s for run in runs}
        links = link_flows(feature, flows)
        states = {place.reach.id: reach_state(place, links[place.reach.id], setting) for place in reaches}
        transit = transit_by_body(feature, reaches, states, runs)
        found_running = {
            body.id: running_level(shape, body.id, body.waterline.m, body.holding, transit[body.id])
            for body in feature.bodies
        }
        found_outlets = outlet_levels(feature, reaches, states)
        moves = {f"ponds/{id}": found_running[id] - running[id] for id in running}
        moves |= {f"runs/{id}": found_outlets[id] - outlets[id] for id in outlets}
        if max((abs(move) for move in moves.values()), default=0.0) < AGREED_M:
            return Settled(
                runs=runs,
                places=reaches,
                flows_m3s=flows,
                links_m3s=links,
                states=states,
                outlets_m=outlets,
                running_m=running,
                transit_m3=transit,
                rounds=count,
            )
        share = 1.0 if count < _HALVING_FROM else 0.5
        running = {id: level + share * moves[f"ponds/{id}"] for id, level in running.items()}
        outlets = {id: level + share * moves[f"runs/{id}"] for id, level in outlets.items()}
    worst = max(moves, key=lambda id: abs(moves[id]))
    raise NoAnswer(
        f"water: flow and levels do not agree after {MOST_ROUNDS} rounds; "
        f"{worst} still moves {moves[worst] * 1e3:.3g} mm"
    )


def transit_by_body(
    feature: Feature, reaches: tuple[Place, ...], states: Mapping[str, ReachState], runs: tuple[PipedRun, ...]
) -> dict[str, float]:
    """Water [m3] that each body gives to its streams, and to pipes that empty at stop."""
    found = {body.id: 0.0 for body in feature.bodies}
    for place in reaches:
        if place.into in found:
            found[place.into] += states[place.reach.id].transit_m3
    for run in runs:
        if not run.run.check_valve:
            found[run.run.source] += 0.25 * math.pi * run.pipe.inside_m**2 * run.pipe.length_m
    return found


def running_level(shape: Shape, body: str, held_m: float, holding: Holding, transit_m3: float) -> float:
    """Level [m] with the pump on: the one held [m] if topped up while running, else what `transit_m3` [m3] leaves."""
    if holding is Holding.WHILE_RUNNING:
        return held_m
    pond = shape.pond(body)
    return level_at(pond, volume_at(pond, held_m) - transit_m3)


def outlet_levels(feature: Feature, reaches: tuple[Place, ...], states: Mapping[str, ReachState]) -> dict[str, float]:
    """Level [m] against which each run lifts: its pipe's end, or under water the crest with the water on it."""
    depths = {place.crest.id: states[place.reach.id].crest_depth_m for place in reaches if place.crest is not None}
    found = {}
    for run in feature.runs:
        crest = first_crest(feature, run)
        on_it = depths.get(crest.id, 0.0) if crest is not None and run.outlet_under_water else 0.0
        found[run.id] = run.outlet_level.m + on_it
    return found
