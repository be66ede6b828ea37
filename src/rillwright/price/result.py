"""A price range from a price book."""

from __future__ import annotations

from decimal import Decimal

from msgspec import Struct

from rillwright.units import Band


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


class PipeOverYears(Struct, frozen=True, kw_only=True):
    """A listed pipe by the energy [J] that its pump takes over the years compared; no money where none is priced."""

    pipe: str
    energy_j: float
    low: Decimal | None
    high: Decimal | None


class RunningCost(Struct, frozen=True, kw_only=True):
    """What one pipe run takes in a year [J], and what that costs by the book; None where it does not price energy."""

    run: str
    hours_per_day: float
    year_j: Band
    low: Decimal | None
    high: Decimal | None
    years: int  # over which pipes are compared
    pipes: tuple[PipeOverYears, ...]


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
    running: tuple[RunningCost, ...] = ()  # in a year, no part of the sums
