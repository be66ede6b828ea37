"""Every quantity with the numbers it came from."""

from rillwright.takeoff.items import ITEMS, Item, unit_of
from rillwright.takeoff.result import Line, Takeoff
from rillwright.takeoff.whole import take_off

__all__ = ["ITEMS", "Item", "Line", "Takeoff", "take_off", "unit_of"]
