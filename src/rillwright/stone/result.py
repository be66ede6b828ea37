"""Stone: spill stones one by one, the rest by mass."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Term


class SpillStone(Struct, frozen=True, kw_only=True):
    """One stone that makes a crest: across the flow, along it, thickness [m], and mass [kg] low to high by shape.

    `heaviest_kg` [kg] is that of a flat slab which fills its box: what a lift is judged by.
    """

    id: str
    fall: str
    across_m: float
    along_m: float
    thick_low_m: float
    thick_high_m: float
    mass_low_kg: float
    mass_high_kg: float
    heaviest_kg: float = 0.0
    above_m: float = 0.0  # its top above the crest, which is the lowest of several side by side
    because: tuple[Term, ...] = ()


class StoneLot(Struct, frozen=True, kw_only=True):
    """Stone by mass [kg]: edge, fall faces, gravel, blocks."""

    id: str
    kind: str
    path: str
    mass_low_kg: float
    mass_high_kg: float
    volume_m3: float  # placed
    because: tuple[Term, ...]


class Stone(Struct, frozen=True, kw_only=True):
    spill_stones: tuple[SpillStone, ...]
    lots: tuple[StoneLot, ...]
