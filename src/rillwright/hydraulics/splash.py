"""How far a falling sheet splashes from where it lands."""

from __future__ import annotations

import math

from rillwright.hydraulics._checks import refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2

SPLASH_ON_STONE, SPLASH_IN_WATER = 1.0, 0.5  # of the height that the speed on landing is worth; common practice


def splash_share(
    pool_m: float, wanted_m: float, *, on_stone: float = SPLASH_ON_STONE, in_water: float = SPLASH_IN_WATER
) -> float:
    """Reach of splash over the height that a sheet's speed on landing is worth [-]: less where it lands in water.

    Parameters
    ----------
    pool_m : float
        Water where it lands [m].
    wanted_m : float
        Water that takes the sheet up, from which more helps no further [m].
    on_stone, in_water : float
        Where it lands on stone, and in water as deep as that or deeper [-]; straight between.

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
    Common practice, no source: about one height of the fall on stone, about half in water.
    """
    refuse_unusable(
        positive={"wanted_m": wanted_m}, not_negative={"pool_m": pool_m, "on_stone": on_stone, "in_water": in_water}
    )
    return on_stone + (in_water - on_stone) * min(pool_m / wanted_m, 1.0)


def splash_reach(
    impact_ms: float, *, share: float = SPLASH_ON_STONE, further_m: float = 0.0, gravity_ms2: float = GRAVITY_MS2
) -> float:
    """How far drops fly that leave at 45 degrees with so much of the sheet's energy that `share` is their reach.

    R = s V^2/(2 g) where they come down as high as they left, R/2 (1 + sqrt(1 + 4 d/R)) where that is d lower.

    Parameters
    ----------
    impact_ms : float
        V, of the sheet on landing [m/s].
    share : float
        s, reach over V^2/2g [-].
    further_m : float
        d, from where they leave down to where they may land [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    float
        [m]; no wind, no air resistance.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: a body thrown at 45 degrees. The share: common practice, no source.
    """
    refuse_unusable(not_negative={"impact_ms": impact_ms, "share": share, "further_m": further_m})
    refuse_outside("gravity_ms2", gravity_ms2, 0.0, math.inf)
    reach = share * impact_ms**2 / (2.0 * gravity_ms2)
    return 0.5 * reach * (1.0 + math.sqrt(1.0 + 4.0 * further_m / reach)) if reach > 0.0 else 0.0
