"""Pieces of liner and underlay."""

from rillwright.liner.result import Liner, Sheet

__all__ = ["Liner", "Sheet"]
