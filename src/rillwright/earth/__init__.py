"""Soil: dug, swollen, and where digging is not free."""

from rillwright.earth.result import Dig, Earth, FootingClearance

__all__ = ["Dig", "Earth", "FootingClearance"]
