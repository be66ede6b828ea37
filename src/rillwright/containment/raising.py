"""Which stretches of rim to raise, so that every place has what is wanted to spare, and what an inch on each buys."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from msgspec.structs import replace

from rillwright.containment.rim_result import Raise, RimProfile, SparePoint
from rillwright.units import parse

INCH_M = parse("1 in", "length").si
HAIR_M = 1e-6


class _Lack(NamedTuple):
    """A place on a rim: how much it lacks at the low end of its band and likeliest, and likeliest has to spare [m]."""

    along_m: float
    lacks_m: float
    likely_m: float
    spare_m: float
    point: SparePoint


def raises(
    profiles: Sequence[RimProfile], wanted_m: Mapping[str, float], *, settles: Mapping[str, float]
) -> tuple[Raise, ...]:
    """The least that has to be raised, by body and reach, what lacks most first; of equals the longer.

    What lacks by the band of its levels alone comes last.

    The top runs straight between places, so a stretch begins and ends exactly where nothing lacks any more. A place
    lacks what the low end of its band is short of; on ground that nobody read, what its likeliest value is.

    Parameters
    ----------
    profiles : sequence of RimProfile
        Height to spare along the rims [m].
    wanted_m : mapping
        What is wanted to spare [m] by path of body or reach; of a path that is not in it, nothing is raised.
    settles : mapping
        Share by which fill settles [-], by the path of what gives a top.

    Returns
    -------
    tuple of Raise
        Stretches [m].

    References
    ----------
    Least and zeros of a line that is straight between points: closed form.
    """
    found: list[Raise] = []
    lowest: dict[str, list[tuple[float, int]]] = {}  # what each place has to spare, and the stretch in which it lies
    for profile in profiles:
        for chain in _chains(profile, wanted_m):
            for stretch in _stretches(chain):
                lowest.setdefault(stretch[0].point.water, []).append((min(e.spare_m for e in stretch), len(found)))
                found.append(_raise(profile, stretch, settles))
    whole: dict[str, float] = {}  # least to spare outside all stretches
    for profile in profiles:
        for point in profile.points:
            want = wanted_m.get(point.water)
            if want is not None and _lacks_m(point, want) <= HAIR_M:
                whole[point.water] = min(whole.get(point.water, point.spare_m.value), point.spare_m.value)
    return tuple(_in_order(found, lowest, whole))


def _chains(profile: RimProfile, wanted_m: Mapping[str, float]) -> Iterator[list[_Lack]]:
    """Neighbours along a rim that hold the same water; on a closed rim the last goes on into the first."""
    rows = [_lack(p, wanted_m[p.water]) if p.water in wanted_m else None for p in profile.points]
    yield from _once_round(rows, profile.length_m) if profile.closed else _parts(rows)


def _lack(point: SparePoint, wanted_m: float) -> _Lack:
    spare = point.spare_m.value
    return _Lack(point.along_m, _lacks_m(point, wanted_m), wanted_m - spare, spare, point)


def _lacks_m(point: SparePoint, wanted_m: float) -> float:
    return wanted_m - (point.spare_m.value if point.ground_is == "guess" else point.spare_m.low)


def _once_round(rows: Sequence[_Lack | None], length_m: float) -> Iterator[list[_Lack]]:
    """The chains of a closed rim, begun where one begins; a whole ring of one water closes on its best place."""
    parted = [i for i, (a, b) in enumerate(pairwise((rows[-1], *rows))) if not _together(a, b)]
    if parted:
        yield from _parts(_turned(rows, parted[0], length_m)[:-1])
    else:
        best = min(range(len(rows)), key=lambda i: rows[i].lacks_m if rows[i] is not None else 0.0)  # type: ignore[union-attr]
        yield from _parts(_turned(rows, best, length_m))


def _parts(rows: Sequence[_Lack | None]) -> Iterator[list[_Lack]]:
    chain: list[_Lack] = []
    for each in rows:
        if chain and not _together(chain[-1], each):
            yield chain
            chain = []
        if each is not None:
            chain.append(each)
    if chain:
        yield chain


def _together(a: _Lack | None, b: _Lack | None) -> bool:
    return a is not None and b is not None and a.point.water == b.point.water


def _turned(rows: Sequence[_Lack | None], start: int, length_m: float) -> list[_Lack | None]:
    """The places of a closed rim from another beginning, once round and back to it."""
    beyond = [None if each is None else each._replace(along_m=each.along_m + length_m) for each in rows[: start + 1]]
    return [*rows[start:], *beyond]


def _stretches(chain: Sequence[_Lack]) -> Iterator[list[_Lack]]:
    """Runs of places that lack something, each with the places between points where it begins and ends."""
    run: list[_Lack] = [chain[0]] if chain[0].lacks_m > HAIR_M else []
    for a, b in pairwise(chain):
        crosses = (a.lacks_m > HAIR_M) != (b.lacks_m > HAIR_M)
        if crosses:
            run.append(_where_enough(a, b))
        if b.lacks_m > HAIR_M:
            run.append(b)
        elif run:
            yield run
            run = []
    if run:
        yield run


def _where_enough(a: _Lack, b: _Lack) -> _Lack:
    """The place between two at which nothing lacks."""
    share = min(max(a.lacks_m / (a.lacks_m - b.lacks_m), 0.0), 1.0)
    along = a.along_m + share * (b.along_m - a.along_m)
    lacking = a.point if a.lacks_m > b.lacks_m else b.point
    spare = a.spare_m + share * (b.spare_m - a.spare_m)
    return _Lack(along, 0.0, a.likely_m + a.spare_m - spare, spare, lacking)


def _raise(profile: RimProfile, stretch: Sequence[_Lack], settles: Mapping[str, float]) -> Raise:
    most = max(stretch, key=lambda each: each.lacks_m)
    path = most.point.path
    return Raise(
        rim=profile.path,
        path=path,
        from_m=stretch[0].along_m,
        to_m=stretch[-1].along_m,
        by_m=most.lacks_m,
        inch_gains_m=0.0,
        water=most.point.water,
        at=most.point.at,
        build_m=most.lacks_m / (1.0 - settles.get(path, 0.0)),
        likely_m=max(each.likely_m for each in stretch),
        **_on_bank(stretch),
    )


def _on_bank(stretch: Sequence[_Lack]) -> dict[str, Any]:
    """From where to where from the stream head, and on which side: a rim runs with its water to the left, up the left
    bank and down the right.
    """
    stations = [each.point.station_m for each in stretch if each.point.station_m is not None]
    if not stations:
        return {}
    turns = {b > a for a, b in pairwise(stations) if abs(b - a) > HAIR_M}
    sides = {frozenset({False}): "left", frozenset({True}): "right", frozenset({True, False}): "both"}
    return {"stations_m": (min(stations), max(stations)), "side": sides.get(frozenset(turns), "")}


def _first(each: Raise) -> tuple[bool, float, float]:
    return each.read_first, -each.by_m, each.from_m - each.to_m


def _in_order(
    found: Sequence[Raise],
    lowest: Mapping[str, Sequence[tuple[float, int]]],
    whole: Mapping[str, float],
) -> Iterator[Raise]:
    """What lacks by its likeliest levels first, of that what lacks most; with each, what its first inch gains when
    those before it have been raised.
    """
    least = {row: spare for rows in lowest.values() for spare, row in rows}
    done: set[int] = set()
    for row in sorted(range(len(found)), key=lambda i: _first(found[i])):
        water = found[row].water
        rest = [spare + (found[i].by_m if i in done else 0.0) for spare, i in lowest[water] if i != row]
        others = min([*rest, whole.get(water, float("inf"))])
        gains = min(least[row] + INCH_M, others) - min(least[row], others)
        done.add(row)
        yield replace(found[row], inch_gains_m=gains)
