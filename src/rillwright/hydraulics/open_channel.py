"""Normal depth on a slope by any law of roughness."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import notes, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._roots import rising_root
from rillwright.hydraulics.roughness import FlowLaw
from rillwright.hydraulics.sections import Section, froude_number


class NormalDepth(Struct, frozen=True, kw_only=True):
    """Uniform flow on a slope: depth [m], speed [m/s], Froude number [-], Manning's n that would give the same."""

    depth_m: float
    speed_ms: float
    area_m2: float
    froude: float
    equivalent_n: float
    method: str
    outside: str


def normal_depth(
    flow_m3s: float, section: Section, slope: float, *, law: FlowLaw, gravity_ms2: float = GRAVITY_MS2
) -> NormalDepth:
    """Depth at which the bed's slope carries the flow.

    Parameters
    ----------
    flow_m3s : float
        [m3/s].
    section : Section
        The bed.
    slope : float
        Fall over length [-].
    law : FlowLaw
        Speed over this bed: `by_ferguson`, `by_manning`, ...
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    NormalDepth
        Depth [m], speed [m/s], area [m2], Froude number [-], n [s/m^(1/3)], range note.

    Raises
    ------
    InputError
        If a number cannot be used, or the water would be shallower than the law allows.
    NoAnswer
        If no depth is found.

    References
    ----------
    Closed form: uniform flow, Q = V A.
    """
    refuse_unusable(positive={"flow_m3s": flow_m3s, "slope": slope})

    def excess(depth_m: float) -> float:
        wet = section.at(depth_m)
        return law.speed(wet, slope).speed_ms * wet.area_m2 - flow_m3s

    least_m = _least_depth(section, law)
    if law.least_radius_m and excess(least_m) > 0:
        raise InputError(
            Problem(
                message=f"{law.method}: the water would be shallower than its stones; take the Ferguson form",
                field="flow_m3s",
                found=f"{flow_m3s:g}",
                allowed=f"{excess(least_m) + flow_m3s:.3g} or more on this bed",
            )
        )
    depth_m = rising_root(excess, max(0.05, least_m), what="normal depth", least=least_m)
    wet = section.at(depth_m)
    speed = law.speed(wet, slope)
    froude = froude_number(flow_m3s, wet, gravity_ms2=gravity_ms2)
    return NormalDepth(
        depth_m=depth_m,
        speed_ms=flow_m3s / wet.area_m2,
        area_m2=wet.area_m2,
        froude=froude,
        equivalent_n=wet.hydraulic_radius_m ** (2 / 3) * math.sqrt(slope) / speed.speed_ms,
        method=law.method,
        outside=notes(
            (bool(speed.outside), speed.outside),
            (law.method == "Limerinos" and froude >= 1, "supercritical: the data are subcritical"),
        ),
    )


def _least_depth(section: Section, law: FlowLaw) -> float:
    """Depth [m] from which the law can be asked."""
    if not law.least_radius_m:
        return 1e-9

    def excess(depth_m: float) -> float:
        wet = section.at(depth_m)
        return min(wet.hydraulic_radius_m, wet.mean_depth_m) - law.least_radius_m

    return rising_root(excess, law.least_radius_m, what="depth of a hydraulic radius", least=1e-9) * (1 + 1e-12)
