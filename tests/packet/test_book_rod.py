"""Levels on the staking page stand in the division of the book's rod too, where that is another than the page's."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from rillwright.assessment import Build, Judged, Survey
from rillwright.packet.staking import staking
from rillwright.survey import SetUp
from tests.drawings import sample as drawn
from tests.packet import sample


def with_rods(judged: Judged, *rods: str) -> Judged:
    survey = judged.assessment.survey
    assert isinstance(survey, Survey)
    setups = tuple(
        SetUp(
            id=str(n), book="levels", rod=rod, height_of_instrument_m=1.5, benchmark="bolt", backsight_text="1.5",
        )
        for n, rod in enumerate(rods)
    )  # fmt: skip
    return replace(judged, assessment=replace(judged.assessment, survey=replace(survey, setups=setups)))


def said(judged: Judged) -> str:
    return str(staking(judged, None).blocks)


@pytest.mark.parametrize(
    ("spec", "rods", "told"),
    [
        (drawn.FEET, ("tenths",), "in feet and tenths, with which the book was read"),
        (drawn.FEET, ("ft-in",), ""),
        (drawn.FEET, ("tenths", "ft-in"), ""),
        (drawn.METRIC, ("metric",), ""),
    ],
    ids=["tenths", "own", "two kinds", "metric"],
)
def test_levels_stand_in_the_division_of_the_book_too(spec: Any, rods: tuple[str, ...], told: str) -> None:
    text = said(with_rods(sample.judged(spec), *rods))
    assert ("with which the book was read" in text) is bool(told)
    assert told in text


def test_a_level_in_tenths_is_the_same_level() -> None:
    """A dig of -0.3048 m is -1.00 ft by definition of the foot."""
    judged = with_rods(sample.judged(drawn.FEET), "tenths")
    build = judged.assessment.build
    assert isinstance(build, Build)
    (first, *rest) = build.stakes
    stakes = (replace(first, dig_m=-0.3048), *rest)
    assessment = replace(judged.assessment, build=replace(build, stakes=stakes))
    assert "−1.00 ft" in said(replace(judged, assessment=assessment))
