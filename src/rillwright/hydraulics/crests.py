"""Water on a garden crest: its depth, the flag of thin water, a spill stone out of level."""

from __future__ import annotations

from msgspec import Struct

from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, SURFACE_TENSION_NM, WATER_DENSITY_KGM3
from rillwright.hydraulics._roots import bracketed_root
from rillwright.hydraulics.lips import CREST_C

STRONG_TENSION = 100.0  # Weber number below which surface tension counts; common practice, no source


class TiltedCrest(Struct, frozen=True, kw_only=True):
    """Water at both ends of a spill stone out of level [m]; `ratio` is None where the high end runs dry."""

    low_end_m: float
    high_end_m: float  # 0 where dry
    ratio: float | None  # flow at the low end over flow at the high end, each per unit width [-]
    dry_share: float  # share of the crest that runs dry [-]


def head_on_crest(flow_m3s: float, width_m: float, coefficient: float) -> float:
    """Water on a crest [m] of `width_m` [m] under `flow_m3s` [m3/s] by C [m^0.5/s]: h = (Q / (C b))^(2/3)."""
    refuse_unusable(not_negative={"flow_m3s": flow_m3s}, positive={"width_m": width_m, "coefficient": coefficient})
    return float((flow_m3s / (coefficient * width_m)) ** (2 / 3))


def flow_on_crest(head_m: float, width_m: float, coefficient: float) -> float:
    """Flow [m3/s] over a crest of `width_m` [m] under `head_m` [m] by C [m^0.5/s]: Q = C b h^1.5."""
    refuse_unusable(not_negative={"head_m": head_m}, positive={"width_m": width_m, "coefficient": coefficient})
    return float(coefficient * width_m * head_m**1.5)


def weber_number(
    depth_m: float,
    *,
    density_kgm3: float = WATER_DENSITY_KGM3,
    gravity_ms2: float = GRAVITY_MS2,
    surface_tension_nm: float = SURFACE_TENSION_NM,
) -> float:
    """Weight over surface tension in a thin sheet [-], rho g h^2 / sigma; surface tension is strong below about 100.

    Parameters
    ----------
    depth_m : float
        [m].
    density_kgm3 : float
        [kg/m3].
    gravity_ms2 : float
        [m/s2].
    surface_tension_nm : float
        [N/m].

    Returns
    -------
    float
        [-].

    References
    ----------
    Definition by dimensions; 'strong below about 100' is common practice, no source.
    """
    return density_kgm3 * gravity_ms2 * depth_m**2 / surface_tension_nm


def tilt_flow_ratio(depth_m: float, tilt_m: float) -> float | None:
    """Flow at the low end over flow at the high end [-], `tilt_m` [m] end to end under a middle depth `depth_m` [m].

    None where the high end runs dry. Depths at the ends go with the power 1.5: 1/4 in out under 18 mm of water
    (100 US gal/h per inch) gives 1.7.

    References
    ----------
    Common practice, no source; follows from Q ~ h^1.5.
    """
    refuse_unusable(positive={"depth_m": depth_m}, not_negative={"tilt_m": tilt_m})
    high_end_m = depth_m - tilt_m / 2
    return float(((depth_m + tilt_m / 2) / high_end_m) ** 1.5) if high_end_m > 0 else None


def tilted_crest(flow_m3s: float, width_m: float, *, tilt_m: float, coefficient: float = CREST_C.value) -> TiltedCrest:
    """Where the water goes on a spill stone that is out of level, the whole flow kept.

    Each width carries C h^1.5 of its own depth; the level is found that carries the flow.

    Parameters
    ----------
    flow_m3s : float
        [m3/s].
    width_m : float
        [m].
    tilt_m : float
        Level of the high end less that of the low end [m].
    coefficient : float
        C [m^0.5/s].

    Returns
    -------
    TiltedCrest
        Depths at the ends [m], ratio of their flows [-], dry share [-].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: the integral of C h^1.5 along a straight crest.
    """
    level_m = head_on_crest(flow_m3s, width_m, coefficient)
    refuse_unusable(positive={"flow_m3s": flow_m3s}, not_negative={"tilt_m": tilt_m})
    if tilt_m < 1e-6 * level_m:
        return TiltedCrest(low_end_m=level_m, high_end_m=level_m, ratio=1.0, dry_share=0.0)

    def carried(low_end: float) -> float:
        return float(coefficient * width_m * 2 / (5 * tilt_m) * (low_end**2.5 - max(low_end - tilt_m, 0.0) ** 2.5))

    low_end_m = bracketed_root(lambda h: carried(h) - flow_m3s, 0.0, level_m + tilt_m, what="water on a tilted crest")
    high_end_m = max(low_end_m - tilt_m, 0.0)
    return TiltedCrest(
        low_end_m=low_end_m,
        high_end_m=high_end_m,
        ratio=(low_end_m / high_end_m) ** 1.5 if high_end_m > 0 else None,
        dry_share=max(0.0, 1 - low_end_m / tilt_m),
    )
