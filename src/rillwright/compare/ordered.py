"""What is ordered, carted and paid: liner cut against the sheet that was to be ordered, stone, soil, price and days."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Judged, Liner, NotRun, Price, Severity, Sheet, Stone
from rillwright.compare.result import Change, Direction
from rillwright.compare.telling import change, reads_apart, tells, way

MONEY = "money "  # before a currency: a unit of parameters that are shown as a range


def ordered_changes(before: Judged, after: Judged) -> Iterator[Change]:
    """Liner piece by piece; stone, soil, price and days as a whole."""
    then, now = before.assessment, after.assessment
    if not isinstance(then.liner, NotRun) and not isinstance(now.liner, NotRun):
        yield from _pieces(after, then.liner, now.liner)
    if not isinstance(then.stone, NotRun) and not isinstance(now.stone, NotRun):
        yield from _stone(then.stone, now.stone, now.feature.system)
    if not isinstance(then.earth, NotRun) and not isinstance(now.earth, NotRun):
        soil = then.earth.soil_out_m3, now.earth.soil_out_m3
        apart = reads_apart((soil[0], soil[0]), (soil[1], soil[1]), "earth", system=now.feature.system)
        if apart and tells(*soil, "m3"):
            text = "Soil to cart away, loose: {after_soil}, it was {before_soil}."
            facts = (("after_soil", soil[1], "soil"), ("before_soil", soil[0], "soil"))
            yield change(
                "soil.out", "site/whole", text, direction=Direction.CHANGED, before=soil[0], after=soil[1], unit="m3",
                parameters=facts,
            )  # fmt: skip
    if not isinstance(then.price, NotRun) and not isinstance(now.price, NotRun):
        yield from _price(then.price, now.price)


def _pieces(after: Judged, then: Liner, now: Liner) -> Iterator[Change]:
    planned = {sheet.id: sheet for sheet in then.pieces}
    for sheet in now.pieces:
        if sheet.id in planned:
            yield from _piece(after, planned[sheet.id], sheet)


def _piece(after: Judged, was: Sheet, sheet: Sheet) -> Iterator[Change]:
    """The size that is cut now against the sheet that was to be ordered by the state before; turned where it helps."""
    cut, needs = sorted((was.length_m, was.width_m)), sorted((sheet.length_m, sheet.width_m))
    if not any(tells(a, b, "m") for a, b in zip(cut, needs, strict=True)):
        return
    had = sorted(was.ordered_m)
    short = max(need - have for have, need in zip(had, needs, strict=True))
    enough = not tells(0.0, max(short, 0.0), "m")
    smaller = not tells(0.0, max(0.0, *(need - have for have, need in zip(cut, needs, strict=True))), "m")
    spare = 2.0 * after.assessment.feature.liner.spare_m
    text = _COVERS if enough else _WITHIN if short <= spare else _TOO_SHORT
    yield change(
        "liner.size",
        f"liners/{sheet.id}",
        f"Piece {{name}} is cut {{long}} by {{wide}} now, it was {{long_before}} by {{wide_before}}; {text}",
        direction=Direction.BETTER if smaller else Direction.CHANGED if enough else Direction.WORSE,
        severity=Severity.OK if enough else Severity.WATCH if short <= spare else Severity.STOP,
        before=cut[1],
        after=needs[1],
        unit="m",
        parameters=(
            ("name", sheet.id, ""),
            ("long", needs[1], "m"),
            ("wide", needs[0], "m"),
            ("long_before", cut[1], "m"),
            ("wide_before", cut[0], "m"),
            ("long_had", had[1], "m"),
            ("wide_had", had[0], "m"),
            ("short", max(short, 0.0), "m"),
            ("spare", spare, "m"),
        ),
        remedy="" if enough else _LESS if short <= spare else _SHORT,
    )


_COVERS = "a sheet of {long_had} by {wide_had}, as it was to be ordered, is large enough."
_WITHIN = (
    "a sheet of {long_had} by {wide_had}, as it was to be ordered, still covers it, with {short} less of the {spare} "
    "that were to spare."
)
_TOO_SHORT = (
    "a sheet of {long_had} by {wide_had}, as it was to be ordered, is {short} short, more than there was to spare."
)
_LESS = "Tape it in the hole both ways before anything is cut; where it is not ordered yet, order the larger piece."
_SHORT = (
    "Tape it in the hole both ways before anything is cut; order the larger piece, or have it joined by its maker's "
    "method."
)


def _stone(then: Stone, now: Stone, system: str) -> Iterator[Change]:
    counts = len(then.spill_stones), len(now.spill_stones)
    if counts[0] != counts[1]:
        yield change(
            "stone.spill",
            "site/whole",
            "Spill stones to pick: {count}, it was {once}.",
            direction=Direction.CHANGED,
            before=float(counts[0]),
            after=float(counts[1]),
            unit="each",
            parameters=(("count", str(counts[1]), ""), ("once", str(counts[0]), "")),
        )
    low, high = [[mass_kg(state, end) for state in (then, now)] for end in (0, 1)]
    apart = reads_apart((low[0], high[0]), (low[1], high[1]), "mass", system=system)
    if apart and tells(low[0] + high[0], low[1] + high[1], "kg"):
        yield change(
            "stone.mass",
            "site/whole",
            "Stone and gravel in all: {range}, it was {once_range}.",
            direction=Direction.CHANGED,
            before=0.5 * (low[0] + high[0]),
            after=0.5 * (low[1] + high[1]),
            unit="kg",
            parameters=(
                ("low", low[1], "kg"),
                ("high", high[1], "kg"),
                ("once_low", low[0], "kg"),
                ("once_high", high[0], "kg"),
            ),
        )


def mass_kg(stone: Stone, end: int) -> float:
    """All stone and gravel at the low end (0) or the high end (1) [kg]."""
    stones = [(one.mass_low_kg, one.mass_high_kg)[end] for one in stone.spill_stones]
    return sum(stones) + sum((lot.mass_low_kg, lot.mass_high_kg)[end] for lot in stone.lots)


def _price(then: Price, now: Price) -> Iterator[Change]:
    if then.currency != now.currency:
        yield change(
            "price.currency",
            "feature/whole",
            "The price is in {now} now, it was in {then}: the two are not compared.",
            direction=Direction.CHANGED,
            parameters=(("now", now.currency, ""), ("then", then.currency, "")),
        )
    elif (then.low, then.high) != (now.low, now.high) and tells(
        float(then.low + then.high), float(now.low + now.high), ""
    ):
        middle = [float(price.low + price.high) / 2 for price in (then, now)]
        yield change(
            "price",
            "feature/whole",
            "The price range is {now}, it was {then}" + (" (an invented price book)." if now.invented else "."),
            direction=way(*middle, more_is=Direction.WORSE),
            severity=Severity.OK,
            before=middle[0],
            after=middle[1],
            unit=now.currency,
            parameters=(*_money("now", now), *_money("then", then)),
        )
    days = (then.days_low, then.days_high), (now.days_low, now.days_high)
    if days[0] != days[1]:
        middles = [sum(pair) / 2 for pair in days]
        yield change(
            "days",
            "feature/whole",
            "It takes {now} days for a crew of {crew}, it took {then}.",
            direction=way(*middles, more_is=Direction.WORSE) if middles[0] != middles[1] else Direction.CHANGED,
            severity=Severity.OK,
            before=middles[0],
            after=middles[1],
            unit="days",
            parameters=(
                ("now", span(*days[1]), ""),
                ("then", span(*days[0]), ""),
                ("crew", str(now.crew_people), ""),
            ),
        )


def span(low: float, high: float) -> str:
    """A range of numbers [-] as people write it."""
    return f"{high:g}" if low == high else f"{low:g} to {high:g}"


def _money(name: str, price: Price) -> Iterator[tuple[str, float, str]]:
    yield f"{name}_low", float(price.low), f"{MONEY}{price.currency}"
    yield f"{name}_high", float(price.high), f"{MONEY}{price.currency}"
