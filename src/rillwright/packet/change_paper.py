"""What changes, and what it takes: a change order on paper, for the customer too, so without odds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from rillwright.assessment import Judged, Severity
from rillwright.compare import Change, ChangeOrder, QuantityChange
from rillwright.judge import render
from rillwright.packet.blocks import Words, blanks, column, facts, heading, marked, run, table, title, whole, words
from rillwright.packet.front import INVENTED
from rillwright.packet.key_numbers import labour_words
from rillwright.packet.orders import quantity
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.pdf import print_sheets
from rillwright.packet.say import Say, breakable
from rillwright.packet.strip import strip
from rillwright.units import style_for

QUESTION = "What changes, and what it takes"


def change_order_paper(order: ChangeOrder, after: Judged, *, readings: Sequence[str] = ()) -> bytes:
    """A change order as the bytes of one PDF; the same values give the same bytes.

    Parameters
    ----------
    order
        What changes.
    after
        The state to which it leads, for the name, the levels and the units.
    readings
        What that state was checked against, as people say it.
    """
    feature = after.assessment.feature
    say = Say(feature.system)
    blocks: list[Block] = [title(QUESTION)]
    if feature.scenario:
        blocks.append(marked(run(INVENTED, weight="semibold")))
    blocks.append(facts(_said(order)))
    blocks += _what(order.what, say)
    blocks += _quantities(order.quantities, say)
    blocks += _price(order, say)
    blocks.append(whole([blanks(("agreed: name", "signature", "date"))], above=12.0))
    sheet = Sheet(question=QUESTION, paper=READING[say.system], blocks=tuple(blocks))
    return print_sheets([sheet], title=feature.name, strip=strip(after.assessment, readings, order.date))


def _said(order: ChangeOrder) -> list[tuple[str, str, str]]:
    """Who asked for what, and when, as given; lines that nobody filled in are left out."""
    first, last = order.revisions
    rows = [
        ("date", order.date),
        ("asked for by", order.asked_by),
        ("why", order.why),
        ("revision", first if first == last else f"{first} to {last}"),
    ]
    return [(label, breakable(value), "") for label, value in rows if value]


def _what(changes: Sequence[Change], say: Say) -> Iterator[Block]:
    yield heading("What changes")
    if not changes:
        yield words("Nothing that is told here.")
    for one in changes:
        grade = "" if one.severity is Severity.OK else f"{one.severity.value}: "
        runs: list[object] = [
            run(grade + breakable(told(one.text, one, say)), weight="semibold" if grade else "regular")
        ]
        remedy = told(one.remedy, one, say) if grade else ""
        if remedy:
            runs.append(run(breakable(remedy), colour="quiet"))
        yield words(runs, above=2.0, below=2.0)


def told(template: str, change: Change, say: Say) -> str:
    """A change's template in words, its numbers set as everywhere on paper."""
    known = {name: (value, unit) for name, value, unit in change.parameters}
    said: list[tuple[str, float | str, str]] = []
    for name, (value, unit) in known.items():
        said.append((name, value if isinstance(value, str) else _one(value, unit, say), ""))
        other = known.get(name.removesuffix("low") + "high")
        if name.endswith("low") and other is not None and not isinstance(value, str) and not isinstance(other[0], str):
            kind = "share" if unit == "-" else None
            said.append((name.removesuffix("low") + "span", say.span(value, other[0], unit, kind=kind), ""))
    return render(template.replace("range}", "span}"), said, style_for(say.system))


def _one(value: float, unit: str, say: Say) -> str:
    return say.soil(value) if unit == "soil" else say.one(value, unit, kind="share" if unit == "-" else None)


def _quantities(rows: Sequence[QuantityChange], say: Say) -> Iterator[Block]:
    yield heading("More or less of what")
    rows = [row for row in rows if _printed(row, row.before, say) != _printed(row, row.after, say)]
    if not rows:
        yield words("No quantity changes by enough to be told.")
        return
    columns = [
        column("what", -1.0), column("before", 36.0, align="right"), column("after", 36.0, align="right"),
        column("more or less", 36.0, align="right"),
    ]  # fmt: skip
    yield table(columns, [_row(row, say) for row in rows])


def _printed(row: QuantityChange, pair: tuple[float, float], say: Say) -> str:
    return quantity(row.item, pair[0], pair[1], row.unit, say)


def _row(row: QuantityChange, say: Say) -> list[Words]:
    low, high = sorted((row.after[0] - row.before[0], row.after[1] - row.before[1]))
    if low >= 0.0 or high <= 0.0:
        least, most = sorted((abs(low), abs(high)))
        size = quantity(row.item, least, most, row.unit, say)
        moved = f"{size} {'more' if high > 0.0 else 'less'}"
    else:
        moved = "by the stone that is chosen"
    cells: list[Words] = [breakable(row.text)]
    cells += [_printed(row, pair, say) for pair in (row.before, row.after)]
    return [*cells, run(moved, weight="semibold")]


def _price(order: ChangeOrder, say: Say) -> Iterator[Block]:
    yield heading("What it may cost")
    if order.no_price:
        yield words(breakable(f"No price: {order.no_price}."))
        return
    book = (
        "an invented example price book: put your own figures in" if order.invented else f"the price book {order.book}"
    )
    before = say.money(*order.price_before, order.currency)
    after = say.money(*order.price_after, order.currency)
    rows = [("before", before, ""), ("after", after, ""), ("difference", _difference(order, say), "")]
    days = [say.span(*pair, "-") for pair in (order.days_before, order.days_after)]
    took = f"{days[1]} days" if days[0] == days[1] else f"{days[0]} before, {days[1]} after"
    yield facts([*rows, ("days for the crew", took, "")])
    yield words(breakable(f"A range, not a quote, from {book}; {labour_words(order.labour, order.currency, say)}."))
    if order.unpriced:
        yield words(breakable(f"Not in the price book, and not in the price: {', '.join(order.unpriced)}."))


def _difference(order: ChangeOrder, say: Say) -> str:
    """More or less, to three digits: more would be false."""
    low, high = order.difference
    if say.money(*order.price_before, order.currency) == say.money(*order.price_after, order.currency):
        return "none that these ranges show"
    if low >= 0:
        return f"{say.money(low, high, order.currency)} more" if high > 0 else "none"
    if high <= 0:
        return f"{say.money(-high, -low, order.currency)} less"
    less, more = (say.money(amount, amount, order.currency) for amount in (-low, Decimal(high)))
    return f"from {less} less to {more} more"
