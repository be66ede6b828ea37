"""What a body loses in a dry week, takes in the heaviest rain, how it clears, what the fill meter says of it."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.shape.sample import buried, four_drops, level

from rillwright.feature import Catchment, Climate, Feature, Filled, Month, Overflow, Supply, Surface
from rillwright.hydraulics import head_on_crest
from rillwright.shape import shape, volume_at
from rillwright.sources import default
from rillwright.water import Losses, Rain, Water, water
from rillwright.water.clearing import clearing


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


def lost(drawn: Feature) -> Losses:
    return solved(drawn).losses[0]


def test_a_dry_week_by_hand() -> None:
    """Four beds of 2 m by 0.60 m are 4.8 m2 of open water beside the pond's own; 6 mm a day, and 1 in 20,000 of what
    runs down: over the pond's area, seven days of both. Its sides slope, so the fall is a little more."""
    drawn = four_drops(pump=None)
    found, pond = lost(drawn), shape(drawn).pond("pond")
    assert found.open_m2 == pytest.approx(pond.area_m2 + 4.8)
    assert found.splash_m3.value == pytest.approx(0.00005 * 0.0025 * 86400.0)
    day = 0.006 * found.open_m2 + found.splash_m3.value
    assert found.day_m3.value == pytest.approx(day)
    assert found.week_drop_m.value == pytest.approx(7 * day / pond.area_m2, rel=0.15)
    assert found.week_drop_m.value > 7 * day / pond.area_m2
    assert (found.hose_share, found.fill_s) == (None, None)


def test_the_level_after_the_week_holds_what_is_left() -> None:
    drawn = four_drops(pump=None)
    found, pond = lost(drawn), shape(drawn).pond("pond")
    held = drawn.bodies[0].waterline.m
    left = volume_at(pond, held - found.week_drop_m.value)
    assert volume_at(pond, held) - left == pytest.approx(7 * found.day_m3.value, rel=1e-9)


def test_a_buried_reservoir_loses_from_its_stream_alone() -> None:
    drawn = buried()
    assert lost(drawn).open_m2 == pytest.approx(sum(one.width_m * one.length_m for one in drawn.reaches))


def test_the_worst_month_stands_for_a_dry_week() -> None:
    months = (Month(month=4, evaporation_m=0.09), Month(month=7, evaporation_m=0.186))
    found = lost(replace(four_drops(pump=None), climate=Climate(months=months)))
    assert found.dry_month == 7
    assert found.dry_day_m.value == pytest.approx(0.006)


def test_a_month_by_its_weather_has_the_band_of_the_methods() -> None:
    july = Month(
        month=7,
        evaporation_m=None,
        high_c=29.0,
        low_c=17.0,
        humidity_low=0.45,
        humidity_high=0.85,
        wind_ms=1.5,
        sun_h=9.0,
    )
    found = lost(replace(four_drops(pump=None), climate=Climate(latitude_rad=math.radians(41), months=(july,))))
    assert 0.004 < found.dry_day_m.low < found.dry_day_m.high < 0.010


def test_a_hose_fills_and_tops_up() -> None:
    drawn = replace(four_drops(pump=None), supply=Supply(hose_m3s=0.0003))
    found, pond = lost(drawn), shape(drawn).pond("pond")
    assert found.fill_s == pytest.approx(pond.volume_m3 / 0.0003)
    assert found.hose_share is not None
    assert found.hose_share.value == pytest.approx(found.day_m3.value / (0.0003 * 86400.0))


def _wet(drawn: Feature, overflow: Overflow | None = None, catchment: tuple[Catchment, ...] = ()) -> tuple[Water, Rain]:
    body = replace(drawn.bodies[0], overflow=overflow, catchments=catchment)
    climate = Climate(rain_m=0.05, rain_s=3600.0)
    found = solved(replace(drawn, bodies=(body, *drawn.bodies[1:]), climate=climate))
    return found, found.rains[0]


def _highest(found: Water, case: str, holding: str = "while running") -> float:
    return next(
        each.level_m.value
        for each in found.highest
        if (each.path, each.case, each.holding) == ("ponds/pond", case, holding)
    )


def test_rain_by_hand() -> None:
    """50 mm on the pond and its stream of 4.8 m2, and nine tenths of it from a roof of 30 m2."""
    drawn = four_drops(pump=None)
    pond = shape(drawn).pond("pond")
    found, rain = _wet(drawn, catchment=(Catchment(area_m2=30.0, share=0.9),))
    assert rain.caught_m3 == pytest.approx(0.05 * (pond.area_m2 + 4.8 + 27.0))
    assert rain.inflow_m3s == pytest.approx(rain.caught_m3 / 3600.0)
    stopped, wet = _highest(found, "stopped"), _highest(found, "design rain")
    assert volume_at(pond, wet) - volume_at(pond, stopped) == pytest.approx(rain.caught_m3, rel=1e-9)
    assert found.worst("ponds/pond").case == "design rain"
    assert not any("design rain" in case for case in found.cases_not_run)


def test_an_overflow_holds_the_level_at_its_sill_and_the_water_over_it() -> None:
    drawn = four_drops(pump=None)
    roof = (Catchment(area_m2=200.0, share=1.0),)
    sill = level(-0.05, Surface.MARK)
    free, _ = _wet(drawn, catchment=roof)
    notch, rain = _wet(drawn, Overflow(level=sill, width_m=0.5, pipe_m=None), roof)
    assert rain.overflow_head_m is not None
    assert rain.overflow_head_m.value == pytest.approx(head_on_crest(2.5 * rain.inflow_m3s, 0.5, 1.6375))
    assert _highest(notch, "design rain") == pytest.approx(-0.05 + rain.overflow_head_m.value)
    assert _highest(notch, "design rain") < _highest(free, "design rain")


def test_a_high_overflow_has_nothing_to_do_in_a_small_rain() -> None:
    drawn = four_drops(pump=None)
    free, _ = _wet(drawn)
    high, _ = _wet(drawn, Overflow(level=level(0.5, Surface.MARK), width_m=None, pipe_m=0.1))
    assert _highest(high, "design rain") == pytest.approx(_highest(free, "design rain"))


def test_rain_at_its_heaviest_by_the_ratios_of_an_hour() -> None:
    """US practice, from memory: of an hour's rain 0.29 fall in 5 minutes, 0.45 in 10, 0.57 in 15, 0.79 in 30."""
    peak = default("climate.rain_peak").band
    means = {minutes: share * 60 / minutes for minutes, share in ((5, 0.29), (10, 0.45), (15, 0.57), (30, 0.79))}
    assert peak.low <= means[30] < peak.value < means[10] < peak.high + 0.05
    assert means[5] == pytest.approx(peak.high, abs=0.05)
    assert peak.value == pytest.approx(0.5 * (means[10] + means[15]), abs=0.05)


def test_with_its_overflow_blocked_a_pond_stands_as_if_it_had_none() -> None:
    drawn = four_drops(pump=None)
    roof = (Catchment(area_m2=30.0, share=0.9),)
    free, _ = _wet(drawn, catchment=roof)
    notch, _ = _wet(drawn, Overflow(level=level(-0.05, Surface.MARK), width_m=0.5, pipe_m=None), roof)
    (way,) = notch.ways_out
    assert way.blocked_m is not None
    assert way.blocked_m.value == pytest.approx(_highest(free, "design rain"), abs=1e-9)
    assert free.ways_out[0].blocked_m is None
    assert free.ways_out[0].sill_m is None


def test_a_top_up_that_is_stuck_open_stands_over_the_sill() -> None:
    """By hand: 0.5 l/s over 0.2 m at C 1.6375 are (0.0005 / 0.3275)^(2/3) = 13.3 mm over a sill at 0.05 m."""
    drawn = four_drops(pump=None)
    body = replace(drawn.bodies[0], overflow=Overflow(level=level(0.05, Surface.MARK), width_m=0.2, pipe_m=None))
    found = solved(replace(drawn, bodies=(body,), supply=Supply(hose_m3s=0.0005, float_valve=True)))
    assert found.ways_out[0].stuck_m is not None
    assert found.ways_out[0].stuck_m.value == pytest.approx(0.0633, abs=1e-4)
    assert not any("stuck" in case for case in found.cases_not_run)


@pytest.mark.parametrize(
    ("supply", "why"),
    [(Supply(float_valve=True), "not said"), (Supply(hose_m3s=0.0005), "no overflow")],
)
def test_a_stuck_top_up_that_cannot_be_worked_out_is_said(supply: Supply, why: str) -> None:
    found = solved(replace(four_drops(pump=None), supply=supply))
    assert any("stuck" in case and why in case for case in found.cases_not_run)


def test_silt_settles_in_hours_to_days() -> None:
    """Common practice, no source: cloudy water clears over days after a build."""
    (found,) = solved(four_drops(pump=None)).clearings
    assert 3600.0 < found.time_s.low < found.time_s.value < found.time_s.high < 14 * 86400.0


@pytest.mark.parametrize("turnover_h", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("deep_m", [0.45, 0.60, 0.75])
def test_cloudy_water_clears_over_days_after_a_build(turnover_h: float, deep_m: float) -> None:
    """Common practice, no source: one to seven days, where the pump turns the pond over in an hour or two."""
    drawn = four_drops(pump=None)
    body = replace(drawn.bodies[0], depth_m=deep_m)
    pond = shape(replace(drawn, bodies=(body,))).pond("pond")
    found = clearing(body, pond, pond.volume_m3 / (3600.0 * turnover_h))
    assert found is not None
    days = found.time_s.scale(1.0 / 86400.0)
    assert days.low < 1.0 <= days.value <= 7.0 < days.high < 14.0


def test_the_fill_meter_beside_what_was_worked_out() -> None:
    drawn = four_drops(pump=None)
    reading = Filled(body="pond", meter_m3=1.5, level=level(-0.30, Surface.WATER))
    (found,) = solved(replace(drawn, filled=(reading,))).metered
    assert found.meter_m3 == 1.5
    assert found.worked_out_m3 == pytest.approx(volume_at(shape(drawn).pond("pond"), -0.30))
