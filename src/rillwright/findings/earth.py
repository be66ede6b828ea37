"""Rules on digging."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, Dig, NotRun, Severity
from rillwright.findings.grading import bound_of, reaches
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.sources import default, soil
from rillwright.units import Band

_ENGINEER = "Local rules and the person who answers for the excavation go before this."


def _digs(assessment: Assessment) -> tuple[Dig, ...]:
    return () if isinstance(assessment.earth, NotRun) else assessment.earth.digs


def _steep(dig: Dig) -> float:
    """Side as dug over the side that the soil allows [-]; a soil that nobody named is taken as the worst class."""
    allowed = dig.soil_up_per_across or soil("unknown").up_per_across
    if math.isinf(allowed):
        return 1.0 if math.isinf(dig.side_up_per_across) else 0.0
    return dig.side_up_per_across / allowed


def _side(assessment: Assessment) -> Iterator[Check]:
    """Graded where a cut is deep enough to need protecting; shallower it is worth a look."""
    shallow = bound_of(assessment.feature, "dig.egress_depth")
    protect = bound_of(assessment.feature, "dig.protect_depth")
    for dig in _digs(assessment):
        facts = (
            ("depth", dig.deepest_m, "m"),
            ("side", _slope(dig.side_up_per_across), ""),
            ("soil", _soil(assessment), ""),
        )
        if not reaches(dig.deepest_m, shallow):
            steep = _steep(dig)
            within = Band.exact(steep) if steep <= 1.0 else None  # no figure beyond a limit that does not hold
            if steep > 1.0 and _loose(assessment):
                yield Check(element=dig.path, severity=Severity.WATCH, facts=facts, text=_RUNS, remedy=_DRESS)
            else:
                yield Check(element=dig.path, value=within, severity=Severity.OK, facts=facts, text=_SHALLOW)
        else:
            worst = Severity.STOP if reaches(dig.deepest_m, protect) else Severity.WATCH
            yield Check(element=dig.path, value=Band.exact(_steep(dig)), worst=worst, facts=facts)


def _loose(assessment: Assessment) -> bool:
    """Whether the soil was named, and as one that runs where it is cut steep."""
    key = assessment.feature.site.soil
    return key != "unknown" and soil(key).osha_class == "C"


def _slope(up_per_across: float) -> str:
    return "vertical" if math.isinf(up_per_across) else f"{up_per_across:.3g} up to 1 across"


def _soil(assessment: Assessment) -> str:
    key = assessment.feature.site.soil
    return "unknown soil, taken as the loosest," if key == "unknown" else key


def _meet(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.shape, NotRun):
        return
    for body in assessment.feature.bodies:
        real = assessment.shape.depth_m(body)
        facts = (("wished", body.depth_m, "m"), ("real", real, "m"))
        lost = body.depth_m - real
        severity = Severity.STOP if lost > _MOST_LOST * body.depth_m else Severity.WATCH
        yield Check(
            element=f"ponds/{body.id}",
            severity=severity if lost > _LEAST_M else Severity.OK,
            facts=facts,
            remedy=_OTHER_POND if severity is Severity.STOP else "",
        )


def _depths(assessment: Assessment) -> Iterator[Check]:
    for dig in _digs(assessment):
        yield Check(element=dig.path, value=Band.exact(dig.deepest_m))


def _ladder(assessment: Assessment) -> Iterator[Check]:
    """A hole just as deep as the limit asks for one: it is 4 ft or more, as printed."""
    bound = bound_of(assessment.feature, "dig.egress_depth")
    for dig in _digs(assessment):
        deep = reaches(dig.deepest_m, bound)
        yield Check(element=dig.path, value=Band.exact(dig.deepest_m), severity=bound.severity if deep else Severity.OK)


def _protect(assessment: Assessment) -> Iterator[Check]:
    """A hole just as deep as the limit asks for it: less than 5 ft is let off, as printed."""
    bound = bound_of(assessment.feature, "dig.protect_depth")
    for dig in _digs(assessment):
        sloped = _steep(dig) <= 1.0 and assessment.feature.site.soil != "unknown"
        worst = Severity.WATCH if sloped else Severity.STOP
        text = _SLOPED if sloped else ""
        deep = reaches(dig.deepest_m, bound)
        facts = (("side", _slope(dig.side_up_per_across), ""), ("soil", _soil(assessment), ""))
        yield Check(
            element=dig.path,
            value=Band.exact(dig.deepest_m),
            severity=bound.severity if deep else Severity.OK,
            worst=worst,
            facts=facts,
            text=text if deep else "",
        )


def _open(assessment: Assessment) -> Iterator[Check]:
    for dig in _digs(assessment):
        facts = (("depth", dig.deepest_m, "m"), ("back", default("earth.spoil_back").number, "m"))
        yield Check(element=dig.path, severity=Severity.WATCH, facts=facts)


_LEAST_M = 1e-3  # less than a rod can resolve
_MOST_LOST = 0.25  # of the depth wished for; beyond it another pond was meant; the figure is our own
_OTHER_POND = (
    "Build nothing of it: wish for {real} or less, or make it so much wider, or its sides steeper where the soil "
    "stands so, that it is as deep as it is wished."
)
MEET = Rule(
    code="pond.shallow",
    area="earth",
    title="The sides leave room for the depth wished for",
    well="{name} is {real} deep, as wished.",
    ill="The sides of {name} meet {real} down, before the {wished} wished for: it holds no more than that.",
    remedy="Wish for {real} or less, make it wider, or its sides steeper where the soil stands so.",
    find=_meet,
)
_SHALLOW = "The hole at {name} is {depth} deep, its side {side}: too shallow to need protecting unless it caves."
_RUNS = (
    "The hole at {name} is {depth} deep, its side {side}: {soil} does not stand so for long, and slides before the "
    "liner lies."
)
_DRESS = (
    "Cut it flatter, or dress its side with a soil that packs, in thin layers, and lay the liner the same day; keep "
    "water and traffic off its edge. "
) + _ENGINEER
_SLOPED = (
    "The hole at {name} is {value} deep; its side, {side}, is no steeper than {soil} allows where it was classed right."
)
SIDE = Rule(
    code="dig.side",
    area="earth",
    title="The side of a cut is no steeper than its soil stands, or it is too shallow to need protecting",
    well="The hole at {name} is {depth} deep, its side {side}: no steeper than {soil} allows.",
    ill="The hole at {name} is {depth} deep, its side {side}: steeper than {soil} allows where people go in.",
    remedy="Slope it back or shore it before anybody goes in, by the soil that a competent person finds there. "
    + _ENGINEER,
    find=_side,
    limits=("dig.side", "dig.egress_depth", "dig.protect_depth"),
)
EGRESS = Rule(
    code="dig.ladder",
    area="earth",
    title="A hole is shallow enough to step out of",
    well="The hole at {name} is {value} deep, less than the {good} that asks for a ladder or a ramp.",
    ill="The hole at {name} is {value} deep: from {good} it has a ladder or a ramp near everybody in it.",
    remedy="Leave a ramp or set a ladder within a few steps of everybody. " + _ENGINEER,
    find=_ladder,
    limits=("dig.egress_depth",),
)
PROTECT = Rule(
    code="dig.protect",
    area="earth",
    title="A deep cut is protected",
    well="The hole at {name} is {value} deep, less than the {good} that asks for protection.",
    ill="The hole at {name} is {value} deep: from {good} its sides are sloped, shored or shielded.",
    remedy="Have a competent person class the soil and choose the protection before anybody goes in. " + _ENGINEER,
    find=_protect,
    limits=("dig.protect_depth",),
)
ENGINEER = Rule(
    code="dig.engineer",
    area="earth",
    title="A cut is not so deep that it is an engineer's work",
    well="The hole at {name} is {value} deep, less than the {good} from which an engineer designs it.",
    ill="The hole at {name} is {value} deep: deeper than {good} an engineer designs its protection.",
    remedy="Ask a licensed engineer. " + _ENGINEER,
    find=_depths,
    limits=("dig.engineer_depth",),
)
OPEN = Rule(
    code="dig.open",
    area="earth",
    title="An open hole is guarded",
    well="",
    ill="The hole at {name} is {depth} deep and stands open until it is filled.",
    remedy="Fence or cover it every night and whenever nobody is there; keep spoil and machines {back} and more back "
    "from its edge.",
    find=_open,
    people=True,
    weight=Weight.STANDING,
)
