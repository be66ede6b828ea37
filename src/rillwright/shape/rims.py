"""The liner's edge as it runs: round the pond, up the stream's one bank, round its head and down the other."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from rillwright.feature import Feature
from rillwright.shape.bank_tops import bank_tops
from rillwright.shape.course import GRAIN_M, Course, course_of
from rillwright.shape.natural import NaturalGround
from rillwright.shape.pond_edge import PondEdge, Tops, pond_edge, pond_tops
from rillwright.shape.surface_result import RimLine, RimPoint
from rillwright.sources import default

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

ON_M = 1e-6  # a place so near to an edge lies on it
STEP_M = 0.01  # between the two tops of a step, upper and lower
LEAST_M2 = 1e-6
MOST_PLACES = 4000  # of one edge, about: one longer than a kilometre is looked at less often


class Piece(Struct, frozen=True, kw_only=True, eq=False):
    """A body or a stream as part of the plan: its area out to the liner's edge."""

    path: str
    area: Any
    edge: PondEdge | None = None
    course: Course | None = None
    past_m: float = 0.0


class _At(Struct, kw_only=True):
    """A place on a ring: of which piece it is the edge; the station and reach, or how far along the body's own edge and
    which rim; -1 where it is none.
    """

    xy: tuple[float, float]
    piece: int
    station_m: float = 0.0
    reach: int = -1
    rim: int = -1


def pieces_of(feature: Feature) -> tuple[Piece, ...]:
    """Bodies and streams in plan, out to the liner's edge; a stream reaches on into its body, or into the stream that
    it joins, until both corners of its end lie in it, or half its width. What is joined comes before what joins it.
    """
    edges = {body.id: pond_edge(body) for body in feature.bodies}
    found = [Piece(path=f"ponds/{id}", area=edge.polygon, edge=edge) for id, edge in edges.items()]
    areas = {path.path: path.area for path in found}
    for stream in feature.downstream_first:
        course = course_of(stream)
        into = f"ponds/{stream.into}" if stream.joins is None else f"streams/{stream.joins.stream}"
        past = past_end_m(course, areas[into])
        area = areas[f"streams/{stream.id}"] = course.area(past_m=past)
        found.append(Piece(path=f"streams/{stream.id}", area=area, course=course, past_m=past))
    return tuple(found)


def past_end_m(course: Course, into: Any) -> float:
    """How far [m] a stream's edges go on past its end, to end in the area of its body; 0 where they do, or never do."""
    import shapely

    end = np.array([course.length_m])
    half = float(course.half_m(end)[0])
    at, left = course.places(end)[0], course.ways[-1][::-1] * (-half, half)
    if shapely.distance(into, shapely.Point(at)) > half:
        return 0.0
    for share in (0.0, 0.25, 0.5, 1.0):
        there = at + share * half * course.ways[-1]
        if shapely.contains_xy(into, np.array([there - left, there + left])).all():
            return share * half
    return half


def rim_lines(pieces: Sequence[Piece], natural: NaturalGround) -> tuple[RimLine, ...]:
    """One closed edge for each connected piece of water, counter-clockwise round it; where it encloses dry land, one
    more round that, clockwise: the water always lies to the left.
    """
    import shapely

    whole = shapely.union_all([piece.area for piece in pieces], grid_size=GRAIN_M)
    found = []
    for part in shapely.get_parts(shapely.orient_polygons(whole)):
        own = [i for i, piece in enumerate(pieces) if part.intersects(piece.area)]
        path = pieces[own[0]].path
        found.append(_line(part.exterior, pieces, own, natural=natural, path=path, kind="outer"))
        holes = [hole for hole in part.interiors if shapely.Polygon(hole).area > LEAST_M2]
        for number, hole in enumerate(holes, start=1):
            found.append(_line(hole, pieces, own, natural=natural, path=f"{path}.inside{number}", kind="island"))
    return tuple(found)


def _line(
    ring: Any, pieces: Sequence[Piece], own: list[int], *, natural: NaturalGround, path: str, kind: str
) -> RimLine:
    places = spaced(ring, max(default("rim.every").number, ring.length / MOST_PLACES))
    places = _from_start(places, pieces[own[0]])
    around = _with_breaks(_known(places, pieces, own), pieces)
    points = _points(around, pieces, natural)
    return RimLine(path=path, kind=kind, closed=True, points=points)


def spaced(ring: Any, every_m: float) -> Floats:
    """The corners of a ring (p, 2) [m], with places between them at most `every_m` [m] apart; not closed."""
    import shapely

    corners = shapely.get_coordinates(ring)
    long = np.hypot(*np.diff(corners, axis=0).T)
    corners, long = corners[:-1][long > ON_M], long[long > ON_M]  # a grain of rounding is no side
    count = np.maximum(np.ceil(long / every_m - ON_M), 1.0).astype(np.int64)
    owner = np.repeat(np.arange(len(long)), count)
    share = (np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)) / count[owner]
    after = np.roll(corners, -1, axis=0)
    found: Floats = corners[owner] + share[:, None] * (after - corners)[owner]
    return found


def _from_start(places: Floats, piece: Piece) -> Floats:
    """The same ring, beginning where it is nearest to the beginning of its first piece."""
    start = piece.edge.body.outline[0] if piece.edge is not None else piece.course.path[0]  # type: ignore[union-attr]
    first = int(np.hypot(*(places - np.asarray(start)).T).argmin())
    return np.roll(places, -first, axis=0)


def _known(places: Floats, pieces: Sequence[Piece], own: list[int]) -> list[_At]:
    """Of which piece each place is the edge, and where along it."""
    import shapely

    off = np.full((len(pieces), len(places)), np.inf)
    stations: dict[int, Floats] = {}
    points = shapely.points(places)
    for i in own:
        course = pieces[i].course
        if course is None:
            away = shapely.distance(pieces[i].area.exterior, points)
            off[i] = np.where(away <= ON_M, -1.0, np.inf)
        else:
            stations[i], _, outside = course.locate(places, past_m=pieces[i].past_m)
            off[i] = np.maximum(outside, 0.0)
    best = off.argmin(axis=0)
    found = []
    for i in own:
        edge = pieces[i].edge
        if edge is not None:
            stations[i] = edge.along_m(places)
    reaches: dict[int, list[int]] = {}
    for i, course in ((i, pieces[i].course) for i in own):
        if course is not None:
            stations[i] = np.clip(stations[i], 0.0, course.length_m)
            starts = [reach.station_m - ON_M for reach in course.stream.reaches]
            reaches[i] = (np.searchsorted(starts, stations[i], side="right") - 1).tolist()
    along = {i: each.tolist() for i, each in stations.items()}
    for row, (xy, i) in enumerate(zip(places.tolist(), best.tolist(), strict=True)):
        at = _At(xy=(xy[0], xy[1]), piece=i, station_m=along[i][row])
        if i in reaches:
            at.reach = reaches[i][row]
        found.append(at)
    return found


def _with_breaks(around: list[_At], pieces: Sequence[Piece]) -> list[_At]:
    """The ring with both tops of every step: at falls, and where a stream's bank meets a body's rim; and with rims."""
    found: list[_At] = []
    for here, after in itertools.pairwise((*around, around[0])):
        found.append(here)
        found += _between(here, after, pieces)
    return found


def _between(here: _At, after: _At, pieces: Sequence[Piece]) -> Iterator[_At]:
    if here.piece != after.piece:
        yield from _step(here, after, pieces)
    elif pieces[here.piece].edge is not None:
        yield from _rims_between(here, after, pieces[here.piece].edge)
    elif here.reach != after.reach:
        yield from _falls_between(here, after, pieces[here.piece].course)


def _step(here: _At, after: _At, pieces: Sequence[Piece]) -> Iterator[_At]:
    """The bank ends a step short of the rim, or of the bank of the stream joined, that it meets."""
    share = min(STEP_M / _apart(here, after), 0.5)
    if _ends_at(pieces[here.piece], pieces[after.piece]):
        yield _At(xy=_on(here, after, 1.0 - share), piece=here.piece, station_m=here.station_m, reach=here.reach)
    elif _ends_at(pieces[after.piece], pieces[here.piece]):
        yield _At(xy=_on(here, after, share), piece=after.piece, station_m=after.station_m, reach=after.reach)


def _ends_at(piece: Piece, other: Piece) -> bool:
    """Whether a bank ends at the edge of the other: of any body, or of the stream that it joins."""
    if piece.course is None or other.course is None:
        return piece.course is not None and other.edge is not None
    joins = piece.course.stream.joins
    return joins is not None and joins.stream == other.course.stream.id


def _rims_between(here: _At, after: _At, edge: PondEdge | None) -> Iterator[_At]:
    """The rims whose places lie between two places of one edge."""
    assert edge is not None
    whole, a = edge.length_m, here.station_m
    long = (after.station_m - a) % whole
    for offset, i in sorted(((at - a) % whole, i) for i, at in enumerate(edge.at_m.tolist())):
        if offset <= ON_M or offset >= whole - ON_M:
            here.rim = i
        elif offset < long - ON_M:
            yield _At(xy=_on(here, after, offset / long), piece=here.piece, station_m=(a + offset) % whole, rim=i)


def _falls_between(here: _At, after: _At, course: Course | None) -> Iterator[_At]:
    """Both sides of every fall between two places of one bank: the upper bank up to the face of its stone."""
    assert course is not None
    reaches = course.stream.reaches
    down = after.reach > here.reach
    long, run = _apart(here, after), after.station_m - here.station_m
    between = range(here.reach, after.reach) if down else range(here.reach, after.reach, -1)
    step = min(STEP_M / long, 0.5 / len(between))
    last = 0.0
    for left, reach in zip(range(len(between), 0, -1), between, strict=True):
        beyond = reach + 1 if down else reach - 1
        at = reaches[max(reach, beyond)].station_m
        share = (at - here.station_m) / run if run != 0.0 else 0.5
        share = min(max(share if down else share - step, last), 1.0 - step * (2 * left - 1))
        pair = (share, reach), (share + step, beyond)
        last = share + 2.0 * step
        for where, of in pair:
            if ON_M < where * long < long - ON_M:
                yield _At(xy=_on(here, after, where), piece=here.piece, station_m=at, reach=of)


def _apart(a: _At, b: _At) -> float:
    return float(np.hypot(b.xy[0] - a.xy[0], b.xy[1] - a.xy[1]))


def _on(a: _At, b: _At, share: float) -> tuple[float, float]:
    return (a.xy[0] + share * (b.xy[0] - a.xy[0]), a.xy[1] + share * (b.xy[1] - a.xy[1]))


def _points(around: list[_At], pieces: Sequence[Piece], natural: NaturalGround) -> tuple[RimPoint, ...]:
    places = np.array([at.xy for at in around])
    of = np.array([at.piece for at in around])
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(places, axis=0).T))))
    found: list[RimPoint | None] = [None] * len(around)
    for i, piece in enumerate(pieces):
        rows = np.flatnonzero(of == i)
        if not len(rows):
            continue
        mine = [around[row] for row in rows.tolist()]
        if piece.edge is not None:
            rims = np.array([at.rim for at in mine])
            along_edge = np.array([at.station_m for at in mine])
            tops = pond_tops(piece.edge, places[rows], along=along_edge, rim_of=rims, natural=natural)
            water, stations = [piece.path] * len(mine), [None] * len(mine)
        else:
            assert piece.course is not None
            stream = piece.course.stream
            at_m, reach = np.array([at.station_m for at in mine]), [at.reach for at in mine]
            tops = bank_tops(stream, places[rows], stations=at_m, reach_of=reach, natural=natural)
            water, stations = [f"reaches/{stream.reaches[k].id}" for k in reach], at_m.tolist()
        for k, row in enumerate(rows.tolist()):
            found[row] = _point(mine[k].xy, float(along[row]), tops, k=k, water=water[k], station_m=stations[k])
    return tuple(point for point in found if point is not None)


def _point(
    xy: tuple[float, float], along_m: float, tops: Tops, *, k: int, water: str, station_m: float | None
) -> RimPoint:
    return RimPoint(
        at=xy, along_m=along_m, top_m=float(tops.top_m[k]), sigma_m=float(tops.sigma_m[k]),
        ground_m=float(tops.ground_m[k]), ground_is=tops.ground_is[k], fill_m=float(tops.fill_m[k]),
        settles_m=float(tops.settles_m[k]), water=water, station_m=station_m, by=tops.by[k], setup=tops.setup[k],
    )  # fmt: skip
