"""Water that a pond loses to the air by day, from a month's weather."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.hydraulics._checks import refuse_outside, refuse_unusable
from rillwright.units import Band

LATENT_MJ_KG = 2.45  # fao-56
WATER_ALBEDO = 0.08  # mcmahon-2013
PRIESTLEY_TAYLOR = 1.26
MONTH_DAYS = (31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0)
MONTH_MEAN_DAY = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)  # of the year; Klein 1977, from memory
_STEFAN_BOLTZMANN = 4.903e-9  # [MJ/(m2 day K4)], fao-56
_SOLAR_CONSTANT = 0.0820  # [MJ/(m2 min)], fao-56
_WIND_1956 = 1.313, 1.381  # [mm/(day kPa)], with the wind at 2 m in m/s
_WIND_1948 = 2.626, 1.381


class Weather(Struct, frozen=True, kw_only=True):
    """One day, or the mean day of a month, as weather services print it."""

    day_of_year: int
    latitude_rad: float  # negative in the south
    elevation_m: float
    high_c: float
    low_c: float
    humidity_high: float  # in the morning [-]
    humidity_low: float  # in the afternoon [-]
    wind_ms: float  # at 2 m
    sun_h: float | None = None  # hours of bright sunshine; None: from the span between high and low


class DailyLoss(Struct, frozen=True, kw_only=True):
    """Depth of open water that evaporates in a day [m], with the band of sister methods, and what it was made from."""

    loss_m: Band
    net_radiation_mjm2: float
    vapour_deficit_kpa: float


def vapour_pressure(temperature_c: float) -> float:
    """Saturated vapour pressure over water [kPa] at a temperature [degC]: 0.6108 exp(17.27 T / (T + 237.3)). fao-56."""
    return 0.6108 * math.exp(17.27 * temperature_c / (temperature_c + 237.3))


def air_pressure(elevation_m: float) -> float:
    """Usual pressure of the air [kPa] at an elevation [m]: 101.3 ((293 - 0.0065 z) / 293)^5.26. fao-56."""
    return float(101.3 * ((293.0 - 0.0065 * elevation_m) / 293.0) ** 5.26)


def wind_at_two_metres(wind_ms: float, height_m: float) -> float:
    """Wind [m/s] at 2 m over grass from that at a height [m]: u 4.87 / ln(67.8 z - 5.42). fao-56."""
    refuse_unusable(not_negative={"wind_ms": wind_ms})
    refuse_outside("height_m", height_m, 0.1, 1000.0)
    return wind_ms * 4.87 / math.log(67.8 * height_m - 5.42)


def sunlight(day_of_year: int, latitude_rad: float) -> tuple[float, float]:
    """What the sun would give without air [MJ/(m2 day)], and the hours of daylight [h].

    References
    ----------
    fao-56, eqs. 21 to 34.
    """
    refuse_outside("day_of_year", day_of_year, 0, 367)
    refuse_outside("latitude_rad", latitude_rad, -math.pi / 2, math.pi / 2)
    turn = 2.0 * math.pi * day_of_year / 365.0
    near = 1.0 + 0.033 * math.cos(turn)
    tilt = 0.409 * math.sin(turn - 1.39)
    sunset = math.acos(min(max(-math.tan(latitude_rad) * math.tan(tilt), -1.0), 1.0))
    whole = sunset * math.sin(latitude_rad) * math.sin(tilt)
    whole += math.cos(latitude_rad) * math.cos(tilt) * math.sin(sunset)
    return 24.0 * 60.0 / math.pi * _SOLAR_CONSTANT * near * whole, 24.0 / math.pi * sunset


def clear_sky(extraterrestrial_mjm2: float, elevation_m: float) -> float:
    """Sunlight of a day without clouds [MJ/(m2 day)]: (0.75 + 2e-5 z) Ra. fao-56."""
    return (0.75 + 2e-5 * elevation_m) * extraterrestrial_mjm2


def open_water_loss(weather: Weather, *, angstrom: tuple[float, float] = (0.25, 0.50)) -> DailyLoss:
    """Open-water evaporation of a mean day, by Penman with his wind function of 1956.

    The band spans Penman's wind function of 1948, which gives more, and Priestley-Taylor, which leaves the wind out.
    The heat that a pond stores shifts part of it to other hours and, in a deep pond, other weeks; a falling stream and
    its spray lose more; both are in none of these.

    Parameters
    ----------
    weather : Weather
        The mean day.
    angstrom : tuple of float
        Share of sunlight on a dark day, and what a bright one adds [-].

    Returns
    -------
    DailyLoss
        [m/day], net radiation [MJ/(m2 day)], vapour deficit [kPa].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    penman-1956 and penman-1948 as mcmahon-2013 prints them; radiation and vapour: fao-56; priestley-taylor-1972.
    Without hours of sunshine: hargreaves, as fao-56 eq. 50 prints it.
    """
    _refuse(weather)
    light, daylight = sunlight(weather.day_of_year, weather.latitude_rad)
    clear = clear_sky(light, weather.elevation_m)
    if weather.sun_h is None:
        sun = min(0.16 * math.sqrt(weather.high_c - weather.low_c) * light, clear)
    else:
        bright = min(weather.sun_h / daylight, 1.0) if daylight > 0.0 else 0.0
        sun = (angstrom[0] + angstrom[1] * bright) * light
    mean_c = 0.5 * (weather.high_c + weather.low_c)
    warm, cool = vapour_pressure(weather.high_c), vapour_pressure(weather.low_c)
    air = 0.5 * (cool * weather.humidity_high + warm * weather.humidity_low)
    deficit = max(0.5 * (warm + cool) - air, 0.0)
    back = _STEFAN_BOLTZMANN * 0.5 * ((weather.high_c + 273.16) ** 4 + (weather.low_c + 273.16) ** 4)
    cloud = 1.35 * min(sun / clear, 1.0) - 0.35 if clear > 0.0 else 0.0
    net = (1.0 - WATER_ALBEDO) * sun - back * (0.34 - 0.14 * math.sqrt(air)) * max(cloud, 0.0)
    slope = 4098.0 * vapour_pressure(mean_c) / (mean_c + 237.3) ** 2
    psychrometric = 0.000665 * air_pressure(weather.elevation_m)
    by_sun = slope / (slope + psychrometric) * net / LATENT_MJ_KG

    def by_wind(still: float, blown: float) -> float:
        return psychrometric / (slope + psychrometric) * (still + blown * weather.wind_ms) * deficit

    losses = [
        max(each, 0.0) / 1000.0
        for each in (by_sun + by_wind(*_WIND_1956), by_sun + by_wind(*_WIND_1948), PRIESTLEY_TAYLOR * by_sun)
    ]
    return DailyLoss(
        loss_m=Band(losses[0], min(losses), max(losses)), net_radiation_mjm2=net, vapour_deficit_kpa=deficit
    )


def _refuse(weather: Weather) -> None:
    refuse_unusable(not_negative={"wind_ms": weather.wind_ms, "sun_h": weather.sun_h or 0.0})
    refuse_outside("high_c", weather.high_c, max(weather.low_c - 1e-9, -60.0), 60.0)
    refuse_outside("low_c", weather.low_c, -60.0, 60.0)
    refuse_outside("humidity_low", weather.humidity_low, -1e-9, 1.0 + 1e-9)
    refuse_outside("humidity_high", weather.humidity_high, weather.humidity_low - 1e-9, 1.0 + 1e-9)
    refuse_outside("elevation_m", weather.elevation_m, -500.0, 6000.0)
