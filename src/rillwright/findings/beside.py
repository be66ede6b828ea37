"""Rules on what stands and lies beside the dig: footings, paving, buildings, trees, buried services."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, FootingClearance, NotRun, ServiceCrossing, Severity, TreeClearance
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.findings.words import SITE, named
from rillwright.sources import default
from rillwright.units import Band

_UNKNOWN_FOOT = (
    "The dig at {name} goes {under} below the 1 to 1 line from {bears}, taken {shallow} under the ground beside it at "
    "best: nobody said how deep its footings go."
)
_UNKNOWN_WELL = (
    "The dig at {name} stays {value} above the 1 to 1 line from {bears}, taken at the ground beside it: nobody said "
    "how deep its footings go."
)


def _footings(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.earth, NotRun):
        return
    for each in assessment.earth.clearances:
        yield _known(each) if each.at_best_m is None else _unknown(each, each.at_best_m)


def _known(each: FootingClearance) -> Check:
    facts = (("bears", named(f"{each.kind}/{each.footing}"), ""), ("under", max(-each.clearance_m, 0.0), "m"))
    return Check(element=each.path, value=Band.exact(each.clearance_m), facts=facts)


def _unknown(each: FootingClearance, at_best_m: float) -> Check:
    facts: tuple[Fact, ...] = (
        ("bears", named(f"{each.kind}/{each.footing}"), ""),
        ("under", max(-each.clearance_m, 0.0), "m"),
        ("shallow", default("footing.shallowest").number, "m"),
    )
    value = Band(each.clearance_m, each.clearance_m, at_best_m)
    text = _UNKNOWN_WELL if each.clearance_m >= 0.0 else _UNKNOWN_FOOT
    remedy = (
        "Dig a hole by hand beside the wall, away from the work, to find the foot, and put its level in the file; no "
        "machine digs there before, or until an engineer says otherwise."
    )
    return Check(element=each.path, value=value, facts=facts, text=text, remedy=remedy)


def _trees(assessment: Assessment) -> Iterator[Check]:
    if not isinstance(assessment.earth, NotRun):
        yield from (_tree(each) for each in assessment.earth.trees)


def _tree(each: TreeClearance) -> Check:
    facts: tuple[Fact, ...] = (
        ("tree", named(f"trees/{each.tree}"), ""),
        ("distance", each.distance_m, "m"),
        ("trunk", each.trunk_m, "m"),
        ("root", each.root_m, "m"),
    )
    return Check(element=each.path, value=Band.exact(each.distance_m / each.root_m), facts=facts)


def _near(assessment: Assessment) -> Iterator[Check]:
    for each in _services(assessment):
        if not each.crosses:
            yield Check(element=each.path, value=Band.exact(each.distance_m), facts=_service(each))


def _over(assessment: Assessment) -> Iterator[Check]:
    for each in _services(assessment):
        if not each.crosses:
            continue
        over, station = each.over_m, each.station_m
        facts: tuple[Fact, ...] = (*_service(each), ("under", max(-(over or 0.0), 0.0), "m"))
        facts += () if station is None else (("station", station, "m"),)
        crosses = _CROSSES if station is None else _CROSSES_AT
        if over is None:
            yield Check(element=each.path, severity=Severity.STOP, facts=facts, text=f"{crosses}; {_DEEP_UNSAID}")
        else:
            text = f"{crosses} {_BELOW if over < 0.0 else _ABOVE}"
            yield Check(element=each.path, value=Band.exact(over), facts=facts, text=text)


def _services(assessment: Assessment) -> tuple[ServiceCrossing, ...]:
    return () if isinstance(assessment.earth, NotRun) else assessment.earth.services


def _service(each: ServiceCrossing) -> tuple[Fact, ...]:
    kind = "" if each.kind == "other" else f"{each.kind} "
    return (("service", f"the {kind}line {each.service}", ""),)


def _located(assessment: Assessment) -> Iterator[Check]:
    said = assessment.feature.site.services
    if said is None:
        yield Check(element=SITE, severity=Severity.STOP)
    elif said.located is False:
        yield Check(element=SITE, severity=Severity.STOP, text=_UNLOCATED)
    elif said.located is None:
        yield Check(element=SITE, severity=Severity.WATCH, facts=(("note", said.note.rstrip("."), ""),), text=_NOTED)
    elif said.on is None or said.ticket is None:
        lacks = [what for what, known in (("day", said.on), ("ticket", said.ticket)) if known is None]
        yield Check(element=SITE, severity=Severity.WATCH, facts=(("lacks", " and ".join(lacks), ""),), text=_UNDATED)
    else:
        yield Check(element=SITE, severity=Severity.OK, facts=(("on", said.on, ""), ("ticket", said.ticket, "")))


_UNLOCATED = "Buried services are said not to be located: nothing is dug before that."
_NOTED = (
    'Of buried services the file says "{note}": not whether they were located, on which day and under which ticket. '
    "Nothing is dug before that is known."
)
_UNDATED = "Buried services are said to be located, without {lacks}: marks fade, and a ticket runs out."
_CROSSES = "The dig at {name} crosses {service}"
_CROSSES_AT = "The dig at {name}, {station} along it, crosses {service}"
_ABOVE = "and stays {value} above its top; {good} of ground is wanted over it."
_BELOW = "and goes {under} below its top."
_DEEP_UNSAID = "nobody said how deep that lies."
FOOTING = Rule(
    code="dig.footing",
    area="earth",
    title="Nothing is dug below the 1 to 1 line from a footing, a building or the base of paving",
    well="The dig at {name} stays {value} above the 1 to 1 line from {bears}.",
    ill="The dig at {name} goes {under} below the 1 to 1 line from {bears}.",
    remedy="Do not dig there: move the pond away or make it shallower, until an engineer says otherwise.",
    find=_footings,
    limits=("footing.clearance",),
)
TREE = Rule(
    code="dig.tree",
    area="earth",
    title="A dig stays off the roots of a tree that is kept",
    well="The dig at {name} stays {distance} from {tree}, whose roots need {root}.",
    ill="The dig at {name} comes within {distance} of {tree}; with a trunk {trunk} across its roots need {root}.",
    remedy="Ask an arborist before anything is dug. Move the dig away, or dig by hand there, cut no root thicker than "
    "a thumb, keep the dug face moist, and keep machines, spoil and stone off the ground that its roots need. A tree "
    "that has lost its hold falls. Local rules on protected trees go before this.",
    find=_trees,
    limits=("tree.roots",),
)
NEAR = Rule(
    code="dig.service",
    area="earth",
    title="A machine keeps off a buried service",
    well="The dig at {name} stays {value} from {service}.",
    ill="The dig at {name} comes within {value} of {service}; within {good} of its marks all digging is by hand.",
    remedy="Dig by hand within {good} of the marks, and see the service before a machine comes near: marks can be off. "
    "Local rules and the service's owner go before this.",
    find=_near,
    limits=("service.near",),
)
OVER = Rule(
    code="dig.crossing",
    area="earth",
    title="A dig that crosses a buried service stays above it",
    well=f"{_CROSSES} {_ABOVE}",
    ill=f"{_CROSSES} {_ABOVE}",
    remedy="Lead the work round it, or dig less deep there; else its owner moves it. Before any machine comes near it "
    "is found by hand, by its owner's rules, and its depth put in the file. No stone bears on it.",
    find=_over,
    limits=("service.over",),
)
SERVICES = Rule(
    code="dig.services",
    area="earth",
    title="Buried services are located before anything is dug",
    well="Buried services are said to be located and marked on {on}, ticket {ticket}.",
    ill="Nobody has said that buried services were located: nothing is dug before that.",
    remedy="Before anything is dug have buried services located and marked, by the service that does that there; no "
    "machine in the ground before. Write down day and ticket, and see on the day of the dig that both still hold; "
    "dig by hand near the marks.",
    find=_located,
    people=True,
    weight=Weight.UNSAID,
)
