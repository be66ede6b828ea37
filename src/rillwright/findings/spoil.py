"""Rules on where dug soil goes, and on soil that is brought."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, Earth, NotRun, Severity, SoilBalance
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import SITE

_LEAST_M3 = 0.01  # a barrow less than full


def _earth(assessment: Assessment) -> Earth | None:
    return None if isinstance(assessment.earth, NotRun) else assessment.earth


def _balance(assessment: Assessment, earth: Earth) -> SoilBalance:
    """By the finished surface where it was made, as its sheet has it; else by the sizes of the parts."""
    finished = assessment.finished
    if not isinstance(finished, NotRun) and finished.earth:
        return finished.soil
    return SoilBalance(out_m3=earth.soil_out_m3, brought_in_m3=earth.brought_in_m3, truckloads=earth.truckloads)


def _out(assessment: Assessment) -> Iterator[Check]:
    earth = _earth(assessment)
    if earth is None:
        return
    soil = _balance(assessment, earth)
    if soil.out_m3 < _LEAST_M3:
        return
    said = assessment.feature.site.spoil
    loads = "one truckload" if soil.truckloads == 1 else f"{soil.truckloads} truckloads"
    facts = (("out", soil.out_m3, "m3 of soil"), ("loads", loads, ""), ("said", (said or "").rstrip("."), ""))
    yield Check(element=SITE, severity=Severity.WATCH if said is None else Severity.OK, facts=facts)


def _brought(assessment: Assessment) -> Iterator[Check]:
    earth = _earth(assessment)
    if earth is None or earth.berm_fill_m3 < _LEAST_M3:
        return
    brought = earth.swell * _balance(assessment, earth).brought_in_m3
    facts = (("brought", brought, "m3 of soil"), ("fill", earth.berm_fill_m3, "m3 of soil"))
    yield Check(element=SITE, severity=Severity.WATCH if brought > _LEAST_M3 else Severity.OK, facts=facts)


def _turned(assessment: Assessment) -> Iterator[Check]:
    earth = _earth(assessment)
    if earth is not None and earth.berm_fill_m3 >= _LEAST_M3:
        yield Check(element=SITE, severity=Severity.WATCH, facts=(("fill", earth.berm_fill_m3, "m3 of soil"),))


OUT = Rule(
    code="earth.spoil",
    area="earth",
    title="What is dug has somewhere to go",
    well="{out} of loose soil, about {loads}, goes: {said}.",
    ill="{out} of loose soil, about {loads}, is left over, and nobody has said where it goes.",
    remedy="Settle before the dig where it is placed or carted, and by whom: off neighbours' ground, ditches and the "
    "ground that trees' roots need, clear of the hole's edge, topsoil by itself.",
    find=_out,
    weight=Weight.UNSAID,
)
BROUGHT = Rule(
    code="earth.brought",
    area="earth",
    title="The dig gives the soil that berms and banks take",
    well="The dig gives all the soil that berms and banks take, {fill} as placed.",
    ill="Berms and banks take {fill} as placed, more than is dug: {brought} of loose soil is brought in, and much of "
    "the work then stands on fill, which settles.",
    remedy="Hold the water lower or dig deeper; else price soil that packs, free of roots, stone and turf, place it in "
    "layers of a hand's breadth, each tamped, on ground stripped of turf.",
    find=_brought,
)
TURNED = Rule(
    code="earth.runoff",
    area="earth",
    title="Water that ran across the site still runs where it did",
    well="",
    ill="Berms and banks, {fill} as placed, and whatever soil is left beside them turn aside the rain that used to run "
    "across here.",
    remedy="Lead it round in a shallow swale to where it ran before, never onto a neighbour's ground or against a "
    "building, and look at it in the next heavy rain. Local rules on drainage go before this.",
    find=_turned,
    weight=Weight.STANDING,
)
