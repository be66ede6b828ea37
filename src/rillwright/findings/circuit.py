"""Rules on pumps, pipes and intakes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial

from rillwright.assessment import Assessment, NotRun, PumpPoint, RunningCost, Severity
from rillwright.findings.grading import bound_of
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.units import Band, show_money_range


def _points(assessment: Assessment) -> tuple[PumpPoint, ...]:
    return () if isinstance(assessment.water, NotRun) else assessment.water.circuit.pumps


def _lift(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        if point.proposed:
            continue
        facts = (
            ("static", point.static_m, "m"),
            ("flow", point.flow_m3s.value, "m3/s"),
            ("head", point.head_m.value, "m"),
            ("under", max(-point.static_m, 0.0), "m"),
        )
        text = _DOWNHILL if point.static_m < 0.0 else ""
        severity = Severity.OK
        if point.flow_m3s.value <= 0.0:
            severity = Severity.STOP
            text = text or (_NOT_AT_ALL if point.flow_m3s.high <= 0.0 else "")
        elif point.flow_m3s.low <= 0.0:
            severity = Severity.WATCH
        yield Check(element=f"runs/{point.run}", severity=severity, facts=facts, text=text)


def _spare(point: PumpPoint) -> Band:
    return point.flow_m3s.scale(1.0 / point.wanted_m3s).shift(-1.0)


def _judged(spare: Band) -> Band:
    """What is judged of a spare [-]: it is there for wear, dirt and guesses: its band counts where that takes all."""
    return spare if spare.low < 0.0 else Band.exact(spare.value)


def _short(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        if not point.proposed and point.wanted_m3s > 0.0:
            spare = _spare(point)
            flow, lacking = point.flow_m3s, spare.value < 0.0
            duty_ms, most = _duty_speed(point), bound_of(assessment.feature, "pipe.speed").bad
            facts = (
                ("flow", flow.value, "m3/s"),
                ("flow_low", flow.low, "m3/s"),
                ("flow_high", flow.high, "m3/s"),
                ("wanted", point.wanted_m3s, "m3/s"),
                ("duty_flow", point.duty_flow_m3s, "m3/s"),
                ("duty_head", point.duty_head_m, "m"),
                ("duty_speed", duty_ms, "m/s"),
                ("pipe", point.pipe, ""),
            )
            yield Check(
                element=f"runs/{point.run}",
                value=_judged(spare),
                facts=facts,
                text=_LACKING if lacking else "",
                remedy=_MEND if point.duty_head_m <= 0.0 else _WIDER if duty_ms > most else "",
            )


def _duty_speed(point: PumpPoint) -> float:
    """Speed of the flow that a pump is to bring, in the pipe that there is [m/s]."""
    return point.duty_flow_m3s / (math.pi * point.pipe_inside_m**2 / 4.0)


def _much(assessment: Assessment) -> Iterator[Check]:
    """By the value alone: this is a matter of cost, and `pump.short` already reads the band."""
    for point in _points(assessment):
        if not point.proposed and point.wanted_m3s > 0.0:
            facts = (("flow", point.flow_m3s.value, "m3/s"), ("wanted", point.wanted_m3s, "m3/s"))
            yield Check(element=f"runs/{point.run}", value=Band.exact(_spare(point).value), facts=facts)


def _choose(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        if point.proposed:
            facts = (
                ("duty_flow", point.duty_flow_m3s, "m3/s"),
                ("duty_head", point.duty_head_m, "m"),
                ("under", max(-point.static_m, 0.0), "m"),
            )
            no_head = point.duty_head_m <= 0.0
            yield Check(
                element=f"runs/{point.run}",
                severity=Severity.WATCH,
                facts=facts,
                text=_NO_PUMP if no_head else "",
                remedy=_MEND if no_head else "",
            )


def _speed(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        flow = point.flow_m3s
        speed = flow.scale(point.speed_ms / flow.value) if flow.value > 0.0 else Band.exact(point.speed_ms)
        yield Check(element=f"runs/{point.run}", value=speed, facts=(("pipe", point.pipe, ""),))


def _intake(assessment: Assessment) -> Iterator[Check]:
    drawn: dict[str, Band] = {}
    sources = {run.id: run.source for run in assessment.feature.runs}
    for point in _points(assessment):
        source = sources[point.run]
        drawn[source] = drawn.get(source, Band.exact(0.0)) + point.flow_m3s
    for body in assessment.feature.bodies:
        most = body.intake.greatest_flow_m3s
        if most and body.id in drawn:
            facts = (("most", most, "m3/s"), ("flow", drawn[body.id].value, "m3/s"))
            yield Check(element=f"ponds/{body.id}", value=drawn[body.id].scale(1.0 / most), facts=facts)


def _valve(assessment: Assessment) -> Iterator[Check]:
    """A check valve holds water back one way: it neither throttles a pump nor shuts it off from both sides."""
    for run in assessment.feature.runs:
        shuts = run.valve is not None or any(each.count > 0 and each.kind in _SHUTS for each in run.fittings)
        yield Check(element=f"runs/{run.id}", severity=Severity.OK if shuts else Severity.WATCH)


def _cost(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.price, NotRun):
        return
    show = partial(show_money_range, currency=assessment.price.currency, system=assessment.feature.system)
    for cost in assessment.price.running:
        a_year = "" if cost.low is None or cost.high is None else show(cost.low, cost.high)
        facts = (
            ("hours", f"{cost.hours_per_day:g}", ""),
            ("low", cost.year_j.low, "J"),
            ("high", cost.year_j.high, "J"),
            ("money", f", {a_year} by the price book" if a_year else "", ""),
            ("more", _by_pipe(cost, show), ""),
        )
        text = _SAID_WATTS if cost.year_j.low == cost.year_j.high else ""
        yield Check(element=f"runs/{cost.run}", severity=Severity.OK, facts=facts, text=text)


def _by_pipe(cost: RunningCost, show: Callable[..., str]) -> str:
    """Listed pipes by what they take over the years compared."""
    told = [
        f"{pipe.pipe} {show(pipe.low, pipe.high)}"
        for pipe in cost.pipes
        if pipe.low is not None and pipe.high is not None
    ]
    whose = f" A pump that suits the flow wanted takes over {cost.years} years for power alone"
    return f"{whose}: {'; '.join(told)}." if told else ""


_SHUTS = ("gate", "globe valve", "angle valve")
_LACKING = "Through {name} the pump brings {flow_range}; {wanted} is wanted: it falls short of that."
_DOWNHILL = "Through {name} the water runs downhill: the outlet lies {under} below the water that it is drawn from."
_NO_PUMP = "No pump can be proposed for {name}: its outlet lies {under} below the water that it is drawn from."
_WIDER = (
    "Through {pipe} {duty_flow}, the flow wanted with its spare, would run at {duty_speed}: take a wider pipe first, "
    "then look for a pump; or wish for less."
)
_NOT_AT_ALL = "Through {name} the pump does not lift water over the {static} that it has to."
_MEND = "Mend the heights first: the stream head has to lie above the water."
LIFT = Rule(
    code="pump.lift",
    area="circuit",
    title="The pump lifts water to the outlet at all",
    well="Through {name} the pump lifts {flow} over a height of {static}, at a head of {head}.",
    ill="Through {name} the pump may not lift water over the {static} that it has to.",
    remedy="Take a pump with more shut-off head, or lower the outlet.",
    find=_lift,
)
SHORT = Rule(
    code="pump.short",
    area="circuit",
    title="The pump brings the flow wanted, with some to spare",
    well="Through {name} the pump brings {flow}, {range} more than the {wanted} wanted.",
    ill="Through {name} the pump brings {flow_range} for {wanted} wanted: too little to spare for wear and dirt.",
    remedy="Choose a pump that gives {duty_flow} at {duty_head} of head on its own curve, with a valve to take it "
    "back to {wanted}; or take a wider pipe.",
    find=_short,
    limits=("pump.spare_low",),
)
MUCH = Rule(
    code="pump.much",
    area="circuit",
    title="The pump is not far too large",
    well="Through {name} the pump brings {flow} for {wanted} wanted, no more to spare than the {good} that is useful.",
    ill="Through {name} the pump brings {flow} for {wanted} wanted, {value} more; beyond {good} every hour costs.",
    remedy="Take a smaller pump, or one whose speed can be set.",
    find=_much,
    limits=("pump.spare_high",),
)
CHOOSE = Rule(
    code="pump.choose",
    area="circuit",
    title="A pump is chosen",
    well="",
    ill="No pump is named for {name}: it has to give {duty_flow} at {duty_head} of head.",
    remedy="Choose a pump that gives {duty_flow} at {duty_head} on its own curve, with a valve, and "
    "put its curve in the file.",
    find=_choose,
    weight=Weight.UNSAID,
)
_SAID_WATTS = "Running {hours} h a day, {name} takes {low} a year{money}.{more}"
COST = Rule(
    code="power.cost",
    area="circuit",
    title="What the pump takes in a year",
    well="Running {hours} h a day, {name} takes {low} to {high} a year{money}.{more}",
    ill="Running {hours} h a day, {name} takes {low} to {high} a year.",
    remedy="Run it fewer hours, take a pump whose best point is the duty, or a wider pipe.",
    find=_cost,
)
SPEED = Rule(
    code="pipe.fast",
    area="circuit",
    title="The water in the pipe is slow enough",
    well="In {name} the water runs at {range} through {pipe}, within {good}.",
    ill="In {name} the water runs at {range} through {pipe}; {good} is wanted, {bad} is the most.",
    remedy="Take the next wider pipe, or let the valve take the flow back where there is some to spare.",
    find=_speed,
    likely="too fast",
    limits=("pipe.speed",),
)
INTAKE = Rule(
    code="intake.flow",
    area="circuit",
    title="The intake takes the flow",
    well="The intake of {name} takes {flow}; its maker allows {most}.",
    ill="The intake of {name} would take {flow}; its maker allows {most}.",
    remedy="Take a larger intake or a second one, or draw less.",
    find=_intake,
    limits=("intake.flow",),
)
VALVE = Rule(
    code="pump.valve",
    area="circuit",
    title="A valve takes the flow back and shuts the pump off",
    well="{name} has a valve that takes the flow back and shuts the pump off for work on it.",
    ill="{name} has no valve among its fittings: nothing takes the flow back, nor shuts the pump off for work on it.",
    remedy="Fit a gate valve, with a union between it and the pump, in reach; say it among the fittings.",
    find=_valve,
)
