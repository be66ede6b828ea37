"""Water inside the gravel of a bed: how much runs through it, how much it holds."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S

ERGUN_VISCOUS = 150.0
ERGUN_INERTIAL = 1.75


class GravelSpeed(Struct, frozen=True, kw_only=True):
    """Flow per cross section of gravel and voids together [m/s], at a slope."""

    speed_ms: float
    reynolds: float  # speed x grain / viscosity / (1 - porosity) [-]
    outside: str


def ergun_slope(
    speed_ms: float,
    *,
    grain_m: float,
    porosity: float,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
) -> float:
    """Fall over length that drives a speed through gravel: i = a v + b v^2.

    Parameters
    ----------
    speed_ms : float
        Flow per cross section of gravel and voids [m/s].
    grain_m : float
        Grain size [m].
    porosity : float
        Voids over volume [-].
    viscosity_m2s : float
        Kinematic [m2/s].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    float
        [-].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    ergun-1952.
    """
    viscous, inertial = ergun_terms(grain_m, porosity, viscosity_m2s, gravity_ms2)
    return viscous * speed_ms + inertial * speed_ms**2


def ergun_speed(
    slope: float,
    *,
    grain_m: float,
    porosity: float,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
) -> GravelSpeed:
    """Speed through gravel at a slope, over the whole range from Darcy's law to turbulent flow.

    Parameters
    ----------
    slope : float
        Fall of the water in the gravel over length [-].
    grain_m : float
        Grain size [m].
    porosity : float
        Voids over volume [-].
    viscosity_m2s : float
        Kinematic [m2/s].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    GravelSpeed
        Speed [m/s], Reynolds number [-]. Range: Re/(1 - porosity) 1 to 2300.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    ergun-1952; range as Jones & Krier 1983 give it, J. Fluids Eng. 105(2), 168-172.
    """
    refuse_unusable(not_negative={"slope": slope})
    viscous, inertial = ergun_terms(grain_m, porosity, viscosity_m2s, gravity_ms2)
    # The stable form of the quadratic's root: no difference of near numbers at small slopes.
    speed_ms = 2 * slope / (viscous + math.sqrt(viscous**2 + 4 * inertial * slope))
    reynolds = speed_ms * grain_m / viscosity_m2s / (1 - porosity)
    return GravelSpeed(
        speed_ms=speed_ms,
        reynolds=reynolds,
        outside=notes(
            (reynolds < 1, "the Reynolds number of the gravel is below 1: it follows Darcy's law there"),
            (reynolds > 2300, "the Reynolds number of the gravel is above 2300, where Ergun's was not measured"),
        ),
    )


def darcy_conductivity(
    *, grain_m: float, porosity: float, viscosity_m2s: float = WATER_VISCOSITY_M2S, gravity_ms2: float = GRAVITY_MS2
) -> float:
    """Speed per slope in the viscous limit [m/s]: K = g d^2 p^3 / (150 nu (1 - p)^2).

    Parameters
    ----------
    grain_m : float
        d [m].
    porosity : float
        p, voids over volume [-].
    viscosity_m2s : float
        nu [m2/s].
    gravity_ms2 : float
        g [m/s2].

    Returns
    -------
    float
        [m/s].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    ergun-1952, first term.
    """
    return 1 / ergun_terms(grain_m, porosity, viscosity_m2s, gravity_ms2)[0]


def hidden_share(flow_m3s: float, gravel_area_m2: float, gravel_speed_ms: float) -> float:
    """Share [-] of a flow [m3/s] that runs unseen through a gravel cross section [m2] at a speed [m/s]; 1 is all."""
    refuse_unusable(
        positive={"flow_m3s": flow_m3s},
        not_negative={"gravel_area_m2": gravel_area_m2, "gravel_speed_ms": gravel_speed_ms},
    )
    return min(1.0, gravel_area_m2 * gravel_speed_ms / flow_m3s)


def water_in_gravel(bulk_m3: float, porosity: float) -> float:
    """Water [m3] that fills the voids of a volume of gravel [m3], porosity [-]."""
    refuse_unusable(not_negative={"bulk_m3": bulk_m3})
    refuse_outside("porosity", porosity, 0.0, 1.0)
    return bulk_m3 * porosity


def ergun_terms(grain_m: float, porosity: float, viscosity_m2s: float, gravity_ms2: float) -> tuple[float, float]:
    refuse_unusable(positive={"grain_m": grain_m, "viscosity_m2s": viscosity_m2s, "gravity_ms2": gravity_ms2})
    refuse_outside("porosity", porosity, 0.0, 1.0)
    p, d, nu, g = porosity, grain_m, viscosity_m2s, gravity_ms2
    return ERGUN_VISCOUS * nu * (1 - p) ** 2 / (g * d**2 * p**3), ERGUN_INERTIAL * (1 - p) / (g * d * p**3)
