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
from rillwright.water.joined_profile import with_coming
from rillwright.water.network import link_flows
from rillwright.water.places import Place, places
from rillwright.water.reach import ReachState, Setting, reach_state
from rillwright.water.run import Lifts, PipedRun, piped
from rillwright.water.transit import outlet_levels, running_level, transit_by_body, usual_setting

MOST_ROUNDS = 50
AGREED_M = 1e-6  # a hundredth of the tenth of a millimetre that anybody needs
_PLAIN_ROUNDS = 8  # by putting the answer back; then run by run by halving
_HALVINGS = 40


class Settled(Struct, frozen=True, kw_only=True):
    """What follows from the flows [m3/s] of all runs: lifts and levels [m], water in transit [m3], by id."""

    runs: tuple[PipedRun, ...]
    places: tuple[Place, ...]
    ends_m3s: Mapping[str, float]  # by end of a run
    states: Mapping[str, ReachState]  # by reach
    outlets_m: Mapping[str, float]  # water or pipe end, by end of a run
    running_m: Mapping[str, float]  # by body
    transit_m3: Mapping[str, float]  # by body
    duty_lifts_m: Mapping[str, Lifts] = {}  # those of each run once it brings its duty

    @property
    def lifts_m(self) -> dict[str, Lifts]:
        """Static head of each run's ends [m]."""
        return {run.run.id: self.lifts_of(run) for run in self.runs}

    @property
    def flows_m3s(self) -> dict[str, float]:
        """Flow of each run [m3/s]."""
        return {run.run.id: sum(self.ends_m3s[end.key] for end in run.run.ends) for run in self.runs}

    def lifts_of(self, run: PipedRun) -> Lifts:
        """Static head of each end of a run [m]."""
        return {end.key: self.outlets_m[end.key] - self.running_m[run.run.source] for end in run.run.ends}

    def answer_m3s(self, run: PipedRun) -> Mapping[str, float]:
        """The flow [m3/s] out of each end of a run against the lifts that follow."""
        return run.flow(self.lifts_of(run)).ends_m3s


class _Case(Struct, frozen=True):
    """What stands still while the flows are sought."""

    feature: Feature
    shape: Shape
    runs: tuple[PipedRun, ...]
    places: tuple[Place, ...]
    setting: Setting

    def at(self, ends_m3s: Mapping[str, float]) -> Settled:
        links = link_flows(self.feature, ends_m3s)
        places = with_coming(self.feature, self.places, links)
        states = {place.reach.id: reach_state(place, links[place.reach.id], self.setting) for place in places}
        transit = transit_by_body(self.feature, places, states, self.runs)
        return Settled(
            runs=self.runs,
            places=places,
            ends_m3s=ends_m3s,
            states=states,
            outlets_m=outlet_levels(self.feature, states, links),
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
    trial = case.at({end.key: end.wanted_m3s for run in runs for end in run.run.ends})
    moves: dict[str, float] = {}
    for count in range(MOST_ROUNDS):
        if count < _PLAIN_ROUNDS:
            following = case.at({key: flow for run in runs for key, flow in trial.answer_m3s(run).items()})
        else:
            following = _run_by_run(case, trial)
        before = trial.lifts_m
        moves = {
            id: max(abs(lift - before[id][key]) for key, lift in lifts.items())
            for id, lifts in following.lifts_m.items()
        }
        trial = following
        if max(moves.values(), default=0.0) < AGREED_M:
            return replace(trial, duty_lifts_m=_at_duty(case, trial))
    worst = max(moves, key=lambda id: moves[id])
    raise NoAnswer(
        f"water: flow and levels do not agree after {MOST_ROUNDS} rounds; "
        f"the lift of runs/{worst} still moves by {moves[worst] * 1e3:.3g} mm"
    )


def at_flows(feature: Feature, shape: Shape, found: Settled, ends_m3s: Mapping[str, float]) -> Settled:
    """What follows from other flows [m3/s] out of the ends of the same runs."""
    return _Case(feature, shape, found.runs, found.places, usual_setting()).at(ends_m3s)


def _at_duty(case: _Case, found: Settled) -> dict[str, Lifts]:
    """The lifts [m] of each run at its duty flow, every other at its own duty or at what it brings, if that is more:
    more flow anywhere draws the pond down and deepens the water at an outlet."""
    duty = {end.key: run.duty_share * end.wanted_m3s for run in case.runs for end in run.run.ends}
    full = {key: max(found.ends_m3s[key], flow) for key, flow in duty.items()}
    return {
        run.run.id: case.at({**full, **{end.key: duty[end.key] for end in run.run.ends}}).lifts_of(run)
        for run in case.runs
    }


def _run_by_run(case: _Case, trial: Settled) -> Settled:
    """Each run's own flow by halving, the others held; of a branching one half way to its answer."""
    for run in trial.runs:
        if run.run.outlets:
            answer = trial.answer_m3s(run)
            half = {key: 0.5 * (trial.ends_m3s[key] + flow) for key, flow in answer.items()}
            trial = case.at({**trial.ends_m3s, **half})
            continue
        low, high = 0.0, run.most_m3s
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            trial = case.at({**trial.ends_m3s, run.run.id: middle})
            if trial.answer_m3s(run)[run.run.id] > middle:
                low = middle
            else:
                high = middle
    return trial
