"""The rule on places that cannot be: a rim that lies in the water whose edge it is."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from rillwright.assessment import XY, Assessment, Severity
from rillwright.findings.rule import Check, Rule

_HAIR_M = 0.05  # closer to the outline than an oval is taped


def inside_m(point: XY, outline: Sequence[XY]) -> float:
    """How far a point lies inside a closed line [m]; 0 outside it."""
    x, y = point
    within = False
    nearest = math.inf
    for (x0, y0), (x1, y1) in itertools.pairwise((*outline, outline[0])):
        if (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0):
            within = not within
        size = (x1 - x0) ** 2 + (y1 - y0) ** 2
        share = ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / size if size else 0.0
        share = min(max(share, 0.0), 1.0)
        nearest = min(nearest, math.hypot(x0 + share * (x1 - x0) - x, y0 + share * (y1 - y0) - y))
    return nearest if within else 0.0


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
