"""Rules on the outlets of a branching run: what each gets, and which valve to turn."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, OutletFlow, PumpPoint, SetWater, Severity, Stream, Water
from rillwright.findings.rule import Check, Fact, Rule
from rillwright.units import Band


def _branching(assessment: Assessment) -> Iterator[tuple[PumpPoint, OutletFlow, tuple[OutletFlow, ...]]]:
    """Each outlet of a run with several, with its run and all outlets of that run."""
    if isinstance(assessment.water, NotRun):
        return
    for point in assessment.water.circuit.pumps:
        outlets = tuple(out for out in assessment.water.circuit.outlets if out.run == point.run and out.id)
        if not point.proposed:
            for outlet in outlets:
                yield point, outlet, outlets


def _outlet_facts(point: PumpPoint, outlet: OutletFlow, outlets: tuple[OutletFlow, ...]) -> tuple[Fact, ...]:
    flow = outlet.flow_m3s
    others = [each.id for each in outlets if each.id != outlet.id and each.flow_m3s.value > each.wanted_m3s]
    kept = next((each.id for each in outlets if each.keep_open), outlet.id)
    share = 1.0 if point.settings_share is None else point.settings_share
    return (
        ("outlet", outlet.id, ""),
        ("flow", flow.value, "m3/s"),
        ("flow_low", flow.low, "m3/s"),
        ("flow_high", flow.high, "m3/s"),
        ("wanted", outlet.wanted_m3s, "m3/s"),
        ("set", outlet.set_m3s, "m3/s"),
        ("takes", outlet.valve_loss_m, "m"),
        ("k", round(outlet.valve_k, 1), ""),
        ("kept", kept, ""),
        ("dry", " and ".join(each.id for each in outlets if each.flow_m3s.high <= 0.0), ""),
        ("share", round(100.0 * share), ""),
        ("others", " and ".join(others) or "the others", ""),
    )


def _short(assessment: Assessment) -> Iterator[Check]:
    for point, outlet, outlets in _branching(assessment):
        if outlet.wanted_m3s <= 0.0 or point.flow_m3s.high <= 0.0:
            continue  # a pump that lifts none at all is `pump.lift`'s
        facts = _outlet_facts(point, outlet, outlets)
        if outlet.flow_m3s.high <= 0.0:
            yield Check(element=f"runs/{point.run}", severity=Severity.STOP, facts=facts, text=_DRY, remedy=_LIFT_LESS)
            continue
        value = outlet.flow_m3s.scale(1.0 / outlet.wanted_m3s)
        yield Check(element=f"runs/{point.run}", value=value, facts=facts, remedy=_for_all(point, outlets))


def _for_all(point: PumpPoint, outlets: tuple[OutletFlow, ...]) -> str:
    """What to do where no valve gives each outlet what is wanted there; nothing where one does."""
    if any(each.flow_m3s.high <= 0.0 for each in outlets if each.wanted_m3s > 0.0):
        return _DRY_FIRST
    return _TOGETHER if point.settings_share is not None and point.settings_share < 1.0 else ""


def _over(assessment: Assessment) -> Iterator[Check]:
    for point, outlet, outlets in _branching(assessment):
        if outlet.wanted_m3s > 0.0 and outlet.flow_m3s.value > 0.0:
            share = outlet.flow_m3s.value / outlet.wanted_m3s
            facts = _outlet_facts(point, outlet, outlets)
            dry = _for_all(point, outlets) is _DRY_FIRST
            yield Check(
                element=f"runs/{point.run}",
                value=Band.exact(share),
                facts=facts,
                remedy=_MAIN_VALVE if outlet.keep_open else _DRY_FIRST if dry else "",
            )


def _set(assessment: Assessment) -> Iterator[Check]:
    """What runs down each stream once the valves are set as told, where that is another flow than now."""
    if isinstance(assessment.water, NotRun) or assessment.water.as_set is None:
        return
    for stream in assessment.feature.streams:
        found = _as_set(stream, assessment.water, assessment.water.as_set)
        if found is not None:
            yield Check(element=f"streams/{stream.id}", severity=Severity.OK, facts=found)


def _as_set(stream: Stream, now: Water, so: SetWater) -> tuple[Fact, ...] | None:
    falls, beds = {fall.id for fall in stream.falls}, {reach.id for reach in stream.reaches}
    crests = [each for each in so.crests if each.fall in falls and each.flow_m3s > 0.0]
    reaches = [each for each in so.reaches if each.reach in beds and each.flow_m3s > 0.0]
    before = [each.flow_m3s.value for each in now.crests if each.fall in falls]
    if not crests or not reaches:
        return None
    flow = max(each.flow_m3s for each in reaches)
    if abs(max(each.flow_m3s for each in crests) - max(before)) < _ALIKE * max(before):
        return None
    return (
        ("set", flow, "m3/s"),
        ("crest_low", min(each.depth_m.low for each in crests), "m"),
        ("crest_high", max(each.depth_m.high for each in crests), "m"),
        ("bed_low", min(each.depth_m.low for each in reaches), "m"),
        ("bed_high", max(each.depth_m.high for each in reaches), "m"),
    )


_ALIKE = 0.02  # flows nearer to each other than this share are one [-]
_DRY = "Outlet {outlet} of {name} gets no water: it lies above what the pumps lift to with the others open."
_LIFT_LESS = "Turn the valves of {others} towards shut, lower outlet {outlet}, or take a pump with more head."
_TOGETHER = (
    "All outlets of {name} together can have {share} % of what is wanted: take more pump or a wider main; until then "
    "share it by the valves, {kept} fully open."
)
_DRY_FIRST = (
    "First bring outlet {dry} down to what the pumps lift to, or leave it out; what the valves are to be set to "
    "follows from that."
)
_MAIN_VALVE = "Turn the valve of the main towards shut; leave that of {outlet} open."
SHORT = Rule(
    code="outlet.short",
    area="circuit",
    title="Every outlet of a run gets what is wanted there",
    well="Outlet {outlet} of {name} gets {flow_range} for {wanted} wanted.",
    ill="Outlet {outlet} of {name} gets {flow_range} for {wanted} wanted.",
    remedy="Turn the valve of {others} towards shut and leave that of {kept} fully open.",
    find=_short,
    limits=("outlet.short",),
)
OVER = Rule(
    code="outlet.over",
    area="circuit",
    title="No outlet of a run gets far more than is wanted there",
    well="Outlet {outlet} of {name} gets {flow} for {wanted} wanted.",
    ill="Outlet {outlet} of {name} gets {flow} for {wanted} wanted.",
    remedy="Turn its valve towards shut until it takes {takes} of head at {set}, a K of {k}; leave that of {kept} "
    "fully open.",
    find=_over,
    limits=("outlet.over",),
)
SET = Rule(
    code="valve.set",
    area="circuit",
    title="What the water does once the valves are set as wished",
    well="With the valves set as wished {set} runs down {name}: {crest_range} of water over its crests and {bed_range} "
    "on its beds.",
    ill="With the valves set as wished {set} runs down {name}.",
    remedy="Nothing is to be done.",
    find=_set,
)
