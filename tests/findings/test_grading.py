"""A value with its band against a limit, and what a feature gives instead of a limit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from rillwright.assessment import LimitOverride, Severity
from rillwright.findings import Bound, limits_used
from rillwright.findings.grading import bound_of, grade
from rillwright.units import Band
from tests.findings.sample import changed, exact, feature, metres, whole, worst

OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP
AT_LEAST = Bound(
    name="rim",
    sense="at_least",
    good=3.0,
    bad=2.0,
    severity=STOP,
    unit="m",
    source="common practice",
    origin="default",
)
AT_MOST = replace(AT_LEAST, sense="at_most", good=-3.0, bad=-2.0)  # the same, seen from below

BANDS = (
    ((3.0, 3.0, 3.0), OK),
    ((3.5, 3.0, 9.0), OK),
    ((3.5, 2.9, 4.0), WATCH),  # crosses good
    ((2.5, 2.5, 2.5), WATCH),  # between
    ((2.5, 1.0, 4.0), WATCH),  # crosses both
    ((2.0, 2.0, 2.0), WATCH),  # at the bad end, not beyond it
    ((1.5, 1.0, 2.5), WATCH),  # crosses bad
    ((1.5, 1.0, 1.9), STOP),
    ((-9.0, -9.0, -9.0), STOP),
)


@pytest.mark.parametrize(("ends", "severity"), BANDS)
def test_a_band_is_graded_alike_from_both_sides(ends: tuple[float, float, float], severity: Severity) -> None:
    value = Band(*ends)
    assert grade(value, AT_LEAST) is severity
    assert grade(value.scale(-1.0), AT_MOST) is severity


@given(st.floats(-10, 10), st.floats(0, 5), st.floats(0, 5))
def test_more_is_never_worse_and_less_known_never_surer(value: float, low: float, high: float) -> None:
    order = (OK, WATCH, STOP)
    here = grade(Band(value, value - low, value + high), AT_LEAST)
    more = grade(Band(value, value - low, value + high).shift(0.5), AT_LEAST)
    assert order.index(more) <= order.index(here)
    assert here is WATCH or grade(Band.exact(value), AT_LEAST) is here


def test_typed_inches_at_a_limit_are_not_beyond_it() -> None:
    """0.1 + 0.2 is not 0.3 in floats; three single inches are three inches all the same."""
    inch = metres("1 in")
    bound = bound_of(feature(), "rim.freeboard")
    assert grade(Band.exact(inch + inch + inch), bound) is OK
    assert grade(Band.exact(7 * inch - 4 * inch), bound) is OK


def test_a_limit_of_the_feature_goes_before_the_default_and_says_why() -> None:
    own = (LimitOverride(limit="rim.freeboard", value=metres("1 in"), reason="stone edge {set} in mortar."),)
    low = {"containment.tops.0.freeboard_m": exact("1 1/2 in")}
    assert worst(changed(low), "rim.low").severity is STOP
    found = worst(changed(low | {"feature.overrides": own}), "rim.low")
    assert found.severity is OK
    assert found.limit_origin == "override"
    assert found.limit == pytest.approx(metres("1 in"))
    assert ("reason", "stone edge {set} in mortar", "") in found.parameters
    assert "{reason}" in found.text
    used = {each.name: each for each in limits_used(changed({"feature.overrides": own}))}
    assert used["rim.freeboard"].reason == "stone edge {set} in mortar."
    assert used["bank.freeboard"].reason == ""


def test_below_a_limit_of_the_feature_the_severity_is_that_of_the_row() -> None:
    own = (LimitOverride(limit="rim.freeboard", value=metres("4 in"), reason="leaves fall here"),)
    found = worst(changed({"feature.overrides": own} | {"containment.tops.0.freeboard_m": exact("3 in")}), "rim.low")
    assert found.severity is STOP
    assert found.margin == pytest.approx(metres("-1 in"))


def test_the_margin_is_from_the_figure_that_counts() -> None:
    for typed, limit, margin in (("5 in", "3 in", "2 in"), ("2 1/2 in", "3 in", "-1/2 in"), ("1 in", "2 in", "-1 in")):
        found = worst(changed({"containment.tops.0.freeboard_m": exact(typed)}), "rim.low")
        assert found.limit == pytest.approx(metres(limit))
        assert found.margin == pytest.approx(metres(margin))
        assert found.limit_low == pytest.approx(metres("2 in"))
        assert found.limit_high == pytest.approx(metres("3 in"))


def test_a_loop_is_held_against_the_rule_that_its_book_names() -> None:
    found = worst(whole(), "survey.loop")
    assert (found.limit, found.limit_origin) == (0.003, "computed")
    assert found.value == 0.002  # by size: the sign says only which way


def test_limits_used_are_those_that_something_was_held_against() -> None:
    names = [each.name for each in limits_used(whole())]
    assert names == sorted(set(names))
    assert {"falls.last", "rim.freeboard", "lift.share"} <= set(names)
    assert "intake.flow" not in names  # nobody said what the intake takes


@pytest.mark.parametrize(
    ("name", "good", "bad"),
    [
        ("lap.run", "600 mm", "300 mm"),
        ("rim.freeboard", "75 mm", "50 mm"),
        ("falls.last", "250 mm", "200 mm"),
        ("survey.loop", "3 mm", "15 mm"),  # metric already
        ("pond.barrier_depth", "18 in", "24 in"),  # printed by a code
    ],
)
def test_metric_crews_count_25_mm_to_the_inch(name: str, good: str, bad: str) -> None:
    """Common practice, no source: an order of 600 mm is not short of 24 in."""
    bound = bound_of(replace(feature(), system="metric"), name)
    assert bound.good == pytest.approx(metres(good), abs=1e-9)
    assert bound.bad == pytest.approx(metres(bad), abs=1e-9)
    assert bound_of(feature(), "lap.run").good == pytest.approx(metres("24 in"))
