"""One stream cut along its centre line, down through the body that it runs into.

The stack, from below: dig, underlay, liner, gravel whose top is the bed. Along a reach they run parallel. At a fall the
dug face stands upright behind the stones, one spill stone's depth back from the crest: there the lower liner rises to
the top of its upturn, or to the crest where no lap is, before the upper bed begins.
"""

from __future__ import annotations

import itertools
import math

from rillwright.feature import XY, Body, Fall, Feature, Reach, Rim, Stream
from rillwright.shape.far_rim import dug_to_ground, far_rim, over_rim
from rillwright.shape.ground import ground_line
from rillwright.shape.joints import across_bed, liner_foot_m
from rillwright.shape.profile import profile
from rillwright.shape.result import Line, LongSection, PondShape, StoneOutline
from rillwright.shape.slices import Slices
from rillwright.sources import default

Points = list[tuple[float, float]]


def long_section(feature: Feature, stream: Stream, pond: PondShape, slices: Slices) -> LongSection:
    """The long section of a stream and its body, stations [m] from the stream head."""
    body, spec = feature.body(stream.into), feature.liner
    length = stream.length_m
    onward = _through_body(stream, body, slices) if stream.joins is None else across_bed(feature, stream)
    below = tuple((length + at, level) for at, level in onward)
    upturns = {lap.at.removeprefix("falls/"): lap.upturn.m for lap in feature.laps}
    liner = _liner(feature, stream, upturns)
    bed = [point for reach in stream.reaches for point in _along(stream, reach, 0.0)]
    rim = far_rim(body, _far(stream, body, below)) if below and stream.joins is None else None
    held_m = min(spec.spare_m, default("liner.held").number)
    over: Line = over_rim(body, rim, end_m=below[-1][0], held_m=held_m) if rim else ()
    if below and stream.joins is not None:
        over = ((below[-1][0] + held_m, below[-1][1]),)
    ground = ground_line(feature, stream, far_m=(over or below)[-1][0] if below else length)
    return LongSection(
        stream=stream.id,
        length_m=length,
        ground=ground.line,
        ground_guessed=ground.guessed,
        dig=_dig(feature, stream, below, rim),
        liner=_once([*liner, *below, *over]),
        bed=_once([*bed, *_bed_of(below, _floor_m(feature, stream, pond))]),
        stones=tuple(stone for fall in stream.falls for stone in _stones(feature, stream, fall)),
        ground_known=ground.known,
    )


def _through_body(stream: Stream, body: Body, slices: Slices) -> Line:
    """Profile of the body straight on from the stream's end, or through its middle where that misses it."""
    import shapely

    end, before = stream.path[-1], stream.path[-2]
    onward: XY = (end[0] - before[0], end[1] - before[1])
    middle = shapely.get_coordinates(shapely.Polygon(body.outline).centroid)[0]
    inward: XY = (float(middle[0]) - end[0], float(middle[1]) - end[1])
    for way in (onward, inward):
        if math.hypot(*way) > 1e-6:
            found = profile(slices, waterline_m=body.waterline.m, through=end, towards=way)
            if found:
                return found
    return ()


def _ends(reach: Reach, under_m: float) -> Points:
    start, end = reach.station_m, reach.station_m + reach.length_m
    return [(start, reach.bed_start.m - under_m), (end, reach.bed_end.m - under_m)]


def _along(stream: Stream, reach: Reach, under_m: float, *, wall_m: float = 0.0) -> Points:
    """A reach from end to end [m], down into its plunge pool and, `wall_m` [m] behind its far wall, up out of it."""
    pool = stream.plunge_in(reach)
    (start, first), last = _ends(reach, under_m)
    if pool is None:
        return [(start, first), last]
    floor, out = first - pool.depth_m, start + pool.length_m + wall_m
    return [(start, floor), (out, floor), (out, reach.bed_at_m(out) - under_m), last]


def _back_m(stream: Stream, fall: Fall) -> float:
    """How far the dug face stands behind the crest [m]: a spill stone's depth, at most half the reach above."""
    above = [reach.length_m for reach in stream.reaches if reach.downstream == fall.upstream]
    return min([fall.stone_depth_m, *(0.5 * length for length in above)])


def _liner(feature: Feature, stream: Stream, upturns: dict[str, float], *, wall_m: float = 0.0) -> Points:
    points: Points = []
    gravel = 0.0
    for link in stream.links:
        if isinstance(link, Reach):
            points += _along(stream, link, link.gravel_m, wall_m=wall_m)
            gravel = link.gravel_m
            continue
        face = link.station_m - _back_m(stream, link)
        upper = _level_at(points, face) if points else link.crest.m - link.stone_m - gravel
        points = [point for point in points if point[0] < face]
        lower = liner_foot_m(feature, stream, link)
        top = max(upper, upturns.get(link.id, link.crest.m))
        points += [(face, upper), (face, top), (face, lower), (link.station_m, lower)]
    return points


def _far(stream: Stream, body: Body, below: Line) -> XY:
    """About where the section leaves the body [m]: as far on through its middle as it is wide there."""
    end = stream.path[-1]
    xs, ys = zip(*body.outline, strict=True)
    onward = (sum(xs) / len(xs) - end[0], sum(ys) / len(ys) - end[1])
    size, wide = math.hypot(*onward), below[-1][0] - stream.length_m
    return (end[0] + onward[0] / size * wide, end[1] + onward[1] / size * wide) if size > 0.0 else end


def _dig(feature: Feature, stream: Stream, below: Line, rim: Rim | None) -> Line:
    """As the liner without its upturns, lower by liner and underlay; behind the body's sides by as much."""
    body, under = feature.body(stream.into), feature.liner.under_m
    no_upturns = {fall.id: -math.inf for fall in stream.falls}
    points = [(at, level - under) for at, level in _liner(feature, stream, no_upturns, wall_m=under)]
    hole = [(at, level - under) for at, level in below]
    if hole and stream.joins is not None:
        hole[-1] = (hole[-1][0] + under, hole[-1][1] + under)
    elif hole:
        hole[0], hole[-1] = (hole[0][0] - under, hole[0][1] + under), (hole[-1][0] + under, hole[-1][1] + under)
        points = [point for point in points if point[0] < hole[0][0]]
        if rim is not None:
            hole += dug_to_ground(body, rim, end_m=below[-1][0], under_m=under)
    return _once([*points, *hole])


def _floor_m(feature: Feature, stream: Stream, pond: PondShape) -> float:
    """Level of the top of the gravel [m] past the stream's end: on its body's floor, or on the bed that it joins."""
    return pond.floor_m if stream.joins is None else feature.foot_m(stream, stream.falls[-1])


def _level_at(points: Points, station_m: float) -> float:
    (a, low), (b, high) = points[-2:]
    return low + (high - low) * (station_m - a) / (b - a) if b > a else high


def _bed_of(below: Line, floor_m: float) -> Points:
    """The body's surface with its gravel in: no lower than the floor."""
    points: Points = []
    for (a, high), (b, low) in itertools.pairwise(below):
        points.append((a, max(high, floor_m)))
        if (high - floor_m) * (low - floor_m) < 0.0:
            points.append((a + (b - a) * (high - floor_m) / (high - low), floor_m))
    return [*points, *((at, max(level, floor_m)) for at, level in below[-1:])]


def _stones(feature: Feature, stream: Stream, fall: Fall) -> list[StoneOutline]:
    """The spill stone, and the face of stones that carries it where there is room for one."""
    front, back = fall.station_m, fall.station_m - _back_m(stream, fall)
    top, under, foot = fall.crest.m, fall.crest.m - fall.stone_m, liner_foot_m(feature, stream, fall)
    found = [StoneOutline(fall=fall.id, kind="spill", corners=_box(back, front, under, top))]
    if under > foot:
        found.append(StoneOutline(fall=fall.id, kind="face", corners=_box(back, front, foot, under)))
    return found


def _box(back_m: float, front_m: float, low_m: float, high_m: float) -> Line:
    return ((back_m, low_m), (front_m, low_m), (front_m, high_m), (back_m, high_m))


def _once(points: Points) -> Line:
    return tuple(point for i, point in enumerate(points) if i == 0 or point != points[i - 1])
