"""Every quantity with the numbers that it came from."""

from __future__ import annotations

from dataclasses import dataclass

from rillwright.units import Term


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Takeoff:
    lines: tuple[Line, ...]
