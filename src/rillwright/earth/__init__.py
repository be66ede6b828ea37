"""Soil: dug, swollen, and where digging is not free."""

from rillwright.earth.clearance import above_line_m, place_at, root_radius_m
from rillwright.earth.result import Dig, Earth, FootingClearance, GroundGap, ServiceCrossing, TreeClearance
from rillwright.earth.section import BedFill, cut_area_m2, level_on, prismoid_m3, ridge_area_m2
from rillwright.earth.soil import bank_m3, loose_m3, shrink_of, swell_of, truckloads
from rillwright.earth.whole import dig_floor_m, move_earth

__all__ = [
    "BedFill",
    "Dig",
    "Earth",
    "FootingClearance",
    "GroundGap",
    "ServiceCrossing",
    "TreeClearance",
    "above_line_m",
    "bank_m3",
    "cut_area_m2",
    "dig_floor_m",
    "level_on",
    "loose_m3",
    "move_earth",
    "place_at",
    "prismoid_m3",
    "ridge_area_m2",
    "root_radius_m",
    "shrink_of",
    "swell_of",
    "truckloads",
]
