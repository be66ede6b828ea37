"""Runs of several pumps and outlets from the file to the sentence: what is wrong is named, with a valve to turn."""

from __future__ import annotations

import pytest

from rillwright.assess import Inputs, assess
from rillwright.assessment import Judged, NotRun, Severity
from rillwright.feature import Document, complete
from rillwright.judge import judge, remedy_of, text_of
from rillwright.sources import price_book
from rillwright.units import METRIC
from tests.feature.test_branching import RUN, SMALL

GOOD = """\
  pump: {id: pump, box: {shut_off: 7 m, greatest_flow: 9 m3/h}}
  pipe: {name: 63 mm}
  length: 4 m
  outlets:
    - {id: head, to: rill, wanted: 3.6 m3/h, length: 2 m}
    - {id: spout, to: pond, wanted: 1 m3/h, outlet: 0.5 m, pipe: {inside: 20 mm}, length: 3 m}
"""


def judged(text: str) -> Judged:
    feature = complete(Document.read(SMALL + text, file="feature.yaml"))
    return judge(assess(Inputs(feature=feature, surveyed=NotRun("no book"), prices=price_book())))


def told(text: str, code: str) -> tuple[Severity, str, str]:
    """The worst of that code: severity, sentence, what to do."""
    worst = next(each for each in judged(text).findings if each.code == code)
    return worst.severity, text_of(worst, METRIC), remedy_of(worst, METRIC)


def test_every_sentence_is_whole() -> None:
    findings = judged(RUN).findings
    codes = {each.code for each in findings}
    assert {"pump.shut", "pump.range", "pump.npsh", "pump.list", "outlet.short", "pipe.suction", "pipe.summit"} <= codes
    for each in findings:
        assert "{" not in text_of(each, METRIC) + remedy_of(each, METRIC)


def test_an_outlet_above_shut_off_is_a_stop_and_says_what_to_do() -> None:
    severity, text, remedy = told(GOOD.replace("outlet: 0.5 m", "outlet: 9 m"), "outlet.short")
    assert severity is Severity.STOP
    assert text.startswith("Outlet spout of")
    assert "no water" in text
    assert "lower outlet spout" in remedy


def test_which_valve_to_turn() -> None:
    severity, text, remedy = told(GOOD.replace("inside: 20 mm", "inside: 40 mm"), "outlet.over")
    assert severity is Severity.WATCH
    assert "Outlet spout" in text
    assert remedy.startswith("Turn its valve towards shut")
    assert "leave that of head fully open" in remedy


def test_too_little_for_all_is_a_share_of_it() -> None:
    _, _, remedy = told(GOOD.replace("greatest_flow: 9 m3/h", "greatest_flow: 4 m3/h"), "outlet.short")
    assert "together can have" in remedy
    assert "%" in remedy


def test_a_weak_pump_beside_a_strong_one_is_held_shut() -> None:
    two = GOOD.replace(
        "  pump: {id: pump, box: {shut_off: 7 m, greatest_flow: 9 m3/h}}\n",
        "  pumps:\n    - {id: strong, box: {shut_off: 7 m, greatest_flow: 9 m3/h}}\n"
        "    - {id: weak, box: {shut_off: 1.0 m, greatest_flow: 3 m3/h}}\n",
    )
    severity, text, _ = told(two, "pump.shut")
    assert severity is Severity.STOP
    assert "pump weak brings nothing" in text


def test_a_pump_too_high_over_the_water_cavitates() -> None:
    high = GOOD.replace(
        "  length: 4 m\n",
        "  length: 4 m\n  suction: {pipe: {inside: 60 mm}, length: 9 m, pump_at: 7 m}\n",
    ).replace("id: pump, ", "id: pump, npsh: 3 m, ")
    severity, text, remedy = told(high, "pump.npsh")
    assert severity is Severity.WATCH
    assert "asks for 3.00 m" in text
    assert "lower" in remedy


ONE = """\
  to: rill
  wanted: 4 m3/h
  pump: {id: pump, box: {shut_off: 4 m, greatest_flow: 9 m3/h}}
  pipe: {name: 63 mm}
  length: 8 m
"""


@pytest.mark.parametrize(
    ("measured", "severity"),
    [
        ("{flow: 7.3 m3/h}", Severity.OK),
        ("{volume: 20 L, time: 30 s}", Severity.WATCH),
        ("{flow: 9 m3/h}", Severity.WATCH),
    ],
    ids=["as drawn", "a third of it", "more"],
)
def test_a_flow_as_measured(measured: str, severity: Severity) -> None:
    level, text, remedy = told(f"{ONE}  measured: {measured}\n", "pump.measured")
    assert level is severity
    if "volume" in measured:
        assert "of head are lost somewhere" in text
        assert "gauge" in remedy


def test_a_highest_point_above_the_pumps_head_is_never_filled() -> None:
    severity, text, _ = told(f"{ONE}  summit: 5 m\n", "pipe.prime")
    assert severity is Severity.STOP
    assert "cannot fill" in text


def test_the_own_list() -> None:
    listed = "pump_list:\n  - {id: small, box: {shut_off: 2 m, greatest_flow: 3 m3/h}}\n"
    assert told(ONE + listed, "pump.list")[0] is Severity.WATCH
    severity, text, _ = told(
        ONE + listed + "  - {id: large, box: {shut_off: 5 m, greatest_flow: 9 m3/h}}\n", "pump.list"
    )
    assert severity is Severity.OK
    assert "large" in text
