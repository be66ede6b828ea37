"""A channel station by station, and what one of its sections does with a flow at a depth."""

from __future__ import annotations

import math
from itertools import pairwise

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S
from rillwright.hydraulics._roots import bracketed_root
from rillwright.hydraulics.gravel import ergun_terms
from rillwright.hydraulics.roughness import FlowLaw
from rillwright.hydraulics.sections import Section, section_critical_depth

MOST_STATIONS = 20_000
_MOST_SHARING = 60  # Newton steps for the slope that surface and gravel share
_LEAST_OF_CRITICAL = 0.05  # critical depth is sought down to so much of that of the whole flow


class GravelBed(Struct, frozen=True, kw_only=True):
    """Gravel under the bed through which a part of the flow runs: thickness and grain [m], voids over volume [-]."""

    thickness_m: float
    grain_m: float
    porosity: float

    def __post_init__(self) -> None:
        refuse_unusable(positive={"grain_m": self.grain_m}, not_negative={"thickness_m": self.thickness_m})
        refuse_outside("porosity", self.porosity, 0.0, 1.0)


class SteadyChannel(Struct, frozen=True, kw_only=True):
    """Stations along the flow [m], bed levels [m] and sections there, what holds the water back.

    `sections` is one for all stations or one for each. `law` None is a bed without friction. Where the width changes,
    `contraction_k` or `expansion_k` [-] times the change of V^2/2g is lost. `held_m` is the least level [m] of calm
    water at each station: a crest just below it, with the water on it; -inf where there is none.
    """

    stations_m: tuple[float, ...]
    beds_m: tuple[float, ...]
    sections: tuple[Section, ...]
    law: FlowLaw | None = None
    gravel: GravelBed | None = None
    contraction_k: float = 0.0
    expansion_k: float = 0.0
    held_m: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        problems = []
        count = len(self.stations_m)
        if not 2 <= count <= MOST_STATIONS:
            problems.append(_problem("stations_m", f"{count} stations", f"2 to {MOST_STATIONS}"))
        if not all(math.isfinite(x) for x in (*self.stations_m, *self.beds_m)):
            problems.append(_problem("stations_m, beds_m", "a value that is no number", "numbers"))
        elif any(b <= a for a, b in pairwise(self.stations_m)):
            where = next(b for a, b in pairwise(self.stations_m) if b <= a)
            problems.append(_problem("stations_m", f"{where:g} m after a station as far or farther", "rising stations"))
        if len(self.beds_m) != count:
            problems.append(_problem("beds_m", f"{len(self.beds_m)} levels", f"{count}, one at each station"))
        if len(self.held_m) not in (0, count) or any(not level < math.inf for level in self.held_m):
            problems.append(_problem("held_m", f"{len(self.held_m)} levels", f"none or {count}, each below inf"))
        if len(self.sections) not in (1, count):
            problems.append(_problem("sections", f"{len(self.sections)} sections", f"1 or {count}"))
        if self.gravel is not None and self.law is not None and self.law.slope_power != 0.5:
            problems.append(_problem("law", self.law.method, "with gravel a law in which V goes with the root of S"))
        if problems:
            raise InputError(problems)
        refuse_unusable(not_negative={"contraction_k": self.contraction_k, "expansion_k": self.expansion_k})

    def section(self, index: int) -> Section:
        """The section at a station by its number."""
        return self.sections[index] if len(self.sections) > 1 else self.sections[0]


class Reading(Struct, frozen=True):
    """One section at one depth: flow above the bed [m3/s], its area [m2], V^2/2g [m], energy slope [-]."""

    seen_m3s: float
    area_m2: float
    velocity_head_m: float
    slope: float

    @property
    def speed_ms(self) -> float:
        """Mean speed of the water that is seen [m/s]."""
        return self.seen_m3s / self.area_m2 if self.area_m2 > 0.0 else 0.0


class Local:
    """One section under one flow, as a sweep asks it again and again."""

    __slots__ = (
        "_critical_m",
        "bottom",
        "flow",
        "gravel",
        "gravity",
        "inertial",
        "law",
        "run",
        "section",
        "slant",
        "viscous",
        "whole_m"
    )  # fmt: skip

    def __init__(
        self, channel: SteadyChannel, index: int, flow_m3s: float, *, gravity_ms2: float = GRAVITY_MS2
    ) -> None:
        section = channel.section(index)
        self.section = section if section.dish_m > 0.0 else None
        self.bottom, self.run = section.bottom_m, section.side_run
        self.slant = math.sqrt(1 + self.run**2)
        self.flow, self.gravity, self.law = flow_m3s, gravity_ms2, channel.law
        self.gravel = self.viscous = self.inertial = 0.0
        bed = channel.gravel
        if bed is not None and bed.thickness_m > 0.0 and channel.law is not None:
            self.gravel = self.bottom * bed.thickness_m
            self.viscous, self.inertial = ergun_terms(bed.grain_m, bed.porosity, WATER_VISCOSITY_M2S, gravity_ms2)
        self.whole_m = _critical_of_all(flow_m3s, section, gravity_ms2)
        self._critical_m: float | None = None if self.gravel > 0.0 else self.whole_m

    @property
    def critical_m(self) -> float:
        """Depth [m] of least energy; never more than `whole_m`, that of all the flow above the bed.

        0 where the gravel takes so much of thin water that there is none.
        """
        if self._critical_m is None:
            self._critical_m = self._critical()
        return self._critical_m

    def at(self, depth_m: float) -> Reading:
        """What the section does at a depth [m]; surface and gravel share one energy slope."""
        if self.section is None:
            area = (self.bottom + self.run * depth_m) * depth_m
            edge, top = self.bottom + 2 * depth_m * self.slant, self.bottom + 2 * self.run * depth_m
        else:
            wet = self.section.at(max(depth_m, 0.0))
            area, edge, top = wet.area_m2, wet.perimeter_m, wet.top_m
        if area <= 0.0:
            return Reading(0.0, 0.0, 0.0, self._all_hidden())
        seen, slope = self.flow, 0.0
        if self.law is not None:
            conveyance = area * self.law.unit(area / edge, area / top)
            if self.gravel > 0.0:
                root = self._shared_root(conveyance)
                seen, slope = conveyance * root, root * root
            else:
                slope = (seen / conveyance) ** (1 / self.law.slope_power)
        return Reading(seen, area, (seen / area) ** 2 / (2 * self.gravity), slope)

    def force(self, depth_m: float) -> float:
        """Momentum and pressure over the weight of water [m3]: Q^2/(g A) + A yc."""
        read = self.at(depth_m)
        pressed = depth_m * depth_m * (0.5 * self.bottom + self.run * depth_m / 3)
        if self.section is not None:
            pressed = self.section.moment_m3(depth_m)
        return pressed + (read.seen_m3s**2 / (self.gravity * read.area_m2) if read.area_m2 > 0.0 else 0.0)

    def froude(self, depth_m: float, read: Reading) -> float:
        """Froude number [-] at a depth [m] and what was read there."""
        if read.area_m2 <= 0.0:
            return 0.0
        top = self.bottom + 2 * self.run * depth_m if self.section is None else self.section.at(depth_m).top_m
        return read.speed_ms / math.sqrt(self.gravity * read.area_m2 / top)

    def _shared_root(self, conveyance: float) -> float:
        """Root of the slope [-] at which surface and gravel together carry the flow: Newton from above, convex."""
        a, b, area, flow = self.viscous, self.inertial, self.gravel, self.flow
        root = flow / conveyance
        for _ in range(_MOST_SHARING):
            inner = math.sqrt(a * a + 4 * b * root * root)
            hidden = area * 2 * root * root / (a + inner)
            over = conveyance * root + hidden - flow
            step = over / (conveyance + area * 2 * root / inner)
            root -= step
            if step <= 1e-13 * root:
                break
        return root

    def _all_hidden(self) -> float:
        """Slope [-] at which the gravel carries the flow alone; infinite without gravel."""
        if self.gravel <= 0.0:
            return math.inf
        speed = self.flow / self.gravel
        return self.viscous * speed + self.inertial * speed**2

    def _critical(self) -> float:
        low = high = self.whole_m
        while self._energy_rate(low) >= 0.0:
            low, high = 0.8 * low, low
            if low < _LEAST_OF_CRITICAL * self.whole_m:
                return 0.0
        return bracketed_root(self._energy_rate, low, high, what="critical depth over gravel", relative=1e-9)

    def _energy_rate(self, depth_m: float) -> float:
        """dE/dy [-]: 1 - Fr^2, and what the gravel takes as the water gets thinner."""
        step = 1e-5 * depth_m
        above, below = self.at(depth_m + step), self.at(depth_m - step)
        return 1.0 + (above.velocity_head_m - below.velocity_head_m) / (2 * step)


def _critical_of_all(flow_m3s: float, section: Section, gravity_ms2: float) -> float:
    if section.side_run > 0.0 or section.dish_m > 0.0:
        return section_critical_depth(flow_m3s, section, gravity_ms2=gravity_ms2)
    return float(((flow_m3s / section.bottom_m) ** 2 / gravity_ms2) ** (1 / 3))


def _problem(field: str, found: str, allowed: str) -> Problem:
    return Problem(message="the channel cannot be used", field=field, found=found, allowed=allowed)
