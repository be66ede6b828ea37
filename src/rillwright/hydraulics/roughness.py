"""Speed of water over a rough bed, by author: each law says where it has left its data."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import notes, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics.sections import Wetted

FERGUSON_A1 = 6.5
FERGUSON_A2 = 2.5


class Roughness(Struct, frozen=True, kw_only=True):
    """Manning's n [s/m^(1/3)] by a method; `outside` is empty inside its range."""

    n: float
    method: str
    outside: str


class ChannelSpeed(Struct, frozen=True, kw_only=True):
    """Mean speed [m/s] by a method; `outside` is empty inside its range."""

    speed_ms: float
    method: str
    outside: str


class FlowLaw(Struct, frozen=True, kw_only=True):
    """Mean speed from what is wet and the slope [-]; not to be asked below `least_radius_m` [m].

    `unit` is the same speed [m/s] at a slope of 1, from hydraulic radius [m] and mean depth [m]; other slopes go in by
    `slope_power` [-]. It checks nothing: it is what a profile asks thousands of times. `scatter` is the factor [-] by
    which measured speeds lie off the law, inside its data.
    """

    method: str
    speed: Callable[[Wetted, float], ChannelSpeed]
    unit: Callable[[float, float], float]
    least_radius_m: float = 0.0
    slope_power: float = 0.5
    scatter: float = 1.0


def manning_speed(hydraulic_radius_m: float, slope: float, roughness_n: float) -> float:
    """Manning: V = R^(2/3) S^0.5 / n.

    Parameters
    ----------
    hydraulic_radius_m : float
        R [m].
    slope : float
        S [-].
    roughness_n : float
        n [s/m^(1/3)].

    Returns
    -------
    float
        V [m/s].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    chow-1959, from memory. For fully rough flow.
    """
    refuse_unusable(
        positive={"roughness_n": roughness_n}, not_negative={"hydraulic_radius_m": hydraulic_radius_m, "slope": slope}
    )
    return float(hydraulic_radius_m ** (2 / 3) * math.sqrt(slope) / roughness_n)


def jarrett_n(hydraulic_radius_m: float, slope: float) -> Roughness:
    """Manning's n of steep natural streams: n = 0.32 S^0.38 R^-0.16.

    Parameters
    ----------
    hydraulic_radius_m : float
        R [m].
    slope : float
        S [-].

    Returns
    -------
    Roughness
        n [s/m^(1/3)]. Range: S 0.002 to 0.04, R 0.15 to 1.68 m.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    jarrett-1984.
    """
    R, S = hydraulic_radius_m, slope
    refuse_unusable(positive={"hydraulic_radius_m": R, "slope": S})
    return Roughness(
        n=0.32 * S**0.38 * R**-0.16,
        method="Jarrett",
        outside=notes(
            (not 0.15 <= R <= 1.68, f"hydraulic radius {R:.3g} m is outside 0.15 to 1.68 m"),
            (not 0.002 <= S <= 0.04, f"slope {S:.3g} is outside 0.002 to 0.04"),
        ),
    )


def limerinos_n(hydraulic_radius_m: float, grain_d84_m: float) -> Roughness:
    """Manning's n of gravel beds: n = 0.1129 R^(1/6) / (1.16 + 2 log10(R/d84)).

    Parameters
    ----------
    hydraulic_radius_m : float
        R [m].
    grain_d84_m : float
        Size that 84 % of the bed is finer than [m].

    Returns
    -------
    Roughness
        n [s/m^(1/3)]. Range: R 0.31 to 3.32 m, d84 19 to 747 mm, subcritical.

    Raises
    ------
    InputError
        If R/d84 is below 1: the form has a pole at 0.263 and is negative below it.

    References
    ----------
    limerinos-1970.
    """
    R, d84 = hydraulic_radius_m, grain_d84_m
    refuse_unusable(positive={"hydraulic_radius_m": R, "grain_d84_m": d84})
    _refuse_shallow(R / d84, "hydraulic_radius_m / grain_d84_m")
    return Roughness(
        n=0.1129 * R ** (1 / 6) / (1.16 + 2 * math.log10(R / d84)),
        method="Limerinos",
        outside=notes(
            (not 0.31 <= R <= 3.32, f"hydraulic radius {R:.3g} m is outside 0.31 to 3.32 m"),
            (not 0.019 <= d84 <= 0.747, f"grain {d84 * 1000:.3g} mm is outside 19 to 747 mm"),
        ),
    )


def blodgett_n(mean_depth_m: float, grain_d50_m: float) -> Roughness:
    """Manning's n of a riprap lining: n = 0.319 da^(1/6) / (2.25 + 5.23 log10(da/D50)).

    Parameters
    ----------
    mean_depth_m : float
        da, area over surface width [m].
    grain_d50_m : float
        D50 [m].

    Returns
    -------
    Roughness
        n [s/m^(1/3)]. Range: da/D50 1.5 to 185.

    Raises
    ------
    InputError
        If da/D50 is below 1, where HEC-15 goes over to another form.

    References
    ----------
    hec-15, eq. 6.1; 2.25 and 5.23 from memory.
    """
    da, D50 = mean_depth_m, grain_d50_m
    refuse_unusable(positive={"mean_depth_m": da, "grain_d50_m": D50})
    _refuse_shallow(da / D50, "mean_depth_m / grain_d50_m")
    return Roughness(
        n=0.319 * da ** (1 / 6) / (2.25 + 5.23 * math.log10(da / D50)),
        method="Blodgett",
        outside=notes((not 1.5 <= da / D50 <= 185, f"depth over grain {da / D50:.3g} is outside 1.5 to 185")),
    )


def ferguson_speed(
    hydraulic_radius_m: float, slope: float, grain_d84_m: float, *, gravity_ms2: float = GRAVITY_MS2
) -> ChannelSpeed:
    """Variable power law for shallow rough streams: U/u* = a1 a2 r / sqrt(a1^2 + a2^2 r^(5/3)), r = R/D84.

    Parameters
    ----------
    hydraulic_radius_m : float
        R [m].
    slope : float
        S [-].
    grain_d84_m : float
        D84 [m].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    ChannelSpeed
        U [m/s]. Range: r 0.1 to 30; the scatter of its data is a factor of two.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    ferguson-2007; a1 = 6.5, a2 = 2.5.
    """
    R, S, d84 = hydraulic_radius_m, slope, grain_d84_m
    refuse_unusable(positive={"grain_d84_m": d84}, not_negative={"hydraulic_radius_m": R, "slope": S})
    r = R / d84
    ratio = FERGUSON_A1 * FERGUSON_A2 * r / math.sqrt(FERGUSON_A1**2 + FERGUSON_A2**2 * r ** (5 / 3))
    return ChannelSpeed(
        speed_ms=ratio * math.sqrt(gravity_ms2 * R * S),
        method="Ferguson",
        outside=notes((not 0.1 <= r <= 30, f"depth over grain {r:.3g} is outside 0.1 to 30")),
    )


def _refuse_shallow(ratio: float, name: str) -> None:
    if ratio < 1:
        message = "water shallower than its stones; take the Ferguson form"
        raise InputError(Problem(message=message, field=name, found=f"{ratio:.3g}", allowed="1 or more"))


def by_manning(roughness_n: float) -> FlowLaw:
    """The law of a fixed n [s/m^(1/3)]."""
    refuse_unusable(positive={"roughness_n": roughness_n})

    def speed(wet: Wetted, slope: float) -> ChannelSpeed:
        return ChannelSpeed(
            speed_ms=manning_speed(wet.hydraulic_radius_m, slope, roughness_n), method="Manning", outside=""
        )

    return FlowLaw(method="Manning", speed=speed, unit=lambda R, _: R ** (2 / 3) / roughness_n, scatter=1.25)


def by_ferguson(grain_d84_m: float, *, gravity_ms2: float = GRAVITY_MS2) -> FlowLaw:
    """The variable power law for D84 [m]; g [m/s2]."""
    refuse_unusable(positive={"grain_d84_m": grain_d84_m, "gravity_ms2": gravity_ms2})

    def speed(wet: Wetted, slope: float) -> ChannelSpeed:
        return ferguson_speed(wet.hydraulic_radius_m, slope, grain_d84_m, gravity_ms2=gravity_ms2)

    def unit(R: float, _: float) -> float:
        r = R / grain_d84_m
        root = math.sqrt(FERGUSON_A1**2 + FERGUSON_A2**2 * r ** (5 / 3))
        return FERGUSON_A1 * FERGUSON_A2 * r * math.sqrt(gravity_ms2 * R) / root

    return FlowLaw(method="Ferguson", speed=speed, unit=unit, scatter=2.0)


def by_jarrett() -> FlowLaw:
    """Manning with Jarrett's n: as n grows with the slope, the speed goes with S^0.12 only."""
    return FlowLaw(
        method="Jarrett",
        speed=lambda wet, slope: _with_n(jarrett_n(wet.hydraulic_radius_m, slope), wet, slope),
        unit=lambda R, _: R ** (2 / 3 + 0.16) / 0.32,
        slope_power=0.5 - 0.38,
        scatter=1.28,
    )


def by_limerinos(grain_d84_m: float) -> FlowLaw:
    """Manning with Limerinos' n for d84 [m]; needs a hydraulic radius of at least d84."""
    return FlowLaw(
        method="Limerinos",
        speed=lambda wet, slope: _with_n(limerinos_n(wet.hydraulic_radius_m, grain_d84_m), wet, slope),
        unit=lambda R, _: math.sqrt(R) * (1.16 + 2 * math.log10(R / grain_d84_m)) / 0.1129,
        least_radius_m=grain_d84_m,
        scatter=1.25,
    )


def by_blodgett(grain_d50_m: float) -> FlowLaw:
    """Manning with Blodgett's n for D50 [m]; needs a mean depth of at least D50."""
    return FlowLaw(
        method="Blodgett",
        speed=lambda wet, slope: _with_n(blodgett_n(wet.mean_depth_m, grain_d50_m), wet, slope),
        unit=lambda R, da: R ** (2 / 3) * (2.25 + 5.23 * math.log10(da / grain_d50_m)) / (0.319 * da ** (1 / 6)),
        least_radius_m=grain_d50_m,
        scatter=1.25,
    )


def scaled_law(law: FlowLaw, factor: float) -> FlowLaw:
    """The law with all its speeds times a factor [-]: the smooth or the rough end of its band."""
    refuse_unusable(positive={"factor": factor})

    def speed(wet: Wetted, slope: float) -> ChannelSpeed:
        found = law.speed(wet, slope)
        return ChannelSpeed(speed_ms=found.speed_ms * factor, method=found.method, outside=found.outside)

    return replace(law, speed=speed, unit=lambda R, da: law.unit(R, da) * factor)


def _with_n(roughness: Roughness, wet: Wetted, slope: float) -> ChannelSpeed:
    speed_ms = manning_speed(wet.hydraulic_radius_m, slope, roughness.n)
    return ChannelSpeed(speed_ms=speed_ms, method=roughness.method, outside=roughness.outside)
