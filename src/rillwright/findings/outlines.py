"""Rules on the places of rims: inside the water whose edge they are, far from it, or nobody knows where."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.assessment import XY, Assessment, Severity, clear_m, line_of
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.sources import default

_HAIR_M = 0.05  # closer to the outline than an oval is taped


def inside_m(point: XY, outline: Sequence[XY]) -> float:
    """How far a point lies inside a closed line [m]; 0 outside it."""
    return max(-clear_m(line_of((*outline, outline[0])), point), 0.0)


def _inside(assessment: Assessment) -> Iterator[Check]:
    for body in assessment.feature.bodies:
        for rim in body.rims:
            depth = 0.0 if rim.at is None else inside_m(rim.at, body.outline)
            if depth > _HAIR_M:
                facts = (("body", body.id, ""), ("inside", depth, "m"))
                yield Check(element=f"rims/{rim.id}", severity=Severity.WATCH, facts=facts)


def _far(assessment: Assessment) -> Iterator[Check]:
    """Rims whose reading lies so far outside the water that it says little of the edge."""
    near = default("ground.near").number
    for body in assessment.feature.bodies:
        for rim in body.rims:
            away = 0.0 if rim.at is None else clear_m(line_of((*body.outline, body.outline[0])), rim.at)
            if away > near:
                facts = (("body", body.id, ""), ("away", away, "m"), ("near", near, "m"))
                yield Check(element=f"rims/{rim.id}", severity=Severity.WATCH, facts=facts)


def _unplaced(assessment: Assessment) -> Iterator[Check]:
    """Rims without a place beside rims that have one: of these nobody knows which part of the edge they say."""
    for body in assessment.feature.bodies:
        placed = any(rim.at is not None for rim in body.rims)
        for rim in body.rims:
            if placed and rim.at is None:
                yield Check(element=f"rims/{rim.id}", severity=Severity.WATCH, facts=(("body", body.id, ""),))


FAR = Rule(
    code="rim.far",
    area="levels",
    title="A rim was read at the edge that it is to be",
    well="",
    ill="The place of {name} lies {away} outside the outline of {body}: it says little of the ground at its edge.",
    remedy="Read the ground where the liner's edge will run, within {near} of it, or mend the place or the outline.",
    find=_far,
)
UNPLACED = Rule(
    code="rim.unplaced",
    area="levels",
    title="Every rim of a body has a place, or none has",
    well="",
    ill="{name} has no place, others of {body} have one: it is left out of the edge of the liner as it runs.",
    remedy="Say where it was read: at: [x, y].",
    find=_unplaced,
    weight=Weight.UNSAID,
)
INSIDE = Rule(
    code="rim.inside",
    area="levels",
    title="A rim lies outside the water that it holds",
    well="",
    ill="The place of {name} lies {inside} inside the outline of {body}: the shot or the outline is wrong.",
    remedy="Tape the place again, or mend the outline, before anything is dug or cut by it.",
    find=_inside,
)
