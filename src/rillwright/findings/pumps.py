"""Rules on what a run's pumps do: several of them, suction, the highest point, cases, a measured flow, a list."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, PumpPoint, PumpTried, Severity, SummitWater
from rillwright.findings.rule import Check, Fact, Rule
from rillwright.units import Band


def _points(assessment: Assessment) -> tuple[PumpPoint, ...]:
    return () if isinstance(assessment.water, NotRun) else assessment.water.circuit.pumps


def _shut(assessment: Assessment) -> Iterator[Check]:
    """A pump whose check valve the others hold shut heats up in its own water; one that is driven is a brake."""
    for point in _points(assessment):
        if len(point.pumps) < 2 or point.flow_m3s.value <= 0.0:
            continue
        for pump in point.pumps:
            facts: tuple[Fact, ...] = (
                ("pump", pump.pump, ""),
                ("flow", pump.flow_m3s.value, "m3/s"),
                ("head", point.head_m.value, "m"),
            )
            driven = point.arrangement == "series" and pump.head_m.value <= 0.0
            severity = Severity.OK
            if pump.shut or driven:
                severity = Severity.STOP
            elif pump.flow_m3s.low <= 0.0:
                severity = Severity.WATCH
            yield Check(
                element=f"runs/{point.run}",
                severity=severity,
                facts=facts,
                text=_DRIVEN if driven else _PERHAPS_SHUT if severity is Severity.WATCH else "",
                remedy=_NOT_IN_A_ROW if driven else "",
            )


def _back(assessment: Assessment) -> Iterator[Check]:
    """Of pumps side by side a stopped one is a way back for what the others bring."""
    for run in assessment.feature.runs:
        if len(run.pumps) > 1 and run.arrangement == "parallel":
            severity = Severity.OK if run.check_valve else Severity.WATCH
            yield Check(element=f"runs/{run.id}", severity=severity)


def _preferred(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        for pump in point.pumps:
            if pump.preferred_m3s is None or pump.flow_m3s.value <= 0.0:
                continue
            low, high = pump.preferred_m3s
            flow = pump.flow_m3s
            facts: tuple[Fact, ...] = (
                ("pump", pump.pump, ""),
                ("flow", flow.value, "m3/s"),
                ("flow_low", flow.low, "m3/s"),
                ("flow_high", flow.high, "m3/s"),
                ("preferred_low", low, "m3/s"),
                ("preferred_high", high, "m3/s"),
            )
            inside = low <= flow.low and flow.high <= high
            yield Check(
                element=f"runs/{point.run}",
                severity=Severity.OK if inside else Severity.WATCH,
                facts=facts,
                remedy=_MORE_HEAD if flow.high > high else "",
            )


def _npsh(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        for pump in point.pumps:
            if pump.npsh_available_m is None or pump.npsh_required_m is None:
                continue
            facts: tuple[Fact, ...] = (
                ("pump", pump.pump, ""),
                ("available", pump.npsh_available_m, "m"),
                ("required", pump.npsh_required_m, "m"),
            )
            spare = pump.npsh_available_m - pump.npsh_required_m
            yield Check(element=f"runs/{point.run}", value=Band.exact(spare), facts=facts)


def _suction_speed(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        if point.suction_speed_ms is not None:
            facts: tuple[Fact, ...] = (("pipe", point.suction_pipe, ""),)
            yield Check(element=f"runs/{point.run}", value=point.suction_speed_ms, facts=facts)


def _summits(assessment: Assessment) -> Iterator[tuple[str, str, SummitWater]]:
    """Each highest point of a run, with the run and the outlet whose pipe it is; none for the main."""
    if isinstance(assessment.water, NotRun):
        return
    for point in assessment.water.circuit.pumps:
        if point.summit is not None:
            yield f"runs/{point.run}", "", point.summit
        for out in assessment.water.circuit.outlets:
            if out.run == point.run and out.summit is not None:
                yield f"runs/{out.run}", out.id, out.summit


def _summit(assessment: Assessment) -> Iterator[Check]:
    for element, outlet, top in _summits(assessment):
        facts: tuple[Fact, ...] = (
            ("spare", top.spare_m.value, "m"),
            ("under", max(-top.pressure_m.value, 0.0), "m"),
            ("outlet", outlet, ""),
        )
        yield Check(element=element, value=top.spare_m, facts=facts, text=_SUMMIT_OF if outlet else "")


def _prime(assessment: Assessment) -> Iterator[Check]:
    for element, outlet, top in _summits(assessment):
        if top.prime_m is None:
            continue
        facts: tuple[Fact, ...] = (("short", abs(top.prime_m), "m"), ("outlet", outlet, ""))
        severity = Severity.OK if top.prime_m > 0.0 else Severity.STOP
        text = "" if not outlet else _PRIMES if top.prime_m > 0.0 else _NEVER_PRIMES
        yield Check(element=element, severity=severity, facts=facts, text=text, remedy=_CLOSE_OTHERS if outlet else "")


def _cases(assessment: Assessment) -> Iterator[Check]:
    """Worn, dirty, cold, low: one at a time. The spare is there for these; only the flow wanted is asked for."""
    for point in _points(assessment):
        clean = next((each for each in point.cases if each.case == "clean"), None)
        if clean is None or clean.spare < 0.0 or clean.flow_m3s <= 0.0:
            continue  # too little even clean: `pump.short` says so
        worst = min(point.cases, key=lambda each: each.flow_m3s)
        facts: tuple[Fact, ...] = (
            ("case", _CASE_WORDS[worst.case], ""),
            ("flow", worst.flow_m3s, "m3/s"),
            ("wanted", point.wanted_m3s, "m3/s"),
        )
        severity = Severity.OK if worst.spare >= 0.0 else Severity.WATCH
        yield Check(element=f"runs/{point.run}", severity=severity, facts=facts)


def _measured(assessment: Assessment) -> Iterator[Check]:
    for point in _points(assessment):
        found = point.measured
        if found is None:
            continue
        facts: tuple[Fact, ...] = (
            ("flow", found.flow_m3s, "m3/s"),
            ("off", found.error, "-"),
            ("computed_low", found.computed_m3s.low, "m3/s"),
            ("computed_high", found.computed_m3s.high, "m3/s"),
            ("head", found.system_head_m.value, "m"),
            ("gap", abs(found.gap_m.value), "m"),
            ("k", 0.0 if found.extra_k is None else round(found.extra_k, 1), ""),
            ("left", 100.0 if found.pump_share is None else round(100.0 * found.pump_share), ""),
        )
        yield Check(
            element=f"runs/{point.run}",
            severity=Severity.OK if found.verdict == "as drawn" else Severity.WATCH,
            facts=facts,
            text=_MORE_THAN_DRAWN if found.verdict == "more" else "",
            remedy=_LOOK_AT_FIGURES if found.verdict == "more" else "",
        )


def _tried(assessment: Assessment) -> Iterator[Check]:
    """Of the person's own list the one that brings the flow wanted with the least power."""
    for point in _points(assessment):
        if not point.tried or point.wanted_m3s <= 0.0:
            continue
        enough = [each for each in point.tried if each.spare >= 0.0 and each.in_preferred is not False]
        best: PumpTried = min(enough, key=lambda each: each.power_w.value, default=_most(point.tried))
        facts: tuple[Fact, ...] = (
            ("pump", best.pump, ""),
            ("flow", best.flow_m3s.value, "m3/s"),
            ("head", best.head_m.value, "m"),
            ("power", best.power_w.value, "W"),
            ("wanted", point.wanted_m3s, "m3/s"),
            ("duty_flow", point.duty_flow_m3s, "m3/s"),
            ("duty_head", point.duty_head_m, "m"),
        )
        yield Check(element=f"runs/{point.run}", severity=Severity.OK if enough else Severity.WATCH, facts=facts)


def _most(tried: tuple[PumpTried, ...]) -> PumpTried:
    return max(tried, key=lambda each: each.flow_m3s.value)


_SUMMIT_OF = (
    "At the highest point of the pipe to outlet {outlet} of {name} the water stands {spare} of head above its vapour "
    "pressure, {under} under the air's."
)
_PRIMES = "The pump of {name} lifts water over the highest point of the pipe to outlet {outlet} with {short} to spare."
_NEVER_PRIMES = (
    "The pump of {name} cannot fill the pipe to outlet {outlet} while the others are open: its highest point lies "
    "{short} above what is lifted to."
)
_CLOSE_OTHERS = (
    "Lead that pipe lower, or close the other outlets until it runs, with a cock at its highest point to let out the "
    "air."
)
_CASE_WORDS = {
    "clean": "clean",
    "worn": "with a worn pump",
    "dirty intake": "with a dirty intake",
    "cold water": "in cold water",
    "pond low": "with the pond at its lowest working level",
}
_PERHAPS_SHUT = "In {name} pump {pump} may be held shut by the others: at the low end of its band it brings nothing."
_DRIVEN = "In {name} pump {pump} is driven past its curve by the others: it holds the water back."
_NOT_IN_A_ROW = "Take it out of the row, or take pumps of the same flow."
_MORE_HEAD = "Turn the valve towards shut until it works inside that range."
_MORE_THAN_DRAWN = (
    "Through {name} {flow} was measured, give or take {off}, more than the {computed_range} that is computed: what "
    "stands in the file is not what was built."
)
_LOOK_AT_FIGURES = "Look at the levels, the pipe and the pump's curve in the file, and measure once more."
SHUT = Rule(
    code="pump.shut",
    area="circuit",
    title="Every one of several pumps brings water",
    well="In {name} pump {pump} brings {flow} at its head.",
    ill="In {name} pump {pump} brings nothing: the others hold its check valve shut at a head of {head}.",
    remedy="Run pumps of like shut-off head side by side, or switch this one off and keep it as a spare.",
    find=_shut,
)
BACK = Rule(
    code="pump.back",
    area="circuit",
    title="No water runs back through a stopped pump",
    well="Every pump of {name} has a check valve.",
    ill="The pumps of {name} stand side by side without check valves: through one that stops the water of the others "
    "runs back.",
    remedy="Fit a check valve behind each pump, and say so in the file.",
    find=_back,
)
PREFERRED = Rule(
    code="pump.range",
    area="circuit",
    title="A pump works where its maker wants it",
    well="In {name} pump {pump} works at {flow}, inside the {preferred_range} that its maker prefers.",
    ill="In {name} pump {pump} works at {flow_range}; its maker prefers {preferred_range}.",
    remedy="Open its valve, take a wider pipe, or take a smaller pump.",
    find=_preferred,
)
NPSH = Rule(
    code="pump.npsh",
    area="circuit",
    title="The suction head is enough for the pump",
    well="In {name} pump {pump} has {available} of net positive suction head; it asks for {required}.",
    ill="In {name} pump {pump} has {available} of net positive suction head and asks for {required}: it may cavitate.",
    remedy="Set the pump lower or into the water, or take a wider and shorter suction pipe.",
    find=_npsh,
    limits=("pump.npsh_spare",),
)
SUCTION_SPEED = Rule(
    code="pipe.suction",
    area="circuit",
    title="The water in a suction pipe is slow enough",
    well="In the suction pipe of {name} the water runs at {range} through {pipe}, within {good}.",
    ill="In the suction pipe of {name} the water runs at {range} through {pipe}; {good} is wanted, {bad} is the most.",
    remedy="Take the next wider suction pipe.",
    find=_suction_speed,
    likely="too fast",
    limits=("pipe.suction_speed",),
)
SUMMIT = Rule(
    code="pipe.summit",
    area="circuit",
    title="The water holds together at the highest point of a pipe",
    well="At the highest point of {name} the water stands {spare} of head above its vapour pressure.",
    ill="At the highest point of {name} the water is {under} of head under the pressure of the air, {spare} above "
    "its vapour pressure: it gives off air there or parts.",
    remedy="Lead the pipe lower, or end it in air at its highest point.",
    find=_summit,
    limits=("pipe.summit",),
)
PRIME = Rule(
    code="pipe.prime",
    area="circuit",
    title="The pump gets water over the highest point",
    well="The pump of {name} lifts water over the highest point of its pipe with {short} to spare.",
    ill="The pump of {name} cannot fill its pipe: the highest point lies {short} above what it lifts to.",
    remedy="Lead the pipe lower, or take a pump with more shut-off head.",
    find=_prime,
)
CASES = Rule(
    code="pump.cases",
    area="circuit",
    title="Worn, dirty, cold or low, the flow wanted still runs",
    well="Through {name} the least of its cases, {case}, still brings {flow} for {wanted} wanted.",
    ill="Through {name} only {flow} runs {case}; {wanted} is wanted.",
    remedy="Take a pump with more to spare, or clean and look after this one on the days that the care sheet says.",
    find=_cases,
)
MEASURED = Rule(
    code="pump.measured",
    area="circuit",
    title="The flow as measured is the flow as drawn",
    well="Through {name} {flow} was measured, give or take {off}, as computed: {computed_range}. Its pump works "
    "against {head}.",
    ill="Through {name} {flow} was measured, give or take {off}, where {computed_range} is computed: {gap} of head are "
    "lost somewhere, or the pump gives {left} % of its head.",
    remedy="Open every valve and clean the intake, then measure again. If it stays so, hold a gauge to the pump: a "
    "head under its curve says that it is worn, a head on it that the pipe loses as much as a K of {k}.",
    find=_measured,
)
TRIED = Rule(
    code="pump.list",
    area="circuit",
    title="A pump of the own list brings the flow wanted",
    well="For {name} pump {pump} of the list brings {flow} at {head} with {power}, for {wanted} wanted.",
    ill="For {name} no pump of the list brings {wanted}; the most is {flow}, by {pump}.",
    remedy="Look for one that gives {duty_flow} at {duty_head} on its own curve.",
    find=_tried,
)
