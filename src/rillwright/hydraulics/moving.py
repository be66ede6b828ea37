"""Gravel and stone that water moves: the size that just stays, by author, each with its range."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_DENSITY_KGM3, WATER_VISCOSITY_M2S
from rillwright.units import Band

STONE_OVER_WATER = 2.65  # density of stone over that of water, quartz and granite
SHIELDS = Band(0.047, 0.030, 0.060)  # Meyer-Peter and Muller; nothing moves; much of the bed moves
ISBASH_LOOSE, ISBASH_SET = 0.86, 1.20  # a stone that lies on others in rough water; one set among others in calm
_HEC15_LADDER = ((4e4, 0.047, 1.0), (2e5, 0.15, 1.5))  # (particle Reynolds number, F*, safety factor)


class StoneSize(Struct, frozen=True, kw_only=True):
    """The size that just stays [m]; `share` says of which stones of a mix: that 30, 50 in 100 are smaller than."""

    size_m: float
    share: int
    method: str
    outside: str


def bed_shear(hydraulic_radius_m: float, slope: float, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """Pull of the water on its bed [Pa], rho g R S, from R [m] and the energy slope S [-]."""
    refuse_unusable(not_negative={"hydraulic_radius_m": hydraulic_radius_m, "slope": slope})
    return WATER_DENSITY_KGM3 * gravity_ms2 * hydraulic_radius_m * slope


def shields_stone(
    shear_pa: float,
    *,
    shields: float = SHIELDS.value,
    density_ratio: float = STONE_OVER_WATER,
    density_kgm3: float = WATER_DENSITY_KGM3,
    gravity_ms2: float = GRAVITY_MS2,
) -> StoneSize:
    """Grain that a pull just does not move: D = tau / (theta (rho_s - rho) g).

    Parameters
    ----------
    shear_pa : float
        tau [Pa].
    shields : float
        theta [-]: 0.030 nothing moves, 0.047 the usual one, 0.060 much of the bed moves.
    density_ratio : float
        Stone over water [-].
    density_kgm3 : float
        Water [kg/m3].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    StoneSize
        D50 [m]. Range: rough turbulent beds, taken as D from 2 mm.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    shields-1936; 0.047 after Meyer-Peter and Muller; from memory.
    """
    refuse_unusable(not_negative={"shear_pa": shear_pa}, positive={"shields": shields})
    _refuse_light(density_ratio)
    size = shear_pa / (shields * (density_ratio - 1) * density_kgm3 * gravity_ms2)
    return StoneSize(
        size_m=size,
        share=50,
        method="Shields",
        outside=notes(
            (0 < size < 0.002, "the grain that just stays is finer than the 2 mm from which Shields' is taken")
        ),
    )


def critical_shields(
    grain_m: float,
    *,
    density_ratio: float = STONE_OVER_WATER,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
) -> float:
    """Shields number at which a grain begins to move: 0.30/(1 + 1.2 D*) + 0.055 (1 - exp(-0.020 D*)).

    Parameters
    ----------
    grain_m : float
        D [m]; D* = D (g (s - 1)/nu^2)^(1/3).
    density_ratio : float
        s [-].
    viscosity_m2s : float
        nu [m2/s].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    float
        theta [-]. Every grain size; the data scatter from 0.03 to 0.07 in gravel.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    soulsby-1997, from memory.
    """
    refuse_unusable(positive={"grain_m": grain_m, "viscosity_m2s": viscosity_m2s})
    _refuse_light(density_ratio)
    d = grain_m * (gravity_ms2 * (density_ratio - 1) / viscosity_m2s**2) ** (1 / 3)
    return float(0.30 / (1 + 1.2 * d) + 0.055 * (1 - math.exp(-0.020 * d)))


def isbash_stone(
    speed_ms: float,
    *,
    coefficient: float = ISBASH_LOOSE,
    density_ratio: float = STONE_OVER_WATER,
    gravity_ms2: float = GRAVITY_MS2,
) -> StoneSize:
    """Stone that stays in a current: V = C sqrt(2 g (s - 1) D).

    Parameters
    ----------
    speed_ms : float
        V, at the stone [m/s].
    coefficient : float
        C [-]: 0.86 in rough water, 1.20 in calm water or set among others.
    density_ratio : float
        s [-].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    StoneSize
        D50 [m]. Range: C 0.86 to 1.20.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    isbash-1936.
    """
    refuse_unusable(not_negative={"speed_ms": speed_ms}, positive={"coefficient": coefficient})
    _refuse_light(density_ratio)
    return StoneSize(
        size_m=(speed_ms / coefficient) ** 2 / (2 * gravity_ms2 * (density_ratio - 1)),
        share=50,
        method="Isbash",
        outside=notes((not 0.86 <= coefficient <= 1.20, f"C {coefficient:.3g} is outside 0.86 to 1.20")),
    )


def maynord_stone(
    speed_ms: float,
    depth_m: float,
    *,
    slope: float = 0.0,
    side_factor: float = 1.0,
    bend_factor: float = 1.0,
    stability: float = 0.30,
    safety: float = 1.1,
    density_ratio: float = STONE_OVER_WATER,
    gravity_ms2: float = GRAVITY_MS2,
) -> StoneSize:
    """Riprap of a bed: D30 = Sf Cs Cv d (V / sqrt((s - 1) K1 g d))^2.5.

    Parameters
    ----------
    speed_ms : float
        V, mean over the depth there [m/s].
    depth_m : float
        d, there [m].
    slope : float
        Of the bed [-], for the range only.
    side_factor : float
        K1 for a side slope [-]; 1 on the bed.
    bend_factor : float
        Cv [-]: 1 where straight, 1.283 - 0.2 log10(Rc/W) outside a bend.
    stability : float
        Cs [-]: 0.30 angular, 0.375 round (the latter from memory).
    safety : float
        Sf [-].
    density_ratio : float
        s [-].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    StoneSize
        D30 [m]. Range: slope to 0.02, water deeper than the stone.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    em-1110-2-1601, ch. 3 (Maynord).
    """
    positive = {"depth_m": depth_m, "side_factor": side_factor, "bend_factor": bend_factor, "safety": safety}
    refuse_unusable(not_negative={"speed_ms": speed_ms, "slope": slope}, positive=positive | {"stability": stability})
    _refuse_light(density_ratio)
    ratio = speed_ms / math.sqrt((density_ratio - 1) * side_factor * gravity_ms2 * depth_m)
    size = safety * stability * bend_factor * depth_m * ratio**2.5
    return StoneSize(
        size_m=size,
        share=30,
        method="Maynord",
        outside=notes((slope > 0.02, f"slope {slope:.3g} is above 0.02"), _shallow(depth_m, size)),
    )


def hec11_stone(
    speed_ms: float,
    depth_m: float,
    *,
    side_factor: float = 1.0,
    safety: float = 1.2,
    density_ratio: float = STONE_OVER_WATER,
) -> StoneSize:
    """Riprap by HEC-11: D50 = 0.00594 V^3 / (d^0.5 K1^1.5), times 2.12/(s - 1)^1.5 and (SF/1.2)^1.5.

    Parameters
    ----------
    speed_ms : float
        V, mean of the main channel [m/s].
    depth_m : float
        d, mean of the main channel [m].
    side_factor : float
        K1 [-]: sqrt(1 - sin^2 th / sin^2 ph) on a side slope, 1 on the bed.
    safety : float
        SF [-].
    density_ratio : float
        s [-].

    Returns
    -------
    StoneSize
        D50 [m]. Range: uniform or slowly varied flow, water deeper than the stone.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    hec-11, eqs. 6 to 9.
    """
    refuse_unusable(
        not_negative={"speed_ms": speed_ms},
        positive={"depth_m": depth_m, "side_factor": side_factor, "safety": safety},
    )
    _refuse_light(density_ratio)
    plain = 0.00594 * speed_ms**3 / (math.sqrt(depth_m) * side_factor**1.5)
    size = plain * 2.12 / (density_ratio - 1) ** 1.5 * (safety / 1.2) ** 1.5
    return StoneSize(size_m=size, share=50, method="HEC-11", outside=notes(_shallow(depth_m, size)))


def hec15_stone(
    depth_m: float,
    slope: float,
    *,
    density_ratio: float = STONE_OVER_WATER,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
) -> StoneSize:
    """Riprap lining of a ditch by HEC-15: D50 = SF d S / (F* (s - 1)).

    Parameters
    ----------
    depth_m : float
        d [m].
    slope : float
        S, of the bed [-].
    density_ratio : float
        s [-].
    viscosity_m2s : float
        [m2/s].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    StoneSize
        D50 [m]. F* 0.047 and SF 1.0 below a particle Reynolds number of 4e4, 0.15 and 1.5 from 2e5, straight between.
        Range: stone 15 to 550 mm, slope to 0.10.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    hec-15, eqs. 6.7, 6.8; the ladder of F* and SF and the slope from memory.
    """
    refuse_unusable(positive={"depth_m": depth_m}, not_negative={"slope": slope})
    _refuse_light(density_ratio)
    shear_speed = math.sqrt(gravity_ms2 * depth_m * slope)
    (low_re, low_f, low_sf), (high_re, high_f, high_sf) = _HEC15_LADDER
    size = 0.0
    for _ in range(100):
        share = min(max((shear_speed * size / viscosity_m2s - low_re) / (high_re - low_re), 0.0), 1.0)
        factor, safety = low_f + share * (high_f - low_f), low_sf + share * (high_sf - low_sf)
        found = safety * depth_m * slope / (factor * (density_ratio - 1))
        if abs(found - size) <= 1e-9 * found:
            break
        size = 0.5 * (size + found) if size else found
    return StoneSize(
        size_m=size,
        share=50,
        method="HEC-15",
        outside=notes(
            (not 0.015 <= size <= 0.55, f"stone {size * 1000:.3g} mm is outside 15 to 550 mm"),
            (slope > 0.10, f"slope {slope:.3g} is above 0.10"),
        ),
    )


def jet_speed_in_pool(speed_ms: float, sheet_m: float, pool_m: float) -> float:
    """What is left at the floor of a pool of the speed of a sheet that plunges into it [m/s].

    A flat jet keeps its speed over about five times its thickness, then u/u0 = 2.28 (b/x)^0.5.

    Parameters
    ----------
    speed_ms : float
        u0, of the sheet where it meets the water [m/s].
    sheet_m : float
        b, its thickness there: flow per width over speed [m].
    pool_m : float
        x, depth of the water there [m].

    Returns
    -------
    float
        u [m/s]. A jet in still water, without air in it; a sheet that has broken up is slower.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    albertson-1950, from memory.
    """
    refuse_unusable(positive={"sheet_m": sheet_m}, not_negative={"speed_ms": speed_ms, "pool_m": pool_m})
    return speed_ms * min(1.0, 2.28 * math.sqrt(sheet_m / pool_m)) if pool_m > 0.0 else speed_ms


def _shallow(depth_m: float, size_m: float) -> tuple[bool, str]:
    return size_m > depth_m, f"water of {depth_m * 1000:.3g} mm is shallower than its stone"


def _refuse_light(density_ratio: float) -> None:
    refuse_outside("density_ratio", density_ratio, 1.0, 10.0)
