"""Head lost in a full pipe and its fittings."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S
from rillwright.hydraulics.friction import LAMINAR_END, TURBULENT_START, friction_factor

HAZEN_WILLIAMS_SI = 4.727 * 0.3048 ** (4.871 - 3 * 1.852)  # 10.667; EPANET's 4.727 in ft and cfs


class PipeLoss(Struct, frozen=True, kw_only=True):
    """What one pipe run loses at a flow [m]."""

    speed_ms: float
    reynolds: float
    friction_factor: float
    friction_m: float  # along the pipe
    minor_m: float  # at fittings
    loss_m: float  # both
    outside: str


def pipe_speed(flow_m3s: float, inside_m: float) -> float:
    """Mean speed [m/s] of a flow [m3/s] in a full pipe of inside diameter [m]."""
    refuse_unusable(positive={"inside_m": inside_m}, not_negative={"flow_m3s": flow_m3s})
    return flow_m3s / (math.pi * inside_m**2 / 4)


def reynolds_number(speed_ms: float, inside_m: float, *, viscosity_m2s: float = WATER_VISCOSITY_M2S) -> float:
    """Reynolds number [-] from speed [m/s], inside diameter [m], kinematic viscosity [m2/s]."""
    refuse_unusable(positive={"viscosity_m2s": viscosity_m2s})
    return speed_ms * inside_m / viscosity_m2s


def minor_loss(speed_ms: float, loss_k: float, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """Head lost at fittings [m]: K V^2/2g, from V [m/s], the sum of K [-], g [m/s2]."""
    return loss_k * speed_ms**2 / (2 * gravity_ms2)


def darcy_weisbach(
    flow_m3s: float,
    *,
    inside_m: float,
    length_m: float,
    roughness_m: float,
    loss_k: float = 0.0,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
    method: str = "Colebrook",
) -> PipeLoss:
    """Head lost by Darcy-Weisbach with fittings: (f L/D + K) V^2/2g.

    Parameters
    ----------
    flow_m3s : float
        [m3/s].
    inside_m : float
        Inside diameter [m].
    length_m : float
        [m].
    roughness_m : float
        [m].
    loss_k : float
        Sum of the fittings' K [-].
    viscosity_m2s : float
        Kinematic [m2/s].
    gravity_ms2 : float
        [m/s2].
    method : str
        'Colebrook' or 'Swamee-Jain'.

    Returns
    -------
    PipeLoss
        Losses [m], speed [m/s], Reynolds number and friction factor [-]; between Re 2000 and 4000 flagged.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    epanet-2.2, ch. 12; colebrook-1939.
    """
    refuse_unusable(
        not_negative={"flow_m3s": flow_m3s, "roughness_m": roughness_m, "loss_k": loss_k},
        positive={
            "inside_m": inside_m,
            "length_m": length_m,
            "viscosity_m2s": viscosity_m2s,
            "gravity_ms2": gravity_ms2,
        },
    )
    speed_ms = pipe_speed(flow_m3s, inside_m)
    reynolds = reynolds_number(speed_ms, inside_m, viscosity_m2s=viscosity_m2s)
    factor = friction_factor(reynolds, roughness_m / inside_m, method=method) if reynolds > 0 else 0.0
    friction_m = factor * length_m / inside_m * speed_ms**2 / (2 * gravity_ms2)
    minor_m = minor_loss(speed_ms, loss_k, gravity_ms2=gravity_ms2)
    return PipeLoss(
        speed_ms=speed_ms,
        reynolds=reynolds,
        friction_factor=factor,
        friction_m=friction_m,
        minor_m=minor_m,
        loss_m=friction_m + minor_m,
        outside=notes(
            (
                LAMINAR_END < reynolds < TURBULENT_START,
                f"Reynolds number {reynolds:.0f} is between laminar and turbulent",
            ),
        ),
    )


def hazen_williams(flow_m3s: float, *, inside_m: float, length_m: float, coefficient: float) -> float:
    """Head lost along a pipe [m] by Hazen-Williams with EPANET's constant: 10.667 C^-1.852 D^-4.871 L Q^1.852.

    Parameters
    ----------
    flow_m3s : float
        Q [m3/s].
    inside_m : float
        D [m].
    length_m : float
        L [m].
    coefficient : float
        C, 140 to 150 for plastic [-].

    Returns
    -------
    float
        [m]. For water near 15 C in turbulent flow.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    epanet-2.2, ch. 12: 4.727 C^-1.852 d^-4.871 L q^1.852 in ft and cfs.
    """
    refuse_unusable(
        not_negative={"flow_m3s": flow_m3s},
        positive={"inside_m": inside_m, "length_m": length_m, "coefficient": coefficient},
    )
    return float(HAZEN_WILLIAMS_SI * coefficient**-1.852 * inside_m**-4.871 * length_m * flow_m3s**1.852)
