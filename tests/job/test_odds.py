"""Odds in words for a builder's screen: against the assessment that they are of."""

from __future__ import annotations

from msgspec.structs import replace
from tests.findings.odds_cases import odds
from tests.findings.sample import changed

from rillwright.assessment import Assessment, Judged, NotRun
from rillwright.job import odds_told
from rillwright.job.odds import OddsTold


def told(chance: float, **more: float) -> OddsTold:
    return odds_told(Judged(assessment=drawn(chance, **more), findings=()))


def drawn(chance: float, **more: float) -> Assessment:
    return changed(odds(chance, **more))


def test_every_edge_is_told_what_spills_most_first() -> None:
    found = told(0.07, reach=0.3)
    assert [edge.path for edge in found.edges] == ["reaches/r1", "ponds/pond"]
    assert [edge.chance for edge in found.edges] == [0.3, 0.07]
    assert "it spills in 30 of 100" in found.edges[0].words
    assert "First at the bank of" in found.edges[0].words
    assert "rim low (7 of 100)" in found.edges[1].words
    assert found.edges[1].worst == (("rims/low", 0.07),)


def test_the_whole_and_how_it_was_checked() -> None:
    found = told(0.07)
    assert "in 7 of 100 such crews' work" in found.head
    assert "would be in 1 of 100" in found.head
    assert "10,000 times" in found.how
    assert "all 5 agree" in found.how
    assert "on no paper" in found.how


def test_what_is_oftener_than_wanted_is_said() -> None:
    """The limit is our own, 5 of 100 (common practice, no source)."""
    assert [edge.often for edge in told(0.07).edges] == [True, False]
    assert not any(edge.often for edge in told(0.03).edges)


def test_what_does_not_agree_is_said() -> None:
    assessment = drawn(0.07)
    assert not isinstance(assessment.odds, NotRun)
    doubtful = replace(assessment.odds, confirmed=replace(assessment.odds.confirmed, agree=3))
    found = odds_told(Judged(assessment=replace(assessment, odds=doubtful), findings=()))
    assert "3 of 5 agree" in found.how


def test_what_nobody_asked_for_has_its_reason() -> None:
    assessment = replace(drawn(0.07), odds=NotRun("not asked for (full check)"))
    found = odds_told(Judged(assessment=assessment, findings=()))
    assert (found.edges, found.reason) == ((), "not asked for (full check)")
