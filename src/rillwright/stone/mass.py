"""Mass of stone from what it fills."""

from __future__ import annotations

import math

ELLIPSOID = math.pi / 6.0  # of its box; a ball is one too


def block_mass_kg(box_m3: float, *, share: float, density_kgm3: float) -> float:
    """Mass [kg] of one stone from its box.

    Parameters
    ----------
    box_m3 : float
        Length times width times thickness [m3].
    share : float
        What the stone fills of its box [-]: pi/6 for an ellipsoid or a ball, 0.7 to 0.85 for a blocky one.
    density_kgm3 : float
        Density of the solid stone [kg/m3].

    Returns
    -------
    float
        Mass [kg].

    References
    ----------
    Closed form; shares of blocky stone: common practice, no source.
    """
    return box_m3 * share * density_kgm3


def heap_mass_kg(placed_m3: float, *, voids: float, density_kgm3: float) -> float:
    """Mass [kg] of stones that fill a placed volume but for their voids.

    Parameters
    ----------
    placed_m3 : float
        Volume that the stones take up together [m3].
    voids : float
        Share of it between the stones [-].
    density_kgm3 : float
        Density of the solid stone [kg/m3].

    Returns
    -------
    float
        Mass [kg].

    References
    ----------
    Closed form.
    """
    return placed_m3 * (1.0 - voids) * density_kgm3
