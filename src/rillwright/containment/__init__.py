"""Rims, banks and upturns against the highest water."""

from rillwright.containment.result import Containment, Freeboard
from rillwright.containment.rim_result import (
    LowPlace,
    Raise,
    RimProfile,
    Settles,
    SparePoint,
    SpillPath,
    Through,
    Uphill,
    Wick,
)
from rillwright.containment.whole import contain

__all__ = [
    "Containment",
    "Freeboard",
    "LowPlace",
    "Raise",
    "RimProfile",
    "Settles",
    "SparePoint",
    "SpillPath",
    "Through",
    "Uphill",
    "Wick",
    "contain",
]
