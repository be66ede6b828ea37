"""One section across the work, heights and lengths in one scale: ground, dig, liner, finished work, water, footing."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from rillwright.assessment import XY, Assessment, BodyKind, Judged, NotRun
from rillwright.drawings import labels, scale
from rillwright.drawings.buried import inside
from rillwright.drawings.cuts import BEHIND_M, Cut
from rillwright.drawings.display import Area, Box, Drawing, Item, Point, Polyline, Text, View, group
from rillwright.drawings.expand import flat
from rillwright.drawings.hatch import strokes, under
from rillwright.drawings.measure import text_box
from rillwright.drawings.on_mesh import cut_along
from rillwright.drawings.outline import clipped
from rillwright.drawings.profile import Line, between, cut_and_fill, level_at, pools
from rillwright.drawings.rim_spare import profiles_of
from rillwright.drawings.site_plan import edges_of
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.surroundings import called
from rillwright.drawings.words import level

NAME = "Section"
_MARGIN_MM = 3.0
_HATCH_MM, _HATCH_DEPTH_MM, _FILL_MM = 2.0, 3.5, 1.8
_ABOVE_MM, _BELOW_MM = 11.0, 8.0  # room for words over and under what is drawn
_SAME_M = 1e-3
_FOOT_AT_M = BEHIND_M  # of what bears, from the section's start
_CLEAR = ("hatch", "leader")  # pens over which words may lie


class _Lines(Struct, frozen=True, kw_only=True):
    """The surfaces along the section as (distance from its start, level) [m]; `wet` are stretches within a rim."""

    ground: Line
    dug: Line
    liner: Line
    finished: Line
    wet: tuple[tuple[float, float], ...]


def draw(
    source: Judged | Assessment,
    cut: Cut,
    *,
    frame_mm: tuple[float, float] = (177.0, 60.0),
    style: DrawingStyle = PLAIN,
) -> Drawing:
    """A section in a frame, at the largest standard scale, as high as it needs.

    Parameters
    ----------
    source
        What was assessed, with its finished work.
    cut
        Where it goes.
    frame_mm
        Width and greatest height of the room [mm].
    style
        The hand.

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    assessment = assessment_of(source)
    finished = assessment.finished
    name = f"{NAME} {cut.letter}"
    if isinstance(finished, NotRun):
        return nothing(name, frame_mm, finished.reason, style=style)
    ground, dug, liner, top = (
        cut_along(mesh, cut.start, cut.end)
        for mesh in (finished.ground, finished.dug, finished.liner, finished.finished)
    )
    if len(dug) < 2 or len(ground) < 2:
        return nothing(name, frame_mm, "nothing is known of the ground there", style=style)
    lines = _Lines(ground=ground, dug=dug, liner=liner, finished=top, wet=_wet(assessment, cut))
    return _sheet(assessment, cut, lines, frame_mm=frame_mm, style=style)


def _sheet(
    assessment: Assessment,
    cut: Cut,
    lines: _Lines,
    *,
    frame_mm: tuple[float, float],
    style: DrawingStyle,
) -> Drawing:
    width, cap, system = frame_mm[0], style.cap_mm, assessment.feature.system
    base = _base(assessment, cut)
    heights = [z for line in (lines.ground, lines.dug, lines.liner, lines.finished) for _, z in line]
    heights += [] if base is None else [base]
    low, high = min(heights), max(heights)
    head = 2.0 * cap
    most = Box(left=_MARGIN_MM, top=head + _ABOVE_MM, right=width - _MARGIN_MM, bottom=frame_mm[1] - _BELOW_MM)
    n = scale.choose(cut.length_m, high - low, most, system=system)
    used = (high - low) * 1000.0 / n
    left = (width - cut.length_m * 1000.0 / n) / 2
    view = View(scale=n, origin=(0.0, low), at=(left, head + _ABOVE_MM + used))
    height = head + _ABOVE_MM + used + _BELOW_MM
    room = Box(left=_MARGIN_MM, top=head + 0.4, right=width - _MARGIN_MM, bottom=height - 0.4)
    items: list[Item] = [*_body(assessment, cut, lines, view, room), *_bearing(cut, base, view, room)]
    title = f"{cut.letter} to {cut.letter}: {cut.why}"
    items.append(Text(x=_MARGIN_MM, y=1.2 * cap, text=title, size_mm=cap, weight="semibold"))
    items.append(
        Text(x=width - _MARGIN_MM, y=1.2 * cap, text=f"scale {scale.words(n, system)}, heights the same", size_mm=cap,
             anchor="end", colour="quiet")
    )  # fmt: skip
    words = [*_levels(assessment, cut, lines, view, cap), *_names(lines, view, cap, base, cut)]
    placing = labels.place(
        words, room, taken=[text_box(item) for item in flat(items) if isinstance(item, Text)],
        lines=[item.points for item in flat(items) if isinstance(item, Polyline) and item.pen not in _CLEAR],
    )  # fmt: skip
    items += labels.items(placing, ground=lambda _: "paper")
    return Drawing(
        name=f"{NAME} {cut.letter}", alt=f"Section of {assessment.feature.name} through {cut.why}", width_mm=width,
        height_mm=height, items=tuple(items), scale=n, scale_text=scale.words(n, system), key=placing.key,
    )  # fmt: skip


def _body(assessment: Assessment, cut: Cut, lines: _Lines, view: View, room: Box) -> Iterator[Item]:
    """Earth first, then water, then what lies on the liner, the liner over all."""
    solid, fills = cut_and_fill(lines.dug, lines.ground)
    earth: list[Item] = [
        Polyline(points=stroke.points, pen="hatch")
        for stroke in under(view.line(solid), spacing_mm=_HATCH_MM, depth_mm=_HATCH_DEPTH_MM)
        if all(room.has(point) for point in stroke.points)
    ]
    for fill in fills:
        corners = view.line(fill)
        for angle in (45.0, -45.0):
            earth += strokes(corners, spacing_mm=_FILL_MM, angle_deg=angle)
    yield group("earth", earth)
    for path, start, end, height in _waters(assessment, cut, lines):
        if not _buried(assessment, path):
            yield group("water", list(_water(between(lines.finished, start, end), height, view)), path=path)
    for start, end in lines.wet:
        top, below = between(lines.finished, start, end), between(lines.liner, start, end)
        if len(top) > 1 and len(below) > 1:
            yield group("stone and gravel", (Area(points=view.line((*top, *reversed(below))), fill="stone wash"),))
    for path, start, end, height in _waters(assessment, cut, lines):
        if _buried(assessment, path):
            parts = [
                part for part in _water(between(lines.liner, start, end), height, view) if isinstance(part, Polyline)
            ]
            yield group("water", parts, path=path)
    yield group("ground", (Polyline(points=view.line(lines.ground), pen="ground guessed"),))
    yield group("dig", (Polyline(points=view.line(lines.dug), pen="dig"),))
    for start, end in lines.wet:
        yield group("finished", (Polyline(points=view.line(between(lines.finished, start, end)), pen="bed"),))
        yield group("liner", (Polyline(points=view.line(between(lines.liner, start, end)), pen="liner"),))


def _wet(assessment: Assessment, cut: Cut) -> tuple[tuple[float, float], ...]:
    """Stretches of the section that lie within an edge of liner [m]."""
    found: list[tuple[float, float]] = []
    for rim in edges_of(assessment):
        outline = [point.at for point in rim.points]
        if rim.kind != "outer" or len(outline) < 3:
            continue
        found += _within(outline, cut)
    return tuple(sorted(found))


def _within(outline: Sequence[XY], cut: Cut) -> Iterator[tuple[float, float]]:
    """Stretches of the section within an outline [m]."""
    (x, y), length = cut.start, cut.length_m
    way = ((cut.end[0] - x) / length, (cut.end[1] - y) / length)
    crossed = [0.0, length]
    for (x0, y0), (x1, y1) in itertools.pairwise([*outline, outline[0]]):
        cross = way[0] * (y1 - y0) - way[1] * (x1 - x0)
        if abs(cross) < 1e-12:
            continue
        s = ((x0 - x) * (y1 - y0) - (y0 - y) * (x1 - x0)) / cross
        u = ((x0 - x) * way[1] - (y0 - y) * way[0]) / cross
        if 0.0 <= u < 1.0 and 0.0 < s < length:
            crossed.append(s)
    for a, b in itertools.pairwise(sorted(crossed)):
        middle = (x + way[0] * (a + b) / 2, y + way[1] * (a + b) / 2)
        if b - a > _SAME_M and inside(middle, outline):
            yield a, b


def _buried(assessment: Assessment, path: str) -> bool:
    """Whether it is a reservoir under ground, whose water stands between stones or blocks."""
    bodies = assessment.feature.bodies
    return any(f"ponds/{body.id}" == path and body.kind is BodyKind.RESERVOIR for body in bodies)


def _water(bed: Line, height: float, view: View) -> Iterator[Item]:
    """Water over a bed, and its surface."""
    for polygon in pools(bed, lambda _: height):
        yield Area(points=view.line(polygon), fill="water wash")
        left, right = (f(s for s, _ in polygon) for f in (min, max))
        yield Polyline(points=view.line(((left, height), (right, height))), pen="water")


def _waters(assessment: Assessment, cut: Cut, lines: _Lines) -> Iterator[tuple[str, float, float, float]]:
    """Path, stretch and highest level of the water in each wet stretch [m], by the rim where the section crosses it."""
    points = [point for profile in profiles_of(assessment) for point in profile.points]
    if not points:
        return
    (x, y), length = cut.start, cut.length_m
    way = ((cut.end[0] - x) / length, (cut.end[1] - y) / length)
    for start, end in lines.wet:
        crossed = [s for s in (start, end) if _SAME_M < s < length - _SAME_M] or [(start + end) / 2]
        found = [
            min(points, key=lambda point, at=(x + way[0] * s, y + way[1] * s): math.dist(point.at, at))  # type: ignore[misc]
            for s in crossed
        ]
        lowest = min(found, key=lambda point: point.water_m.value)
        yield lowest.water, start, end, lowest.water_m.value


def _base(assessment: Assessment, cut: Cut) -> float | None:
    """The foot of what bears there [m], where somebody said it."""
    kind, _, id = cut.structure.partition("/")
    site = assessment.feature.site
    bases = {"footings": site.footings, "paving": site.paving, "buildings": site.buildings}.get(kind, ())
    found = next((each.base for each in bases if each.id == id), None)  # type: ignore[attr-defined]
    return None if found is None else float(found.m)


def _bearing(cut: Cut, base: float | None, view: View, room: Box) -> Iterator[Item]:
    """The footing as a block on its foot, and the 1:1 line down from it into the work."""
    if base is None:
        return
    x, y = view.put(_FOOT_AT_M, base)
    block = ((x, y), (x - 3.0, y), (x - 3.0, y - 4.0), (x, y - 4.0))
    parts: list[Item] = [Area(points=block, fill="stone wash", pen="footing")]
    line = clipped((x, y), (x + 200.0, y + 200.0), room)
    if line is not None:
        parts.append(Polyline(points=line, pen="1:1 line"))
    yield group("footing", parts, path=cut.structure)


def _levels(assessment: Assessment, cut: Cut, lines: _Lines, view: View, cap: float) -> Iterator[labels.Label]:
    """Levels with the word of their surface: edges of liner, water, floor of the dig."""
    system = assessment.feature.system
    for start, end in lines.wet:
        for s, sign in ((start, -1.0), (end, 1.0)):
            ends = [z for after in (True, False) if (z := level_at(lines.liner, s, after=after)) is not None]
            z = max(ends, default=None)  # of an upright edge its top
            if z is not None and _SAME_M < s < cut.length_m - _SAME_M:
                yield _label(f"{level(z, system)} liner", view.put(s, z), cap, "ink", (0.4 * sign, -1.0), 0)
    for path, start, end, height in _waters(assessment, cut, lines):
        spots = [view.put(start + t * (end - start), height) for t in (0.5, 0.3, 0.7, 0.2, 0.8, 0.12)]
        said = "water between the stones, highest" if _buried(assessment, path) else "water, highest"
        yield _label(f"{level(height, system)} {said}", spots[0], cap, "water", (0.0, -1.0), 1, spots[1:])
    touched = [
        (s, z) for s, z in lines.dug if (before := level_at(lines.ground, s)) is not None and before - z > _SAME_M
    ]
    if not touched:
        return
    s, z = min(touched, key=lambda point: point[1])
    yield _label(f"{level(z, system)} dig", view.put(s, z), cap, "earth word", (0.1, 1.0), 1)


def _names(lines: _Lines, view: View, cap: float, base: float | None, cut: Cut) -> Iterator[labels.Label]:
    """The words of each line at the line."""
    dry = [s for s, _ in lines.ground if not any(a <= s <= b for a, b in lines.wet)]
    spots = [*dry[1:-1], *dry]
    for line, stations, words, colour, towards in (
        (lines.ground, spots, "ground before", "ink", (0.2, -1.0)),
        (
            lines.dug,
            [(a + t * (b - a)) for a, b in lines.wet for t in (0.2, 0.8, 0.5)],
            "dig",
            "earth word",
            (0.2, 1.0),
        ),
        (lines.liner, [(a + t * (b - a)) for a, b in lines.wet for t in (0.12, 0.88)], "liner", "ink", (0.2, -1.0)),
    ):
        points = [view.put(s, z) for s in stations if (z := level_at(line, s)) is not None]
        if points:
            yield _label(words, points[0], cap, colour, towards, 3, points[1:8])
    if base is not None:
        x, y = view.put(_FOOT_AT_M, base)
        yield _label(called(cut.structure), (x - 1.5, y - 4.0), cap, "ink", (0.0, -1.0), 1)
        down = [(x + d, y + d) for d in (8.0, 12.0, 5.0, 16.0)]
        yield _label("1:1 from its foot: no dig below it", down[0], cap, "ink", (-0.3, 1.0), 2, down[1:])


def _label(
    text: str, at: Point, cap: float, colour: str, towards: Point, rank: int, also: Sequence[Point] = ()
) -> labels.Label:
    return labels.Label(
        text=text, at=at, size_mm=cap, colour=colour, towards=towards, rank=rank, also=tuple(also),
        weight="semibold" if rank == 0 else "regular",
    )  # fmt: skip
