"""Pegs stand off the work: square to the stream's line, or outward from a pond's outline."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from rillwright.build.result import Peg, Stake
from rillwright.feature import XY, Body, Feature, Stream

_FARTHER = (1, 2, 3)  # offsets that are tried one after the other where another part of the work lies in the way
_AHEAD_M = 1e-4


def pegged(feature: Feature, stakes: Iterable[Stake], *, offset_m: float) -> tuple[Stake, ...]:
    """The stakes with their pegs `offset_m` [m] clear of the work; a stake without a place has none.

    Along a stream a peg stands square to its line, beyond bed and splash, to the left; to the right where the left is
    taken. Round a pond it stands outward from its outline. Where another part of the work lies there, it is set two or
    three offsets off.
    """
    return tuple(replace(stake, peg=_peg(feature, stake, offset_m)) for stake in stakes)


def _peg(feature: Feature, stake: Stake, offset_m: float) -> Peg | None:
    if stake.at is None:
        return None
    found = [_judged(feature, peg) for peg in _tried(feature, stake, stake.at, offset_m)]
    if not found:
        return None
    clear = [peg for peg, room in found if room >= 0.5 * offset_m]
    best = clear[0] if clear else max(found, key=lambda one: one[1])[0]
    return replace(best, clear=bool(clear))


def _tried(feature: Feature, stake: Stake, at: XY, offset_m: float) -> Iterator[Peg]:
    """Where the peg may stand, the nearest first; along a stream the left first."""
    stream = next((one for one in feature.streams if stake.station_m is not None and _has(one, stake.path)), None)
    for times in _FARTHER:
        off = times * offset_m
        if stream is None:
            body = _body_of(feature, stake.path)
            if body is not None:
                yield _outward(body, at, off)
        else:
            for left in (True, False):
                yield _aside(stream, stake.station_m or 0.0, at=at, offset_m=off, left=left)


def _has(stream: Stream, path: str) -> bool:
    return path.partition("/")[2] in {link.id for link in stream.links}


def _body_of(feature: Feature, path: str) -> Body | None:
    id = path.partition("/")[2]
    return next((body for body in feature.bodies if body.id == id or id in {rim.id for rim in body.rims}), None)


def half_work_m(stream: Stream, station_m: float) -> float:
    """Half of what is dug or lined across a stream [m] at a station [m]: half the wider bed there, and its splash."""
    widths = [
        reach.width_m
        for reach in stream.reaches
        if reach.station_m - 1e-6 <= station_m <= reach.station_m + reach.length_m + 1e-6
    ]
    crests = [fall.crest_width_m for fall in stream.falls if abs(fall.station_m - station_m) < 1e-6]
    return 0.5 * max([*widths, *crests], default=stream.width_m) + stream.splash_m


def _aside(stream: Stream, station_m: float, *, at: XY, offset_m: float, left: bool) -> Peg:
    x, y = _way(stream, station_m)
    turn = 1.0 if left else -1.0
    away = half_work_m(stream, station_m) + offset_m
    way = f"to the {'left' if left else 'right'}, looking downstream"
    return Peg(
        at=(at[0] - turn * y * away, at[1] + turn * x * away), offset_m=offset_m, away_m=away, way=way, clear=True
    )


def _way(stream: Stream, station_m: float) -> XY:
    """Direction of flow at a station [m]; at a bend, half way between the two."""
    import shapely

    line = shapely.LineString(stream.path)
    share = station_m / stream.length_m if stream.length_m > 0.0 else 0.0
    middle = share * line.length
    a = line.interpolate(max(middle - _AHEAD_M, 0.0))
    b = line.interpolate(min(middle + _AHEAD_M, line.length))
    long = math.hypot(b.x - a.x, b.y - a.y) or 1.0
    return float(b.x - a.x) / long, float(b.y - a.y) / long


def _outward(body: Body, at: XY, offset_m: float) -> Peg:
    """From the nearest place on the outline outward; a point beyond the outline keeps its own distance from it."""
    import shapely

    outline = shapely.Polygon(body.outline)
    point = shapely.Point(at)
    ring = outline.exterior
    along = ring.project(point)
    foot = ring.interpolate(along)
    inside = float(foot.distance(point))
    if inside > 1e-6:
        sign = 1.0 if outline.covers(point) else -1.0
        x, y = sign * (foot.x - point.x) / inside, sign * (foot.y - point.y) / inside
    else:
        x, y = _square(ring, along)
    start = foot if outline.covers(point) or inside <= 1e-6 else point
    peg = (float(start.x + x * offset_m), float(start.y + y * offset_m))
    return Peg(at=peg, offset_m=offset_m, away_m=math.dist(peg, at), way="outward from the outline", clear=True)


def _square(ring: object, along_m: float) -> XY:
    """Outward, square to a counter-clockwise ring at a length along it [m]; at a corner, half way between its edges."""
    import shapely

    assert isinstance(ring, shapely.LinearRing)
    a = ring.interpolate((along_m - _AHEAD_M) % ring.length)
    b = ring.interpolate((along_m + _AHEAD_M) % ring.length)
    long = math.hypot(b.x - a.x, b.y - a.y) or 1.0
    turn = 1.0 if ring.is_ccw else -1.0
    return turn * float(b.y - a.y) / long, -turn * float(b.x - a.x) / long


def _judged(feature: Feature, peg: Peg) -> tuple[Peg, float]:
    """The peg, and the room between it and all that is dug [m]; negative where it stands in the work."""
    import shapely

    point = shapely.Point(peg.at)
    rooms = []
    for stream in feature.streams:
        line = shapely.LineString(stream.path)
        station = float(line.project(point, normalized=True)) * stream.length_m
        rooms.append(float(line.distance(point)) - half_work_m(stream, station))
    for body in feature.bodies:
        outline = shapely.Polygon(body.outline)
        distance = float(outline.exterior.distance(point))
        rooms.append(-distance if outline.covers(point) else distance)
    return peg, min(rooms, default=math.inf)
