"""Rims, banks and upturns against the highest water."""

from rillwright.containment.result import Containment, Freeboard

__all__ = ["Containment", "Freeboard"]
