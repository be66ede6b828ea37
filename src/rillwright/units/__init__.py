"""People's quantities in and out; SI inside."""

from rillwright.units.band import Band
from rillwright.units.term import Term

__all__ = ["Band", "Term"]
