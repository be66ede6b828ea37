"""Stakes: set-out points with the level wanted of each surface."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from msgspec.structs import replace

from rillwright.build.pegs import pegged
from rillwright.build.result import Stake
from rillwright.earth import level_on, place_at
from rillwright.feature import XY, Body, Fall, Feature, Origin, Plunge, Reach, Rim, Stream, quarters
from rillwright.shape import LongSection, PondShape, Shape
from rillwright.water import Water

PART = "part-"  # begins the place of a point on one of several parts of an edge, as @part-1
_SAME_M = 1e-6


def stakes_of(feature: Feature, shape: Shape, water: Water, *, sections: tuple[LongSection, ...]) -> tuple[Stake, ...]:
    """All stakes in the order in which they are walked: bodies and their rims, streams from the head down, overflows.

    Ids s1, s2 ... follow that order. The ground at the stakes of a stream is that of its long section in `sections`.
    """
    found: list[Stake] = []
    for body in feature.bodies:
        found += _outline_stakes(feature, body, shape.pond(body.id))
        found += [_rim_stake(rim, body) for rim in body.rims]
    for stream in feature.streams:
        ground = next((one.ground for one in sections if one.stream == stream.id and not one.ground_guessed), None)
        found += [
            stake
            if ground is None or stake.station_m is None
            else replace(stake, ground_m=level_on(ground, stake.station_m))
            for stake in _stream_stakes(feature, stream, water)
        ]
    found += [stake for body in feature.bodies for stake in _overflow_stake(body)]
    numbered = tuple(replace(stake, id=f"s{number}") for number, stake in enumerate(found, start=1))
    return pegged(feature, numbered, offset_m=feature.site.stake_offset_m)


def _stake(
    path: str,
    text: str,
    at: XY | None,
    *,
    shot_at: str,
    station_m: float | None = None,
    dig_m: float | None = None,
    liner_m: float | None = None,
    bed_m: float | None = None,
    stone_top_m: float | None = None,
    water_m: float | None = None,
) -> Stake:
    return Stake(
        id="",
        path=path,
        text=text,
        at=at,
        station_m=station_m,
        dig_m=dig_m,
        liner_m=liner_m,
        stone_top_m=stone_top_m,
        water_m=water_m,
        bed_m=bed_m,
        shot_at=shot_at,
    )


def _outline_stakes(feature: Feature, body: Body, pond: PondShape) -> list[Stake]:
    """The quarter points of waterline, shelf edges and floor. Liner and dig are of the surface there.

    An edge that falls into parts, such as a floor on both sides of a narrow place, has its points on each of them.
    """
    found = []
    sides = quarters(feature, body)
    for edge in _edges(feature, body, pond):
        water, floor = edge.part == "waterline", edge.part == "floor"
        liner = edge.level_m - body.gravel_m if floor else edge.level_m
        found += [
            _stake(
                f"ponds/{body.id}",
                f"{body.id}, {edge.words}, {quarter.words}",
                at,
                shot_at=f"ponds/{body.id}.{edge.part}_{quarter.id}{edge.place}",
                dig_m=liner - feature.liner.under_m,
                liner_m=liner,
                bed_m=edge.level_m if floor and body.gravel_m > 0.0 else None,
                water_m=body.waterline.m if water else None,
            )
            for quarter, at in zip(sides, _quarter_points(edge.ring, sides[0].turn_rad), strict=True)
        ]
    return found


class _Edge(NamedTuple):
    """An outline to be staked: its part of a path, which of several it is, its words."""

    level_m: float
    ring: tuple[XY, ...]
    part: str
    words: str
    place: str = ""


def _edges(feature: Feature, body: Body, pond: PondShape) -> list[_Edge]:
    """The outlines with their names; several at one level are numbered, and told by their sides."""
    same: dict[str, list[_Edge]] = {}
    for edge in (_edge(body, pond, level, ring) for level, ring in pond.rings):
        same.setdefault(edge.part, []).append(edge)
    return [edge for edges in same.values() for edge in (edges if len(edges) == 1 else _parts(feature, body, edges))]


def _edge(body: Body, pond: PondShape, level_m: float, ring: tuple[XY, ...]) -> _Edge:
    if abs(level_m - body.waterline.m) < _SAME_M:
        return _Edge(level_m, ring, "waterline", "waterline")
    if abs(level_m - pond.floor_m) < _SAME_M:
        return _Edge(level_m, ring, "floor", "edge of the floor")
    others = [other for at, other in pond.rings if at == level_m and other is not ring]
    side = "inner" if any(_lies_in(ring, other) for other in others) else "outer"
    return _Edge(level_m, ring, f"shelf_{side}", f"{side} edge of the shelf")


def _lies_in(ring: tuple[XY, ...], other: tuple[XY, ...]) -> bool:
    import shapely

    return bool(shapely.Polygon(other).covers(shapely.Polygon(ring)))


def _parts(feature: Feature, body: Body, edges: list[_Edge]) -> list[_Edge]:
    """Parts of one edge, clockwise from the first side of the body, each with the side that lies nearest."""
    import shapely

    sides = quarters(feature, body)
    middle = shapely.Polygon(body.outline).centroid

    def turn(edge: _Edge) -> float:
        own = shapely.Polygon(edge.ring).centroid
        return (math.atan2(own.x - middle.x, own.y - middle.y) - sides[0].turn_rad) % (2.0 * math.pi)

    return [
        edge._replace(
            place=f"@{PART}{number}",
            words=f"{edge.words}, part {number} ({sides[round(turn(edge) / (0.5 * math.pi)) % 4].words})",
        )
        for number, edge in enumerate(sorted(edges, key=turn), start=1)
    ]


@lru_cache(maxsize=64)
def _quarter_points(ring: tuple[XY, ...], first_rad: float) -> tuple[XY, ...]:
    """Where the outline is met last from its middle: in four directions, clockwise from the first [rad]."""
    import shapely

    polygon = shapely.Polygon(ring)
    middle = polygon.centroid if polygon.covers(polygon.centroid) else polygon.representative_point()
    x, y = float(middle.x), float(middle.y)
    low_x, low_y, high_x, high_y = polygon.bounds
    far = 2.0 * math.hypot(high_x - low_x, high_y - low_y)
    found = []
    for quarter in range(4):
        turn = first_rad + 0.5 * math.pi * quarter
        ray = shapely.LineString([(x, y), (x + far * math.sin(turn), y + far * math.cos(turn))])
        met = shapely.get_coordinates(shapely.intersection(ray, polygon.exterior))
        best = max(met, key=lambda point: math.hypot(point[0] - x, point[1] - y))
        found.append((float(best[0]), float(best[1])))
    return tuple(found)


def _rim_stake(rim: Rim, body: Body) -> Stake:
    """The liner's edge as it is to be built, before its fill settles."""
    text = f"rim {rim.id}" + (", before it settles" if rim.berm_m > 0.0 else "")
    built = rim.ground.m + rim.berm_m
    stake = _stake(
        f"rims/{rim.id}", text, rim.at, shot_at=f"rims/{rim.id}.top", liner_m=built, water_m=body.waterline.m
    )
    read = rim.ground.origin in (Origin.MEASURED, Origin.BUILT)
    return replace(stake, settles_m=built - rim.finished_m, ground_m=rim.ground.m if read else None)


def _overflow_stake(body: Body) -> Iterator[Stake]:
    """The sill of an overflow, where somebody said where it lies: the liner under it holds the water that high."""
    if body.overflow is not None and body.overflow.at is not None:
        yield _stake(
            f"ponds/{body.id}",
            f"{body.id}, sill of the overflow",
            body.overflow.at,
            shot_at=f"ponds/{body.id}.overflow",
            liner_m=body.overflow.level.m,
            water_m=body.waterline.m,
        )


def _stream_stakes(feature: Feature, stream: Stream, water: Water) -> list[Stake]:
    found: list[Stake] = []
    gravel_m = stream.reaches[0].gravel_m
    for link in stream.links:
        if isinstance(link, Reach):
            reach_stakes = _reach_stakes(feature, stream, link, water)
            pool = stream.plunge_in(link)
            found += [*reach_stakes[:1], *_pool_stakes(feature, stream, link, pool), *reach_stakes[1:]]
            gravel_m = link.gravel_m
        else:
            found.append(_crest_stake(feature, stream, link, water=water, gravel_m=gravel_m))
    return found


def _reach_stakes(feature: Feature, stream: Stream, reach: Reach, water: Water) -> list[Stake]:
    wet = next(one for one in water.reaches if one.reach == reach.id)
    begins = f"{reach.id} begins" if reach.station_m > 0.0 else f"stream head, {reach.id} begins"
    ends = (
        (begins, "start", reach.station_m, reach.bed_start.m, wet.running_start_m.value),
        (f"{reach.id} ends", "end", reach.station_m + reach.length_m, reach.bed_end.m, wet.running_end_m.value),
    )
    dry = f"reaches/{reach.id}" in water.unfed
    return [
        replace(_bed_stake(feature, stream, reach, (text, part, station, bed)), water_m=None if dry else running)
        for text, part, station, bed, running in ends
    ]


def _bed_stake(feature: Feature, stream: Stream, reach: Reach, at: tuple[str, str, float, float]) -> Stake:
    """A stake in a bed: what is said of it, the part that is shot, its station and the level of the bed there [m]."""
    text, part, station, bed = at
    return _stake(
        f"reaches/{reach.id}",
        text,
        place_at(stream, station),
        shot_at=f"reaches/{reach.id}.{part}",
        station_m=station,
        dig_m=bed - reach.gravel_m - feature.liner.under_m,
        liner_m=bed - reach.gravel_m,
        bed_m=bed,
    )


def _pool_stakes(feature: Feature, stream: Stream, reach: Reach, pool: Plunge | None) -> list[Stake]:
    """The floor of the plunge pool under its fall, in its middle, and the lip behind its far wall."""
    if pool is None:
        return []
    middle, out = reach.station_m + 0.5 * pool.length_m, reach.station_m + pool.length_m
    places = (
        (f"{reach.id}, floor of the plunge pool", "plunge_floor", middle, reach.bed_start.m - pool.depth_m),
        (f"{reach.id}, far lip of the plunge pool", "plunge_lip", out, reach.bed_at_m(out)),
    )
    return [_bed_stake(feature, stream, reach, at) for at in places]


def _crest_stake(feature: Feature, stream: Stream, fall: Fall, *, water: Water, gravel_m: float) -> Stake:
    """Top of the spill stone; liner and dig as they pass under the upper bed's end, behind the face."""
    wet = next(one for one in water.crests if one.fall == fall.id)
    above = next((reach for reach in stream.reaches if reach.downstream == fall.upstream), None)
    liner = above.bed_end.m - gravel_m if above is not None else None
    return _stake(
        f"falls/{fall.id}",
        f"crest of {fall.id}",
        place_at(stream, fall.station_m),
        shot_at=f"falls/{fall.id}.crest",
        station_m=fall.station_m,
        dig_m=None if liner is None else liner - feature.liner.under_m,
        liner_m=liner,
        stone_top_m=fall.crest.m,
        water_m=None if wet.path in water.unfed else fall.crest.m + wet.depth_m.value,
    )
