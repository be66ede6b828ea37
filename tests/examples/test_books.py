"""The examples' level books against levels worked out by hand: HI = RL + BS, RL = HI - FS (any surveying text)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from tests.examples.folders import FT, IN, NAMES, worked


@pytest.mark.parametrize("name", NAMES)
def test_a_book_adds_up_and_raises_no_doubt(name: str) -> None:
    survey = worked(name).survey
    assert all(check.agrees for check in survey.page_checks)
    assert survey.doubts == ()
    assert {point.state for point in survey.points} <= {"held", "confirmed", "read once"}
    held, *_ = (point.id for point in survey.points if point.state == "held")
    assert held == survey.datum


# Height of instrument 10.000 + 1.482 = 11.482. The tread: 11.482 - 0.412 = 11.070. Second height of instrument
# 11.070 + 1.376 = 12.446. Back on the pin: 12.446 - 2.448 = 9.998, so the loop misses by -2 mm. Shared out over two
# set-ups: +1 mm to what the first one read, +2 mm to what the second one read.
COURT = {
    "pin": 10.000,
    "sill": 11.482 - 1.318 + 0.001,
    "paving": 11.482 - 1.470 + 0.001,
    "rim-n": 11.482 - 1.467 + 0.001,
    "rim-e": 11.482 - 1.484 + 0.001,
    "rim-s": 11.482 - 1.527 + 0.001,
    "rim-w": 11.482 - 1.478 + 0.001,
    "g1": 11.482 - 1.130 + 0.001,
    "g2": 11.482 - 0.884 + 0.001,
    "tread": 11.070 + 0.001,
    "g3": 12.446 - 1.622 + 0.002,
    "g4": 12.446 - 1.458 + 0.002,
    "head": 12.446 - 1.306 + 0.002,
}


@pytest.mark.parametrize("point", COURT)
def test_a_level_of_the_court(point: str) -> None:
    assert worked("weavers-court").survey.level(point).m == pytest.approx(COURT[point], abs=1e-9)


def test_the_courts_loop_misses_by_two_millimetres() -> None:
    survey = worked("weavers-court").survey
    (loop,) = survey.loops
    assert loop.misclosure_m == pytest.approx(-0.002, abs=1e-12)
    assert survey.misclosure_m == pytest.approx(-0.002, abs=1e-12)
    assert loop.setups == 2
    assert loop.closes  # within 3 mm: common practice, what a rod can resolve
    (page,) = survey.page_checks
    # backsights 1.482 + 1.376, foresights 0.412 + 2.448
    assert (page.backsights, page.foresights, page.rise) == ("2.858 m", "2.86 m", "-0.002 m")


# Readings in eighths of an inch: bolt 4 ft 10 3/4 in = 470; the bolt is nothing, so a level is 470 less the reading.
PRESS = {
    "bolt": Fraction(0),
    "apron": Fraction(470 - 522, 8),  # 5 ft 5 1/4 in; 6 1/2 in below the bolt
    "head": Fraction(470 - 294, 8),  # 3 ft 0 3/4 in; 22 in above
    "g1": Fraction(470 - 359, 8),  # 3 ft 8 7/8 in
    "g2": Fraction(470 - 445, 8),  # 4 ft 7 5/8 in
    "tree": Fraction(470 - 505, 8),  # 5 ft 3 1/8 in
    "low": Fraction(470 - 579, 8),  # 6 ft 0 3/8 in
}


@pytest.mark.parametrize("point", PRESS)
def test_a_level_of_the_press(point: str) -> None:
    assert worked("orchard-press").survey.level(point).m == pytest.approx(float(PRESS[point]) * IN, abs=1e-12)


def test_the_height_of_instrument_of_the_press() -> None:
    """58 3/4 in above the bolt, and the reading stays as it was written."""
    (setup,) = worked("orchard-press").survey.setups
    assert setup.backsight_text == "4' 10 3/4\""
    assert setup.height_of_instrument_m == pytest.approx(58.75 * IN, abs=1e-12)


# Height of instrument 100.00 + 4.62 = 104.62 ft.
CLINIC = {
    "nail": 100.00,
    "court": 99.48,
    "drive": 99.53,
    "lawn": 99.31,
    "floor-drain": 98.64,
    "g1": 101.32,
    "head": 102.31,
}


@pytest.mark.parametrize("point", CLINIC)
def test_a_level_of_the_clinic(point: str) -> None:
    assert worked("clinic-forecourt").survey.level(point).m == pytest.approx(CLINIC[point] * FT, abs=1e-9)


@pytest.mark.parametrize("name", ["orchard-press", "clinic-forecourt"])
def test_one_set_up_has_no_loop(name: str) -> None:
    survey = worked(name).survey
    assert len(survey.setups) == 1
    assert survey.loops == ()
    assert survey.misclosure_m is None
