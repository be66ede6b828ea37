"""What a person should look at in a book: moved benchmarks, mistyped readings, shots that disagree, changed rods."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence

from msgspec import Struct, field

from rillwright.sources import limit
from rillwright.survey.chain import Chain, Repeat, Shot, Spot, Station
from rillwright.survey.neighbours import Stray
from rillwright.survey.result import Doubt, Loop
from rillwright.survey.rings import Ring
from rillwright.survey.slips import Gap, Slip, explain, suspects
from rillwright.units import show_rod

_HAIR = 1 + 1e-9  # an eighth of an inch exactly is still within an eighth


class Judgement(Struct):
    """Doubts in order of the books, and for each spot why it is unconfirmed or doubted."""

    doubts: list[Doubt] = field(default_factory=list)
    unconfirmed: dict[Spot, str] = field(default_factory=dict)
    doubted: dict[Spot, str] = field(default_factory=dict)
    slipped: dict[int, Slip] = field(default_factory=dict)  # readings already named, by number


class _Case(Struct, frozen=True):
    """A disagreement with what is needed to speak of it."""

    gap: Gap
    repeat: Repeat
    loop: Loop | None
    carries: bool  # on a mark that carries levels, seen again in its set-up

    @property
    def disagrees(self) -> bool:
        return abs(float(self.gap.gap_m)) > self.gap.allowed_m * _HAIR

    @property
    def size(self) -> str:
        """The disagreement as the rod would read it."""
        return show_rod(abs(float(self.gap.gap_m)), self.repeat.shot.reading.rod.division)


def judge_readings(chain: Chain, rings: Sequence[Ring], loops: Sequence[Loop], checks: Sequence[Ring]) -> Judgement:
    """Everything doubtful in the books; `loops` are the rings judged, `checks` rings that close on no mark."""
    judgement = Judgement()
    cases = _cases(chain, rings, loops, checks)
    touching: dict[int, list[Gap]] = {}
    for case in cases:
        for number in case.gap.effect:
            touching.setdefault(number, []).append(case.gap)
    for case in cases:
        if case.carries:
            _unconfirm(case, judgement)
        if case.disagrees:
            _doubt(case, touching, judgement)
    for ring, loop in zip(rings, loops, strict=True):
        if not loop.closes:
            _doubt_ring(ring, loop, chain, judgement)
    _pass_on(chain, judgement)
    for station in chain.stations:
        judgement.doubts += _rod_changes(station) + _unequal_sights(station, chain)
    order = {book: i for i, book in enumerate(dict.fromkeys(station.book for station in chain.stations))}
    judgement.doubts.sort(key=lambda d: (order[d.book], d.line or 0))
    return judgement


def _cases(chain: Chain, rings: Sequence[Ring], loops: Sequence[Loop], checks: Sequence[Ring]) -> list[_Case]:
    benchmark = limit("survey.benchmark")
    cases = []
    for repeat in chain.again:
        assert repeat.earlier is not None
        sign = repeat.station.sign
        effect = {repeat.shot.number: sign, repeat.earlier.number: -sign}
        shots = {repeat.shot.number: repeat.shot, repeat.earlier.number: repeat.earlier}
        gap = Gap(repeat.gap_m, effect, shots, benchmark.good * _HAIR, benchmark.bad)
        cases.append(_Case(gap, repeat, None, repeat.shot.spot in chain.links))
    for ring, loop in zip(rings, loops, strict=True):
        near = max(benchmark.good, min(loop.tolerance_m, benchmark.bad)) * _HAIR
        cases.append(
            _Case(Gap(ring.error_m, ring.effect, ring.shots, near, loop.tolerance_m), ring.closing, loop, False)
        )
    for ring in checks:
        gap = Gap(ring.error_m, ring.effect, ring.shots, benchmark.bad * _HAIR, benchmark.bad)
        cases.append(_Case(gap, ring.closing, None, False))
    return cases


def _unconfirm(case: _Case, judgement: Judgement) -> None:
    """Shots between two sights on the same mark that do not agree are unconfirmed."""
    repeat = case.repeat
    if repeat.earlier is None or abs(float(repeat.gap_m)) <= limit("survey.benchmark").good * _HAIR:
        return
    first, last = sorted((repeat.earlier.number, repeat.shot.number))
    lines = f"lines {repeat.earlier.reading.line} and {repeat.shot.reading.line}"
    why = f"{repeat.shot.spot.id} read again differs by {case.size} ({lines} of {repeat.station.book})"
    shots = repeat.station.shots
    begin = bisect_right(shots, first, key=lambda shot: shot.number)
    for shot in shots[begin : bisect_left(shots, last, key=lambda shot: shot.number)]:
        if shot.spot != repeat.shot.spot:
            judgement.unconfirmed.setdefault(shot.spot, why)


def _doubt(case: _Case, others: Mapping[int, Sequence[Gap]], judgement: Judgement) -> None:
    named = [judgement.slipped[number] for number in case.gap.effect if number in judgement.slipped]
    if any(abs(float(case.gap.after(slip))) <= case.gap.near_m for slip in named):
        _mark_doubted(case, judgement, "a reading named as mistyped bears on it")
        return
    likely = suspects(explain(case.gap), others)
    if likely:
        _name_slip(case, likely, judgement)
    elif case.carries:
        _say(case, judgement, "benchmark_moved", f"{case.repeat.shot.spot.id} read again differs by {case.size}")
    elif case.loop is None:
        _say(case, judgement, "shot_outlier", f"{case.repeat.shot.spot.id} read twice differs by {case.size}")
    _mark_doubted(case, judgement, f"{case.repeat.shot.spot.id} read twice differs by {case.size}")


def _mark_doubted(case: _Case, judgement: Judgement, why: str) -> None:
    if case.loop is None and not case.carries:
        judgement.doubted.setdefault(case.repeat.shot.spot, why)


def _name_slip(case: _Case, likely: Sequence[Slip], judgement: Judgement) -> None:
    """Name the suspected row; where several rows fit equally, the later of two, or all rows of a loop."""
    again = [slip for slip in likely if slip.shot is case.repeat.shot]
    chosen = likely[0] if len(likely) == 1 else again[0] if again and case.loop is None else None
    rows = ", ".join(str(line) for line in dict.fromkeys(slip.shot.reading.line for slip in likely))
    where = f"loop {case.loop.name} misses by" if case.loop else f"{case.repeat.shot.spot.id} read twice differs by"
    words = " or ".join(dict.fromkeys(slip.words for slip in likely))
    if chosen is not None:
        judgement.slipped[chosen.shot.number] = chosen
        suspect = f"suspected: line {chosen.shot.reading.line}, {chosen.shot.reading.text!r}"
        suspect += "" if len(likely) == 1 else f" (lines {rows} fit as well as each other)"
    else:
        suspect = f"one of lines {rows}"
    doubt = Doubt(
        code="mistyped_foot",
        book=case.repeat.station.book,
        line=chosen.shot.reading.line if chosen else None,
        point=(chosen.shot if chosen else case.repeat.shot).spot.id,
        size_m=float(case.gap.gap_m),
        text=f"{where} {case.size}, which a slip explains ({words}); {suspect}. Look at the rod or read again.",
    )
    judgement.doubts.append(doubt)


def _say(case: _Case, judgement: Judgement, code: str, text: str) -> None:
    lines = [shot.reading.line for shot in (case.repeat.earlier,) if shot is not None]
    against = f" from line {lines[0]}" if lines else " from the set-up that read it first"
    judgement.doubts.append(
        Doubt(
            code=code,
            book=case.repeat.station.book,
            line=case.repeat.shot.reading.line,
            point=case.repeat.shot.spot.id,
            size_m=float(case.gap.gap_m),
            text=f"{text}{against}. Read it again before anything is built on it.",
        )
    )


def _doubt_ring(ring: Ring, loop: Loop, chain: Chain, judgement: Judgement) -> None:
    stations = {leg.station.index for leg in ring.legs}
    size, allowed = f"{abs(loop.misclosure_m) * 1000:.0f} mm", f"{loop.tolerance_m * 1000:.0f} mm"
    why = f"loop {loop.name} misses by {size}, allowed {allowed} ({loop.tolerance_name})"
    for spot, (station, _) in chain.parent.items():
        if station.index in stations:
            judgement.doubted.setdefault(spot, why)


def _pass_on(chain: Chain, judgement: Judgement) -> None:
    """What hangs on a mark that is not confirmed is not confirmed either."""
    children: dict[int, list[Spot]] = {}
    for spot, (station, _) in chain.parent.items():
        children.setdefault(station.index, []).append(spot)
    for station in chain.solved:
        assert station.anchor is not None
        for states in (judgement.doubted, judgement.unconfirmed):
            why = states.get(station.anchor.spot)
            if why is not None:
                for spot in children.get(station.index, ()):
                    states.setdefault(spot, f"hangs on {station.anchor.spot.id}: {why}"[:300])


def _rod_changes(station: Station) -> list[Doubt]:
    rods = dict.fromkeys(shot.reading.rod for shot in station.shots)
    if len(rods) < 2:
        return []
    names = " and ".join(str(rod) for rod in rods)
    changed = next(s for s in station.shots if s.reading.rod != station.shots[0].reading.rod)
    text = f"set-up {station.name} was read on {names}; that holds only if both rods begin at their foot."
    return [_station_doubt("rod_changed", station, changed, size_m=0.0, text=text)]


def _unequal_sights(station: Station, chain: Chain) -> list[Doubt]:
    """Sights so unequal that a line of sight within its limit could still move the level."""
    tilt, allowed = limit("survey.collimation").good, limit("survey.benchmark").good
    assert station.anchor is not None
    back = station.anchor.reading.distance_m
    if back is None:
        return []
    doubts = []
    for shot in station.shots:
        fore = shot.reading.distance_m
        parent = chain.parent.get(shot.spot)
        if fore is None or parent is None or parent[1] is not shot or shot.spot not in chain.links:
            continue
        size = abs(fore - back) * tilt
        if size > allowed:
            text = f"sights of {back:g} m and {fore:g} m in set-up {station.name}: a line of sight out by 1 in "
            text += (
                f"{1 / tilt:,.0f} moves {shot.spot.id} by {size * 1000:.0f} mm. Make them equal, or do a two-peg test."
            )
            doubts.append(_station_doubt("collimation", station, shot, size_m=size, text=text))
    return doubts


def _station_doubt(code: str, station: Station, shot: Shot, *, size_m: float, text: str) -> Doubt:
    return Doubt(code=code, book=station.book, line=shot.reading.line, point=shot.spot.id, size_m=size_m, text=text)


def stray_doubt(stray: Stray, station: Station, shot: Shot) -> Doubt:
    """What is said of a reading that does not go with its neighbours."""
    size = show_rod(abs(stray.off_m), shot.reading.rod.division)
    side = "above" if stray.off_m > 0 else "below"
    text = f"stands {size} {side} its neighbours, read once: read it again before anything is built on it."
    return _station_doubt("stray", station, shot, size_m=stray.off_m, text=text)
