"""Soil: what is dug, what it becomes, and where digging is not free."""

from __future__ import annotations

from msgspec import Struct

from rillwright.earth.section import BedFill
from rillwright.units import Term


class Dig(Struct, frozen=True, kw_only=True):
    """One hole: volume in the bank [m3], deepest cut [m], side as dug and as the soil stands."""

    path: str
    bank_m3: float
    deepest_m: float
    side_up_per_across: float
    soil_up_per_across: float | None  # steepest that the soil's class allows; None: soil not known
    because: tuple[Term, ...]


class FootingClearance(Struct, frozen=True, kw_only=True):
    """How far [m] the dig stays above the 1:1 line from a footing's base; negative: it crosses."""

    footing: str
    path: str
    clearance_m: float


class Earth(Struct, frozen=True, kw_only=True):
    digs: tuple[Dig, ...]
    soil_out_m3: float  # loose: what leaves the site, less what berms and banks take
    berm_fill_m3: float  # placed, before settling
    swell: float
    clearances: tuple[FootingClearance, ...]
    groundwater_above_floor_m: float | None  # positive: it stands under the liner
    berm_bank_m3: float = 0.0  # what berms and banks take of the dig, in the bank
    brought_in_m3: float = 0.0  # what they take beyond all that is dug, in the bank
    fills: tuple[BedFill, ...] = ()  # beds that lie over the ground
