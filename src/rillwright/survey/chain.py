"""How levels run through the books: each set-up hangs on one known mark, each mark on the set-up that first read it."""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct, field

from rillwright.errors import InputError, Problem
from rillwright.feature import Surface
from rillwright.survey.book import Book, Reading, Sight
from rillwright.survey.linked import station_name


class Spot(Struct, frozen=True):
    """A point on one of its surfaces: what has a level."""

    id: str
    surface: Surface


class Shot(Struct, frozen=True):
    """One reading, numbered over all books, on its spot; `level_m` [m] of the spot by it, `sign` as of the rod."""

    number: int
    reading: Reading
    spot: Spot


class Station(Struct):
    """One standing of the instrument with one kind of rod. `height_m` [m] of the instrument is exact once known."""

    index: int
    book: str
    name: str
    sign: int
    shots: list[Shot] = field(default_factory=list)
    height_m: Fraction | None = None
    anchor: Shot | None = None

    def level_m(self, shot: Shot) -> Fraction:
        """Level [m] of the shot's spot by this set-up's height of instrument."""
        assert self.height_m is not None
        return self.height_m + self.sign * shot.reading.value_m


class Repeat(Struct, frozen=True):
    """A spot read again, by the same set-up or by another than first gave its level. `gap_m` [m] is new less old."""

    station: Station
    shot: Shot
    gap_m: Fraction
    earlier: Shot | None  # the reading before it in the same set-up


class Chain(Struct):
    """All set-ups, also in the order in which they became known; raw levels [m] of all spots; what was read twice."""

    stations: list[Station]
    solved: list[Station]
    fixed: dict[Spot, Fraction]
    level_m: dict[Spot, Fraction]
    parent: dict[Spot, tuple[Station, Shot]]  # of every spot that is not held
    links: set[Spot]  # marks and turning points, which may carry a level
    again: list[Repeat]  # in the same set-up
    closings: list[Repeat]  # from another set-up, on a mark
    checks: list[Repeat]  # from another set-up, on other surfaces


def build_chain(books: Sequence[Book], *, datum: str | None, datum_level_m: Fraction) -> Chain:
    """Heights of instrument and raw levels of everything in the books, exact; raises InputError if they do not link."""
    held, lines = _held(books)
    readings = [r for book in books for r in book.readings]
    backsighted = {r.point for r in readings if r.sight is Sight.BACK}
    points = {r.point for r in readings}
    _refuse_datum(books, datum, points | set(held))
    held = {point: level for point, level in held.items() if point in points}
    if not held:
        start = datum or next((r.point for r in readings if r.sight is Sight.BACK), readings[0].point)
        held = {start: datum_level_m}
    spots = _spots(readings, carriers=backsighted | set(held) | ({datum} if datum else set()))
    stations = _stations(books, spots)
    fixed = {spots[(point, None)]: level for point, level in held.items()}
    links = _links(stations) | set(fixed)
    chain = Chain(stations, [], fixed, dict(fixed), {}, links, [], [], [])
    _solve(chain)
    _refuse_unsolved(chain, lines)
    return chain


def _held(books: Sequence[Book]) -> tuple[dict[str, Fraction], dict[str, str]]:
    held: dict[str, Fraction] = {}
    where: dict[str, str] = {}
    problems = []
    for book in books:
        for k in book.known:
            if held.setdefault(k.point, k.level_m) != k.level_m:
                problems.append(
                    Problem(
                        message=f"two levels for {k.point!r}",
                        file=book.file,
                        line=k.line,
                        field="level",
                        found=repr(k.text),
                        allowed=f"one level for a mark; {where[k.point]} gives another",
                    )
                )
            where.setdefault(k.point, f"{book.file}, line {k.line}")
    if problems:
        raise InputError(problems)
    return held, where


def _refuse_datum(books: Sequence[Book], datum: str | None, points: set[str]) -> None:
    if not books or not points:
        raise InputError("there is no level book with a reading to reduce")
    twice = sorted({book.file for book in books if sum(book.file == other.file for other in books) > 1})
    if twice:
        raise InputError(Problem(message="the same book is given twice", found=", ".join(twice)))
    if datum is not None and datum not in points:
        files = ", ".join(book.file for book in books)
        raise InputError(
            Problem(
                message="the datum is not read in any book",
                field="datum",
                found=repr(datum),
                allowed=f"a point of {files}",
            )
        )


def _spots(readings: Sequence[Reading], *, carriers: set[str]) -> Mapping[tuple[str, Surface | None], Spot]:
    """The spot of each point and typed surface. Without one: the one surface typed elsewhere, else mark or ground."""
    typed: dict[str, dict[Surface, None]] = {}
    for r in readings:
        surfaces = typed.setdefault(r.point, {})
        if r.surface is not None:
            surfaces[r.surface] = None
    spots: dict[tuple[str, Surface | None], Spot] = {}
    for point, surfaces in typed.items():
        usual = Surface.MARK if point in carriers else Surface.GROUND
        untyped = next(iter(surfaces)) if len(surfaces) == 1 else usual
        spots[(point, None)] = Spot(point, untyped)
        spots |= {(point, surface): Spot(point, surface) for surface in surfaces}
    return spots


def _stations(books: Sequence[Book], spots: Mapping[tuple[str, Surface | None], Spot]) -> list[Station]:
    stations: dict[tuple[str, str, bool], Station] = {}
    number = 0
    for book in books:
        for r in book.readings:
            key = (book.file, r.setup, r.rod.direct)
            if key not in stations:
                name = station_name((r.setup, r.rod.direct))
                stations[key] = Station(len(stations), book.file, name, r.rod.sign)
            stations[key].shots.append(Shot(number, r, spots[(r.point, r.surface)]))
            number += 1
    return list(stations.values())


def _links(stations: Sequence[Station]) -> set[Spot]:
    """Spots that may carry a level: backsighted ones, and marks in any case."""
    every = (shot for station in stations for shot in station.shots)
    return {s.spot for s in every if s.spot.surface is Surface.MARK or s.reading.sight is Sight.BACK}


def _solve(chain: Chain) -> None:
    """Set-ups in the order of the books, as far as they hang on something known; a backsight goes before the rest."""
    waiting: dict[Spot, list[Station]] = {}
    for station in chain.stations:
        for spot in {shot.spot for shot in station.shots if shot.spot in chain.links}:
            waiting.setdefault(spot, []).append(station)
    queue: list[tuple[bool, int]] = []

    def offer(spot: Spot) -> None:
        for station in waiting.pop(spot, ()):
            if station.height_m is None:
                by_back = any(s.spot == spot and s.reading.sight is Sight.BACK for s in station.shots)
                heapq.heappush(queue, (not by_back, station.index))

    for spot in chain.fixed:
        offer(spot)
    while queue:
        _, index = heapq.heappop(queue)
        station = chain.stations[index]
        if station.height_m is None:
            for spot in _place(chain, station):
                offer(spot)


def _place(chain: Chain, station: Station) -> list[Spot]:
    """Give a set-up its height of instrument and the spots it reads their levels; the links that became known."""
    known = [s for s in station.shots if s.spot in chain.links and s.spot in chain.level_m]
    anchor = next((s for s in known if s.reading.sight is Sight.BACK), known[0])
    station.anchor = anchor
    station.height_m = chain.level_m[anchor.spot] - station.sign * anchor.reading.value_m
    chain.solved.append(station)
    fresh: list[Spot] = []
    last: dict[Spot, Shot] = {anchor.spot: anchor}
    anchor_passed = False
    for shot in station.shots:
        if shot is anchor:
            anchor_passed = True
            continue
        earlier = last.get(shot.spot)
        level = station.level_m(shot)
        if earlier is not None and (shot.spot != anchor.spot or anchor_passed):
            chain.again.append(Repeat(station, shot, level - station.level_m(earlier), earlier))
        elif earlier is not None:  # read before the backsight on the same mark
            chain.again.append(Repeat(station, anchor, station.level_m(anchor) - level, shot))
        elif shot.spot in chain.level_m:
            repeats = chain.closings if shot.spot in chain.links else chain.checks
            repeats.append(Repeat(station, shot, level - chain.level_m[shot.spot], None))
        else:
            chain.level_m[shot.spot] = level
            chain.parent[shot.spot] = (station, shot)
            if shot.spot in chain.links:
                fresh.append(shot.spot)
        if anchor_passed or shot.spot != anchor.spot:
            last[shot.spot] = shot
    return fresh


def _refuse_unsolved(chain: Chain, lines: Mapping[str, str]) -> None:
    known = ", ".join(lines) or ", ".join(spot.id for spot in chain.fixed)
    problems = [
        Problem(
            message=f"set-up {station.name!r} does not link to the other books",
            file=station.book,
            line=station.shots[0].reading.line,
            field="setup",
            found=", ".join(dict.fromkeys(s.spot.id for s in station.shots if s.spot in chain.links)),
            allowed=f"a sight on a mark that the other books level, or on {known}",
        )
        for station in chain.stations
        if station.height_m is None
    ]
    if problems:
        raise InputError(problems)
