"""Silt that sinks, and how the water of a pond clears."""

from __future__ import annotations

import math

from rillwright.hydraulics._checks import refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S

QUARTZ_IN_WATER = 1.65  # density over that of water, less one
SIEVED = 18.0, 1.0  # C1, C2 of natural grains by sieve
SPHERES = 18.0, 0.4


def settling_speed(
    grain_m: float,
    *,
    excess: float = QUARTZ_IN_WATER,
    constants: tuple[float, float] = SIEVED,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
) -> float:
    """Speed [m/s] at which a grain sinks in still water: R g D^2 / (C1 nu + sqrt(0.75 C2 R g D^3)).

    Parameters
    ----------
    grain_m : float
        D [m].
    excess : float
        R, density of the grain over that of water, less one [-].
    constants : tuple of float
        C1 and C2 [-]: `SIEVED` for natural grains, `SPHERES` for smooth ones.
    viscosity_m2s, gravity_ms2 : float
        [m2/s], [m/s2].

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
    ferguson-church-2004; C1 18, C2 0.4 and 1.0 from memory.
    """
    refuse_unusable(positive={"grain_m": grain_m, "excess": excess, "viscosity_m2s": viscosity_m2s})
    pull = excess * gravity_ms2 * grain_m
    return pull * grain_m / (constants[0] * viscosity_m2s + math.sqrt(0.75 * constants[1] * pull * grain_m**2))


def left_in_water(turnovers: float, caught: float) -> float:
    """Share of what clouds a pond that is left after so many turnovers [-]: exp(-E N).

    Parameters
    ----------
    turnovers : float
        N, pumped volume over the pond's [-].
    caught : float
        E, share that stays behind at each pass, 0 to 1 [-].

    Returns
    -------
    float
        [-]. The pond is taken as well mixed; dead corners clear later.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    gage-bidwell-1926, as simmonds-2021 prints it.
    """
    refuse_unusable(not_negative={"turnovers": turnovers})
    refuse_outside("caught", caught, -1e-12, 1.0 + 1e-12)
    return math.exp(-caught * turnovers)


def turnovers_to_clear(left: float, caught: float) -> float:
    """Turnovers after which a share [-] of what clouds a pond is left, `caught` [-] staying behind at each.

    References
    ----------
    gage-bidwell-1926, as simmonds-2021 prints it.
    """
    refuse_outside("left", left, 0.0, 1.0 + 1e-12)
    refuse_outside("caught", caught, 0.0, 1.0 + 1e-12)
    return -math.log(min(left, 1.0)) / caught


def left_after_settling(time_s: float, *, grain_m: float, depth_m: float, viscosity_m2s: float) -> float:
    """Share of one grain size [-] still in the water after a time [s], in a stirred pond of a mean depth [m].

    Stirred by pump and fish, it sinks out as fast as its speed through the depth: exp(-w t / H). In still water all of
    it would be down at H / w.

    References
    ----------
    Closed form for a stirred settling tank; the speed is `settling_speed`.
    """
    refuse_unusable(not_negative={"time_s": time_s}, positive={"depth_m": depth_m})
    return math.exp(-settling_speed(grain_m, viscosity_m2s=viscosity_m2s) * time_s / depth_m)
