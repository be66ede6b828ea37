"""Soil in the bank, loose on a truck, and placed."""

from __future__ import annotations

import math

_HAIR = 1e-9  # of a load: what a sum loses on its way through floats


def swell_of(bank_kgm3: float, loose_kgm3: float) -> float:
    """Loose over bank volume [-] of a soil by its two densities [kg/m3]. (US Army FM 5-434, soil conversion)"""
    return bank_kgm3 / loose_kgm3


def shrink_of(bank_kgm3: float, placed_kgm3: float) -> float:
    """Placed over bank volume [-] of a soil by its two densities [kg/m3]. (US Army FM 5-434, soil conversion)"""
    return bank_kgm3 / placed_kgm3


def loose_m3(bank_m3: float, swell: float) -> float:
    """Volume [m3] of dug soil, from that in the bank and its swell, loose over bank [-]."""
    return bank_m3 * swell


def bank_m3(placed_m3: float, shrink: float) -> float:
    """Volume in the bank [m3] that a fill takes, from that placed and its shrink, placed over bank [-]."""
    return placed_m3 / shrink


def truckloads(volume_m3: float, truck_m3: float) -> int:
    """Loads [count] of loose soil [m3] in trucks that hold so much [m3], the last one part full."""
    return math.ceil(volume_m3 / truck_m3 - _HAIR)
