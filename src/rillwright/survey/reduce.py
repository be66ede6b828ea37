"""Level books to levels: heights of instrument, page check, loops, corrections, doubts."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from fractions import Fraction

from msgspec.structs import replace

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.feature import XY, Level, Origin
from rillwright.sources import MisclosureRule, default, limit, misclosure_rule, misclosure_rules
from rillwright.survey.book import Book
from rillwright.survey.chain import Chain, Repeat, Shot, Spot, Station, build_chain
from rillwright.survey.corrections import (
    BY_DISTANCE,
    BY_SETUPS,
    LEAST_SQUARES,
    METHODS,
    NONE,
    Corrections,
    distribute,
    least_squares,
)
from rillwright.survey.doubts import Judgement, judge_readings, stray_doubt
from rillwright.survey.looking_back import look_back
from rillwright.survey.neighbours import Stray, runs_of, strays
from rillwright.survey.pagecheck import page_check
from rillwright.survey.result import READ_ONCE, Loop, SetUp, Survey, SurveyedPoint
from rillwright.survey.rings import Ring, ring_of, rings_overlap

_MOST_LEGS = 500_000  # over all loops; a survey on a site has a few hundred
_HAIR = 1 + 1e-9


def reduce(
    books: Sequence[Book],
    *,
    datum: str | None,
    datum_level_m: float = 0.0,
    tolerance: str | None = None,
    adjust: str | None = None,
) -> Survey:
    """Levels of everything read in the books, with loops, page checks and whatever is doubtful.

    Where a book gives levels of marks, these hold; else the datum, or the first mark backsighted, is held
    at `datum_level_m`. Arithmetic is exact up to the corrections.

    Parameters
    ----------
    books : sequence of Book
        Level books that share marks.
    datum : str or None
        The mark above which levels are told; None for the first mark that is held.
    datum_level_m : float
        Level of the datum [m] where no book gives one.
    tolerance : str or None
        Name of the misclosure rule; None for the default one.
    adjust : str or None
        none, by set-ups, by distance or least squares, whatever the misclosure. None chooses: loops within
        tolerance are distributed, by distance where all distances are given; loops that overlap go to
        least squares; loops out of tolerance are left as they are and what hangs on them is doubted.

    Returns
    -------
    Survey
        Set-ups, points with levels [m] and standard errors [m], loops, page checks, doubts.

    Raises
    ------
    InputError
        If the books do not link, contradict each other, or a name is unknown.
    NoAnswer
        If loops or unknowns are too many to be solved at once.

    References
    ----------
    Engineering Aid training manual 14071, level computations; standard errors: common practice, no source.
    """
    rule = _rule(tolerance)
    if adjust is not None and adjust not in METHODS:
        raise InputError(Problem(message="unknown way to adjust", found=adjust, allowed=", ".join(METHODS)))
    if not math.isfinite(datum_level_m):
        raise InputError(Problem(message="the level of the datum is not a number", found=str(datum_level_m)))
    chain = build_chain(books, datum=datum, datum_level_m=Fraction(repr(float(datum_level_m))))
    rings, checks = _rings(chain, chain.closings), _rings(chain, chain.checks)
    loops = tuple(_loop(ring, rule) for ring in rings)
    judgement = judge_readings(chain, rings, loops, checks)
    method, used = _method(rings, loops, adjust)
    corrections = _corrections(chain, used, method)
    points = _told_strays(_points(chain, corrections, judgement, rings=rings, loops=loops), chain, judgement)
    worst = max((loop.misclosure_m for loop in loops), key=abs, default=None)
    return Survey(
        books=tuple(book.file for book in books),
        datum=datum or next(iter(chain.fixed)).id,
        setups=tuple(_setup(station, corrections) for station in chain.stations),
        points=points,
        loops=loops,
        page_checks=tuple(page_check(book, chain) for book in books),
        doubts=tuple(judgement.doubts),
        looks=tuple(look_back(book, chain) for book in books),
        misclosure_m=worst,
        adjusted=method,
    )


def _rule(name: str | None) -> MisclosureRule:
    try:
        return misclosure_rule(name if name is not None else default("survey.rule").word)
    except KeyError:
        allowed = ", ".join(rule.key for rule in misclosure_rules())
        raise InputError(Problem(message="no such tolerance", found=str(name), allowed=allowed)) from None


def _rings(chain: Chain, repeats: Sequence[Repeat]) -> list[Ring]:
    rings: list[Ring] = []
    legs = 0
    for repeat in repeats:
        rings.append(ring_of(chain, repeat))
        legs += len(rings[-1].legs)
        if legs > _MOST_LEGS:
            raise NoAnswer(f"the loops of the books have over {_MOST_LEGS} set-ups in all: reduce the books in parts")
    return rings


def _loop(ring: Ring, rule: MisclosureRule) -> Loop:
    """A ring against the rule, and never against less than a rod can resolve.

    Where a sight's length was not written, all set-ups count as two sights of usual length each.
    """
    length_m = ring.length_m
    if length_m is None:
        length_m = len(ring.legs) * 2.0 * default("survey.sight").number
    allowed = max(rule.allowed_m(length_m), limit("survey.loop").good)
    misclosure = float(ring.error_m)
    return Loop(
        name=ring.name,
        book=ring.closing.station.book,
        setups=len(ring.legs),
        length_m=ring.length_m,
        misclosure_m=misclosure,
        tolerance_m=allowed,
        tolerance_name=rule.key if ring.length_m is not None else f"{rule.key}, by set-ups: no distances given",
        closes=abs(misclosure) <= allowed * _HAIR,
    )


def _method(rings: Sequence[Ring], loops: Sequence[Loop], adjust: str | None) -> tuple[str, list[Ring]]:
    """How to adjust, and which rings are distributed."""
    if not rings or adjust == NONE:
        return NONE, []
    overlap = rings_overlap(rings)
    if adjust is not None:
        _refuse_method(rings, adjust, overlap)
        return adjust, list(rings)
    good = [ring for ring, loop in zip(rings, loops, strict=True) if loop.closes]
    if not good or (overlap and len(good) < len(rings)):
        return NONE, []
    if overlap:
        return LEAST_SQUARES, good
    return (BY_DISTANCE if all(ring.length_m for ring in good) else BY_SETUPS), good


def _refuse_method(rings: Sequence[Ring], adjust: str, overlap: bool) -> None:
    if adjust in (BY_SETUPS, BY_DISTANCE) and overlap:
        message = "loops that share a set-up cannot be distributed one by one"
        raise InputError(Problem(message=message, found=adjust, allowed=LEAST_SQUARES))
    if adjust == BY_DISTANCE and not all(ring.length_m for ring in rings):
        message = "a loop has set-ups without distances"
        raise InputError(
            Problem(message=message, found=adjust, allowed=f"{BY_SETUPS}, or a distance on each foresight")
        )


def _corrections(chain: Chain, rings: Sequence[Ring], method: str) -> Corrections:
    sigma_m = default("level.sigma_shot").number
    if method == LEAST_SQUARES:
        return least_squares(chain, sigma_m=sigma_m)
    return distribute(chain, rings, by_distance=method == BY_DISTANCE, sigma_m=sigma_m)


def _plus(value: Fraction, correction: Fraction | float) -> float:
    return float(value + correction) if isinstance(correction, Fraction) else float(value) + correction


def _setup(station: Station, corrections: Corrections) -> SetUp:
    assert station.anchor is not None
    assert station.height_m is not None
    return SetUp(
        id=station.name,
        book=station.book,
        rod=str(station.anchor.reading.rod),
        height_of_instrument_m=_plus(station.height_m, corrections.station_m[station.index]),
        benchmark=station.anchor.spot.id,
        backsight_text=station.anchor.reading.text,
    )


def _points(
    chain: Chain, corrections: Corrections, judgement: Judgement, *, rings: Sequence[Ring], loops: Sequence[Loop]
) -> tuple[SurveyedPoint, ...]:
    again = _read_again(chain, rings, loops)
    first: dict[Spot, tuple[Station, Shot]] = {}
    places: dict[str, XY] = {}
    sights: dict[Spot, list[tuple[Station, Shot]]] = {}
    for station in chain.stations:
        for shot in station.shots:
            first.setdefault(shot.spot, (station, shot))
            sights.setdefault(shot.spot, []).append((station, shot))
            if shot.reading.at is not None:
                places.setdefault(shot.spot.id, shot.reading.at)
    points = []
    for spot, (station, shot) in sorted(first.items(), key=lambda item: item[1][1].number):
        station, shot = chain.parent.get(spot, (station, shot))
        mean_m = _mean(chain, corrections, spot, sights[spot])
        state, why = _state(spot, chain, judgement, again=again)
        level = Level(
            mean_m,
            spot.surface,
            Origin.MEASURED,
            f"{station.book}, line {shot.reading.line}" if spot in chain.parent else f"held, {station.book}",
            math.sqrt(corrections.spot_var[spot]),
            f"{station.book}, set-up {station.name}" if spot in chain.parent else "",
        )
        points.append(
            SurveyedPoint(
                id=spot.id,
                level=level,
                at=places.get(spot.id),
                setup=station.name,
                reading_text=shot.reading.text,
                state=state,
                why=why,
            )
        )
    return tuple(points)


def _read_again(chain: Chain, rings: Sequence[Ring], loops: Sequence[Loop]) -> set[Spot]:
    """Spots of which a second reading bears the first one out, or through which a loop that closes was levelled."""
    found = {repeat.shot.spot for repeat in (*chain.again, *chain.closings, *chain.checks)}
    for ring, loop in zip(rings, loops, strict=True):
        if loop.closes:
            found |= {shot.spot for leg in ring.legs for shot in (leg.entry, leg.exit)}
    return found


def _told_strays(points: tuple[SurveyedPoint, ...], chain: Chain, judgement: Judgement) -> tuple[SurveyedPoint, ...]:
    """With what is said of a point that was read once and does not go with those of its row."""
    found: dict[str, Stray] = {}
    for run in runs_of(points):
        once = {point.id for point in run if point.state == READ_ONCE}
        found |= {each.id: each for each in strays({p.id: p.level.m for p in run}) if each.id in once}
    told = []
    for point in points:
        stray = found.get(point.id)
        if stray is not None and point.state == READ_ONCE:
            parent = chain.parent[Spot(point.id, point.level.surface)]
            doubt = stray_doubt(stray, *parent)
            judgement.doubts.append(doubt)
            point = replace(point, why=doubt.text)
        told.append(point)
    return tuple(told)


def _state(spot: Spot, chain: Chain, judgement: Judgement, *, again: set[Spot]) -> tuple[str, str]:
    if spot in judgement.doubted:
        return "doubted", judgement.doubted[spot]
    if spot in judgement.unconfirmed:
        return "unconfirmed", judgement.unconfirmed[spot]
    if spot in chain.fixed:
        return "held", ""
    return ("confirmed" if spot in again else READ_ONCE), ""


def _mean(chain: Chain, corrections: Corrections, spot: Spot, sights: Sequence[tuple[Station, Shot]]) -> float:
    """Level of a spot [m]; of what is no mark, the mean of the sights that most others agree with."""
    raw = chain.level_m[spot]
    if spot in chain.links or len(sights) == 1:
        return _plus(raw, corrections.spot_m[spot])
    agree = limit("survey.benchmark").bad * _HAIR
    by_raw = [float(station.level_m(shot)) for station, shot in sights]
    ordered = sorted(by_raw)
    company = [bisect_right(ordered, m + agree) - bisect_left(ordered, m - agree) for m in by_raw]
    trusted_m = by_raw[company.index(max(company))]  # the first of those with most company
    levels = [
        _plus(station.level_m(shot), corrections.station_m[station.index])
        for (station, shot), m in zip(sights, by_raw, strict=True)
        if abs(m - trusted_m) <= agree
    ]
    return math.fsum(levels) / len(levels)
