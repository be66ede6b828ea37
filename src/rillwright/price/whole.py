"""Take-off by price book: money and hours, low to high."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import ROUND_HALF_EVEN, Decimal

from rillwright.errors import InputError, Problem
from rillwright.price.result import Price, PriceLine
from rillwright.price.running import running_costs
from rillwright.sources import SALE_UNITS, PriceBook, PriceRow, default
from rillwright.takeoff import ITEMS, Item, Line, Takeoff
from rillwright.water import PumpPoint

LABOUR = "crew_hour"  # the book's line for an hour of one person
CENT = Decimal("0.01")
_KINDS = {"m": "length", "m2": "area", "m3": "volume", "kg": "mass", "each": None}


def price_range(takeoff: Takeoff, book: PriceBook, *, crew_people: int, pumps: Sequence[PumpPoint] = ()) -> Price:
    """One line an item: least quantity at the low price to greatest quantity at the high one.

    Parameters
    ----------
    takeoff
        Quantities in SI.
    book
        Prices and hours by unit of sale.
    crew_people
        People who work at once; days are hours over theirs, up to the next half.
    pumps
        Runs at their operating points, for what they take in a year.

    Returns
    -------
    Price
        Money in exact decimals, to the cent, with the hours at the book's `crew_hour` where it has one; hours and days;
        items for which the book has no line.

    Raises
    ------
    InputError
        Where the book sells an item by another measure than it is taken off in, all such items at once.
    """
    lines: list[PriceLine] = []
    unpriced: list[str] = []
    problems: list[Problem] = []
    for item in ITEMS:
        wanted = [line for line in takeoff.lines if line.item == item.key]
        row = book.find(item.key)
        if not wanted:
            continue
        if row is None:
            unpriced.append(item.key)
        elif row.si_unit != item.unit:
            problems.append(_other_measure(item, row, book.file))
        else:
            lines.append(_priced(item, wanted, row))
    if problems:
        raise InputError(problems)
    hours = sum(line.hours_low for line in lines), sum(line.hours_high for line in lines)
    rate = book.find(LABOUR)
    if rate is not None:
        lines.append(_labour(hours, rate))
    return Price(
        currency=book.currency,
        book=book.file,
        invented=book.invented,
        lines=tuple(lines),
        low=sum((line.low for line in lines), Decimal(0)).quantize(CENT),
        high=sum((line.high for line in lines), Decimal(0)).quantize(CENT),
        hours_low=hours[0],
        hours_high=hours[1],
        days_low=crew_days(hours[0], crew_people=crew_people),
        days_high=crew_days(hours[1], crew_people=crew_people),
        crew_people=crew_people,
        unpriced=tuple(unpriced),
        running=running_costs(pumps, book),
        labour=None if rate is None else (rate.low, rate.high),
    )


def _labour(hours: tuple[float, float], rate: PriceRow) -> PriceLine:
    """All hours of the other lines at the book's rate for one person."""
    return PriceLine(
        item=LABOUR,
        text="labour",
        quantity_low=hours[0],
        quantity_high=hours[1],
        unit="hour",
        low=_money(hours[0], rate.low),
        high=_money(hours[1], rate.high),
        hours_low=0.0,
        hours_high=0.0,
        note=rate.note,
    )


def crew_days(hours_h: float, *, crew_people: int) -> float:
    """Days [d] in which a crew works so many hours [h] of one person, up to the next half.

    References
    ----------
    Common practice, no source.
    """
    halves = 2.0 * hours_h / (crew_people * default("crew.hours").number)
    return math.ceil(halves - 1e-9) / 2.0


def _text(item: Item, wanted: Iterable[Line]) -> str:
    """The item in words; of a liner what sheet it is, since a book has one price for all of them."""
    if item.key != "liner_m2":
        return item.text
    names = dict.fromkeys(line.text.rpartition(", ")[0] for line in wanted)
    return ", ".join([item.text, *(name for name in names if name)])


def _priced(item: Item, wanted: Sequence[Line], row: PriceRow) -> PriceLine:
    low = math.fsum(line.low for line in wanted) / row.si_per_unit
    high = math.fsum(line.high for line in wanted) / row.si_per_unit
    return PriceLine(
        item=item.key,
        text=_text(item, wanted),
        quantity_low=low,
        quantity_high=high,
        unit=row.unit,
        low=_money(low, row.low),
        high=_money(high, row.high),
        hours_low=low * row.hours_low,
        hours_high=high * row.hours_high,
        note=row.note,
    )


def _money(quantity: float, price: Decimal) -> Decimal:
    return (Decimal(quantity) * price).quantize(CENT, rounding=ROUND_HALF_EVEN)


def _other_measure(item: Item, row: PriceRow, file: str) -> Problem:
    allowed = ", ".join(unit for unit, kind in SALE_UNITS.items() if _KINDS[item.unit] == kind)
    return Problem(
        message=f"{item.text} cannot be priced by this unit",
        file=file,
        line=row.line,
        field=f"{item.key}.unit",
        found=row.unit,
        allowed=allowed,
    )
