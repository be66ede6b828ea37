"""The page check: what the sums say against what was carried from set-up to set-up."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from rillwright.survey.book import Book, Sight
from rillwright.survey.chain import Chain, Shot, Station
from rillwright.survey.lengths import BOOK_UNIT, exact_decimal, unit_m
from rillwright.survey.result import PageCheck


def page_check(book: Book, chain: Chain) -> PageCheck:
    """Sum of backsights less sum of foresights against last less first level, run by run, exact.

    Of each set-up the sight that gave its height and the sight that carries the level on are summed, never an
    intermediate one; a set-up that carries nothing on and has no foresight stays out. On direct rods, which
    read upward, both count with the other sign.
    """
    stations = [station for station in chain.stations if station.book == book.file]
    backs = fores = rise = Fraction(0)
    first: Fraction | None = None
    sights = 0
    for i, station in enumerate(stations):
        carry = _carry(station, stations[i + 1] if i + 1 < len(stations) else None, chain)
        if carry is None or station.anchor is None:
            continue
        sights += 2
        backs -= station.sign * station.anchor.reading.value_m
        fores -= station.sign * carry.reading.value_m
        if first is None:
            first = chain.level_m[station.anchor.spot]
        if not _goes_on(stations, i, carry, chain):
            rise += station.level_m(carry) - first
            first = None
    unit = BOOK_UNIT[book.divisions[0]] if len(book.divisions) == 1 else "m"
    size = unit_m(unit)
    return PageCheck(
        book=book.file,
        backsights=f"{exact_decimal(backs / size)} {unit}",
        foresights=f"{exact_decimal(fores / size)} {unit}",
        rise=f"{exact_decimal(rise / size)} {unit}",
        agrees=backs - fores == rise,
        sights=sights,
    )


def _carry(station: Station, after: Station | None, chain: Chain) -> Shot | None:
    """The sight that carries the level to the next set-up, else the last foresight."""
    if after is not None and after.anchor is not None:
        parent = chain.parent.get(after.anchor.spot)
        if parent is not None and parent[0] is station:
            return parent[1]
    others = (s for s in reversed(station.shots) if s is not station.anchor and s.reading.sight is Sight.FORE)
    return next(others, None)


def _goes_on(stations: Sequence[Station], i: int, carry: Shot, chain: Chain) -> bool:
    """Whether the next set-up hangs on this one's carrying sight and itself carries on."""
    if i + 1 == len(stations):
        return False
    after = stations[i + 1]
    follows = i + 2 < len(stations)
    onward = _carry(after, stations[i + 2] if follows else None, chain)
    parent = chain.parent.get(after.anchor.spot) if after.anchor is not None else None
    return onward is not None and parent is not None and parent[1] is carry
