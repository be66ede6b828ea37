"""Pegs stand off the work: square to the stream's line, or outward from a pond's outline."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import NamedTuple

from msgspec.structs import replace

from rillwright.build.lines import Line, clear_m, direction_at, inside, line_of, nearest
from rillwright.build.result import Peg, Stake
from rillwright.feature import XY, Feature, Stream

_FARTHER = (1, 2, 3)  # offsets that are tried one after the other where another part of the work lies in the way
_HAIR_M = 1e-6


def pegged(feature: Feature, stakes: Iterable[Stake], *, offset_m: float) -> tuple[Stake, ...]:
    """The stakes with their pegs `offset_m` [m] clear of the work; a stake without a place has none.

    Along a stream a peg stands square to its line, beyond bed and splash, to the left; to the right where the left is
    taken. Round a pond it stands outward from its outline. Where another part of the work lies there, it is set two or
    three offsets off.
    """
    standing = tuple(stakes)
    spots = tuple(_Spot(stake.path, stake.at, stake.station_m) for stake in standing)
    pegs = _pegs(_Drawn(feature), spots, offset_m)
    return tuple(replace(stake, peg=peg) for stake, peg in zip(standing, pegs, strict=True))


class _Spot(NamedTuple):
    """What decides where a stake's peg stands; its levels do not."""

    path: str
    at: XY | None
    station_m: float | None


class _Drawn:
    """A feature as it is drawn in plan: two that differ in levels alone are the same."""

    def __init__(self, feature: Feature) -> None:
        self.feature = feature
        self._said = (
            tuple((body.id, body.outline, tuple(rim.id for rim in body.rims)) for body in feature.bodies),
            tuple(
                (stream.id, stream.path, stream.length_m, stream.width_m, stream.splash_m) for stream in feature.streams
            ),
            tuple(
                (reach.id, reach.stream, reach.station_m, reach.length_m, reach.width_m) for reach in feature.reaches
            ),
            tuple((fall.id, fall.stream, fall.station_m, fall.crest_width_m) for fall in feature.falls),
        )

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Drawn) and self._said == other._said

    def __hash__(self) -> int:
        return hash(self._said)


@lru_cache(maxsize=16)
def _pegs(drawn: _Drawn, spots: tuple[_Spot, ...], offset_m: float) -> tuple[Peg | None, ...]:
    work = _Work(drawn.feature)
    return tuple(_peg(work, spot, offset_m) for spot in spots)


class _Work:
    """All that is dug, as lines: streams with half their width, bodies with their outline."""

    def __init__(self, feature: Feature) -> None:
        self.streams = [(stream, line_of(stream.path)) for stream in feature.streams]
        self.bodies = [(body, line_of((*body.outline, body.outline[0]))) for body in feature.bodies]
        self.stream_of = {f"reaches/{reach.id}": one for one in self.streams for reach in one[0].reaches}
        self.stream_of |= {f"falls/{fall.id}": one for one in self.streams for fall in one[0].falls}
        self.outline_of = {f"ponds/{body.id}": line for body, line in self.bodies}
        self.outline_of |= {f"rims/{rim.id}": line for body, line in self.bodies for rim in body.rims}

    def room_m(self, at: XY) -> float:
        """From a place to the nearest work [m]; negative within it."""
        rooms = []
        for stream, line in self.streams:
            found = nearest(line, at)
            station = found.along_m / line.length_m * stream.length_m if line.length_m > 0.0 else 0.0
            rooms.append(found.distance_m - half_work_m(stream, station))
        for _, line in self.bodies:
            rooms.append(clear_m(line, at))
        return min(rooms, default=math.inf)


def _peg(work: _Work, stake: _Spot, offset_m: float) -> Peg | None:
    """The first that has room, half an offset at least; else the one with most."""
    best: tuple[float, Peg] | None = None
    for peg in _tried(work, stake, offset_m):
        room = work.room_m(peg.at)
        if room >= 0.5 * offset_m:
            return peg
        if best is None or room > best[0]:
            best = (room, peg)
    return None if best is None else replace(best[1], clear=False)


def _tried(work: _Work, stake: _Spot, offset_m: float) -> Iterator[Peg]:
    """Where the peg may stand, the nearest first; along a stream the left first."""
    if stake.at is None:
        return
    for times in _FARTHER:
        off = times * offset_m
        if stake.path in work.stream_of and stake.station_m is not None:
            stream, line = work.stream_of[stake.path]
            for left in (True, False):
                yield _aside(stream, line, stake.station_m, at=stake.at, offset_m=off, left=left)
        elif stake.path in work.outline_of:
            yield _outward(work.outline_of[stake.path], stake.at, off)


def half_work_m(stream: Stream, station_m: float) -> float:
    """Half of what is dug or lined across a stream [m] at a station [m]: half the wider bed there, and its splash."""
    widths = [
        reach.width_m
        for reach in stream.reaches
        if reach.station_m - _HAIR_M <= station_m <= reach.station_m + reach.length_m + _HAIR_M
    ]
    crests = [fall.crest_width_m for fall in stream.falls if abs(fall.station_m - station_m) < _HAIR_M]
    return 0.5 * max([*widths, *crests], default=stream.width_m) + stream.splash_m


def _aside(stream: Stream, line: Line, station_m: float, *, at: XY, offset_m: float, left: bool) -> Peg:
    share = station_m / stream.length_m if stream.length_m > 0.0 else 0.0
    x, y = direction_at(line, share * line.length_m)
    turn = 1.0 if left else -1.0
    away = half_work_m(stream, station_m) + offset_m
    way = f"to the {'left' if left else 'right'}, looking downstream"
    return Peg(
        at=(at[0] - turn * y * away, at[1] + turn * x * away), offset_m=offset_m, away_m=away, way=way, clear=True
    )


def _outward(outline: Line, at: XY, offset_m: float) -> Peg:
    """From the nearest place on the outline outward; a point beyond the outline keeps its own distance from it."""
    found = nearest(outline, at)
    within = inside(outline, at)
    if found.distance_m > _HAIR_M:
        sign = (1.0 if within else -1.0) / found.distance_m
        x, y = sign * (found.foot[0] - at[0]), sign * (found.foot[1] - at[1])
    else:  # on the outline: square to it, to the right of one that runs counter-clockwise
        along = direction_at(outline, found.along_m)
        x, y = along[1], -along[0]
    start = found.foot if within or found.distance_m <= _HAIR_M else at
    peg = (start[0] + x * offset_m, start[1] + y * offset_m)
    return Peg(at=peg, offset_m=offset_m, away_m=math.dist(peg, at), way="outward from the outline", clear=True)
