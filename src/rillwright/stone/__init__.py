"""Spill stones one by one, the rest by mass."""

from rillwright.stone.mass import ELLIPSOID, block_mass_kg, heap_mass_kg
from rillwright.stone.result import SpillStone, Stone, StoneLot
from rillwright.stone.whole import place_stone

__all__ = ["ELLIPSOID", "SpillStone", "Stone", "StoneLot", "block_mass_kg", "heap_mass_kg", "place_stone"]
