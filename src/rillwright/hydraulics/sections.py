"""Cross sections of a bed, what is wet of them, critical depth in them."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._roots import rising_root


class Wetted(Struct, frozen=True, kw_only=True):
    """Flowing area [m2], wetted edge [m], width of the surface [m]."""

    area_m2: float
    perimeter_m: float
    top_m: float

    @property
    def hydraulic_radius_m(self) -> float:
        """Area over wetted edge [m]."""
        return self.area_m2 / self.perimeter_m

    @property
    def mean_depth_m(self) -> float:
        """Area over surface width [m]."""
        return self.area_m2 / self.top_m


class Section(Struct, frozen=True, kw_only=True):
    """A trapezoid: width at the bottom [m] and sides `side_run` across to 1 up [-]; 0 is a rectangle.

    The middle of the bottom may lie `dish_m` [m] below its edges, straight from both; depths are of the middle.
    """

    bottom_m: float
    side_run: float = 0.0
    dish_m: float = 0.0

    def __post_init__(self) -> None:
        refuse_unusable(
            positive={"width": self.bottom_m + self.side_run},
            not_negative={"bottom_m": self.bottom_m, "side_run": self.side_run, "dish_m": self.dish_m},
        )

    def at(self, depth_m: float) -> Wetted:
        """What is wet at a depth [m]."""
        y, b, m = depth_m, self.bottom_m, self.side_run
        if self.dish_m > 0.0:
            return self._dished(y)
        return Wetted(area_m2=(b + m * y) * y, perimeter_m=b + 2 * y * math.sqrt(1 + m * m), top_m=b + 2 * m * y)

    def _dished(self, depth_m: float) -> Wetted:
        """A triangle up to the edges of the bottom, a trapezoid on it above them."""
        b, m, deep = self.bottom_m, self.side_run, self.dish_m
        low, y = min(depth_m, deep), max(depth_m - deep, 0.0)
        share = low / deep
        return Wetted(
            area_m2=0.5 * b * share * low + (b + m * y) * y,
            perimeter_m=2 * share * math.hypot(0.5 * b, deep) + 2 * y * math.sqrt(1 + m * m),
            top_m=b * share + 2 * m * y,
        )

    def moment_m3(self, depth_m: float) -> float:
        """Area times the depth of its middle below the surface [m3] at a depth [m]."""
        b, m, deep = self.bottom_m, self.side_run, self.dish_m
        low, y = min(depth_m, deep), max(depth_m - deep, 0.0)
        dished = b * low * low / deep * (0.5 * depth_m - low / 3) if deep > 0.0 else 0.0
        return dished + y * y * (0.5 * b + m * y / 3)


def froude_number(flow_m3s: float, wetted: Wetted, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """Speed over that of a small wave [-], from flow [m3/s], wetted section, g [m/s2]."""
    return flow_m3s / wetted.area_m2 / math.sqrt(gravity_ms2 * wetted.mean_depth_m)


def specific_energy(depth_m: float, flow_m3s: float, section: Section, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """Energy above the bed [m] at a depth [m] under a flow [m3/s]: y + V^2/2g."""
    return depth_m + (flow_m3s / section.at(depth_m).area_m2) ** 2 / (2 * gravity_ms2)


def section_critical_depth(flow_m3s: float, section: Section, *, gravity_ms2: float = GRAVITY_MS2) -> float:
    """Critical depth [m] in a section: Q^2 T = g A^3.

    Parameters
    ----------
    flow_m3s : float
        [m3/s].
    section : Section
        The bed.
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    float
        [m].

    Raises
    ------
    InputError, NoAnswer
        If the flow cannot be used; if no depth is found.

    References
    ----------
    Closed form: least specific energy.
    """
    refuse_unusable(positive={"flow_m3s": flow_m3s})

    def excess(y: float) -> float:
        wet = section.at(y)
        return gravity_ms2 * wet.area_m2**3 - flow_m3s**2 * wet.top_m

    return rising_root(excess, 0.1, what="critical depth")
