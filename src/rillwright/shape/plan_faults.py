"""What cannot be, or ought not to be, in plan: water that runs into itself, into other water, or into a footing."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.feature import XY, Feature
from rillwright.shape.course import Course
from rillwright.shape.island_edge import islands_of
from rillwright.shape.joints import meeting_sine
from rillwright.shape.rims import Piece
from rillwright.shape.surface_result import PlanFault

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_MOST_PLACES = 300
_HAIR_M = 1e-3
_INTO_BED = 0.5  # of half the bed that it joins: a path that ends so far in was drawn to its middle


def plan_faults(feature: Feature, pieces: Sequence[Piece]) -> tuple[PlanFault, ...]:
    """Faults in plan, in the order of the feature: of streams, of what overlaps, of footings, buildings, islands.

    Sizes are in m: by how much two lie over each other, how far one ends short of the other.
    """
    courses = [piece for piece in pieces if piece.course is not None]
    found: list[PlanFault] = []
    for piece in courses:
        found += _itself(piece)
        found += _end(feature, piece, pieces)
    found += _overlaps(feature, pieces)
    found += _footings(feature, pieces)
    found += _buildings(feature, pieces)
    found += _islands(feature, courses)
    return tuple(found)


def _itself(piece: Piece) -> Iterator[PlanFault]:
    """Where a stream crosses itself, or its banks meet those of another limb."""
    import shapely

    course = piece.course
    assert course is not None
    line = shapely.LineString(course.path)
    if not line.is_simple:
        at = _own_crossing(course)
        yield PlanFault(kind="crosses", path=piece.path, other=piece.path, at=at, size_m=0.0)
        return
    count = min(max(int(2.0 * course.length_m / float(course.edge_half.min())), 2), _MOST_PLACES)
    stations = np.linspace(0.0, course.length_m, count)
    places, half = course.places(stations), course.half_m(stations)
    chord = np.hypot(*np.moveaxis(places[:, None, :] - places[None, :, :], 2, 0))
    apart = half[:, None] + half[None, :]
    over = np.where(np.abs(stations[:, None] - stations[None, :]) > 2.0 * apart, apart - chord, -np.inf)
    i, j = np.unravel_index(int(over.argmax()), over.shape)
    if over[i, j] > _HAIR_M:
        middle = 0.5 * (places[i] + places[j])
        size = float(over[i, j])
        yield PlanFault(kind="meets itself", path=piece.path, other=piece.path, at=_xy(middle), size_m=size)


def _own_crossing(course: Course) -> XY:
    """The first place at which a path crosses itself [m]."""
    import shapely

    parts: Any = shapely.linestrings(np.stack((course.path[:-1], course.path[1:]), axis=1))
    pairs = shapely.STRtree(parts).query(parts, predicate="intersects").T
    for i, j in sorted((i, j) for i, j in pairs.tolist() if i < j):
        met = shapely.intersection(parts[i], parts[j])
        if j - i > 1 or met.length > 0.0:
            return _xy(shapely.get_coordinates(met)[0])
    return _xy(course.path[0])


def _end(feature: Feature, piece: Piece, pieces: Sequence[Piece]) -> Iterator[PlanFault]:
    """A stream that ends short of its body, or runs on inside it."""
    import shapely

    course = piece.course
    assert course is not None
    if course.stream.joins is not None:
        yield from _join(feature, piece, pieces)
        return
    body = feature.body(course.stream.into)
    into = next(each for each in pieces if each.path == f"ponds/{body.id}")
    end = course.path[-1]
    gap = float(shapely.distance(into.area, shapely.Point(end)))
    if gap > 0.0 and not piece.area.intersects(into.area):
        yield PlanFault(kind="ends short", path=piece.path, other=into.path, at=_xy(end), size_m=gap)
    inside = shapely.intersection(shapely.LineString(course.path), shapely.Polygon(body.outline)).length
    if inside > 2.0 * float(course.bed_half[-1]):
        yield PlanFault(kind="runs on inside", path=piece.path, other=into.path, at=_xy(end), size_m=float(inside))


def _join(feature: Feature, piece: Piece, pieces: Sequence[Piece]) -> Iterator[PlanFault]:
    """A stream that ends short of the bed that it joins, or runs on across it: it is to end at that bed's side."""
    import shapely

    course = piece.course
    assert course is not None
    joins = course.stream.joins
    assert joins is not None
    on = next(each for each in pieces if each.path == f"streams/{joins.stream}")
    assert on.course is not None
    end, bed = course.path[-1], f"reaches/{joins.reach}"
    gap = float(shapely.distance(on.area, shapely.Point(end)))
    if gap > _HAIR_M:
        yield PlanFault(kind="ends short of it", path=piece.path, other=bed, at=_xy(end), size_m=gap)
    bed_it_joins = feature.joined(course.stream)
    last = next((fall for fall in feature.falls if bed_it_joins and fall.upstream == bed_it_joins.downstream), None)
    if last is not None and joins.station_m > last.station_m - last.stone_depth_m:
        yield PlanFault(kind="comes in at a stone", path=piece.path, other=f"falls/{last.id}", at=_xy(end), size_m=0.0)
    inside = float(shapely.intersection(shapely.LineString(course.path), on.course.area(edge=False)).length)
    half = float(on.course.half_m(np.array([joins.station_m]), edge=False)[0])
    if inside > _INTO_BED * half:
        yield PlanFault(kind="runs on across it", path=piece.path, other=bed, at=_xy(end), size_m=inside)


def _where_they_meet(feature: Feature, one: Piece, other: Piece) -> Any:
    """Of a stream and the one that it joins the ground about its mouth, where both banks are one; else nothing."""
    import shapely

    for piece, on in ((one, other), (other, one)):
        if piece.course is None or on.course is None or piece.course.stream.joins is None:
            continue
        joins = piece.course.stream.joins
        if joins.stream == on.course.stream.id:
            half = float(piece.course.half_m(np.array([piece.course.length_m]))[0])
            beside = np.array([joins.station_m])
            bank = float(on.course.half_m(beside)[0] - on.course.half_m(beside, edge=False)[0])
            far = (2.0 * half + bank) / meeting_sine(feature, piece.course.stream)
            return shapely.Point(piece.course.path[-1]).buffer(far)
    return shapely.Polygon()


def _overlaps(feature: Feature, pieces: Sequence[Piece]) -> Iterator[PlanFault]:
    """Bodies over each other, a stream over another's body, two streams outside the water in which they meet."""
    import shapely

    areas = {piece.path: piece.area for piece in pieces}
    for one, other in itertools.combinations(pieces, 2):
        streams = [each.course.stream for each in (one, other) if each.course is not None]
        bodies = [areas[f"ponds/{stream.into}"] for stream in streams if stream.joins is None]
        if any(body is each.area for body in bodies for each in (one, other)):
            continue  # a stream and its own body
        both = shapely.intersection(one.area, other.area)
        for body in bodies:
            both = shapely.difference(both, body)
        both = shapely.difference(both, _where_they_meet(feature, one, other))
        narrow = min(
            (float(each.course.bed_half.min()) for each in (one, other) if each.course is not None), default=0.0
        )
        if both.area > max(narrow**2, _HAIR_M):
            at = _xy(shapely.get_coordinates(both.point_on_surface())[0])
            yield PlanFault(kind="lies over", path=one.path, other=other.path, at=at, size_m=float(both.area) ** 0.5)


def _footings(feature: Feature, pieces: Sequence[Piece]) -> Iterator[PlanFault]:
    """Water inside a footing's line, or across it."""
    import shapely

    for footing in feature.site.footings:
        if len(footing.line) < 2:
            continue
        line = shapely.LineString(footing.line)
        ring = shapely.Polygon(footing.line) if len(footing.line) > 3 and line.is_closed and line.is_simple else None
        for piece in pieces:
            if line.intersects(piece.area):
                kind, at = "crosses a footing", shapely.intersection(line, piece.area)
            elif ring is not None and ring.contains(piece.area):
                kind, at = "inside a footing", piece.area
            else:
                continue
            where = _xy(shapely.get_coordinates(at.point_on_surface())[0])
            size = float(at.length) if kind.startswith("crosses") else 0.0
            yield PlanFault(kind=kind, path=piece.path, other=f"footings/{footing.id}", at=where, size_m=size)


def _buildings(feature: Feature, pieces: Sequence[Piece]) -> Iterator[PlanFault]:
    """Water where a building stands."""
    import shapely

    for building in feature.site.buildings:
        house = shapely.Polygon(building.outline)
        for piece in pieces:
            both = shapely.intersection(house, piece.area)
            if both.area > _HAIR_M:
                where = _xy(shapely.get_coordinates(both.point_on_surface())[0])
                other, size = f"buildings/{building.id}", float(both.area) ** 0.5
                yield PlanFault(kind="under a building", path=piece.path, other=other, at=where, size_m=size)


def _islands(feature: Feature, courses: Sequence[Piece]) -> Iterator[PlanFault]:
    """Islands of a stream that do not lie in its bed with water all round; those of ponds are refused as typed."""
    import shapely

    beds: dict[str, Any] = {}
    for island, stream, reach in islands_of(feature):
        if stream is None or reach is None:
            continue
        course = next(piece.course for piece in courses if piece.path == f"streams/{stream.id}")
        assert course is not None
        if stream.id not in beds:
            beds[stream.id] = course.area(edge=False)
        outline = shapely.Polygon(island.outline)
        stations = course.locate(np.array(island.outline))[0]
        end = reach.station_m + reach.length_m
        if not shapely.contains_properly(beds[stream.id], outline):
            size = float(shapely.difference(outline, beds[stream.id]).area) ** 0.5
            where, kind = island.outline[0], "leaves the bed"
            yield PlanFault(kind=kind, path=f"islands/{island.id}", other=island.of, at=where, size_m=size)
        elif stations.min() < reach.station_m - _HAIR_M or stations.max() > end + _HAIR_M:
            size = float(max(reach.station_m - stations.min(), stations.max() - end))
            where, kind = island.outline[0], "leaves the bed"
            yield PlanFault(kind=kind, path=f"islands/{island.id}", other=island.of, at=where, size_m=size)


def _xy(place: Any) -> XY:
    return (float(place[0]), float(place[1]))
