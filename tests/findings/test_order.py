"""Order of the findings: what a builder must read first."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from rillwright.assessment import NotRun, Severity
from rillwright.findings import RULES, Weight, find
from rillwright.judge import matters, three_worst
from rillwright.units import US, Band
from tests.findings.sample import changed, exact, metres

STOPS: dict[str, Any] = {
    "containment.tops.0.freeboard_m": exact("-2 in"),
    "containment.tops.1.freeboard_m": exact("2 1/2 in"),
    "containment.tops.2.freeboard_m": exact("1 in"),
    "build.lifts.0.load_kg": 900.0,
}
SAID = {"feature.site.services": None, "feature.site.spoil": None, "feature.bodies.0.depth_m": metres("3 ft")}


def codes(changes: dict[str, Any]) -> list[str]:
    return [finding.code for finding in find(changed(changes))]


def test_people_come_first_then_severity_then_margin_for_the_limit() -> None:
    assert codes(STOPS)[:4] == ["lift.heavy", "rim.low", "upturn.low", "bank.low"]


def test_cautions_that_always_hold_never_hide_what_is_wrong_here() -> None:
    found = codes(SAID | {"containment.tops.0.freeboard_m": exact("1 in"), "water.crests.0.depth_m": exact("1/8 in")})
    assert found[:5] == ["dig.services", "rim.low", "people.barrier", "crest.thin", "earth.spoil"]
    standing = {rule.code for rule in RULES if rule.weight is Weight.STANDING}
    assert min(found.index(code) for code in standing if code in found) > found.index("earth.spoil")


def test_where_nothing_is_wrong_cautions_about_people_stand_first() -> None:
    found = find(changed({}))
    worst = [matter.finding for matter in three_worst(matters(found, US))]
    assert [finding.severity for finding in worst] == [Severity.WATCH] * 3
    assert all(finding.people for finding in worst)


def test_three_worries_are_three_matters() -> None:
    """Both crests run thin: the second of them waits until every other matter of its kind was told."""
    thin = {f"water.crests.{at}.depth_m": exact("3/8 in") for at in (0, 1)}
    found = codes(thin | {"water.circuit.pumps.0.speed_ms": 2.0})
    assert found[:3] == ["crest.thin", "pipe.fast", "crest.thin"]


def test_ok_comes_last_but_is_there() -> None:
    severities = [finding.severity for finding in find(changed(STOPS))]
    assert severities == sorted(severities, key=[Severity.STOP, Severity.WATCH, Severity.OK].index)
    assert severities.count(Severity.OK) > 20


def test_what_was_not_checked_comes_after_what_was() -> None:
    found = codes({"water.cases_not_run": ("design rain: later",), "stone": NotRun("no stone")} | SAID)
    assert found.index("unchecked.case") > found.index("people.drown")


@given(st.floats(-1.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 2000.0))
def test_the_same_things_are_found_whatever_the_values(freeboard: float, hidden: float, load: float) -> None:
    changes = {
        "containment.tops.0.freeboard_m": Band.around(freeboard, 0.1),
        "water.reaches.0.hidden": Band.exact(hidden),
        "build.lifts.0.load_kg": load,
    }
    assert sorted(codes(changes)) == sorted(codes({}))
