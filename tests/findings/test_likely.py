"""A value whose band crosses a limit is a watch; where its likeliest figure is beyond the limit, that is said first."""

from __future__ import annotations

from typing import Any

import pytest

from rillwright.assessment import Raise, Severity
from rillwright.findings import RULES, find
from rillwright.judge import remedy_of, text_of
from rillwright.units import US, Band
from tests.findings.rim_cases import out, spill
from tests.findings.sample import changed, metres, worst


def rim(*typed: str) -> dict[str, Any]:
    value, low, high = (metres(each) for each in typed)
    return {"containment.tops.0.freeboard_m": Band(value, low, high)}


@pytest.mark.parametrize(
    ("freeboard", "likely"),
    [
        (("-1 in", "-5 in", "3 in"), True),  # under water on the likeliest figure, and it may stand well
        (("1 in", "-3 in", "5 in"), True),
        (("2 in", "0 in", "4 in"), False),  # just met
        (("2 1/2 in", "1 in", "4 in"), False),
        (("4 in", "1 in", "7 in"), False),
    ],
    ids=["under water", "too low", "at its limit", "between", "well"],
)
def test_a_rim_on_guessed_ground(freeboard: tuple[str, ...], likely: bool) -> None:
    finding = worst(changed(rim(*freeboard)), "rim.low")
    assert finding.severity is Severity.WATCH
    assert text_of(finding, US).startswith("Likely too low: ") == likely


def test_what_is_wholly_beyond_is_not_merely_likely() -> None:
    finding = worst(changed(rim("-1 in", "-2 in", "0 in")), "rim.low")
    assert (finding.severity, text_of(finding, US)[:6]) == (Severity.STOP, "The to")


def test_it_says_what_happens_there() -> None:
    said = text_of(worst(changed(rim("-1 in", "-5 in", "3 in")), "rim.low"), US)
    assert said.startswith("Likely too low: the top of rim low stands")
    assert said.endswith("water leaves there.")


def test_it_stands_above_every_other_watch_and_below_every_stop() -> None:
    people = {"feature.bodies.0.depth_m": metres("3 ft")}
    thin = {f"water.crests.{at}.depth_m": Band.exact(metres("1/8 in")) for at in (0, 1)}
    bank = {"containment.tops.1.freeboard_m": Band.exact(metres("1 in"))}
    found = find(changed(rim("-1 in", "-5 in", "3 in") | people | thin | bank))
    assert [finding.code for finding in found[:3]] == ["bank.low", "rim.low", "people.barrier"]


def test_a_load_is_too_much() -> None:
    """A limit of the other sense, about people: it leads."""
    changes = {"containment.tops.0.freeboard_m": Band(metres("-1 in"), metres("-5 in"), metres("3 in"))}
    embankment = {"containment.tops.0.against.level_m": Band(1.2, 0.8, 1.5)}
    found = find(changed(changes | embankment))
    assert [finding.code for finding in found[:2]] == ["berm.embankment", "rim.low"]
    assert found[0].text.startswith("Likely too deep: against the fill")


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.likely], ids=lambda rule: rule.code)
def test_the_word_says_too(rule: Any) -> None:
    assert rule.likely.startswith("too ")
    assert rule.ill[0] == "{" or rule.ill.partition(" ")[0] in {"The", "Against", "In", "Running,", "Stopped,", "With"}


def test_a_pond_with_an_overflow_leaves_by_that_first() -> None:
    changes = spill("3 in") | out(Band(0.08, 0.06, 0.10))
    said = text_of(worst(changed(changes), "spill.way"), US)
    assert said.startswith("If the pond ever runs over, it does so first")
    assert "it leaves by its overflow, whose sill lies 1 in above the waterline and 3 1/8 in below that place" in said
    late = text_of(worst(changed(spill("3 in") | out(Band(-0.02, -0.03, -0.01))), "spill.way"), US)
    assert "That comes before its overflow" in late
    unsure = text_of(worst(changed(spill("3 in") | out(Band(0.01, -0.0127, 0.03))), "spill.way"), US)
    assert "may come 1/2 in too late" in unsure
    assert "overflow" not in text_of(worst(changed(spill("3 in")), "spill.way"), US)


def bank(*raised: Raise) -> str:
    """What to do about a bank that has 1 in to spare, with these stretches of it to raise."""
    low = {"containment.tops.1.freeboard_m": Band.exact(metres("1 in")), "containment.raises": raised}
    return remedy_of(worst(changed(low), "bank.low"), US)


def stretch(side: str, ends: tuple[str, str], by: str, *, likely: str | None = None) -> Raise:
    low, high = (metres(each) for each in ends)
    return Raise(
        rim="ponds/pond", path="reaches/b1.bank", from_m=1.0, to_m=2.0, by_m=metres(by), inch_gains_m=0.0254,
        water="reaches/b1", stations_m=(low, high), side=side, likely_m=None if likely is None else metres(likely),
    )  # fmt: skip


def test_a_low_bank_is_told_from_where_to_where_and_by_how_much() -> None:
    said = bank(stretch("left", ("12 in", "30 in"), "2 in"), stretch("right", ("15 in", "60 in"), "1 in"))
    assert "on the left bank, looking downstream, from 1' 0\" to 2' 6\" from the stream head by 2 in" in said
    assert "on the right bank, looking downstream, from 1' 3\" to 5' 0\" from the stream head by 1 in" in said
    both = bank(stretch("left", ("0 in", "30 in"), "2 in"), stretch("right", ("1 in", "30 in"), "2 in"))
    assert "on both banks over the first 2' 6\" from the stream head by 2 in, widen the bed" in both
    apart = bank(stretch("left", ("0 in", "30 in"), "2 in"), stretch("right", ("1 in", "30 in"), "1 in"))
    assert "from the stream head, the left one, looking downstream, by 2 in and the right one by 1 in" in apart
    about = bank(stretch("left", ("12 in", "30 in"), "2 in"), stretch("right", ("10 in", "30 in"), "2.1 in"))
    assert "on both banks from 10 in to 2' 6\" from the stream head by 2 1/8 in" in about  # what serves both


def test_a_way_that_touches_a_wall_runs_up_to_it() -> None:
    near, at = (
        spill("2 1/2 in", "buildings/house") | {"containment.spills.0.nearest_m": away}
        for away in (metres("2 ft"), 0.0)
    )
    assert "within 2' 0\" of building house" in text_of(worst(changed(near), "spill.way"), US)
    assert "up to building house" in text_of(worst(changed(at), "spill.way"), US)


def test_what_only_its_band_makes_low_is_read_first() -> None:
    said = bank(stretch("left", ("12 in", "30 in"), "2 in", likely="-1/4 in"))
    assert said.startswith("By its likeliest level it stands high enough: shoot its edge first.")
    band: dict[str, Any] = {
        "containment.tops.0.freeboard_m": Band(metres("3 1/4 in"), metres("2 1/4 in"), metres("4 in"))
    }
    band |= {"containment.tops.0.berm_needed_m": metres("2 in")}
    said = remedy_of(worst(changed(band), "rim.low"), US)
    assert said.startswith("By its likeliest level it stands high enough: read the ground at rim low again first.")
