"""Flows, water in transit and running levels, brought to agree with one another.

Everything hangs on the flows: they fill the streams, which draws the bodies down and deepens the water at the outlets,
which raises the lifts, which lowers the flows. So each run's answer to its own flow only ever falls as that flow rises,
and there is one flow at which the two are equal.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import NoAnswer
from rillwright.feature import Feature
from rillwright.shape import Shape
from rillwright.sources import limit
from rillwright.water.network import link_flows
from rillwright.water.places import Place, places
from rillwright.water.reach import ReachState, Setting, reach_state
from rillwright.water.run import PipedRun, piped
from rillwright.water.transit import outlet_levels, running_level, transit_by_body, usual_setting

MOST_ROUNDS = 50
AGREED_M = 1e-6  # a hundredth of the tenth of a millimetre that anybody needs
_PLAIN_ROUNDS = 8  # by putting the answer back; then run by run by halving
_HALVINGS = 40


class Settled(Struct, frozen=True, kw_only=True):
    """What follows from the flows [m3/s] of all runs: lifts and levels [m], water in transit [m3], by id."""

    runs: tuple[PipedRun, ...]
    places: tuple[Place, ...]
    flows_m3s: Mapping[str, float]  # by run
    states: Mapping[str, ReachState]  # by reach
    outlets_m: Mapping[str, float]  # water or pipe end, by run
    running_m: Mapping[str, float]  # by body
    transit_m3: Mapping[str, float]  # by body
    duty_lifts_m: Mapping[str, float] = {}  # static head of each run once it brings its duty

    @property
    def lifts_m(self) -> dict[str, float]:
        """Static head of each run [m]."""
        return {run.run.id: self.outlets_m[run.run.id] - self.running_m[run.run.source] for run in self.runs}

    def answer_m3s(self, run: PipedRun) -> float:
        """The flow [m3/s] that a run gives against the lift that follows."""
        return run.point(self.outlets_m[run.run.id] - self.running_m[run.run.source]).flow_m3s


class _Case(Struct, frozen=True):
    """What stands still while the flows are sought."""

    feature: Feature
    shape: Shape
    runs: tuple[PipedRun, ...]
    places: tuple[Place, ...]
    setting: Setting

    def at(self, flows_m3s: Mapping[str, float]) -> Settled:
        links = link_flows(self.feature, flows_m3s)
        states = {place.reach.id: reach_state(place, links[place.reach.id], self.setting) for place in self.places}
        transit = transit_by_body(self.feature, self.places, states, self.runs)
        return Settled(
            runs=self.runs,
            places=self.places,
            flows_m3s=flows_m3s,
            states=states,
            outlets_m=outlet_levels(self.feature, self.places, states),
            running_m={body.id: running_level(self.shape, body, transit[body.id]) for body in self.feature.bodies},
            transit_m3=transit,
        )


def settle(feature: Feature, shape: Shape) -> Settled:
    """The flows at which no lift moves by more than a thousandth of a millimetre.

    Raises
    ------
    NoAnswer
        After 50 rounds without agreement, with the run whose lift still moves.
    """
    held = {body.id: body.waterline.m for body in feature.bodies}
    said = feature.override_of("pipe.speed")
    most_ms = limit("pipe.speed").good if said is None else said.value
    runs = tuple(
        piped(run, system=feature.system, static_m=run.outlet_level.m - held[run.source], most_ms=most_ms)
        for run in feature.runs
    )
    case = _Case(feature, shape, runs, places(feature), usual_setting())
    trial = case.at({run.run.id: run.run.wanted_m3s for run in runs})
    moves: dict[str, float] = {}
    for count in range(MOST_ROUNDS):
        if count < _PLAIN_ROUNDS:
            following = case.at({run.run.id: trial.answer_m3s(run) for run in runs})
        else:
            following = _run_by_run(case, trial)
        moves = {id: abs(lift - trial.lifts_m[id]) for id, lift in following.lifts_m.items()}
        trial = following
        if max(moves.values(), default=0.0) < AGREED_M:
            return replace(trial, duty_lifts_m=_at_duty(case, trial))
    worst = max(moves, key=lambda id: moves[id])
    raise NoAnswer(
        f"water: flow and levels do not agree after {MOST_ROUNDS} rounds; "
        f"the lift of runs/{worst} still moves by {moves[worst] * 1e3:.3g} mm"
    )


def _at_duty(case: _Case, found: Settled) -> dict[str, float]:
    """The lift [m] of each run at its duty flow, every other run at its own duty or at what it brings, if that is more:
    more flow anywhere draws the pond down and deepens the water at an outlet."""
    full = {run.run.id: max(found.flows_m3s[run.run.id], run.duty_m3s) for run in case.runs}
    return {run.run.id: case.at({**full, run.run.id: run.duty_m3s}).lifts_m[run.run.id] for run in case.runs}


def _run_by_run(case: _Case, trial: Settled) -> Settled:
    """Each run's own flow by halving, the others held."""
    for run in trial.runs:
        low, high = 0.0, run.most_m3s
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            trial = case.at({**trial.flows_m3s, run.run.id: middle})
            if trial.answer_m3s(run) > middle:
                low = middle
            else:
                high = middle
    return trial
