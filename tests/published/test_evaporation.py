"""Open-water evaporation: the worked example of McMahon et al. 2013, and the small tables of FAO-56."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.published.rows import Row, check

from rillwright.errors import InputError
from rillwright.hydraulics import (
    Weather,
    air_pressure,
    clear_sky,
    open_water_loss,
    sunlight,
    vapour_pressure,
    wind_at_two_metres,
)

# Alice Springs, 20 July 1980: McMahon et al. 2013, HESS 17, 1331-1363, supplement S19
ALICE = Weather(
    day_of_year=202,
    latitude_rad=math.radians(-23.7951),
    elevation_m=546.0,
    high_c=21.0,
    low_c=2.0,
    humidity_high=0.71,
    humidity_low=0.25,
    wind_ms=0.5903,
    sun_h=10.7,
)
DRY_LAND = (0.23, 0.50)  # the Angstrom figures of the example
MCMAHON = "McMahon et al. 2013, supplement S19"
FAO = "FAO Irrigation and Drainage Paper 56"


def _alice() -> tuple[float, float, float]:
    loss = open_water_loss(ALICE, angstrom=DRY_LAND).loss_m
    return loss.value * 1000.0, loss.low * 1000.0, loss.high * 1000.0


def _rise() -> float:
    """Slope of the vapour pressure [kPa/K] at the mean of the day."""
    return (vapour_pressure(11.5 + 1e-3) - vapour_pressure(11.5 - 1e-3)) / 2e-3


def _psychrometric(elevation_m: float) -> float:
    """g [kPa/K], solved from what the two wind functions of Penman make of one day: g/(D+g) 1.313 (es - ea) apart."""
    loss = open_water_loss(replace(ALICE, elevation_m=elevation_m), angstrom=DRY_LAND)
    share = (loss.loss_m.high - loss.loss_m.value) * 1000.0 / (1.313 * loss.vapour_deficit_kpa)
    return _rise() * share / (1.0 - share)


def _declination() -> float:
    """Of the sun [rad], solved from the hours of daylight."""
    return math.atan(-math.cos(math.pi / 24 * sunlight(202, ALICE.latitude_rad)[1]) / math.tan(ALICE.latitude_rad))


def _nearness() -> float:
    """dr [-], solved from the sunlight without air at the equator, 0.0820 MJ/m2 a minute of it."""
    return sunlight(202, 0.0)[0] * math.pi / (24 * 60 * 0.0820 * math.cos(_declination()))


def _back() -> float:
    """Rnl [MJ/m2 a day], solved from the net radiation of the day and of one as bright in air without vapour."""
    loss = open_water_loss(ALICE, angstrom=DRY_LAND)
    dry = open_water_loss(replace(ALICE, humidity_high=0.0, humidity_low=0.0), angstrom=DRY_LAND)
    felt = 0.14 * math.sqrt(dry.vapour_deficit_kpa - loss.vapour_deficit_kpa)
    return (loss.net_radiation_mjm2 - dry.net_radiation_mjm2) / felt * (0.34 - felt)


def _warmer() -> float:
    """What 273.2 K at freezing gives off over 273.16 K, which FAO-56 and we take."""
    theirs, ours = (sum((c + zero) ** 4 for c in (ALICE.high_c, ALICE.low_c)) for zero in (273.2, 273.16))
    return theirs / ours


def _sun() -> float:
    """Rs [MJ/m2 a day]: what the water keeps of it, albedo 0.08, is the net radiation and what goes back."""
    return (open_water_loss(ALICE, angstrom=DRY_LAND).net_radiation_mjm2 + _back()) / 0.92


ROWS = {
    "Penman 1956, mm/day": Row(lambda: _alice()[0], "2.98", MCMAHON + ", prints 2.9797; it takes 273.2 K", True),
    "Priestley-Taylor, mm/day": Row(lambda: _alice()[1], "2.61", MCMAHON + ", prints 2.6083", True),
    "Penman 1948, mm/day": Row(lambda: _alice()[2], "3.54", "computed independently from the same input"),
    "net radiation": Row(lambda: open_water_loss(ALICE, angstrom=DRY_LAND).net_radiation_mjm2, "8.64", MCMAHON, True),
    "sunlight without air": Row(lambda: sunlight(202, ALICE.latitude_rad)[0], "23.618", MCMAHON, True),
    "daylight": Row(lambda: sunlight(202, ALICE.latitude_rad)[1], "10.743", MCMAHON, True),
    "slope of vapour pressure": Row(_rise, "0.0898", MCMAHON, True),
    "psychrometric": Row(lambda: _psychrometric(546.0), "0.0632", MCMAHON, True),
    "psychrometric at 1800 m": Row(lambda: _psychrometric(1800.0), "0.054", FAO + ", example 2", True),
    "nearness of the sun": Row(_nearness, "0.9688", MCMAHON, True),
    "declination": Row(_declination, "0.3557", MCMAHON, True),
    "sunset": Row(lambda: sunlight(202, ALICE.latitude_rad)[1] * math.pi / 24, "1.4063", MCMAHON, True),
    "sunlight on the water": Row(_sun, "17.1940", MCMAHON, True),
    "goes back": Row(lambda: _back() * _warmer(), "7.1784", MCMAHON + ", which takes 273.2 K", True),
    "clear sky": Row(lambda: clear_sky(23.6182, 546.0), "17.9716", MCMAHON, True),
    "pressure at 546 m": Row(lambda: air_pressure(546.0), "95.01", MCMAHON, True),
    "vapour, mean of 21 and 2": Row(lambda: (vapour_pressure(21) + vapour_pressure(2)) / 2, "1.5963", MCMAHON, True),
    "pressure at 1800 m": Row(lambda: air_pressure(1800.0), "81.8", FAO + ", example 2", True),
    "vapour at 24.5": Row(lambda: vapour_pressure(24.5), "3.075", FAO + ", example 3", True),
    "vapour at 15": Row(lambda: vapour_pressure(15.0), "1.705", FAO + ", example 3", True),
    "sunlight, 3 September, 20 S": Row(lambda: sunlight(246, math.radians(-20))[0], "32.2", FAO + ", example 8", True),
    "wind of 3.2 at 10 m": Row(lambda: wind_at_two_metres(3.2, 10.0), "2.4", FAO + ", example 14", True),
    "clear sky of 41.09 at 100 m": Row(lambda: clear_sky(41.09, 100.0), "30.90", FAO + ", example 18", True),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


@pytest.mark.parametrize(
    ("more", "less"),
    [
        ({"high_c": 26.0}, {}),
        ({"wind_ms": 3.0}, {}),
        ({"sun_h": 10.7}, {"sun_h": 4.0}),
        ({"humidity_low": 0.25}, {"humidity_low": 0.6}),
    ],
    ids=["warmer", "windier", "brighter", "drier"],
)
def test_more_goes_when_it_is(more: dict[str, float], less: dict[str, float]) -> None:
    assert open_water_loss(replace(ALICE, **more)).loss_m.value > open_water_loss(replace(ALICE, **less)).loss_m.value


def test_what_a_pond_of_40_m2_loses() -> None:
    """119 L on that day: 40 m2 by what McMahon et al. 2013 print of it, 2.9797 mm."""
    assert 1000.0 * 40.0 * open_water_loss(ALICE, angstrom=(0.23, 0.50)).loss_m.value == pytest.approx(119.0, abs=0.5)


def test_without_hours_of_sunshine_the_span_of_the_day_stands_in() -> None:
    """Hargreaves as FAO-56 prints it, eq. 50: within a quarter of what the sunshine gives, for this clear day."""
    by_span = open_water_loss(replace(ALICE, sun_h=None)).loss_m.value
    assert by_span == pytest.approx(open_water_loss(ALICE).loss_m.value, rel=0.25)


def test_a_polar_night_loses_nothing_to_the_sun() -> None:
    dark = replace(ALICE, latitude_rad=math.radians(80), day_of_year=355, sun_h=0.0, high_c=-5.0, low_c=-15.0)
    assert sunlight(355, math.radians(80)) == (0.0, 0.0)
    assert 0.0 <= open_water_loss(dark).loss_m.value < 0.002


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(InputError, match="high_c"):
        open_water_loss(replace(ALICE, high_c=1.0))
    with pytest.raises(InputError, match="humidity_low"):
        open_water_loss(replace(ALICE, humidity_low=1.2))
    with pytest.raises(InputError, match="latitude_rad"):
        sunlight(100, 3.0)
