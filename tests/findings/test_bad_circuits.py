"""Circuits that cannot work, as a person would write them: what is said of each, and what to do. Invented.

Where the water would go is held against the sketch in each docstring; nothing hangs.
"""

from __future__ import annotations

import re

import pytest

from rillwright.assess import Inputs, assess
from rillwright.assessment import Finding, NotRun, Severity
from rillwright.feature import Document, complete
from rillwright.findings import find
from rillwright.judge import remedy_of, text_of
from rillwright.sources import price_book
from rillwright.units import METRIC

CURVE = "  pump: {curve: [[0 m3/h, 5 m], [6 m3/h, 3 m], [12 m3/h, 0 m]]}\n"
PIPE = "  pipe: {name: 63 mm}\n  length: 6 m\n"
TWO = """\
  outlets:
    - {id: head, to: rill, length: 2 m}
    - {id: high, to: pond, wanted: 1 m3/h, outlet: %s, length: 2 m}
"""
PLACE = """\
format: 1
name: Invented
units: metric
marks:
  - {id: pin, role: benchmark, level: 0 m}
ponds:
  - {id: pond, outline: {oval: [4 m, 3 m]}, waterline: 0 m}
  - {id: up, outline: {oval: [3 m, 3 m], centre: [9 m, 9 m]}, waterline: 0.5 m}
stream:
  id: rill
  into: pond
  head: 0.9 m
  course:
    - {bed: b1, length: 2 m}
    - {fall: f1, drop: 300 mm, crest_width: 500 mm}
    - {bed: b2, length: 2 m}
    - {fall: f2}
"""


def told(*runs: str) -> tuple[Finding, ...]:
    """All findings of the place with such runs."""
    text = PLACE + "runs:\n" + "".join("- " + run.lstrip() for run in runs)
    feature = complete(Document.read(text, file="feature.yaml"))
    return find(assess(Inputs(feature=feature, surveyed=NotRun("no book"), prices=price_book())))


def of(found: tuple[Finding, ...], code: str, element: str) -> Finding:
    return next(each for each in found if (each.code, each.element) == (code, element))


def run(id: str, rest: str, *, source: str = "pond") -> str:
    return f"  id: {id}\n  from: {source}\n{rest}"


def test_a_pump_that_lifts_nothing_is_told_once_and_not_outlet_by_outlet() -> None:
    """5 m of shut-off head, both outlets over 8 m."""
    high = TWO.replace("to: rill,", "to: rill, outlet: 8 m,") % "9 m"
    found = told(run("main", CURVE + PIPE + high))
    lift = of(found, "pump.lift", "runs/main")
    assert lift.severity is Severity.STOP
    assert "does not lift water over the 8.00 m" in text_of(lift, METRIC)
    assert not any(each.code == "outlet.short" for each in found)


def test_one_outlet_out_of_reach_comes_before_the_valves() -> None:
    found = told(run("main", CURVE + PIPE + TWO % "9 m"))
    dry = [each for each in found if each.code == "outlet.short" and each.severity is Severity.STOP]
    assert ["Outlet high" in text_of(each, METRIC) for each in dry] == [True]
    for each in found:
        if each.code in ("outlet.short", "outlet.over") and each.severity is Severity.WATCH:
            assert remedy_of(each, METRIC).startswith("First bring outlet high down")


@pytest.mark.parametrize("id", ["main", "pond", "suction", "part"])
def test_a_run_may_be_called_what_it_likes(id: str) -> None:
    """Two pumps in a row are solved as a network: no name in the file is one of its own nodes."""
    row = "  pumps:\n" + "    - {box: {shut_off: 4 m, greatest_flow: 9 m3/h}}\n" * 2 + "  arrangement: series\n"
    found = told(run(id, "  to: rill\n" + row + PIPE))
    assert of(found, "pump.lift", f"runs/{id}").severity is Severity.OK


def test_a_pipe_too_narrow_is_told_before_a_pump_of_a_thousand_bar() -> None:
    """3.5 L/s through 10 mm run at 45 m/s."""
    narrow = "  to: rill\n  wanted: 10 m3/h\n" + CURVE + "  pipe: {inside: 10 mm}\n  length: 6 m\n"
    short = of(told(run("main", narrow)), "pump.short", "runs/main")
    assert remedy_of(short, METRIC).startswith("Through inside 10 mm 3.47 L/s")
    assert "44 m/s" in remedy_of(short, METRIC)


BACK = "  pump: {box: {shut_off: 3 m, greatest_flow: 6 m3/h}}\n" + PIPE
TO_BOTH = "  outlets:\n    - {id: a, to: %s, length: 2 m}\n    - {id: b, to: %s, wanted: %s, length: 3 m}\n"


def test_pumps_in_a_loop_that_do_not_agree() -> None:
    """One fills the upper pond, a smaller one takes out of it: what is left stays there, and it runs over."""
    up = run("fill", CURVE + PIPE + TO_BOTH % ("rill", "up", "2 m3/h"))
    back = run("back", BACK + TO_BOTH % ("b2", "pond", "1 m3/h"), source="up")
    away = [each for each in told(up, back) if each.code == "run.away"]
    assert [each.element for each in away] == ["ponds/up"]
    assert "as fast as it comes" in text_of(away[0], METRIC)


def test_a_pump_whose_water_nobody_brings_back() -> None:
    up = run("fill", CURVE + PIPE + TO_BOTH % ("rill", "up", "2 m3/h"))
    away = [each.element for each in told(up) if each.code == "run.away"]
    assert away == ["runs/fill"]


def test_no_flow_suits_crests_that_are_too_unlike() -> None:
    """A crest of an inch beside one of half a metre: no range is told that runs from more to less."""
    text = PLACE.replace("crest_width: 500 mm", "crest_width: 25 mm") + "runs:\n- id: main\n  to: rill\n" + CURVE + PIPE
    feature = complete(Document.read(text.replace("- id: main", "- id: main\n  from: pond"), file="feature.yaml"))
    found = find(assess(Inputs(feature=feature, surveyed=NotRun("no book"), prices=price_book())))
    look = of(found, "stream.look", "streams/rill")
    assert "All crests read as wished" not in text_of(look, METRIC)
    assert remedy_of(look, METRIC).startswith("No one flow suits all crests")


def test_thin_water_tells_its_weber_number() -> None:
    """10 mm of water: 1000 x 9.81 x 0.010^2 / 0.073 = 13; strong below about 100 is common practice, no source."""
    thin = "  to: rill\n  pump: {box: {shut_off: 2 m, greatest_flow: 2.2 m3/h}}\n" + PIPE
    found = of(told(run("main", thin)), "crest.thin", "falls/f1")
    assert found.severity is Severity.WATCH
    (number,) = re.findall(r"Weber number (\d+)", text_of(found, METRIC))
    depth_m = found.value or 0.0
    assert int(number) == pytest.approx(1000 * 9.81 * depth_m**2 / 0.073, abs=1.0)
