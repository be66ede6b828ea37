"""Wanted rod readings that no rod gives from this set-up are said, not printed; fill is called fill."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from rillwright.assessment import Build, NotRun, SiteDay
from rillwright.build import day_table
from rillwright.packet.day_rows import rod_words
from rillwright.packet.staking import DayReadings, staking
from tests.drawings import sample as drawn
from tests.packet import sample


@pytest.mark.parametrize(
    ("reading_m", "said"),
    [
        (-0.173, "set up higher"),
        (-0.0001, "set up higher"),
        (5.2, "set up lower"),
        (1.327, "1.327"),
    ],
)
def test_what_the_rod_must_read(reading_m: float, said: str) -> None:
    assert said in repr(rod_words(reading_m, "metric", pt=12.0))


def test_a_dig_over_the_ground_is_filled_to() -> None:
    judged = sample.judged(drawn.METRIC)
    build = judged.assessment.build
    assert not isinstance(build, NotRun)
    stake = next(one for one in build.stakes if one.dig_m is not None)
    assert stake.dig_m is not None
    for ground, said in ((stake.dig_m - 0.3, True), (stake.dig_m + 0.3, False)):
        only: Build = replace(build, stakes=(replace(stake, ground_m=ground),))
        with_it = replace(judged, assessment=replace(judged.assessment, build=only))
        day = SiteDay(date="today", height_of_instrument_m=stake.dig_m - 1.0, rod="metric")
        sheet: Any = staking(with_it, DayReadings(day=day, readings=day_table(only.stakes, day)))
        assert ("fill to" in repr(sheet)) is said
        assert "set up higher" in repr(sheet)
