"""How often a rim spills over what a crew's work may come out as: for the builder's eyes, on no paper."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, Odds, WaterOdds
from rillwright.findings.grading import bound_of
from rillwright.findings.rule import Check, Rule
from rillwright.findings.words import WHOLE, named
from rillwright.units import Band

_SIGMAS = 1.96  # 95 in 100 of a normal error lie within so many standard errors


def _spills(assessment: Assessment) -> Iterator[Check]:
    """The feature as a whole, and every body or reach that spills oftener than is wanted."""
    odds = assessment.odds
    if isinstance(odds, NotRun):
        return
    facts = (
        ("times", chance_in_words(odds.chance), ""),
        ("where", _where(odds), ""),
        ("read", chance_in_words(odds.chance_if_read), ""),
        ("drawn", f"{odds.samples:,}", ""),
        ("confirmed", f"{odds.confirmed.agree} of {odds.confirmed.samples}", ""),
    )
    none = odds.chance == 0.0
    yield Check(element=WHOLE, value=_band(odds.chance, odds.chance_error), facts=facts, text=_NONE if none else "")
    wanted = bound_of(assessment.feature, "rim.odds").good
    often = [water for water in odds.waters if water.chance > wanted]
    for water in often if len(odds.waters) > 1 else ():
        yield _of(water, odds)


def _of(water: WaterOdds, odds: Odds) -> Check:
    facts = (
        ("times", chance_in_words(water.chance), ""),
        ("where", _first_of(water), ""),
        ("spare", water.spare_m.value, "m"),
        ("low", water.spare_m.low, "m"),
        ("drawn", f"{odds.samples:,}", ""),
    )
    return Check(
        element=water.water, value=_band(water.chance, water.chance_error), facts=facts, text=_WATER, remedy=_RAISE
    )


def _band(chance: float, error: float) -> Band:
    return Band(chance, max(chance - _SIGMAS * error, 0.0), min(chance + _SIGMAS * error, 1.0))


def chance_in_words(chance: float) -> str:
    """A chance [-] in words: 7 of 100, 6 of 1,000, fewer than 1 of 1,000."""
    if chance < 0.0005:
        return "fewer than 1 of 1,000"
    of = 100 if chance >= 0.01 else 1000
    return f"{of * chance:.0f} of {of:,}"


def _where(odds: Odds) -> str:
    spilling = max(odds.waters, key=lambda water: water.chance)
    return _first_of(spilling)


def _first_of(water: WaterOdds) -> str:
    return named(water.worst[0].path) if water.worst else named(water.water)


_DRAWN = "levels, placing and settlement were drawn {drawn} times with their usual errors"
_WATER = "In {times} such crews' work water leaves {name} on its worst ordinary day, most often at {where}."
_NONE = "In none of {drawn} crews' work that was drawn, with the usual errors, does water leave its rims."
_RAISE = "Shoot the rim at {where} and where it lies between readings, and raise it there; then this is drawn anew."
ODDS = Rule(
    code="rim.odds",
    area="containment",
    title="How often such crews' work spills on its worst ordinary day",
    well="In {times} such crews' work water leaves its rims on the worst ordinary day, most often at {where}; " + _DRAWN
    + ".",
    ill=(
        "In {times} such crews' work water leaves its rims on the worst ordinary day, most often at {where}; " + _DRAWN
        + ". Were the ground between the readings known, it would be in {read}."
    ),
    remedy="Shoot the rim at {where} and where it lies between readings, and raise what is low. This is for the "
    "builder alone, and stands on no paper.",
    find=_spills,
    limits=("rim.odds",),
)  # fmt: skip
