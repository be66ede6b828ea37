"""Standings of the instrument on site: heights from benchmark readings, and what a second look at them says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from msgspec import Struct, field

from rillwright.feature import Surface
from rillwright.sources import limit
from rillwright.survey.book import Reading, Sight
from rillwright.survey.chain import Shot as Sighting
from rillwright.survey.chain import Spot
from rillwright.survey.nanometres import PER_M, instrument_nm, level_nm, whole_nm
from rillwright.survey.shot_rows import Read, in_order
from rillwright.survey.slips import Gap, Slip, explain
from rillwright.units import METRIC, US, show

_HAIR_NM = 10  # an eighth of an inch exactly is still within an eighth


class Standing(Struct, eq=False):
    """One set-up with one kind of rod. Heights [nm] are exact; a new one begins where the instrument has moved."""

    id: str
    direct: bool
    reads: list[Read]
    height_nm: int | None = None
    variance: float = 0.0
    anchor: Read | None = None
    moved: bool = False
    closed: bool = False
    _suspect: Read | None = field(default=None)  # a benchmark reading that looks like a slip

    @property
    def sign(self) -> int:
        return 1 if self.direct else -1


def standings(reads: Sequence[Read]) -> list[Standing]:
    """The set-ups in the order in which they appear; direct rods have a height of their own."""
    found: dict[tuple[str, bool], Standing] = {}
    for read in reads:
        direct = read.rod.direct if read.rod is not None else False
        key = (read.shot.setup, direct)
        found.setdefault(key, Standing(*key, [])).reads.append(read)
    for standing in found.values():
        standing.reads = in_order(standing.reads)
    return list(found.values())


def stand(standing: Standing, known: Mapping[str, tuple[int, float]], *, shot_variance: float) -> bool:
    """Give a set-up its heights from the marks of known level (nm, variance) and every reading its level.

    False, and nothing done, where it reads no such mark.
    """
    marks = [read for read in standing.reads if read.usable and read.mark in known]
    if not marks:
        return False
    first = marks[0]
    between: list[Read] = []
    _anchor(standing, first, known, shot_variance)
    for read in standing.reads:
        if read in marks:
            read.benchmark = True
            if read is not first:
                between = _again(standing, read, between, known=known, shot_variance=shot_variance)
        elif not read.benchmark:
            between.append(read)
        _level(standing, read, shot_variance)
    standing.closed = not between
    return True


def _anchor(standing: Standing, read: Read, known: Mapping[str, tuple[int, float]], shot_variance: float) -> None:
    assert read.mark is not None
    assert read.nm is not None
    mark_nm, variance = known[read.mark]
    standing.height_nm = instrument_nm(mark_nm, read.nm, sign=standing.sign)
    standing.variance, standing.anchor = variance, read


def _level(standing: Standing, read: Read, shot_variance: float) -> None:
    if read.nm is not None and standing.height_nm is not None:
        read.level_nm = level_nm(standing.height_nm, read.nm, sign=standing.sign)
        read.variance = standing.variance + shot_variance


def _again(
    standing: Standing,
    read: Read,
    between: list[Read],
    *,
    known: Mapping[str, tuple[int, float]],
    shot_variance: float,
) -> list[Read]:
    """A benchmark read again; returns the readings that still wait for one that agrees."""
    assert read.mark is not None
    assert read.nm is not None
    assert standing.height_nm is not None
    bounds = limit("survey.benchmark")
    good, bad = (whole_nm(each) + _HAIR_NM for each in (bounds.good, bounds.bad))
    gap = instrument_nm(known[read.mark][0], read.nm, sign=standing.sign) - standing.height_nm
    if abs(gap) <= good:
        standing._suspect = None
        return []
    size = _said(abs(gap), read)
    why = f"{read.mark} read again differs by {size} (line {read.shot.line})"
    for each in between:
        each.unconfirmed = each.unconfirmed or why
    if abs(gap) <= bad:
        read.ask("moved", f"{why}: shoot it once more before you go on", doubts=False)
        return []
    suspect = standing._suspect
    agrees = suspect is not None and _same(standing, suspect, read, known, good)
    slip = None if read.confirmed or agrees else slip_of(read, gap, near_m=bounds.good)
    if slip is not None:
        standing._suspect = read
        read.ask("foot", f"{why}, which a slip explains ({slip.words}): read it once more")
        return between
    if agrees and suspect is not None:
        suspect.questions = [q for q in suspect.questions if q.code != "foot"]
    _move(standing, read, why, known=known, shot_variance=shot_variance)
    return []


def _same(standing: Standing, suspect: Read, read: Read, known: Mapping[str, tuple[int, float]], good_nm: int) -> bool:
    heights = []
    for each in (suspect, read):
        assert each.mark is not None
        assert each.nm is not None
        heights.append(instrument_nm(known[each.mark][0], each.nm, sign=standing.sign))
    return abs(heights[0] - heights[1]) <= good_nm


def _move(
    standing: Standing, read: Read, why: str, *, known: Mapping[str, tuple[int, float]], shot_variance: float
) -> None:
    """From here on the instrument stands as this reading says; what was read since it began to is reduced anew."""
    since = standing._suspect
    _anchor(standing, read, known, shot_variance)
    standing.moved, standing._suspect = True, None
    read.ask(
        "moved",
        f"{why}: the tripod or the mark has moved. What was read between is not confirmed: read it again; from here on "
        "this reading counts",
        doubts=False,
    )
    if since is not None:
        start = standing.reads.index(since)
        for each in standing.reads[start : standing.reads.index(read)]:
            each.unconfirmed = ""
            _level(standing, each, shot_variance)


def slip_of(read: Read, gap_nm: int, *, near_m: float) -> Slip | None:
    """The slip of the hand that explains a level so far out [nm], if one does within `near_m` [m]."""
    if read.rod is None or read.nm is None:
        return None
    reading = Reading(
        line=read.shot.line,
        setup=read.shot.setup,
        point=read.shot.path,
        sight=Sight.BETWEEN,
        value_m=Fraction(read.nm, PER_M),
        text=read.shot.reading,
        rod=read.rod,
        surface=read.surface,
    )
    shot = Sighting(0, reading, Spot(read.shot.path, read.surface or Surface.MARK))
    sign = read.rod.sign if read.benchmark is False else -read.rod.sign
    found = explain(Gap(Fraction(gap_nm, PER_M), {0: sign}, {0: shot}, near_m, near_m))
    return found[0] if found else None


def _said(size_nm: int, read: Read) -> str:
    """A length as the reader of that rod says it."""
    metric = read.given or (read.rod is not None and read.rod.division == "metric")
    return show(size_nm / PER_M, "length", METRIC if metric else US)


def said_nm(size_nm: int, read: Read) -> str:
    """A length [nm], without its sign, as the reader of that rod says it."""
    return _said(abs(size_nm), read)
