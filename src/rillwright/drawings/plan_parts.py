"""The body of the plan: water, banks, crests, pipes, marks, rims, stakes, each as its own layer."""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterable, Iterator
from functools import partial

from msgspec.structs import replace

from rillwright.assessment import XY, Assessment, BodyKind, Fall, Island, NotRun, Origin, Reach, Stream
from rillwright.drawings.display import Area, Box, Circle, Group, Item, Point, Polyline, View, group
from rillwright.drawings.expand import AS_SHOT, cross
from rillwright.drawings.hatch import strokes
from rillwright.drawings.labels import Label
from rillwright.drawings.outline import at_station, beside, clipped, middle_of, nearest_on, part_of
from rillwright.drawings.words import length, level

_SAME_PLACE_M = 0.02


def bodies(assessment: Assessment, view: View) -> Group:
    """Ponds as washed water with the rings of their shelves; buried reservoirs hatched."""
    shapes = {} if isinstance(assessment.shape, NotRun) else {pond.body: pond for pond in assessment.shape.ponds}
    items: list[Item] = []
    for body in assessment.feature.bodies:
        outline = view.line(body.outline)
        parts: list[Item] = [Area(points=outline, fill="water wash" if body.kind is BodyKind.POND else "stone wash")]
        if body.kind is BodyKind.RESERVOIR:
            parts += strokes(outline, spacing_mm=6.0, pen="water mark")
        if body.id in shapes:
            rings = [ring for _, ring in shapes[body.id].rings[1:] if len(ring) > 2]
            parts += [Polyline(points=view.line(ring), pen="water mark", closed=True) for ring in rings]
        parts.append(Polyline(points=outline, pen="water", closed=True))
        items.append(group("body", parts, path=f"ponds/{body.id}"))
        items += islands(body.islands, view)
    return group("bodies", items)


def islands(found: Iterable[Island], view: View) -> list[Group]:
    """Dry ground in the water."""
    return [
        group("island", (Area(points=view.line(one.outline), fill="paper", pen="water"),), path=f"islands/{one.id}")
        for one in found
    ]


def stream(course: Stream, view: View) -> Group:
    """Washed water between two banks, and the crests across it."""
    left, right = _banks(course)
    items: list[Item] = [Area(points=(*view.line(left), *reversed(view.line(right))), fill="water wash")]
    items += [Polyline(points=view.line(bank), pen="stream bank") for bank in (left, right)]
    items += [island for reach in course.reaches for island in islands(reach.islands, view)]
    items += [_plunge(course, reach, view) for reach in course.reaches if course.plunge_in(reach) is not None]
    items += [group("crest", _crest(course, fall, view), path=f"falls/{fall.id}") for fall in course.falls]
    return group("stream", items, path=f"streams/{course.id}")


def _plunge(course: Stream, reach: Reach, view: View) -> Group:
    """The walls of a plunge pool, thin as the edges of a shelf."""
    pool, whole = course.plunge_in(reach), course.length_m
    assert pool is not None
    way = part_of(course.path, reach.station_m / whole, (reach.station_m + pool.length_m) / whole)
    half = 0.5 * reach.floor_width_m
    ring = (*beside(way, half), *reversed(beside(way, -half)))
    return group(
        "plunge", (Polyline(points=view.line(ring), pen="water mark", closed=True),), path=f"reaches/{reach.id}"
    )


def _banks(course: Stream) -> tuple[tuple[XY, ...], tuple[XY, ...]]:
    """The edges of the beds to the left and to the right, stretch by stretch of one width."""
    stretches: list[tuple[float, float]] = []  # where each ends, and half its width
    for reach in course.reaches:
        half, end = 0.5 * reach.width_m, reach.station_m + reach.length_m
        if stretches and stretches[-1][1] == half:
            stretches.pop()
        stretches.append((end, half))
    if len(stretches) < 2:
        half = stretches[0][1] if stretches else 0.5 * course.width_m
        return beside(course.path, half), beside(course.path, -half)
    left: list[XY] = []
    right: list[XY] = []
    start, whole = 0.0, course.length_m
    for end, half in stretches:
        part = part_of(course.path, start / whole, end / whole)
        left += beside(part, half)
        right += beside(part, -half)
        start = end
    return tuple(left), tuple(right)


def place_of(course: Stream, station_m: float) -> tuple[XY, XY]:
    """Where a station [m] lies in plan and which way the stream runs there."""
    return at_station(course.path, station_m / course.length_m if course.length_m else 0.0)


def _crest(course: Stream, fall: Fall, view: View) -> list[Item]:
    """The spill stone as it lies, and the edge over which water leaves, heavy where it was shot."""
    (x, y), (dx, dy) = place_of(course, fall.station_m)
    half, back = fall.crest_width_m / 2, min(fall.stone_depth_m, 0.9 * course.length_m)
    edge = [(x - dy * side, y + dx * side) for side in (half, -half)]
    tail = [(px - dx * back, py - dy * back) for px, py in edge]
    bed = next((reach.width_m for reach in course.reaches if reach.downstream == fall.upstream), course.width_m)
    wider = [(x - dy * side, y + dx * side) for side in (bed / 2, -bed / 2)]
    middle = ((edge[0][0] + tail[1][0]) / 2, (edge[0][1] + tail[1][1]) / 2)
    corners = (edge[0], edge[1], tail[1], tail[0])
    built = fall.crest.origin is Origin.BUILT
    items: list[Item] = [
        Area(points=view.line(corners), fill="stone wash", pen="stone"),
        Polyline(points=view.line((tail[0], middle, edge[1])), pen="facet"),
        Polyline(points=view.line((middle, edge[0])), pen="facet"),
        Polyline(points=view.line(wider), pen="built" if built else "water"),
    ]
    if built:
        items += cross(view.put(x, y), arm_mm=1.0)
    return items


def pipe_ways(assessment: Assessment) -> tuple[tuple[str, tuple[XY, ...]], ...]:
    """Path and way of each pipe run to each of its outlets [m], outlet first: how it truly goes is not known.

    Beside its stream where it ends there, else from the edge of its body to the place that is given.
    """
    found: list[tuple[str, tuple[XY, ...]]] = []
    for index, run in enumerate(assessment.feature.runs):
        outline = assessment.feature.body(run.source).outline
        for end in run.ends:
            way = _beside_stream(assessment, end.outlet, index) if end.at is None else (end.at,)
            if way:
                start = min(outline, key=partial(math.dist, way[-1]))
                found.append((f"runs/{run.id}", (*way, start)))
    return tuple(found)


def _beside_stream(assessment: Assessment, outlet: str, index: int) -> tuple[XY, ...]:
    """From an outlet at a stream's head or bed down along its bank; nothing where it ends elsewhere."""
    streams = {course.id: course for course in assessment.feature.streams if len(course.path) > 1}
    reaches = {reach.id: (course, reach) for course in streams.values() for reach in course.reaches}
    if outlet in streams:
        course, station = streams[outlet], 0.0
    elif outlet in reaches:
        course, station = reaches[outlet][0], reaches[outlet][1].station_m
    else:
        return ()
    at, _ = place_of(course, station)
    share = station / course.length_m if course.length_m else 0.0
    rest = [at_station(course.path, share + (1.0 - share) * t / 8)[0] for t in range(9)]
    return (at, *beside(rest, course.width_m / 2 + 0.35 + 0.25 * index)[:-1])


def pipes(assessment: Assessment, view: View) -> Group:
    """Each pipe run as a dashed way from each of its outlets to its body, with a ring at the first."""
    items, seen = [], set()
    for path, way in pipe_ways(assessment):
        ring = Circle(centre=view.put(*way[-1]), radius_mm=1.1, pen="ink", fill="paper")
        parts = (Polyline(points=view.line(way), pen="pipe"), *(() if path in seen else (ring,)))
        items.append(group("pipe", parts, path=path))
        seen.add(path)
    return group("pipes", items)


def footings(assessment: Assessment, view: View, room: Box) -> Group:
    """Feet of walls and paving, as far as they lie in the room."""
    items = []
    for footing in assessment.feature.site.footings:
        pieces = [clipped(a, b, room) for a, b in itertools.pairwise(view.line(footing.line))]
        lines = tuple(Polyline(points=piece, pen="footing") for piece in pieces if piece is not None)
        if lines:
            items.append(group("footing", lines, path=f"footings/{footing.id}"))
    return group("footings", items)


def points(assessment: Assessment, view: View, *, without: Collection[str] = ()) -> Group:
    """Signs of marks, rims, accesses and stakes but those of some paths; their words are labels."""
    feature = assessment.feature
    items: list[Item] = []
    for mark in feature.marks:
        if mark.at is not None:
            path = f"marks/{mark.id}"
            items.append(group("mark", tuple(_mark(view.put(*mark.at), mark.role)), path=path))
    for body in feature.bodies:
        for rim in body.rims:
            if rim.at is not None:
                x, y = view.put(*rim.at)
                ring = Circle(centre=(x, y), radius_mm=0.7, pen="ink", fill="paper")
                items.append(group("rim", (ring,), path=f"rims/{rim.id}"))
    for access in feature.site.accesses:
        if access.at is not None:
            sign = tuple(_gate(view.put(*access.at), view.length(access.width_m)))
            items.append(group("access", sign, path=f"accesses/{access.id}"))
    for at, path in stakes(assessment):
        x, y = view.put(*at)
        peg = Area(points=((x - 0.6, y - 0.6), (x + 0.6, y - 0.6), (x, y + 1.0)), fill="ink")
        items.append(group("stake", (peg,), path=path))
    return group("points", [item for item in items if not (isinstance(item, Group) and item.path in without)])


def stakes(assessment: Assessment) -> Iterator[tuple[XY, str]]:
    """Place and path of every stake that has a place."""
    if not isinstance(assessment.build, NotRun):
        for stake in assessment.build.stakes:
            if stake.at is not None:
                yield stake.at, stake.path


def _mark(at: Point, role: str) -> Iterator[Item]:
    x, y = at
    if role == "benchmark":  # a triangle over its point, as levelling has always drawn it
        yield Area(points=((x, y), (x - 1.5, y - 2.6), (x + 1.5, y - 2.6)), fill="paper", pen="ink")
        yield Area(points=((x, y), (x, y - 2.6), (x + 1.5, y - 2.6)), fill="ink")
    else:
        yield Polyline(points=((x - 0.9, y), (x + 0.9, y)), pen="ink")
        yield Polyline(points=((x, y - 0.9), (x, y + 0.9)), pen="ink")


def _gate(at: Point, width_mm: float) -> Iterator[Item]:
    x, y = at
    half = width_mm / 2
    for side in (-half, half):
        yield Polyline(points=((x - 1.2, y + side), (x + 1.2, y + side)), pen="ink")
    yield Polyline(points=((x, y - half), (x, y + half)), pen="dimension")


def names(assessment: Assessment, view: View, *, cap_mm: float, without: Collection[str] = ()) -> tuple[Label, ...]:
    """Words for everything in the plan but some paths, marks and crests first; capitals `cap_mm` [mm] high."""
    feature = assessment.feature
    system = feature.system
    found: list[Label] = []

    def add(
        text: str,
        at: XY,
        path: str,
        rank: int,
        *,
        colour: str = "ink",
        weight: str = "regular",
        away: XY = (1.0, 0.6),
        of: str = "",
    ) -> None:
        towards = (away[0], -away[1])  # paper's y runs down
        label = Label(text=text, at=view.put(*at), size_mm=cap_mm, path=path, rank=rank, towards=towards, of=of)
        found.append(replace(label, colour=colour, weight=weight))

    shared = _shared(assessment)
    for mark in feature.marks:
        if mark.at is not None and mark.id not in shared.values():
            said = f"{mark.id} {level(mark.level.m, system)} {mark.level.surface.value}"
            weight = "semibold" if mark.role == "benchmark" else "regular"
            of = f"marks/{mark.id}.level {mark.level.surface.value}"
            add(said, mark.at, f"marks/{mark.id}", 0, weight=weight, of=of)
    for body in feature.bodies:
        middle = middle_of(body.outline)
        said = f"{body.id}, water {level(body.waterline.m, system)}"
        of = f"ponds/{body.id}.waterline water"
        add(said, middle, f"ponds/{body.id}", 0, colour="water", weight="semibold", of=of)
        for rim in body.rims:
            if rim.at is not None:
                said = f"{rim.id} on {shared[rim.id]}" if rim.id in shared else rim.id
                said += f" {level(rim.ground.m, system)} {rim.ground.surface.value}"
                of = f"rims/{rim.id}.ground {rim.ground.surface.value}"
                if rim.berm_m > 0:
                    said += f", berm {length(rim.berm_m, system)}"
                    of += f"; rims/{rim.id}.berm"
                add(said, rim.at, f"rims/{rim.id}", 2, away=(rim.at[0] - middle[0], rim.at[1] - middle[1]), of=of)
    for course in feature.streams:
        head, (dx, dy) = place_of(course, 0.0)
        said = f"stream head {level(course.head.m, system)} bed"
        add(said, head, f"streams/{course.id}", 1, away=(-dx, -dy), of=f"streams/{course.id}.head bed")
        for fall in course.falls:
            at, (dx, dy) = place_of(course, fall.station_m)
            said = f"{fall.id} {level(fall.crest.m, system)} {fall.crest.surface.value}"
            built = fall.crest.origin is Origin.BUILT
            said += f", {AS_SHOT}" if built else ""
            colour = "built" if built else "stone word"
            of = f"falls/{fall.id}.crest {fall.crest.surface.value}"
            add(said, at, f"falls/{fall.id}", 1, colour=colour, weight="semibold", away=(dy, -dx), of=of)
    for run in feature.runs:
        for end in run.ends:
            if end.at is not None:
                said = f"{end.key.partition('/')[2]} {level(end.level.m, system)} outlet"
                add(said, end.at, f"runs/{run.id}", 2, of=f"runs/{run.id}.outlet {end.level.surface.value}")
    for access in feature.site.accesses:
        if access.at is not None:
            path = f"accesses/{access.id}"
            add(f"access {access.id}, {length(access.width_m, system)}", access.at, path, 3, of=f"{path}.width")
    for footing in feature.site.footings:
        if footing.line:
            said = f"footing {footing.id}, base {level(footing.base.m, system)}"
            place = nearest_on(footing.line, middle_of(feature.bodies[0].outline))
            add(said, place, f"footings/{footing.id}", 3, of=f"footings/{footing.id}.base {footing.base.surface.value}")
    for ids, at, path in stakes_by_place(assessment):
        add(", ".join(ids), at, path, 2, weight="semibold")
    return tuple(label for label in found if label.path not in without)


def stakes_by_place(assessment: Assessment) -> list[tuple[list[str], XY, str]]:
    """Ids, place and first path of the stakes, those that stand in one place together."""
    found: list[tuple[list[str], XY, str]] = []
    if isinstance(assessment.build, NotRun):
        return found
    for stake in assessment.build.stakes:
        if stake.at is None:
            continue
        there = next((ids for ids, at, _ in found if math.dist(at, stake.at) < _SAME_PLACE_M), None)
        if there is None:
            found.append(([stake.id], stake.at, stake.path))
        else:
            there.append(stake.id)
    return found


def _shared(assessment: Assessment) -> dict[str, str]:
    """Rims that stand on a shot point, by id, with that point's: the two have one label."""
    feature = assessment.feature
    spots = [mark for mark in feature.marks if mark.at is not None and mark.role == "point"]
    return {
        rim.id: mark.id
        for body in feature.bodies
        for rim in body.rims
        for mark in spots
        if rim.at is not None
        and mark.at is not None
        and math.dist(rim.at, mark.at) < 0.01
        and abs(rim.ground.m - mark.level.m) < 5e-4
    }
