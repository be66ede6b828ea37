"""Spill stones one by one, the rest by mass."""

from rillwright.stone.result import SpillStone, Stone, StoneLot

__all__ = ["SpillStone", "Stone", "StoneLot"]
