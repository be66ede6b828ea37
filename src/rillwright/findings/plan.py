"""The rules on where things lie in plan: water over itself, over other water, over a footing; levels at odds."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from rillwright.assessment import Assessment, NotRun, Severity
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.findings.words import WHOLE, named, spoken
from rillwright.units import Band

Find = Callable[[Assessment], Iterator[Check]]
_STOPS = ("crosses", "crosses a footing", "inside a footing", "under a building")


def _of(texts: dict[str, str]) -> Find:
    """The faults in plan of these kinds, each with its text."""

    def find(assessment: Assessment) -> Iterator[Check]:
        if isinstance(assessment.surface, NotRun):
            return
        for fault in assessment.surface.plan_faults:
            if fault.kind in texts:
                place = (("x", fault.at[0], "m"), ("y", fault.at[1], "m"))
                facts = (("other", named(fault.other), ""), ("size", fault.size_m, "m"), *place)
                severity = Severity.STOP if fault.kind in _STOPS else Severity.WATCH
                yield Check(element=fault.path, severity=severity, facts=facts, text=texts[fault.kind])

    return find


def _contradict(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.surface, NotRun):
        return
    for why in assessment.surface.ground_faults:
        yield Check(element=WHOLE, severity=Severity.STOP, facts=(("why", spoken(why).rstrip("."), ""),))


def _guessed(assessment: Assessment) -> Iterator[Check]:
    surface = assessment.surface
    if isinstance(surface, NotRun):
        return
    whole = sum(rim.length_m for rim in surface.rims)
    if whole > 0.0:
        facts = (("guessed", surface.guessed_m, "m"), ("whole", whole, "m"))
        yield Check(element=WHOLE, value=Band.exact(surface.guessed_m / whole), facts=facts)


_AT = "at x {x}, y {y}"
GROUND = Rule(
    code="ground.contradicts",
    area="levels",
    title="The levels that have a place make one surface of the ground",
    well="",
    ill="The levels that have a place make no surface of the ground: {why}. What lies between them is not known.",
    remedy="Look which of the two is right, mend or withdraw the other, and check again.",
    find=_contradict,
)
GUESSED = Rule(
    code="rim.guessed",
    area="containment",
    title="The ground under the liner's edge was levelled",
    well="Of {whole} of liner's edge {guessed} run where nobody took a level.",
    ill="Of {whole} of liner's edge {guessed} run where nobody took a level near enough.",
    remedy="Take levels along the edge and outside it, with their places, most of all where the ground falls away.",
    find=_guessed,
    limits=("rim.guessed",),
    weight=Weight.UNSAID,
)
ITSELF = Rule(
    code="stream.itself",
    area="stream",
    title="A stream keeps clear of itself",
    well="",
    ill="{name} crosses itself " + _AT + ".",
    remedy="Draw its path anew, with room between its limbs for two banks and the ground between them.",
    find=_of(
        {
            "crosses": "{name} crosses itself " + _AT + ": water cannot.",
            "meets itself": "Two limbs of {name} come so near to each other that their banks overlap by {size}, "
            + _AT
            + ".",
        }
    ),
)
ENDS = Rule(
    code="stream.ends",
    area="stream",
    title="A stream ends at the edge of its pond",
    well="",
    ill="{name} ends short of {other}.",
    remedy="End its path on the outline of the pond, or mend the outline.",
    find=_of(
        {
            "ends short": "{name} ends {size} short of the liner's edge of {other}, " + _AT + ".",
            "runs on inside": "{name} runs on for {size} inside {other}: its last beds would stand in the pond.",
        }
    ),
)
OVERLAP = Rule(
    code="plan.overlap",
    area="stream",
    title="Ponds and streams keep clear of each other",
    well="",
    ill="{name} and {other} lie over each other, " + _AT + ".",
    remedy="Move one of them, or make one water of the two.",
    find=_of({"lies over": "{name} and {other} lie over each other, about {size} across, " + _AT + "."}),
)
FOOTING = Rule(
    code="footing.under",
    area="earth",
    title="No water is planned in or across a footing, or where a building stands",
    well="",
    ill="{name} crosses the line of {other}.",
    remedy="Move it away, and ask an engineer before anything is dug there.",
    find=_of(
        {
            "crosses a footing": "{name} lies across the line of {other}, for {size}, " + _AT + ".",
            "inside a footing": "{name} lies inside the line of {other}.",
            "under a building": "{name} lies where {other} stands, about {size} across, " + _AT + ".",
        }
    ),
    source="common practice",
)
ISLAND = Rule(
    code="island.outside",
    area="stream",
    title="An island lies in its bed with water all round",
    well="",
    ill="{name} leaves the bed of {other}.",
    remedy="Draw it smaller, move it, or make the bed wider there.",
    find=_of(
        {"leaves the bed": "{name} does not lie in the bed of {other} with water all round it: {size} of it leave it."}
    ),
)
