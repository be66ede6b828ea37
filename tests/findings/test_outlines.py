"""A rim inside the water: distances by plane geometry."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from rillwright.assessment import XY, Severity
from rillwright.findings import find
from rillwright.findings.outlines import inside_m
from tests.findings.sample import whole

SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))


@pytest.mark.parametrize(
    ("at", "depth"),
    [((2.0, 1.5), 1.5), ((0.5, 1.0), 0.5), ((3.9, 2.0), 0.1), ((5.0, 1.0), 0.0), ((2.0, -0.1), 0.0)],
)
def test_how_far_inside(at: XY, depth: float) -> None:
    assert inside_m(at, SQUARE) == pytest.approx(depth)


@pytest.mark.parametrize(("feet", "said"), [(5.0, True), (6.5, False), (None, False)])
def test_a_rim_in_the_water_is_asked_about(feet: float | None, said: bool) -> None:
    """An oval 12 by 8 ft: its end lies 6 ft from the middle, so a rim at 5 ft is one foot inside."""
    assessment = whole()
    body = assessment.feature.bodies[0]
    rim = replace(body.rims[0], at=None if feet is None else (0.3048 * feet, 0.0))
    feature = replace(assessment.feature, bodies=(replace(body, rims=(rim,)),))
    found = [one for one in find(replace(assessment, feature=feature)) if one.code == "rim.inside"]
    assert bool(found) is said
    for one in found:
        assert one.severity is Severity.WATCH
        (depth,) = [value for name, value, _ in one.parameters if name == "inside"]
        assert depth == pytest.approx(0.3048, abs=0.01)
