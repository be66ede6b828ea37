"""Soil: dug, swollen, and where digging is not free."""

from rillwright.earth.clearance import above_line_m, place_at
from rillwright.earth.result import Dig, Earth, FootingClearance
from rillwright.earth.section import BedFill, cut_area_m2, level_on, ridge_area_m2
from rillwright.earth.whole import dig_floor_m, move_earth

__all__ = [
    "BedFill",
    "Dig",
    "Earth",
    "FootingClearance",
    "above_line_m",
    "cut_area_m2",
    "dig_floor_m",
    "level_on",
    "move_earth",
    "place_at",
    "ridge_area_m2",
]
