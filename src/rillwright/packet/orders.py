"""What to order: every quantity with the numbers that it came from, and what it may cost."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from rillwright.assessment import Judged, NotRun, Price, PriceLine, TakeoffLine
from rillwright.packet.blocks import Words, column, heading, run, table, title, words
from rillwright.packet.key_numbers import labour_words
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.say import Say, breakable, rough
from rillwright.sources import default
from rillwright.units import Term, significant

QUESTION = "What to order"
_GUESSED = ("edge_stone_kg", "face_stone_kg", "gravel_kg", "reservoir_stone_kg")
_ORDERED = "ordered "
_EARTH = ("dig", "soil", "berm")  # items that are measured as soil is


def orders(judged: Judged, *, pad_mm: float = 1.5) -> Sheet:
    """The take-off with its price range, rows with white space above and below [mm]."""
    assessment = judged.assessment
    say = Say(assessment.feature.system)
    blocks: list[Block] = [title(QUESTION)]
    if isinstance(assessment.takeoff, NotRun):
        blocks.append(words(f"No quantities: {assessment.takeoff.reason}"))
    else:
        blocks.append(
            words(
                "A range is what a guess may come to; a single figure is worked out from the sizes of the job. Below "
                "it stand the numbers that it came from. A side of a sheet is ordered up to the next "
                f"{_step(say)}; area and price are of the sheet as ordered."
            )
        )
        blocks.append(table(_COLUMNS, _rows(folded(assessment.takeoff.lines), say), pad=pad_mm))
    if isinstance(assessment.price, NotRun):
        blocks += [heading("What it may cost"), words(f"No price: {assessment.price.reason}")]
    else:
        blocks += _priced(assessment.price, say, pad_mm)
    return Sheet(question=QUESTION, paper=READING[say.system], blocks=tuple(blocks))


_COLUMNS = [column("what", -1.0), column("quantity", 27.0, align="right"), column("to order", 33.0, align="right")]


def folded(lines: Sequence[TakeoffLine]) -> list[list[TakeoffLine]]:
    """Lines that differ only in where they lie, together: text up to its last comma, and every number."""
    groups: dict[tuple[object, ...], list[TakeoffLine]] = {}
    for line in lines:
        key = (line.item, _head(line), line.low, line.high, line.unit, line.size_m, line.because)
        groups.setdefault(key, []).append(line)
    return list(groups.values())


def _head(line: TakeoffLine) -> str:
    return line.text.rpartition(", ")[0] or line.text


def _rows(groups: Sequence[Sequence[TakeoffLine]], say: Say) -> list[list[Words]]:
    """Rows in which the numbers that the one above came from too are not said again."""
    rows: list[list[Words]] = []
    before: list[str] = []
    sheet: tuple[object, ...] | None = None
    for lines in groups:
        because, cut = _because(lines[0], say), (lines[0].size_m, lines[0].path)
        told = because
        if lines[0].item == "underlay_m2" and cut == sheet:
            told = ["cut as the liner above"]
        elif because and because == before:
            told = ["the same as above"]
        rows.append(_row(lines, told, say))
        before, sheet = because, cut
    return rows


def _step(say: Say) -> str:
    """What the sides of sheets are ordered in whole numbers of."""
    return say.one(default(f"liner.order_{say.system}").number, "m")


def _because(line: TakeoffLine, say: Say) -> list[str]:
    """The numbers that a quantity came from: the sides of a sheet as sums, a stone's two masses as one range."""
    told: list[str] = []
    rest = [term for term in line.because if not term.name.startswith(_ORDERED)]  # they stand under what to order
    for way in ("length", "width") if line.size_m is not None else ():
        mine = [term for term in rest if re.match(rf"{way}\b", term.name)]
        if not any(term.name == way for term in mine):
            continue
        rest = [term for term in rest if term not in mine]
        told += _sum(way, mine, say)
    masses = [term.value for term in rest if term.name in _MASSES]
    rest = [term for term in rest if term.name not in _MASSES]
    if rest:
        told.append(say.terms(rest) if told else f"from {say.terms(rest)}")
    if masses:
        told.append(f"weighs {rough(say.span(min(masses), max(masses), 'kg'))}")
    return told


_MASSES = ("mass, low", "mass, high")


def _sum(way: str, terms: Sequence[Term], say: Say) -> list[str]:
    """One side of a sheet: length 17' 1 1/4" = 10' 0" at the waterline + 2' 0" spare; nothing where it is no sum."""
    total = next((say.one(term.value, "m") for term in terms if term.name == way), "")
    parts = [
        (say.one(term.value, "m"), re.sub(rf"^{way}(?: of the|:)? ", "", term.name))
        for term in terms
        if term.name != way and abs(term.value) > _HAIR_M
    ]
    if len(parts) == 1 and parts[0][0] == total:
        return []
    return [f"{way} {total} = " + " + ".join(f"{value} {name}" for value, name in parts)]


_HAIR_M = 5e-4


def _row(lines: Sequence[TakeoffLine], because: Sequence[str], say: Say) -> list[Words]:
    line = lines[0]
    each = quantity(line.item, line.low, line.high, line.unit, say)
    size = "" if line.size_m is None else " by ".join(say.one(side, "m") for side in line.size_m)
    text = line.text
    if len(lines) > 1:
        counts = Counter(one.text.rpartition(", ")[2] for one in lines)
        places = ", ".join(place if count == 1 else f"{place} ({count})" for place, count in counts.items())
        text = f"{_head(line)}, {places}"
        each = f"({each})" if " to " in each else each
        each = f"{len(lines)} × {each}" if each != "1" else str(len(lines))
    told: list[object] = [run(breakable(text), weight="semibold")]
    told += [run(breakable(words), colour="quiet") for words in because]
    return [told, run(each, weight="semibold"), size]


def quantity(item: str, low: float, high: float, unit: str, say: Say) -> str:
    """A quantity as it is ordered: soil by the yard or cubic metre, pieces by number."""
    if unit == "t":
        low, high, unit = 1000.0 * low, 1000.0 * high, "kg"
    kind = "earth" if unit == "m3" and item.startswith(_EARTH) else None
    span = say.span(low, high, unit, kind=kind)
    return rough(span) if item in _GUESSED else span


def _priced(price: Price, say: Say, pad_mm: float) -> Iterator[Block]:
    yield heading("What it may cost")
    book = (
        "an invented example price book: put your own figures in" if price.invented else f"the price book {price.book}"
    )
    days = say.span(price.days_low, price.days_high, "-")
    total = say.money(price.low, price.high, price.currency)
    hours = f"{_hours(price.hours_low, price.hours_high)} h of work, {days} days for a crew of {price.crew_people}"
    yield words(run(f"{total}; {hours}.", pt=11.0, weight="semibold"))
    yield words(f"A range, not a quote, from {book}; {labour_words(price.labour, price.currency, say)}.")
    rows = [_price_row(line, price.currency, say) for line in price.lines]
    yield table(
        [
            column("what", -1.0),
            column("quantity", 38.0, align="right"),
            column("price", 42.0, align="right"),
            column("hours", 24.0, align="right"),
        ],
        rows,
        pad=pad_mm,
    )
    if price.unpriced:
        yield words(breakable(f"Not in the price book, and not in the price: {', '.join(price.unpriced)}."))


def _price_row(line: PriceLine, currency: str, say: Say) -> list[Words]:
    what: list[object] = [breakable(line.text)]
    if line.note:
        what.append(run(breakable(line.note), colour="quiet"))
    if line.unit == "hour":
        hours = f"{_hours(line.quantity_low, line.quantity_high)} h"
        return [what, hours, say.money(line.low, line.high, currency), "–"]
    size = quantity(line.item, line.quantity_low, line.quantity_high, line.unit, say)
    return [what, size, say.money(line.low, line.high, currency), _hours(line.hours_low, line.hours_high)]


def _hours(low: float, high: float) -> str:
    """A range of hours, to the tenth below ten."""
    first, last = _hour(low), _hour(high)
    return last if first == last else f"{first} to {last}"


def _hour(hours: float) -> str:
    """Hours to the tenth below ten, and never as none where there is some work; else to two digits."""
    if hours >= 9.95 or hours <= 0.0:
        return significant(hours, 2)
    return f"{max(hours, 0.1):.1f}".removesuffix(".0")
