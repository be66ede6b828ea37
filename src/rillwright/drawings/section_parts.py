"""The body of the long section: ground, dig, liner, gravel, stone, water, each as its own layer."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Sequence

from rillwright.assessment import (
    Assessment,
    Body,
    BodyKind,
    Fall,
    Lap,
    LongSection,
    NotRun,
    Reach,
    ReachWater,
    StoneOutline,
    Stream,
    Water,
)
from rillwright.drawings import buried as buried_parts
from rillwright.drawings.buried import inside
from rillwright.drawings.display import Area, Box, Group, Item, Point, Polyline, View, group
from rillwright.drawings.hatch import strokes, under
from rillwright.drawings.joints import joined, joined_lines, joined_water
from rillwright.drawings.profile import between, cut_and_fill, level_at, pools

HATCH_DEPTH_MM = 4.0
_LAP_GAP_MM = 1.1
_APART_MM = 0.7  # nearer than this two lines of water are one
HALF_BLOCKED = "half blocked"


def earth(section: LongSection, view: View) -> Group:
    """The dig with its thin hatch at 45 degrees below it; fill over known ground hatched the other way."""
    line = view.line(section.dig)
    solid, fills = filled(section)
    hatch = under(view.line(solid), spacing_mm=1.3, depth_mm=HATCH_DEPTH_MM)
    fill = [stroke for area in fills for stroke in strokes(view.line(area), spacing_mm=1.3, angle_deg=-45.0)]
    return group("dig", (*hatch, *fill, Polyline(points=line, pen="dig")))


def filled(section: LongSection) -> tuple[Sequence[Point], tuple[Sequence[Point], ...]]:
    """What is solid under the dig, and the fill under it; all of it solid where the ground is only guessed."""
    if section.ground_guessed or len(section.ground) < 2:
        return section.dig, ()
    solid, fills = cut_and_fill(section.dig, section.ground)
    return solid, tuple(fills)


def ground(section: LongSection, view: View) -> Group:
    """The ground before work: dashed where it is only straight between known levels."""
    pen = "ground guessed" if section.ground_guessed else "ground"
    return group("ground", (Polyline(points=view.line(section.ground), pen=pen),))


def gravel(section: LongSection, stream: Stream, view: View) -> Group:
    """What lies between liner and bed, in the stone's wash, and the bed's own line."""
    items: list[Item] = []
    for reach in stream.reaches:
        start, stop = reach.station_m, reach.station_m + reach.length_m
        bed = between(section.bed, start, stop)
        liner = between(section.liner, start, stop)
        if len(bed) > 1 and len(liner) > 1:
            items.append(Area(points=(*view.line(bed), *reversed(view.line(liner))), fill="stone wash"))
    if stream.joins is not None:
        end = max(station for station, _ in section.bed)
        bed, liner = (between(line, section.length_m, end) for line in (section.bed, section.liner))
        if len(bed) > 1 and len(liner) > 1:
            items.append(Area(points=(*view.line(bed), *reversed(view.line(liner))), fill="stone wash"))
    items.append(Polyline(points=view.line(section.bed), pen="bed"))
    return group("bed", items)


def liner(section: LongSection, laps: Sequence[tuple[Lap, float]], view: View) -> Group:
    """The liner, heavy; doubled at laps, where the upper piece passes over and the lower line has a gap.

    Parameters
    ----------
    section
        Its line.
    laps
        Laps with the stations of their falls [m].
    view
        Paper.
    """
    line = view.line(section.liner)
    items: list[Item] = [Polyline(points=line, pen="liner")]
    for lap, station in laps:
        items.append(group("lap", _lap(line, lap, view, station), path=f"laps/{lap.id}"))
    return group("liner", items)


def _lap(line: Sequence[Point], lap: Lap, view: View, station: float) -> list[Item]:
    """The lower piece: up behind the face under the upper one, which ends on it with a gap."""
    foot = _face_foot(line, view.put(station, 0.0)[0])
    if foot is None:
        return []
    top_y = min(view.y(lap.upturn.m), line[foot][1] - 1.0)
    x = line[foot][0]
    run = view.length(lap.run_m)
    out = _along(line[foot:], run)
    end = out[-1]
    lower = [(x - _LAP_GAP_MM, top_y), (x - _LAP_GAP_MM, line[foot][1] + _LAP_GAP_MM)]
    lower += [(px, py + _LAP_GAP_MM) for px, py in out[1:]]
    beyond = _along(_from(line, foot, run), 2.5)
    joint = beyond[-1]
    return [
        Polyline(points=((end[0], end[1]), joint), pen="gap"),
        Polyline(points=(*lower, joint), pen="liner"),
    ]


def _face_foot(line: Sequence[Point], x: float) -> int | None:
    """Index of the foot of the drop nearest to the fall on its upstream side."""
    best, distance = None, math.inf
    for index, (a, b) in enumerate(itertools.pairwise(line)):
        if abs(a[0] - b[0]) < 0.2 * abs(b[1] - a[1]) and b[1] > a[1] and abs(b[0] - x) < distance:
            best, distance = index + 1, abs(b[0] - x)
    return best if distance < 25.0 else None


def _along(line: Sequence[Point], length: float) -> list[Point]:
    """The first part of a line, `length` [mm] long, or all of it."""
    points = [line[0]]
    for a, b in itertools.pairwise(line):
        piece = math.hypot(b[0] - a[0], b[1] - a[1])
        if piece >= length:
            t = length / piece if piece else 0.0
            points.append((a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t))
            return points
        length -= piece
        points.append(b)
    return points


def _from(line: Sequence[Point], index: int, length: float) -> list[Point]:
    """The rest of a line from `length` [mm] beyond one of its points."""
    start = _along(line[index:], length)
    done = len(start) - 2
    return [start[-1], *line[index + done + 1 :]]


def stones(section: LongSection, view: View) -> Group:
    """Spill stones and fall faces, faceted."""
    items = [
        group("stone", tuple(_stone(stone, view)), path=f"falls/{stone.fall}")
        for kind in ("face", "spill")
        for stone in section.stones
        if stone.kind == kind
    ]
    return group("stone", items)


def _stone(stone: StoneOutline, view: View) -> Iterator[Item]:
    corners = view.line(stone.corners)
    yield Area(points=corners, fill="stone wash", pen="stone")
    box = Box.round(corners)
    # one ridge a little off the middle, and facets from its ends to the corners: the same stone every time
    a = (box.left + 0.36 * box.width, box.top + 0.42 * box.height)
    b = (box.left + 0.66 * box.width, box.top + 0.58 * box.height)
    if not (inside(a, corners) and inside(b, corners)) or min(box.width, box.height) < 1.5:
        return
    yield Polyline(points=(a, b), pen="facet")
    for index, corner in enumerate(corners):
        end = a if math.dist(corner, a) < math.dist(corner, b) else b
        if index % 2 == 0:
            yield Polyline(points=(end, corner), pen="facet")


def no_water() -> tuple[Group, Group]:
    """The places of wash and lines of water with nothing in them: whoever moves it puts it there."""
    return group("water wash", ()), group("water", ())


def water(assessment: Assessment, section: LongSection, stream: Stream, view: View) -> tuple[Group, Group]:
    """Water as (wash under everything, lines over everything): at rest thin, running a little heavier."""
    if isinstance(assessment.water, NotRun):
        return no_water()
    wash: list[Item] = []
    lines: list[Item] = []
    state = {reach.id: wet for reach in stream.reaches if (wet := assessment.water.wet(reach.id)) is not None}
    for reach in stream.reaches:
        found = state.get(reach.id)
        if found is None:
            continue
        start, stop = reach.station_m, reach.station_m + reach.length_m
        pool = pool_line(stream, reach)
        bed = between(section.bed, start, stop)
        bed = tuple(point for point in bed if min(reach.bed_start.m, reach.bed_end.m) - 1e-6 <= point[1])
        if pool:
            bed = (*pool, (stop, reach.bed_end.m))
        surface = _running(found, start, stop)

        def running(s: float, surface: Sequence[Point] = surface) -> float:
            level = level_at(surface, min(max(s, surface[0][0]), surface[-1][0]))
            return surface[-1][1] if level is None else level

        path = f"reaches/{reach.id}"
        for polygon in pools(_parted(bed, surface), running):
            wash.append(group("running", (Area(points=view.line(polygon), fill="water wash"),), path=path))
        lines.append(group("running", (Polyline(points=view.line(surface), pen="water"),), path=path))
        lines += _blocked(assessment.water, found, bed, running, view)
        rest = found.rest_level_m
        if rest is None and pool:
            rest = pool[-1][1]  # its lip holds it
        if rest is not None:
            for polygon in pools(bed, lambda _, rest=rest: rest):  # type: ignore[misc]
                left, right = (f(s for s, _ in polygon) for f in (min, max))
                lines.append(Polyline(points=view.line(((left, rest), (right, rest))), pen="water at rest"))
    wash_pond, lines_pond = _water_below(assessment, section, stream, view)
    return group("water wash", (*wash, *wash_pond)), group(
        "water", (*lines, *lines_pond, *_falling(stream, state, view))
    )


def pool_line(stream: Stream, reach: Reach) -> tuple[Point, ...]:
    """Floor and far wall of the plunge pool at the upper end of a reach; nothing where there is none."""
    pool = stream.plunge_in(reach)
    if pool is None:
        return ()
    out, floor = reach.station_m + pool.length_m, reach.bed_start.m - pool.depth_m
    return (reach.station_m, floor), (out, floor), (out, reach.bed_at_m(out))


def _running(wet: ReachWater, start_m: float, stop_m: float) -> tuple[Point, ...]:
    """The running surface of a reach: its profile, or straight between its ends where there is none."""
    if wet.profile is None:
        return ((start_m, wet.running_start_m.value), (stop_m, wet.running_end_m.value))
    levels = [level.value for level in wet.profile.levels_m]
    return tuple(zip(wet.profile.stations_m, levels, strict=True))


def _parted(bed: Sequence[Point], surface: Sequence[Point]) -> list[Point]:
    """The bed with a point under every station of the surface, so that the water over it has the surface's bends."""
    found: list[Point] = list(bed[:1])
    for (x0, z0), (x1, z1) in itertools.pairwise(bed):
        inside = [station for station, _ in surface if x0 < station < x1]
        found += [(station, z0 + (z1 - z0) * (station - x0) / (x1 - x0)) for station in inside]
        found.append((x1, z1))
    return found


def blocked_level(water: Water, wet: ReachWater, view: View) -> float | None:
    """The level of a half blocked reach [m], where it can be told from the running one on paper."""
    levels = [high.level_m.value for high in water.highest if (high.path, high.case) == (wet.path, HALF_BLOCKED)]
    if not levels or not wet.pool_like:
        return None
    apart_mm = view.length(max(levels) - wet.running_start_m.value) * view.exaggeration
    return max(levels) if apart_mm >= _APART_MM else None


def _blocked(
    water: Water, wet: ReachWater, bed: Sequence[Point], running: Callable[[float], float], view: View
) -> Iterator[Item]:
    level = blocked_level(water, wet, view)
    if level is None or level <= running(bed[0][0]):
        return
    for polygon in pools(bed, lambda _: level):
        left, right = (f(s for s, _ in polygon) for f in (min, max))
        yield Polyline(points=view.line(((left, level), (right, level))), pen="water blocked")


def _water_below(
    assessment: Assessment, section: LongSection, stream: Stream, view: View
) -> tuple[list[Item], list[Item]]:
    """The water past the stream's end: of the bed that it joins, or of its body."""
    bed = joined(assessment, stream)
    if bed is not None:
        at = section.bed, section.length_m
        return list(joined_water(bed, *at, view)), list(joined_lines(bed, *at, view))
    assert not isinstance(assessment.water, NotRun)
    return _pond_water(assessment.water, section, stream, assessment.feature.body(stream.into), view)


def _pond_water(
    water: Water, section: LongSection, stream: Stream, body: Body, view: View
) -> tuple[list[Item], list[Item]]:
    balance = next((b for b in water.balances if b.body == stream.into), None)
    wash: list[Item] = []
    lines: list[Item] = []
    if balance is None:
        return wash, lines
    buried = body.kind is BodyKind.RESERVOIR
    end = max(s for s, _ in section.bed)
    bed = between(section.bed, section.length_m, end)
    path = f"ponds/{stream.into}"
    top = max(balance.running_level_m.value, balance.held_m)
    for polygon in pools(bed, lambda _: top):
        parts: list[Item] = [Area(points=view.line(polygon), fill="water wash")]
        if buried:
            parts += buried_parts.filled(body, view.line(polygon))
        wash.append(group("water", tuple(parts), path=path))
    if buried:
        wash += buried_parts.cover(section, max(top, balance.held_m), end, view, path)
    for level, pen in ((balance.held_m, "water at rest"), (balance.running_level_m.value, "water")):
        for polygon in pools(bed, lambda _, level=level: level):  # type: ignore[misc]
            left, right = (f(s for s, _ in polygon) for f in (min, max))
            lines.append(Polyline(points=view.line(((left, level), (right, level))), pen=pen))
    return wash, lines


def berm(section: LongSection, view: View) -> Group:
    """Ground built up under the far rim: crossed hatch between the ground that was there and the liner."""
    (rise, _), (start, top), (end, _) = section.liner[-3:] if len(section.liner) > 2 else ((0.0, 0.0),) * 3
    ground = level_at(section.ground, start)
    if not rise < start or ground is None or top - ground < 0.01:
        return group("berm", ())
    high = top - ground
    corners = view.line(((max(rise, start - high), ground), (start, top), (end, top), (end + high, ground)))
    hatch = [line for angle in (45.0, -45.0) for line in strokes(corners, spacing_mm=1.3, angle_deg=angle)]
    return group("berm", (*hatch, Polyline(points=corners, pen="earth")))


def _falling(stream: Stream, state: dict[str, ReachWater], view: View) -> Iterator[Item]:
    """The sheet of water over each crest, from the water above to the level below."""
    for upper, fall in zip(stream.links, stream.links[1:], strict=False):
        found = state.get(upper.id)
        if found is None or not isinstance(fall, Fall):
            continue
        curve = sheet_curve(view, fall.station_m, found.running_end_m.value, fall.foot.m)
        yield group("falling water", (Polyline(points=curve, pen="water"),), path=f"falls/{fall.id}")


def sheet_curve(view: View, station_m: float, top_m: float, foot_m: float) -> tuple[Point, ...]:
    """The line on paper of water that falls at a station from one level to another [m]."""
    x, top = view.put(station_m, top_m)
    foot = view.y(foot_m)
    bow = min(1.6, 0.5 + 0.12 * (foot - top))
    return tuple((x + bow * math.sqrt(t / 6), top + (foot - top) * (t / 6) ** 1.6) for t in range(7))
