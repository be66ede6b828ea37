"""The rule on places that cannot be: a rim that lies in the water whose edge it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.assessment import XY, Assessment, Severity, clear_m, line_of
from rillwright.findings.rule import Check, Rule

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


INSIDE = Rule(
    code="rim.inside",
    area="levels",
    title="A rim lies outside the water that it holds",
    well="",
    ill="The place of {name} lies {inside} inside the outline of {body}: the shot or the outline is wrong.",
    remedy="Tape the place again, or mend the outline, before anything is dug or cut by it.",
    find=_inside,
)
