"""Water on the face of a fall: whether it clings to a stack of stone, how fast it comes down a slide."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from rillwright.hydraulics._checks import notes, refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import (
    GRAVITY_MS2,
    SURFACE_TENSION_NM,
    WATER_DENSITY_KGM3,
    WATER_VISCOSITY_M2S,
)
from rillwright.hydraulics._roots import bracketed_root
from rillwright.hydraulics.drops import critical_depth, free_fall

_STATIONS = 400  # of a slide's surface curve
_NUMBERS = np.arange(_STATIONS + 1)
_SIMPSON = np.where(_NUMBERS % 2 == 1, 4.0, 2.0) - np.isin(_NUMBERS, (0, _STATIONS))  # 1, 4, 2, 4, ... 4, 1


class Cling(Struct, frozen=True, kw_only=True):
    """What keeps water on a stacked face: lips rounded so far, or treads so wide [m] that they catch the sheet."""

    lip_radius_m: float  # least radius of the lip round which the sheet still follows the stone; 0: any lip does
    tread_m: float  # by which the next course must stand out to catch a sheet that springs off a sharp lip


class SlideFoot(Struct, frozen=True, kw_only=True):
    """Water at the foot of a slide: depth across the flow [m], speed [m/s], and the depth it would end up with [m]."""

    depth_m: float
    speed_ms: float
    normal_depth_m: float
    lost: float  # share of the head over the foot that is lost on the way [-]
    outside: str


def cling(
    unit_flow_m2s: float,
    course_m: float,
    *,
    gravity_ms2: float = GRAVITY_MS2,
    density_kgm3: float = WATER_DENSITY_KGM3,
    surface_tension_nm: float = SURFACE_TENSION_NM,
) -> Cling:
    """When a sheet clings to stacked stone.

    Round a curved lip the sheet follows the stone while its weight and surface tension can bend it:
    V^2 / r <= g + sigma / (rho h r), V and h those at the brink. Over a sharp lip it springs off, and the course below
    catches it only where it stands out by the throw of the sheet's upper side.

    Parameters
    ----------
    unit_flow_m2s : float
        q, flow per width [m2/s].
    course_m : float
        Height of one course of the stack [m].
    gravity_ms2, density_kgm3, surface_tension_nm : float
        [m/s2], [kg/m3], [N/m].

    Returns
    -------
    Cling
        Radius and tread [m].

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Closed form: balance across a thin curved sheet. Brink depth: rouse-1936, from memory.
    """
    fall = free_fall(unit_flow_m2s, course_m, gravity_ms2=gravity_ms2)
    held_by_tension = surface_tension_nm / (density_kgm3 * fall.brink_depth_m)
    radius = (fall.brink_speed_ms**2 - held_by_tension) / gravity_ms2
    return Cling(lip_radius_m=max(radius, 0.0), tread_m=fall.upper_m)


def slide_foot(
    unit_flow_m2s: float,
    length_m: float,
    drop_m: float,
    *,
    n: float,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
) -> SlideFoot:
    """A sheet that runs down a steep slab: from critical depth at its top, faster and thinner, towards normal depth.

    dh/ds = (sin a - Sf) / (cos a - q^2 / (g h^3)), Sf after Manning for a wide sheet, summed over the depth, which is
    exact where the depth is.

    Parameters
    ----------
    unit_flow_m2s : float
        q, flow per width [m2/s].
    length_m : float
        Along the slab [m].
    drop_m : float
        Its top less its foot [m], less than its length.
    n : float
        Manning [s/m^(1/3)].
    viscosity_m2s, gravity_ms2 : float
        [m2/s], [m/s2].

    Returns
    -------
    SlideFoot
        Depth [m] and speed [m/s] at the foot, normal depth [m], share of the head lost [-]. Flagged where the sheet is
        laminar, where the slab is too flat to speed it up, and at the depths of a few mm that are usual, for which no
        n was ever measured.

    Raises
    ------
    InputError
        If a number cannot be used, or the slab is as long as it is high.

    References
    ----------
    chow-1959, from memory: gradually varied flow; Manning.
    """
    refuse_unusable(positive={"unit_flow_m2s": unit_flow_m2s, "length_m": length_m, "drop_m": drop_m, "n": n})
    refuse_outside("drop_m", drop_m, 0.0, length_m)
    q, g, sine = unit_flow_m2s, gravity_ms2, drop_m / length_m
    cosine = math.sqrt(1.0 - sine**2)
    normal = (n * q / math.sqrt(sine)) ** 0.6
    critical = critical_depth(q, gravity_ms2=g) / cosine ** (1.0 / 3.0)

    def way(depth: float) -> float:
        """Along the slab [m] from critical depth down to `depth`, by Simpson's rule in equal ratios of depth."""
        ratio = (depth / critical) ** (1.0 / _STATIONS)
        h = critical * ratio**_NUMBERS
        rates = h * (cosine - q**2 / (g * h**3)) / (sine - (n * q) ** 2 / h ** (10.0 / 3.0))
        return float(_SIMPSON @ rates) * math.log(ratio) / 3.0

    flat = normal >= critical
    if flat:
        depth = normal
    else:
        least = normal * (1.0 + 1e-6)
        reaches = way(least) <= length_m
        depth = (
            least
            if reaches
            else bracketed_root(lambda h: way(h) - length_m, least, critical * (1.0 - 1e-12), what="foot of a slide")
        )
    speed = q / depth
    head = drop_m + 1.5 * critical * cosine
    reynolds = q / viscosity_m2s
    return SlideFoot(
        depth_m=depth,
        speed_ms=speed,
        normal_depth_m=normal,
        lost=1.0 - min((depth * cosine + speed**2 / (2.0 * g)) / head, 1.0),
        outside=notes(
            (flat, "the slab is too flat and rough to speed the water up: it runs at normal depth"),
            (reynolds < 500, "the Reynolds number of the sheet is below 500: it may be laminar"),
            (depth < 0.015, "no roughness was measured for a sheet so thin"),
        ),
    )
