"""Rims, banks and upturns against the highest water."""

from rillwright.containment.result import Containment, Freeboard
from rillwright.containment.rim_result import Raise, RimProfile, SparePoint, SpillPath
from rillwright.containment.whole import contain

__all__ = ["Containment", "Freeboard", "Raise", "RimProfile", "SparePoint", "SpillPath", "contain"]
