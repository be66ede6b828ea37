"""Rims, banks and upturns against the highest water."""

from rillwright.containment.result import Containment, Freeboard
from rillwright.containment.whole import contain

__all__ = ["Containment", "Freeboard", "contain"]
