"""Rules on electricity, and on people, children and animals near water."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, Barrier, Body, BodyKind, NotRun, Severity
from rillwright.findings.grading import bound_of, reaches
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import SITE
from rillwright.units import Band

_CODE = "Local codes go before this."
_IS_DEEP = "{name} is {value} deep, and "
_PLANNED = _IS_DEEP + "a barrier is wanted there and planned. Check it against the local code."
_ANYWAY = _IS_DEEP + "a barrier is planned. Check it against the local code."
_UNPLANNED = _IS_DEEP + "a barrier is wanted there, but none is planned."
_NONE_WANTED = _IS_DEEP + "no barrier is wanted there, as said by {asked}; any depth can drown."
_ASKED_FROM = "codes ask for one from {good} or {bad}, by place."
_NOBODY_ASKED = _IS_DEEP + "the file says that no barrier is wanted, but not who was asked; " + _ASKED_FROM
_NOTED = (
    _IS_DEEP
    + 'of a barrier the file says "{note}": not whether one is wanted, nor whether it is planned; '
    + _ASKED_FROM
)


def _protection(assessment: Assessment) -> Iterator[Check]:
    device = assessment.feature.site.residual_current_device
    if assessment.feature.runs and device is not None:
        yield Check(element=SITE, severity=Severity.OK if device else Severity.STOP)


def _protection_unsaid(assessment: Assessment) -> Iterator[Check]:
    if assessment.feature.runs and assessment.feature.site.residual_current_device is None:
        yield Check(element=SITE, severity=Severity.WATCH)


def _distance(assessment: Assessment) -> Iterator[Check]:
    if not assessment.feature.runs:
        return
    distance = assessment.feature.site.power_distance_m
    if distance is None:
        text = "Nobody has said how far the pump stands from power, and the drop in the cable was not worked out."
        yield Check(element=SITE, severity=Severity.WATCH, text=text)
    else:
        yield Check(element=SITE, severity=Severity.WATCH, facts=(("distance", distance, "m"),))


def _depth_m(assessment: Assessment, body: Body) -> float:
    return body.depth_m if isinstance(assessment.shape, NotRun) else assessment.shape.depth_m(body)


def _ponds(assessment: Assessment) -> Iterator[Check]:
    for body in assessment.feature.bodies:
        if body.kind is BodyKind.POND:
            yield Check(
                element=f"ponds/{body.id}", severity=Severity.WATCH, facts=(("depth", _depth_m(assessment, body), "m"),)
            )


def _barrier(assessment: Assessment) -> Iterator[Check]:
    """A pond just as deep as the limit asks for one: codes begin from there. What is said counts where it answers."""
    bound = bound_of(assessment.feature, "pond.barrier_depth")
    for body in assessment.feature.bodies:
        if body.kind is BodyKind.POND:
            depth = Band.exact(_depth_m(assessment, body))
            beyond = bound.severity if reaches(depth.value, bound) else Severity.OK
            yield _of_barrier(f"ponds/{body.id}", depth, assessment.feature.site.barrier, beyond=beyond)


def _of_barrier(element: str, depth: Band, said: Barrier | None, *, beyond: Severity) -> Check:
    if said is None:
        return Check(element=element, value=depth, severity=beyond)
    if said.wanted and said.planned:
        return Check(element=element, value=depth, severity=Severity.OK, text=_PLANNED)
    if said.wanted:
        return Check(element=element, value=depth, severity=Severity.STOP, text=_UNPLANNED)
    if said.planned:
        return Check(element=element, value=depth, severity=Severity.OK, text=_ANYWAY)
    if said.wanted is False and said.asked:
        return Check(
            element=element, value=depth, severity=Severity.OK, facts=(("asked", said.asked, ""),), text=_NONE_WANTED
        )
    if beyond is Severity.OK:
        return Check(element=element, value=depth, severity=Severity.OK)
    if said.wanted is False:
        return Check(element=element, value=depth, severity=beyond, text=_NOBODY_ASKED)
    facts = (("note", (said.note or said.asked or "").rstrip("."), ""),)
    return Check(element=element, value=depth, severity=beyond, facts=facts, text=_NOTED)


def _suction(assessment: Assessment) -> Iterator[Check]:
    for run in assessment.feature.runs:
        yield Check(element=f"runs/{run.id}", severity=Severity.WATCH, facts=(("body", run.source, ""),))


def _loads(assessment: Assessment) -> Iterator[Check]:
    machines = [access.machine.name for access in assessment.feature.site.accesses if access.machine is not None]
    if machines:
        yield Check(element=SITE, severity=Severity.WATCH, facts=(("machine", machines[0], ""),))


PROTECTION = Rule(
    code="power.protection",
    area="power",
    title="The pump's circuit has a residual current device",
    well="The pump's circuit is said to have a residual current device.",
    ill="The pump's circuit is said to have no residual current device.",
    remedy="Do not run it so: a licensed electrician fits one, with isolation within sight. " + _CODE,
    find=_protection,
    people=True,
)
PROTECTION_UNSAID = Rule(
    code="power.unsaid",
    area="power",
    title="It is known whether the pump's circuit has a residual current device",
    well="",
    ill="Nobody has said whether the pump's circuit has a residual current device.",
    remedy="Ask a licensed electrician to look, and to fit one if there is none; no extension leads. " + _CODE,
    find=_protection_unsaid,
    people=True,
    weight=Weight.UNSAID,
)
DISTANCE = Rule(
    code="power.distance",
    area="power",
    title="The cable to the pump is sized",
    well="",
    ill="The pump stands {distance} from power; the drop in the cable was not worked out.",
    remedy="A licensed electrician sizes the cable and its protection for that distance. " + _CODE,
    find=_distance,
    weight=Weight.UNCHECKED,
)
DROWN = Rule(
    code="people.drown",
    area="people",
    title="Any depth of water can drown a child",
    well="",
    ill="{name} is {depth} deep; any depth of water can drown a child.",
    remedy="Tell the owner, never leave children alone near it, and keep to the local code on barriers and alarms.",
    find=_ponds,
    people=True,
    weight=Weight.STANDING,
)
BARRIER = Rule(
    code="people.barrier",
    area="people",
    title="A barrier stands where local code asks for one",
    well="{name} is {value} deep, less than the {good} from which codes begin to ask for a barrier; "
    "any depth can drown.",
    ill="{name} is {value} deep, and no barrier is said; codes ask for one from {good} or {bad}, by place.",
    remedy="Ask the local authority which depth counts there, and build the barrier that it wants "
    "before the pond is filled.",
    find=_barrier,
    limits=("pond.barrier_depth",),
)
SUCTION = Rule(
    code="people.suction",
    area="people",
    title="Nobody can be held by the suction of a pump",
    well="",
    ill="{name} draws from {body}: hair, hands and animals can be held at a suction.",
    remedy="Cover the intake so that no one opening takes all the flow, and stop the pump before reaching in. " + _CODE,
    find=_suction,
    people=True,
    weight=Weight.STANDING,
)
ESCAPE = Rule(
    code="people.escape",
    area="people",
    title="Whoever falls in can climb out",
    well="",
    ill="A child, a dog or a hedgehog that falls into {name} needs a way out on each side.",
    remedy="Set stone as steps or a ramp from the shelf to the edge, on each side, that does not roll or slip.",
    find=_ponds,
    people=True,
    weight=Weight.STANDING,
)
LOADS = Rule(
    code="people.loads",
    area="people",
    title="Nobody stands under a load or near wires",
    well="",
    ill="The {machine} lifts and digs here, over people's feet and under whatever wires there are.",
    remedy="Nobody under a load, or between a load and a hole; look up for wires and keep the "
    "distance their owner asks for.",
    find=_loads,
    people=True,
    weight=Weight.STANDING,
)
