"""Where a pump and its pipe meet; power."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_outside
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_DENSITY_KGM3
from rillwright.hydraulics._roots import bracketed_root
from rillwright.hydraulics.pumps import BOX_EXPONENTS, HeadCurve, box_curve
from rillwright.units import Band


class OperatingPoint(Struct, frozen=True, kw_only=True):
    """Flow [m3/s] and head [m] at which pump and system agree; no flow where the lift is above shut-off."""

    flow_m3s: float
    head_m: float
    runs: bool
    outside: str


class OperatingBand(Struct, frozen=True, kw_only=True):
    """Operating point with its band."""

    flow_m3s: Band
    head_m: Band
    runs: bool  # at the middle curve
    outside: str


def operating_point(curve: HeadCurve, static_m: float, loss: Callable[[float], float]) -> OperatingPoint:
    """Where the pump's head equals lift plus losses.

    Parameters
    ----------
    curve : HeadCurve
        Head [m] against flow [m3/s].
    static_m : float
        Lift: water at the outlet less water at the intake [m]; below zero if it runs downhill.
    loss : callable
        Flow [m3/s] -> head lost in pipe and fittings [m], rising from 0.

    Returns
    -------
    OperatingPoint
        Flow [m3/s] and head [m]. At no flow, head is the pump's shut-off head.

    Raises
    ------
    NoAnswer
        If the solver does not settle.

    References
    ----------
    Closed form: balance of heads.
    """

    def spare(flow_m3s: float) -> float:
        return curve.head(flow_m3s) - static_m - loss(flow_m3s)

    if spare(0.0) <= 0:
        return OperatingPoint(
            flow_m3s=0.0,
            head_m=curve.shut_off_m,
            runs=False,
            outside=f"the lift of {static_m:.3g} m is at or above the pump's shut-off head of {curve.shut_off_m:.3g} m",
        )
    most = curve.greatest_flow_m3s
    if spare(most) >= 0:
        return OperatingPoint(
            flow_m3s=most, head_m=0.0, runs=True, outside="beyond the end of the pump's curve: it runs at no head"
        )
    flow_m3s = bracketed_root(spare, 0.0, most, what="operating point")
    return OperatingPoint(flow_m3s=flow_m3s, head_m=curve.head(flow_m3s), runs=True, outside=curve.outside(flow_m3s))


def box_operating_band(
    shut_off_m: float,
    greatest_flow_m3s: float,
    *,
    static_m: float,
    loss: Callable[[float], float],
    exponents: Sequence[float] = BOX_EXPONENTS,
) -> OperatingBand:
    """Operating point from two numbers on a box, its band by the curve's unknown shape.

    Parameters
    ----------
    shut_off_m : float
        Greatest head [m].
    greatest_flow_m3s : float
        Greatest flow [m3/s].
    static_m : float
        Lift [m].
    loss : callable
        Flow [m3/s] -> head lost [m].
    exponents : sequence of float
        Low, middle and high exponent of the curve [-].

    Returns
    -------
    OperatingBand
        Flow [m3/s] and head [m]; a rounder curve gives more of both.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Common practice, no source.
    """
    points = [
        operating_point(box_curve(shut_off_m, greatest_flow_m3s, exponent=n), static_m, loss) for n in sorted(exponents)
    ]
    return band_of_points(points)


def band_of_points(points: Sequence[OperatingPoint]) -> OperatingBand:
    """The band that several operating points [m3/s, m] span; the value is the one in the middle of the list."""
    middle = points[len(points) // 2]
    flows, heads = [p.flow_m3s for p in points], [p.head_m for p in points]
    return OperatingBand(
        flow_m3s=Band(middle.flow_m3s, min(flows), max(flows)),
        head_m=Band(middle.head_m, min(heads), max(heads)),
        runs=middle.runs,
        outside=notes(
            (bool(middle.outside), middle.outside),
            (middle.runs and not all(p.runs for p in points), "at the low end of its band the pump lifts no water"),
        ),
    )


def water_power(
    flow_m3s: float, head_m: float, *, density_kgm3: float = WATER_DENSITY_KGM3, gravity_ms2: float = GRAVITY_MS2
) -> float:
    """Power given to the water: P = rho g Q H.

    Parameters
    ----------
    flow_m3s : float
        Q [m3/s].
    head_m : float
        H [m].
    density_kgm3 : float
        rho [kg/m3].
    gravity_ms2 : float
        g [m/s2].

    Returns
    -------
    float
        P [W].

    References
    ----------
    Closed form.
    """
    return density_kgm3 * gravity_ms2 * flow_m3s * head_m


def electrical_power(
    flow_m3s: float,
    head_m: float,
    *,
    efficiency: float,
    density_kgm3: float = WATER_DENSITY_KGM3,
    gravity_ms2: float = GRAVITY_MS2,
) -> float:
    """Power drawn from the wire: P = rho g Q H / efficiency.

    Parameters
    ----------
    flow_m3s : float
        Q [m3/s].
    head_m : float
        H [m].
    efficiency : float
        Overall, wire to water [-].
    density_kgm3 : float
        rho [kg/m3].
    gravity_ms2 : float
        g [m/s2].

    Returns
    -------
    float
        P [W].

    Raises
    ------
    InputError
        If the efficiency is not above 0 and up to 1.

    References
    ----------
    Closed form.
    """
    refuse_outside("efficiency", efficiency, 0.0, 1.0 + 1e-12)
    return water_power(flow_m3s, head_m, density_kgm3=density_kgm3, gravity_ms2=gravity_ms2) / efficiency
