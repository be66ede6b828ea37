"""Pieces of liner and underlay."""

from rillwright.liner.bodies import developed_m
from rillwright.liner.result import Liner, Sheet
from rillwright.liner.whole import size_liner

__all__ = ["Liner", "Sheet", "developed_m", "size_liner"]
