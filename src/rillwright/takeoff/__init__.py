"""Every quantity with the numbers it came from."""

from rillwright.takeoff.result import Line, Takeoff

__all__ = ["Line", "Takeoff"]
