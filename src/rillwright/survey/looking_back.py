"""Whether a known mark was sighted again in a book: only that shows that the instrument stood still."""

from __future__ import annotations

from rillwright.sources import default
from rillwright.survey.book import Book
from rillwright.survey.chain import Chain
from rillwright.survey.result import LookBack


def look_back(book: Book, chain: Chain) -> LookBack:
    """How much hangs on a book's first sights, and how often a mark that was known by then was sighted again.

    A visit of a few shots from one set-up needs no look back: nothing is built from it before the site is levelled
    again. A day's work does, at its start, at noon and at its end: common practice, no source.
    """
    stations = [station for station in chain.stations if station.book == book.file]
    again = sum(1 for repeat in chain.again if repeat.station.book == book.file and repeat.shot.spot in chain.links)
    closed = sum(1 for repeat in chain.closings if repeat.station.book == book.file)
    shots = sum(len(station.shots) for station in stations) - len(stations) - again - closed
    few = len(stations) <= 1 and shots <= default("survey.few_shots").number
    return LookBack(
        book=book.file, shots=shots, setups=len(stations), again=again, closed=closed, due=not (again or closed or few)
    )
