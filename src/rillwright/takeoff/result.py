"""Every quantity with the numbers that it came from."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Term


class Line(Struct, frozen=True, kw_only=True):
    """One thing to order or to do. Quantity in SI `unit`: m, m2, m3, kg, each."""

    id: str
    item: str  # key of the price book
    text: str
    path: str
    low: float
    high: float
    unit: str
    size_m: tuple[float, float] | None  # length and width of a sheet
    because: tuple[Term, ...]


class Takeoff(Struct, frozen=True, kw_only=True):
    lines: tuple[Line, ...]
