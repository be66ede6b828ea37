"""A change order: what changes in quantities, price range and days between two states."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from rillwright.assessment import FOR_THE_BUILDER, Assessment, Judged, NotRun, Severity, TakeoffLine
from rillwright.compare.comparing import compare
from rillwright.compare.result import Change, ChangeOrder, Direction, QuantityChange
from rillwright.compare.telling import tells

_NOUGHT = (Decimal(0), Decimal(0))
_LEFT_OUT = ("fit", "fit.ripple", "price", "price.currency", "days", "stone.mass", "soil.out", *FOR_THE_BUILDER)


def change_order(before: Judged, after: Judged, *, date: str = "", asked_by: str = "", why: str = "") -> ChangeOrder:
    """The order for going from one state to the other; date, who asked and why stand as they are given.

    It says quantities and ranges, and what must be watched; no odds.
    """
    then, now = before.assessment, after.assessment
    no_price = _no_price(then, now)
    prices = [one.price for one in (then, now) if not isinstance(one.price, NotRun)]
    was, new = (prices[0], prices[-1]) if prices and not no_price else (None, None)
    return ChangeOrder(
        date=date,
        asked_by=asked_by,
        why=why,
        revisions=(then.feature.revision, now.feature.revision),
        what=tuple(one for one in compare(before, after).sentences if _for_the_customer(one)),
        quantities=tuple(_quantities(then, now)),
        currency=new.currency if new else "",
        invented=new.invented if new else False,
        book=new.book if new else "",
        price_before=(was.low, was.high) if was else _NOUGHT,
        price_after=(new.low, new.high) if new else _NOUGHT,
        days_before=(was.days_low, was.days_high) if was else (0.0, 0.0),
        days_after=(new.days_low, new.days_high) if new else (0.0, 0.0),
        no_price=no_price,
        unpriced=new.unpriced if new else (),
        labour=new.labour if new else None,
    )


def _no_price(then: Assessment, now: Assessment) -> str:
    for one in (then, now):
        if isinstance(one.price, NotRun):
            return one.price.reason
    if not isinstance(then.price, NotRun) and not isinstance(now.price, NotRun):
        if then.price.currency != now.price.currency:
            return f"the prices are in {then.price.currency} and in {now.price.currency}"
        if then.price.book != now.price.book:
            return f"the prices come from two books, {then.price.book} and {now.price.book}"
    return ""


def _for_the_customer(change: Change) -> bool:
    """What is made differently; and what has to be watched that had not to be."""
    if change.code in _LEFT_OUT:
        return False
    return change.direction in (Direction.NEW, Direction.GONE, Direction.CHANGED) or change.severity is not Severity.OK


def _quantities(then: Assessment, now: Assessment) -> Iterator[QuantityChange]:
    """Every item of which more or less is needed, in the order of the take-off; sizes of sheets as their area."""
    had, needs = _sums(then), _sums(now)
    for item in [*needs, *(one for one in had if one not in needs)]:
        text, unit = (needs.get(item) or had[item])[:2]
        before = had[item][2] if item in had else (0.0, 0.0)
        after = needs[item][2] if item in needs else (0.0, 0.0)
        if any(tells(a, b, unit if unit != "m" else "") for a, b in zip(before, after, strict=True)):
            yield QuantityChange(item=item, text=text, before=before, after=after, unit=unit)


def _sums(state: Assessment) -> dict[str, tuple[str, str, tuple[float, float]]]:
    """Item to its text, SI unit and sums."""
    found: dict[str, tuple[str, str, tuple[float, float]]] = {}
    lines: tuple[TakeoffLine, ...] = () if isinstance(state.takeoff, NotRun) else state.takeoff.lines
    said = {} if isinstance(state.price, NotRun) else {line.item: line.text for line in state.price.lines}
    for line in lines:
        low, high = found[line.item][2] if line.item in found else (0.0, 0.0)
        text = said.get(line.item, line.text.partition(",")[0])
        found[line.item] = (text, line.unit, (low + line.low, high + line.high))
    return found
