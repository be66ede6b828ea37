"""Gravity and water at 20 degrees, from the one place that holds them."""

from __future__ import annotations

from rillwright.sources import (
    STANDARD_ATMOSPHERE_PA,
    STANDARD_GRAVITY_MS2,
    WATER_SURFACE_TENSION_NM,
    water_density,
    water_vapour_pressure,
    water_viscosity,
)

AIR_PA = STANDARD_ATMOSPHERE_PA
GRAVITY_MS2 = STANDARD_GRAVITY_MS2
SURFACE_TENSION_NM = WATER_SURFACE_TENSION_NM
WATER_DENSITY_KGM3 = water_density(20.0)
WATER_VAPOUR_PA = water_vapour_pressure(20.0)
WATER_VISCOSITY_M2S = water_viscosity(20.0)
