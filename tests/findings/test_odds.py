"""What is said of odds: as plain words, of the whole and of the water that spills most."""

from __future__ import annotations

import pytest

from rillwright.findings import find
from rillwright.findings.odds import chance_in_words
from rillwright.judge import remedy_of, text_of
from rillwright.units import style_for
from tests.findings.odds_cases import NOT_DRAWN, odds
from tests.findings.sample import changed


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (0.0, "fewer than 1 of 1,000"),
        (0.0004, "fewer than 1 of 1,000"),
        (0.0058, "6 of 1,000"),
        (0.0712, "7 of 100"),
        (0.9999, "100 of 100"),
        (1.0, "100 of 100"),
    ],
)
def test_a_chance_in_words(chance: float, words: str) -> None:
    assert chance_in_words(chance) == words


def test_the_whole_and_the_water_that_spills_are_told() -> None:
    whole, pond = (each for each in find(changed(odds(0.07))) if each.code == "rim.odds")
    style = style_for("us")
    assert "In 7 of 100 such crews' work water leaves its rims" in text_of(whole, style)
    assert "it would be in 1 of 100" in text_of(whole, style)
    assert "builder alone" in remedy_of(whole, style)
    assert pond.element == "ponds/pond"
    assert "most often at rim low" in text_of(pond, style)


def test_nothing_is_said_of_what_was_not_drawn() -> None:
    assert not [each for each in find(changed(NOT_DRAWN)) if each.code == "rim.odds"]
