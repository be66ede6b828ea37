"""The links of a pipe network: what each loses or gives at a flow, and how steeply that rises."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S
from rillwright.hydraulics.friction import (
    LAMINAR_END,
    TURBULENT_METHODS,
    TURBULENT_START,
    colebrook,
    dunlop_cubic,
    swamee_jain,
)
from rillwright.hydraulics.pumps import HeadCurve

SHUT = 1e9  # [m per m3/s] what a closed one-way link resists: 10 m press a hundredth of a millilitre a second through
LEAST_SLOPE = 1e-2  # [m per m3/s] of a link without resistance: 0.1 mm at 10 L/s; it only chooses a step


class PipeLink(Struct, frozen=True, kw_only=True):
    """A pipe from `start` to `end`; of no length it is a valve. One-way: it has a check valve, or ends in air."""

    id: str
    start: str
    end: str
    inside_m: float
    length_m: float = 0.0
    roughness_m: float = 0.0
    loss_k: float = 0.0  # sum of the fittings' K on the speed in the pipe [-]
    one_way: bool = False
    viscosity_m2s: float = WATER_VISCOSITY_M2S
    gravity_ms2: float = GRAVITY_MS2
    method: str = "Colebrook"

    def __post_init__(self) -> None:
        if self.method not in TURBULENT_METHODS:
            allowed = " or ".join(TURBULENT_METHODS)
            raise InputError(Problem(message="unknown", field="method", found=self.method, allowed=allowed))
        refuse_unusable(
            positive={
                "inside_m": self.inside_m,
                "viscosity_m2s": self.viscosity_m2s,
                "gravity_ms2": self.gravity_ms2,
            },
            not_negative={"length_m": self.length_m, "roughness_m": self.roughness_m, "loss_k": self.loss_k},
        )
        if self.length_m == 0.0 == self.loss_k:
            raise InputError(Problem(message="has no resistance", field=f"links[{self.id}]", allowed="a length or a K"))

    @property
    def usual_m3s(self) -> float:
        """A flow [m3/s] to begin with: half a metre a second."""
        return 0.125 * math.pi * self.inside_m**2

    def drop(self, flow_m3s: float) -> tuple[float, float]:
        """Head lost from start to end [m] at a flow [m3/s], and its rise with the flow [m per m3/s]."""
        if flow_m3s < 0.0 and self.one_way:
            return SHUT * flow_m3s, SHUT
        area = 0.25 * math.pi * self.inside_m**2
        speed = abs(flow_m3s) / area
        reynolds = speed * self.inside_m / self.viscosity_m2s
        unit = 1.0 / (2.0 * self.gravity_ms2 * area * area)  # [s2/m5]: K times this times Q^2 is a head
        minor = self.loss_k * unit * abs(flow_m3s)
        if self.length_m <= 0.0 or reynolds <= LAMINAR_END:
            linear = 32.0 * self.viscosity_m2s * self.length_m / (self.gravity_ms2 * area * self.inside_m**2)
            return (linear + minor) * flow_m3s, max(linear + 2.0 * minor, LEAST_SLOPE)
        factor, bend = self._friction(reynolds)
        along = factor * self.length_m / self.inside_m * unit * abs(flow_m3s)
        return (along + minor) * flow_m3s, max((2.0 + bend) * along + 2.0 * minor, LEAST_SLOPE)

    def _friction(self, reynolds: float) -> tuple[float, float]:
        """Friction factor [-] above laminar flow, and the power of the Reynolds number with which it goes there."""
        share = self.roughness_m / self.inside_m
        if reynolds < TURBULENT_START:
            if self.method == "Swamee-Jain":
                near = reynolds * (1.0 + 1e-6)
                factor = dunlop_cubic(reynolds, share)
                return factor, (dunlop_cubic(near, share) / factor - 1.0) * 1e6
            start = 64.0 / LAMINAR_END
            steep = (colebrook(TURBULENT_START, share) - start) / (TURBULENT_START - LAMINAR_END)
            factor = start + steep * (reynolds - LAMINAR_END)
            return factor, steep * reynolds / factor
        if self.method == "Swamee-Jain":
            smooth = 5.74 / reynolds**0.9
            inside = share / 3.7 + smooth
            return swamee_jain(reynolds, share), 1.8 * smooth / (inside * math.log(inside))
        factor = colebrook(reynolds, share)
        smooth = 2.51 / (reynolds * math.sqrt(factor))
        part = 2.0 / math.log(10.0) * smooth * math.sqrt(factor) / (share / 3.7 + smooth)
        return factor, -2.0 * part / (1.0 + part)


class PumpLink(Struct, frozen=True, kw_only=True):
    """A pump from `start` to `end`, with a check valve: water never runs back through it."""

    id: str
    start: str
    end: str
    curve: HeadCurve

    @property
    def usual_m3s(self) -> float:
        """A flow [m3/s] to begin with: half of its greatest."""
        return 0.5 * self.curve.greatest_flow_m3s

    def drop(self, flow_m3s: float) -> tuple[float, float]:
        """Head lost from start to end [m], which is below nought where it pumps, and its rise [m per m3/s]."""
        if flow_m3s < 0.0:
            return SHUT * flow_m3s - self.curve.shut_off_m, SHUT
        return -self.curve.head(flow_m3s), min(max(self.curve.steepness(flow_m3s), LEAST_SLOPE), SHUT)


Link = PipeLink | PumpLink


def is_one_way(link: Link) -> bool:
    """Whether water can run from start to end alone."""
    return isinstance(link, PumpLink) or link.one_way
