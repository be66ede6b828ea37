"""People's quantities in and out; SI inside."""

from rillwright.units.band import Band
from rillwright.units.feet_inches import feet_inches, inches_only
from rillwright.units.parse import parse
from rillwright.units.quantity import Quantity
from rillwright.units.rods import RODS, rod_reading, show_rod
from rillwright.units.show import (
    METRIC,
    US,
    Style,
    grouped,
    show,
    show_money,
    show_money_range,
    show_range,
    significant,
    style_for,
)
from rillwright.units.table import KIND_OF_SI_UNIT, KINDS, unit_names
from rillwright.units.term import Term

__all__ = [
    "KINDS",
    "KIND_OF_SI_UNIT",
    "METRIC",
    "RODS",
    "US",
    "Band",
    "Quantity",
    "Style",
    "Term",
    "feet_inches",
    "grouped",
    "inches_only",
    "parse",
    "rod_reading",
    "show",
    "show_money",
    "show_money_range",
    "show_range",
    "show_rod",
    "significant",
    "style_for",
    "unit_names",
]
