"""Pressure where it is lowest: ahead of a pump, and at the highest point of a pipe."""

from __future__ import annotations

from itertools import pairwise

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import notes, refuse_unusable
from rillwright.hydraulics._constants import AIR_PA, GRAVITY_MS2, WATER_DENSITY_KGM3, WATER_VAPOUR_PA


class Summit(Struct, frozen=True, kw_only=True):
    """The water at the highest point of a pipe."""

    pressure_m: float  # above the air's, as a head; below nought the pipe sucks
    absolute_pa: float
    spare_m: float  # above the vapour's pressure, as a head
    outside: str


def suction_head_available(
    *,
    flooded_m: float,
    loss_m: float,
    air_pa: float = AIR_PA,
    vapour_pa: float = WATER_VAPOUR_PA,
    density_kgm3: float = WATER_DENSITY_KGM3,
    gravity_ms2: float = GRAVITY_MS2,
) -> float:
    """Net positive suction head available: (pa - pv)/(rho g) + z - hf.

    Parameters
    ----------
    flooded_m : float
        z, water above the pump [m]; below zero where the pump lifts.
    loss_m : float
        hf, lost on the way to the pump [m].
    air_pa : float
        pa [Pa].
    vapour_pa : float
        pv, of the water at its temperature [Pa].
    density_kgm3 : float
        rho [kg/m3].
    gravity_ms2 : float
        g [m/s2].

    Returns
    -------
    float
        [m].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Definition, as in ANSI/HI 9.6.1 by way of a formula page.
    """
    refuse_unusable(
        positive={"air_pa": air_pa, "density_kgm3": density_kgm3, "gravity_ms2": gravity_ms2},
        not_negative={"vapour_pa": vapour_pa},
    )
    return (air_pa - vapour_pa) / (density_kgm3 * gravity_ms2) + flooded_m - loss_m


def greatest_suction_lift(
    required_m: float,
    *,
    loss_m: float,
    margin_m: float = 0.0,
    air_pa: float = AIR_PA,
    vapour_pa: float = WATER_VAPOUR_PA,
) -> float:
    """How far above the water a pump may stand [m] that needs a net positive suction head of `required_m` [m].

    `loss_m` [m] is lost on the way, `margin_m` [m] is to spare, pressures are in [Pa]; below nought it must be flooded.
    """
    return suction_head_available(flooded_m=0.0, loss_m=loss_m, air_pa=air_pa, vapour_pa=vapour_pa) - (
        required_m + margin_m
    )


def summit(
    head_m: float,
    *,
    level_m: float,
    speed_ms: float,
    air_pa: float = AIR_PA,
    vapour_pa: float = WATER_VAPOUR_PA,
    density_kgm3: float = WATER_DENSITY_KGM3,
    gravity_ms2: float = GRAVITY_MS2,
) -> Summit:
    """Pressure at the highest point of a pipe: H - z - V^2/2g above the air's.

    Parameters
    ----------
    head_m : float
        H, total head there [m]: the outlet's with what is lost between.
    level_m : float
        z, of the pipe [m].
    speed_ms : float
        V [m/s].
    air_pa : float
        [Pa].
    vapour_pa : float
        Of the water at its temperature [Pa].
    density_kgm3 : float
        [kg/m3].
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    Summit
        Heads [m] and absolute pressure [Pa]; at or below the vapour's the water parts, and that is said.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: Bernoulli between two points of a pipe.
    """
    refuse_unusable(
        positive={"air_pa": air_pa, "density_kgm3": density_kgm3, "gravity_ms2": gravity_ms2},
        not_negative={"speed_ms": speed_ms, "vapour_pa": vapour_pa},
    )
    weight = density_kgm3 * gravity_ms2
    pressure = head_m - level_m - speed_ms**2 / (2 * gravity_ms2)
    absolute = air_pa + weight * pressure
    return Summit(
        pressure_m=pressure,
        absolute_pa=max(absolute, 0.0),
        spare_m=(absolute - vapour_pa) / weight,
        outside=notes((absolute <= vapour_pa, "the water parts at the highest point: it would have to boil there")),
    )


def needed_suction_head(points: tuple[tuple[float, float], ...], flow_m3s: float) -> float:
    """Net positive suction head [m] that a pump's sheet asks for at a flow [m3/s]: straight between its points.

    Parameters
    ----------
    points : tuple of (float, float)
        Flow and head [m3/s, m], flow rising; one point holds at every flow.
    flow_m3s : float
        [m3/s].

    Returns
    -------
    float
        [m]; beyond the last point the last segment goes on, before the first its value holds.

    Raises
    ------
    InputError
        If there is no point, or flows do not rise.

    References
    ----------
    Common practice, no source.
    """
    flows = [flow for flow, _ in points]
    if not points or any(b <= a for a, b in pairwise(flows)):
        raise InputError(Problem(message="the flow must rise from point to point", field="npsh", found=str(points)))
    if flow_m3s <= flows[0] or len(points) == 1:
        return points[0][1]
    at = next((n for n, flow in enumerate(flows) if flow_m3s <= flow), len(points) - 1)
    (qa, ha), (qb, hb) = points[at - 1], points[at]
    return ha + (hb - ha) * (flow_m3s - qa) / (qb - qa)
