"""A price range from a price book."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct


class PriceLine(Struct, frozen=True, kw_only=True):
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


class Price(Struct, frozen=True, kw_only=True):
    """Range of money, with hours where the book has a rate for them, and of days. `invented` marks an example book."""

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
    labour: tuple[Decimal, Decimal] | None = None  # an hour of one person, in the range; None: hours are not priced
