"""A made site with known leaks: found, explained, and mended by what their own remedies say."""

from __future__ import annotations

import pytest
from tests.containment.leak import found, site

from rillwright.assessment import Containment, Finding, Judged
from rillwright.judge import remedy_of, text_of
from rillwright.units import US

INCH_M = 0.0254


def contained(judged: Judged) -> Containment:
    containment = judged.assessment.containment
    assert isinstance(containment, Containment)
    return containment


def number(finding: Finding, name: str) -> float:
    value = next(value for known, value, _ in finding.parameters if known == name)
    assert isinstance(value, float)
    return value


def test_the_readings_at_the_rims_show_nothing() -> None:
    judged = site()
    assert not [each for each in judged.findings if each.code == "rim.low" and each.severity != "ok"]


def test_the_low_place_between_them_is_found_and_explained() -> None:
    """The ground by the boulder is 2 1/2 in, on a rim of 6 in: an inch and more less than the wanted 3 in above the
    water, which comes back half an inch when the stream stops.
    """
    finding = found(site(), "rim.between", "ponds/pond")
    assert finding is not None
    text = text_of(finding, US)
    assert "mark boulder" in text
    assert "topped up while running" in text
    assert "Raise the rim over" in remedy_of(finding, US)
    assert finding.value == pytest.approx(2.5 * INCH_M - 0.015, abs=0.002)


def test_without_the_low_place_there_is_none() -> None:
    assert found(site(boulder=""), "rim.between", "ponds/pond") is None


def test_where_its_water_would_go() -> None:
    """The lawn falls to the house at x = 20 ft."""
    finding = found(site(), "spill.way", "ponds/pond")
    assert finding is not None
    assert "footing house" in text_of(finding, US)
    (spill,) = (each for each in contained(site()).spills if each.water == "ponds/pond")
    assert [z for _, _, z in spill.way] == sorted((z for _, _, z in spill.way), reverse=True)


def test_it_is_mended_by_its_own_remedy() -> None:
    """A rim at the place that is told, as high as is told before it settles: nothing is said any more."""
    judged = site()
    finding = found(judged, "rim.between", "ponds/pond")
    assert finding is not None
    raised = next(each for each in contained(judged).raises if each.water == "ponds/pond")
    (x, y), build = raised.at, number(finding, "build")
    assert 0.0 <= build - raised.build_m <= 0.125 * INCH_M  # as a rod sets it out
    ground = next(low.top_m.value for low in contained(judged).lows if low.water == "ponds/pond")
    berm = (
        f"    - {{id: mended, ground: {ground:.9f} m, berm: {build:.9f} m, at: [{x:.6f} m, {y:.6f} m], cover: stone}}\n"
    )
    after = site(berm=berm)
    assert found(after, "rim.between", "ponds/pond") is None
    assert found(after, "rim.low", "rims/mended") is None
    assert not [each for each in contained(after).raises if each.water == "ponds/pond"]


def test_the_low_upturn_is_found_and_mended_by_its_own_remedy() -> None:
    """1/2 in above the waterline: under the water of a day on which a hose topped it up while it ran."""
    judged = site(upturn="1/2 in")
    finding = found(judged, "upturn.low", "laps/lap")
    assert finding is not None
    assert finding.severity == "stop"
    assert "topped up while running" in text_of(finding, US)
    lift = number(finding, "lift")
    after = site(upturn=f"{0.5 * INCH_M + lift:.9f} m")
    assert found(after, "upturn.low", "laps/lap") is None
    short = site(upturn=f"{0.5 * INCH_M + lift - 0.125 * INCH_M - 0.0001:.6f} m")
    assert found(short, "upturn.low", "laps/lap") is not None


def test_what_is_printed_suffices() -> None:
    """Typed as a person reads it off the paper, in eighths of an inch."""
    judged = site(upturn="1/2 in")
    rim, lap = found(judged, "rim.between", "ponds/pond"), found(judged, "upturn.low", "laps/lap")
    assert rim is not None
    assert lap is not None
    berm, lift = (round(number(*each) / INCH_M * 8) / 8 for each in ((rim, "berm"), (lap, "lift")))
    x, y = (round(number(rim, name) / INCH_M * 8) / 8 for name in ("x", "y"))
    after = site(
        berm=f"    - {{id: mended, ground: 2 1/2 in, berm: {berm} in, at: [{x} in, {y} in], cover: stone}}\n",
        upturn=f"{0.5 + lift} in",
    )
    assert not [
        each
        for each in after.findings
        if each.code in ("rim.low", "rim.between", "upturn.low") and each.severity != "ok"
    ]


def test_what_is_done_to_one_leaves_the_other() -> None:
    judged = site(boulder="", upturn="1/2 in")
    assert found(judged, "upturn.low", "laps/lap") is not None
    assert found(judged, "rim.between", "ponds/pond") is None
