"""A price range from a price book."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    item: str
    text: str
    quantity_low: float  # in `unit`
    quantity_high: float
    unit: str
    low: Decimal
    high: Decimal
    hours_low: float
    hours_high: float
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """Range of money and of crew days. `invented` marks an example price book."""

    currency: str
    book: str
    invented: bool
    lines: tuple[PriceLine, ...]
    low: Decimal
    high: Decimal
    hours_low: float
    hours_high: float
    days_low: float
    days_high: float
    crew_people: int
    unpriced: tuple[str, ...]  # take-off items for which the book has no line
