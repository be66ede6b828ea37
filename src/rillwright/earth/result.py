"""Soil: what is dug, what it becomes, and where digging is not free."""

from __future__ import annotations

from msgspec import Struct

from rillwright.earth.section import BedFill
from rillwright.feature import XY
from rillwright.shape import LongSection
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
    """How far [m] the dig stays above the 1:1 line from what bears beside it; negative: it crosses.

    Where nobody said how deep a building's footings go, the line begins at the ground; `at_best_m` [m] has it begin at
    the shallowest depth that codes allow.
    """

    footing: str
    path: str
    clearance_m: float
    kind: str = "footings"  # footings | paving | buildings, as in their paths
    at_best_m: float | None = None


class TreeClearance(Struct, frozen=True, kw_only=True):
    """How far [m] the edge of a dig stays from a tree, whose trunk is so wide [m]."""

    tree: str
    path: str
    distance_m: float
    trunk_m: float
    root_m: float  # radius of the ground that its roots need


class ServiceCrossing(Struct, frozen=True, kw_only=True):
    """How far [m] the edge of a dig stays from a buried service; nought where it crosses it.

    Where it crosses: the place at which the dig comes nearest to the service's top or below it, its station [m] where
    it is a stream's, the level [m] of the dig there, and how far [m] above the service's top that lies (negative: under
    it; None: nobody knows how deep the service lies).
    """

    service: str
    kind: str
    path: str
    distance_m: float
    at: XY | None = None
    station_m: float | None = None
    dig_m: float | None = None
    over_m: float | None = None

    @property
    def crosses(self) -> bool:
        """Whether the dig lies over or under the service."""
        return self.at is not None


class GroundGap(Struct, frozen=True, kw_only=True):
    """A length of a stream, from station to station [m], under which nobody has read the ground."""

    stream: str
    from_m: float
    to_m: float
    head_known: bool  # the ground at the stream's head is


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
    trees: tuple[TreeClearance, ...] = ()
    services: tuple[ServiceCrossing, ...] = ()
    gaps: tuple[GroundGap, ...] = ()
    sections: tuple[LongSection, ...] = ()  # of the streams on the ground as it was surveyed; none where nobody did
    truckloads: int = 0  # of soil out
