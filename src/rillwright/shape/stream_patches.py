"""A stream as areas with levels: bed, banks, the place under each spill stone and, on top, the stone itself."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.shape.course import Course, bank_run_m
from rillwright.shape.joints import liner_foot_m
from rillwright.shape.laying import Levels, Patch, part_way
from rillwright.shape.pond_patches import flat
from rillwright.shape.rim_levels import Edges, rulings
from rillwright.shape.sides import inset, polygon_of

Floats = NDArray[np.float64]
LEAST_M = 1e-6
OVER_M = 0.02  # areas reach so far over the liner's edge, by which they are cut


class Zone(Struct, frozen=True, kw_only=True):
    """A length of stream with one bed: a reach, or what lies under a spill stone, from the dug face to the crest.

    Stations [m]; levels of the liner at both ends [m], and of what lies on it (gravel's top, or the spill stone's). The
    bed is sunk by `pool_m` [m] where it is that of a plunge pool, upright from the foot of the banks.
    """

    path: str
    first_m: float
    last_m: float
    levels: tuple[float, float]
    tops: tuple[float, float]
    fall: Fall | None
    reach: Reach  # itself, or the one above the fall
    pool_m: float = 0.0


class Layer(Struct, frozen=True, kw_only=True):
    """Which surface is made: `under_m` [m] under the liner, or with gravel and stone where `filled`."""

    under_m: float
    filled: bool


def zones_of(feature: Feature, stream: Stream, *, under_m: float) -> tuple[Zone, ...]:
    """The stream from its head, parted at the dug faces of its falls and at its crests."""
    found: list[Zone] = []
    start = 0.0
    above = stream.reaches[0]
    for number, link in enumerate(stream.links):
        after = stream.links[number + 1] if number + 1 < len(stream.links) else None
        if isinstance(link, Reach):
            above = link
            end = link.station_m + link.length_m
            if isinstance(after, Fall):
                end -= _back_m(stream, after) + under_m
            end = max(end, start)
            pool = stream.plunge_in(link)
            if pool is not None:
                out = min(link.station_m + pool.length_m + under_m, end)
                found.append(_bed_zone(link, start, out, pool_m=pool.depth_m))
                start = out
            found.append(_bed_zone(link, start, end))
            start = end
        else:
            pool_m = 0.0 if link.plunge is None else link.plunge.depth_m
            foot = liner_foot_m(feature, stream, link) + pool_m
            path, end = f"falls/{link.id}", max(link.station_m, start)
            levels, tops = (foot, foot), (link.crest.m, link.crest.m)
            zone = Zone(path=path, first_m=start, last_m=end, levels=levels, tops=tops, fall=link, reach=above)
            found.append(replace(zone, pool_m=pool_m))
            start = end
    return tuple(zone for zone in found if zone.last_m - zone.first_m > LEAST_M)


def _bed_zone(reach: Reach, first_m: float, last_m: float, *, pool_m: float = 0.0) -> Zone:
    tops = (_bed_m(reach, first_m), _bed_m(reach, last_m))
    levels = (tops[0] - reach.gravel_m, tops[1] - reach.gravel_m)
    return Zone(
        path=f"reaches/{reach.id}", first_m=first_m, last_m=last_m, levels=levels, tops=tops, fall=None, reach=reach,
        pool_m=pool_m,
    )  # fmt: skip


def _back_m(stream: Stream, fall: Fall) -> float:
    """How far the dug face stands behind the crest [m]: a spill stone's depth, at most half the reach above."""
    above = [reach.length_m for reach in stream.reaches if reach.downstream == fall.upstream]
    return min([fall.stone_depth_m, *(0.5 * length for length in above)])


def _bed_m(reach: Reach, station_m: float) -> float:
    share = (station_m - reach.station_m) / reach.length_m
    return reach.bed_start.m + (reach.bed_end.m - reach.bed_start.m) * share


def stream_patches(
    course: Course, zones: tuple[Zone, ...], layer: Layer, *, edges: Edges, past_m: float
) -> tuple[list[Patch], list[Patch]]:
    """The areas of one stream: its beds and spill stones, and its banks."""
    import shapely

    beds: list[Patch] = []
    banks: list[Patch] = []
    for number, zone in enumerate(zones):
        first, last = number == 0, number == len(zones) - 1
        piece = _part(course, zone, past_m=past_m if last else 0.0)
        slope = _bank_slope(zone.reach)
        out = layer.under_m * math.hypot(1.0, slope) / slope if slope > 0.0 else layer.under_m
        inset = _floor_inset_m(zone.reach)
        floor = (out - layer.under_m / slope if slope > 0.0 else out) - inset
        beyond = _beyond(course, zone)
        bed = _less_islands(_widened(piece, by_m=floor, edge=False), zone, out_m=out)
        bed = shapely.difference(bed, beyond)
        head = course.head_run_m + out + OVER_M if first else 0.0
        whole = shapely.difference(_widened(piece, by_m=out + OVER_M, edge=True, head_m=head), beyond)
        own = edges.of((f"reaches/{zone.reach.id}",))
        along = _along(course, zone, zone.levels, down_m=layer.under_m, out_m=floor)
        levels = _banked(bed, along, own)
        if zone.pool_m > 0.0 and not (layer.filled and zone.fall is not None):
            area = shapely.difference(_widened(piece, by_m=layer.under_m - inset, edge=False), beyond)
            bottom = (zone.tops if layer.filled else zone.levels)[0] - zone.pool_m - layer.under_m
            beds.append(Patch(zone.path, area, flat(bottom)))
        if layer.filled and zone.fall is not None:
            beds += _stones(course, zone)
            banks.append(Patch(zone.path, whole, _tops(own)))
            continue
        if layer.filled:
            wide = _widened(piece, by_m=_gravel_out_m(zone.reach), edge=False)
            wide = shapely.difference(_less_islands(wide, zone, out_m=0.0), beyond)
            gravel = _along(course, zone, zone.tops, down_m=0.0)
            beds.append(Patch(zone.path, wide, gravel, _middle(piece, zone, edges=True)))
            banks.append(Patch(zone.path, whole, _higher(gravel, levels), rulings(own, wide, area=whole)))
            continue
        beds.append(Patch(zone.path, bed, along, _middle(piece, zone)))
        banks.append(Patch(zone.path, whole, levels, rulings(own, bed, area=whole)))
    return beds, banks


def _middle(piece: Course, zone: Zone, *, edges: bool = False) -> tuple[Any, ...]:
    """The line along which a dished bed is lowest, and its edges."""
    import shapely

    if zone.fall is not None or zone.reach.dish_m <= 0.0:
        return ()
    middle = shapely.LineString(piece.path)
    return (middle, shapely.boundary(_widened(piece, by_m=0.0, edge=False))) if edges else (middle,)


def _beyond(course: Course, zone: Zone) -> Any:
    """What lies beyond the ends of a zone that stand right in a bend: there two zones would lie over each other on the
    inner side. Each ends at the mitre."""
    import shapely

    found = []
    for station, way in ((zone.first_m, -1.0), (zone.last_m, 1.0)):
        at = np.array([station])
        bent = (np.abs(course.marks[1:-1] - station) < 2.0 * float(course.half_m(at)[0])).any()
        if not bent:
            continue
        place, left = course.places(at)[0], course.across(at)[0]
        left = left / np.hypot(*left)
        onward = way * np.array((left[1], -left[0]))
        reach = 2.0 * float(course.half_m(at)[0])
        corners = (place + left * reach, place - left * reach, place + onward * reach - left * reach)
        found.append(shapely.Polygon((*corners, place + onward * reach + left * reach)))
    return shapely.union_all(found) if found else shapely.Polygon()


def _less_islands(area: Any, zone: Zone, *, out_m: float) -> Any:
    """The bed without its islands, that stand `out_m` [m] inside their outlines at this layer."""
    import shapely

    if not zone.reach.islands:
        return area
    islands = [inset(polygon_of(island.outline), np.array([out_m]))[0] for island in zone.reach.islands]
    return shapely.difference(area, shapely.union_all(islands))


def _floor_inset_m(reach: Reach) -> float:
    """How far inside the edge of the bed [m] the liner's floor ends."""
    return 0.5 * (reach.width_m - reach.floor_width_m)


def _gravel_out_m(reach: Reach) -> float:
    """How far outside the bed's width [m] the gravel lies on the bank, up to the bed's level."""
    gravel = reach.gravel_m
    if reach.side_up_per_across is not None or gravel <= 0.0:
        return 0.0
    return bank_run_m(reach) * gravel / (gravel + reach.bank_m - reach.dish_m)


def _bank_slope(reach: Reach) -> float:
    """Up per across of a bank from the liner's floor to its edge [-]; 0 where it is upright."""
    side, run = reach.side_up_per_across, bank_run_m(reach)
    if side is not None:
        return 0.0 if math.isinf(side) else side
    return (reach.bank_m - reach.dish_m + reach.gravel_m) / run if run > 0.0 else 0.0


def _along(course: Course, zone: Zone, levels: tuple[float, float], *, down_m: float, out_m: float = 0.0) -> Levels:
    """Straight from level to level [m] along a zone, less `down_m` [m]; a dished bed rises to `out_m` [m] outside its
    edges."""

    def found(places: Floats) -> Floats:
        stations, aside, _ = course.locate(places)
        share = np.clip((stations - zone.first_m) / (zone.last_m - zone.first_m), 0.0, 1.0)
        middle = np.asarray(levels[0] + (levels[1] - levels[0]) * share - down_m)
        if zone.fall is not None or zone.reach.dish_m == 0.0:
            return middle
        half = course.half_m(stations, edge=False)
        return np.asarray(middle + zone.reach.dish_m * np.minimum(np.abs(aside), half + out_m) / half)

    return found


def _banked(bed: Any, along: Levels, edges: Edges) -> Levels:
    """Straight from the edge of the bed up to the liner's edge."""
    import shapely

    shapely.prepare(bed)

    def found(places: Floats) -> Floats:
        low = along(places)
        away, high, _ = edges.nearest(places)
        off = shapely.distance(bed, shapely.points(places))
        return np.asarray(low + (high - low) * part_way(off, away))

    return found


def _higher(one: Levels, other: Levels) -> Levels:
    return lambda places: np.maximum(one(places), other(places))


def _tops(edges: Edges) -> Levels:
    return lambda places: edges.nearest(places)[1]


def _part(course: Course, zone: Zone, *, past_m: float) -> Course:
    """The course of one zone alone; `past_m` [m] further at its end."""
    end = zone.last_m + past_m
    inner = course.marks[(course.marks > zone.first_m + LEAST_M) & (course.marks < zone.last_m - LEAST_M)]
    marks = np.concatenate(([zone.first_m], inner, [end]))
    path = course.places(marks)
    ways = np.diff(path, axis=0)
    ways = ways / np.hypot(*ways.T)[:, None]
    inner = course.knots[(course.knots > zone.first_m + LEAST_M) & (course.knots < zone.last_m - LEAST_M)]
    knots = np.concatenate(([zone.first_m], inner, [end]))
    return replace(
        course, path=path, marks=marks, ways=ways, knots=knots, bed_half=course.half_m(knots, edge=False),
        edge_half=course.half_m(knots), head_run_m=0.0,
    )  # fmt: skip


def _widened(piece: Course, *, by_m: float, edge: bool, head_m: float = 0.0) -> Any:
    """The area of a piece, wider on both sides by `by_m` [m], and longer at its head by `head_m` [m]."""
    half = piece.edge_half if edge else piece.bed_half
    wider = replace(piece, bed_half=half + by_m, edge_half=half + by_m, head_run_m=head_m)
    return wider.area(edge=edge)


def _stones(course: Course, zone: Zone) -> Iterator[Patch]:
    """The spill stone of a fall, or the stones side by side, as high as their tops."""
    import shapely

    fall = zone.fall
    assert fall is not None
    stations = np.array([zone.first_m, zone.last_m])
    at, left = course.places(stations), course.across(stations)
    rows = [(stone.width_m, stone.above_m) for stone in fall.stones] or [(fall.crest_width_m, 0.0)]
    aside = 0.5 * sum(width for width, _ in rows)
    for width, above in rows:
        one, other = aside, aside - width
        corners = (at[0] + left[0] * one, at[0] + left[0] * other, at[1] + left[1] * other, at[1] + left[1] * one)
        yield Patch(zone.path, shapely.Polygon(corners), flat(fall.crest.m + above))
        aside = other


def stream_fallback(course: Course, zones: tuple[Zone, ...], layer: Layer, *, edges: Edges, area: Any) -> Patch:
    """What the zones' areas leave between them at bends: by station, from the bed to the liner's edge."""
    ends = np.array([zone.last_m for zone in zones[:-1]])
    bed = course.area(edge=False)
    each = [
        _banked(bed, _along(course, zone, zone.levels, down_m=layer.under_m, out_m=-_floor_inset_m(zone.reach)), edges)
        for zone in zones
    ]
    if layer.filled:
        tops = [_along(course, zone, zone.tops, down_m=0.0) for zone in zones]
        each = [
            _tops(edges) if zone.fall is not None else _higher(top, bank)
            for zone, top, bank in zip(zones, tops, each, strict=True)
        ]

    def found(places: Floats) -> Floats:
        stations, _, _ = course.locate(places)
        of = np.searchsorted(ends, stations)
        levels = np.empty(len(places))
        for i in np.unique(of).tolist():
            levels[of == i] = each[i](places[of == i])
        return levels

    return Patch(f"streams/{course.stream.id}", area, found)
