"""Soil: what is dug, what it becomes, and where digging is not free."""

from __future__ import annotations

from dataclasses import dataclass

from rillwright.units import Term


@dataclass(frozen=True, slots=True, kw_only=True)
class Dig:
    """One hole: volume in the bank [m3], deepest cut [m], side as dug and as the soil stands."""

    path: str
    bank_m3: float
    deepest_m: float
    side_up_per_across: float
    soil_up_per_across: float | None  # steepest that the soil's class allows; None: soil not known
    because: tuple[Term, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FootingClearance:
    """How far [m] the dig stays above the 1:1 line from a footing's base; negative: it crosses."""

    footing: str
    path: str
    clearance_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Earth:
    digs: tuple[Dig, ...]
    soil_out_m3: float  # loose
    berm_fill_m3: float  # placed, before settling
    swell: float
    clearances: tuple[FootingClearance, ...]
    groundwater_above_floor_m: float | None  # positive: it stands under the liner
