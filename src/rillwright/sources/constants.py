"""Physical constants and the properties of water.

One value of gravity for everything: the standard one, 9.80665 m/s2, which is a definition and lies inside what gardens
have (9.78 at the equator, 9.83 at the poles). Worked examples in print use 9.81, 0.03 percent more; a function that
takes `gravity_ms2` can be held to them with their own.
"""

from __future__ import annotations

import math
from functools import cache

from rillwright.sources.packaged import listed

STANDARD_GRAVITY_MS2 = 9.80665  # cgpm-1901
STANDARD_ATMOSPHERE_PA = 101325.0  # iso-2533
WATER_SURFACE_TENSION_NM = 0.0728  # at 20 degC, from memory; it moves by 2 percent from 10 to 20 degC


@cache
def _water() -> dict[str, tuple[float, ...]]:
    rows = list(listed("water.csv"))
    return {name: tuple(float(row[name]) for row in rows) for name in rows[0]}


def _between(column: str, temperature_c: float, *, logarithmic: bool = False) -> float:
    """Straight between the rows of the table, of the value or of its logarithm."""
    at, values = _water()["temperature_c"], _water()[column]
    if not at[0] <= temperature_c <= at[-1]:
        raise ValueError(f"water at {temperature_c} degC: the table goes from {at[0]:g} to {at[-1]:g} degC")
    after = next(i for i in range(1, len(at)) if temperature_c <= at[i])
    part = (temperature_c - at[after - 1]) / (at[after] - at[after - 1])
    low, high = values[after - 1], values[after]
    if logarithmic:
        return low * math.exp(part * math.log(high / low))
    return low + part * (high - low)


def water_density(temperature_c: float = 20.0) -> float:
    """Density of fresh water at one atmosphere.

    Parameters
    ----------
    temperature_c
        Temperature of the water, 0 to 40 [degC].

    Returns
    -------
    float
        Density, straight between the rows of the table [kg/m3].

    Raises
    ------
    ValueError
        If the temperature is outside the table.

    References
    ----------
    iapws-95
    """
    return _between("density_kgm3", temperature_c)


def water_viscosity(temperature_c: float = 20.0) -> float:
    """Kinematic viscosity of fresh water at one atmosphere.

    Parameters
    ----------
    temperature_c
        Temperature of the water, 0 to 40 [degC].

    Returns
    -------
    float
        Kinematic viscosity; its logarithm is straight between the rows of the table [m2/s].

    Raises
    ------
    ValueError
        If the temperature is outside the table.

    References
    ----------
    iapws-95
    """
    return _between("viscosity_1e6_m2s", temperature_c, logarithmic=True) * 1e-6


def water_vapour_pressure(temperature_c: float = 20.0) -> float:
    """Pressure of saturated water vapour.

    Parameters
    ----------
    temperature_c
        Temperature of the water, 0 to 40 [degC].

    Returns
    -------
    float
        Pressure; its logarithm is straight between the rows of the table [Pa].

    Raises
    ------
    ValueError
        If the temperature is outside the table.

    References
    ----------
    iapws-95
    """
    return _between("vapour_pa", temperature_c, logarithmic=True)


def atmosphere(altitude_m: float = 0.0) -> float:
    """Pressure of the standard atmosphere at an altitude.

    Parameters
    ----------
    altitude_m
        Height above the sea, below 11,000 [m].

    Returns
    -------
    float
        Pressure, p0 (1 - 2.25577e-5 z)^5.25588 [Pa].

    Raises
    ------
    ValueError
        If the altitude is above 11,000 m, where the form ends.

    References
    ----------
    iso-2533
    """
    if altitude_m > 11000.0:
        raise ValueError(f"the standard atmosphere's lowest layer ends at 11000 m, not {altitude_m}")
    return float(STANDARD_ATMOSPHERE_PA * (1.0 - 2.25577e-5 * altitude_m) ** 5.25588)
