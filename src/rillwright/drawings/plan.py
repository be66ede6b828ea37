"""The plan to scale: what lies where, with north, grid, levels by surface and the main lengths."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from functools import partial

from rillwright.assessment import XY, Assessment, Body, BodyKind, Judged
from rillwright.drawings import far, labels, plan_parts, scale
from rillwright.drawings.buried import inside
from rillwright.drawings.display import Area, Box, Circle, Dimension, Drawing, Item, Point, Polyline, Text, View, group
from rillwright.drawings.expand import flat
from rillwright.drawings.measure import text_box, width_mm
from rillwright.drawings.outline import beside
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.words import length
from rillwright.errors import InputError

NAME = "What lies where"
_MARGIN_MM = 3.0
_OFFSETS_MM = (9.0, 14.0, 19.0, 24.0)  # of a dimension from its outline
_ROUND_MM = 22.0  # room for words round what is drawn
_CLEAR = ("leader", "grid", "water mark")  # pens over which words may lie


def draw(
    source: Judged | Assessment, *, frame_mm: tuple[float, float] = (390.0, 250.0), style: DrawingStyle = PLAIN
) -> Drawing:
    """The plan of the whole feature in a frame.

    Parameters
    ----------
    source
        What was assessed.
    frame_mm
        Width and height of the room [mm].
    style
        The hand.

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    assessment = assessment_of(source)
    everything = extent(assessment)
    if not everything:
        return nothing(NAME, frame_mm, "nothing has a place in plan", style=style)
    width, height = frame_mm
    cap = style.cap_mm
    system = assessment.feature.system
    bar = 2 * cap + 8.0 if style.bar else 0.0
    key: tuple[tuple[int, str], ...] = ()
    column = 0.0
    asides = far.asides(assessment)
    work = work_of(assessment) or tuple(one.at for one in asides)
    for _ in range(3):  # a key takes room, and less room may mean a longer key
        room = Box(left=_MARGIN_MM, top=_MARGIN_MM, right=width - _MARGIN_MM - column, bottom=height - _MARGIN_MM - bar)
        near, away = far.parted(work, asides, partial(_scale, room=room, system=system))
        view = _view([*work, *(one.at for one in near)], room, system)
        without = {one.path for one in away}
        items = _body(assessment, view, room, style, without=without)
        arrows, told = far.arrows(away, assessment, view, room=room, starts=_starts(assessment), cap_mm=cap)
        items += arrows
        words = (*told, *plan_parts.names(assessment, view, cap_mm=cap, without=without))
        placing = labels.place(words, room, taken=_taken(items), lines=_lines(items))
        if len(placing.key) <= len(key):
            break
        key = placing.key
        column = _MARGIN_MM + max(width_mm(text, cap) for _, text in key) + 4.0 * cap
    items += _knocked_out(placing, assessment, view)
    items += labels.items(placing, ground=partial(_ground, assessment=assessment, view=view))
    drawn_key, left_over = _key(placing.key, room.right + _MARGIN_MM, room, cap)
    items += drawn_key
    if style.bar:
        items.append(scale.bar(view, (_MARGIN_MM, height - bar + 1.0), size_mm=cap, system=system))
    alt = f"Plan of {assessment.feature.name} with {len(assessment.feature.falls)} drops, north and grid"
    return Drawing(
        name=NAME, alt=alt, width_mm=width, height_mm=height, items=tuple(items), scale=view.scale,
        scale_text=scale.words(view.scale, system), key=left_over,
    )  # fmt: skip


def extent(assessment: Assessment) -> tuple[XY, ...]:
    """Every point that has a place in plan [m]."""
    feature = assessment.feature
    points: list[XY] = [*waterworks(assessment), *(mark.at for mark in feature.marks if mark.at is not None)]
    points += [rim.at for body in feature.bodies for rim in body.rims if rim.at is not None]
    points += [access.at for access in feature.site.accesses if access.at is not None]
    points += [point for footing in feature.site.footings for point in footing.line]
    points += [at for at, _ in plan_parts.stakes(assessment)]
    return tuple(points)


def work_of(assessment: Assessment) -> tuple[XY, ...]:
    """What a plan must show in place: waterworks, rims and stakes [m]."""
    feature = assessment.feature
    points: list[XY] = [*waterworks(assessment), *(at for at, _ in plan_parts.stakes(assessment))]
    points += [rim.at for body in feature.bodies for rim in body.rims if rim.at is not None]
    return tuple(points)


def _starts(assessment: Assessment) -> list[tuple[str, XY]]:
    """Places from which a distance can be taped, by name: stakes, else the middles of bodies."""
    stakes = [(f"stake {ids[0]}", at) for ids, at, _ in plan_parts.stakes_by_place(assessment)]
    bodies = assessment.feature.bodies
    return stakes or [(f"the middle of {body.id}", far.middle_of(body.outline)) for body in bodies]


def _ground(at: Point, *, assessment: Assessment, view: View) -> str:
    """The colour on which words with their middle at a point of the paper lie."""
    if any(inside(at, view.line(body.outline)) for body in assessment.feature.bodies if body.kind is BodyKind.POND):
        return "water wash"
    if any(inside(at, view.line(body.outline)) for body in assessment.feature.bodies):
        return "stone wash"
    for course in assessment.feature.streams:
        if len(course.path) > 1:
            half = course.width_m / 2
            bed = (*view.line(beside(course.path, half)), *reversed(view.line(beside(course.path, -half))))
            if inside(at, bed):
                return "water wash"
    return "paper"


def waterworks(assessment: Assessment) -> tuple[XY, ...]:
    """The corners of bodies, the banks of streams and the ways of pipes [m]."""
    feature = assessment.feature
    points: list[XY] = [point for body in feature.bodies for point in body.outline]
    points += [point for _, way in plan_parts.pipe_ways(assessment) for point in way]
    for course in feature.streams:
        if len(course.path) > 1:
            points += beside(course.path, course.width_m / 2) + beside(course.path, -course.width_m / 2)
    return tuple(points)


def _inner(room: Box) -> Box:
    return room.grown(-min(_ROUND_MM, 0.12 * min(room.width, room.height)))


def _scale(points: Sequence[XY], *, room: Box, system: str) -> float:
    """The standard scale 1:n [-] at which some points [m] fit the room; beyond all of them if at none."""
    xs, ys = zip(*points, strict=True)
    try:
        return scale.choose(max(xs) - min(xs), max(ys) - min(ys), _inner(room), system=system)
    except InputError:
        return math.inf


def _view(points: Sequence[XY], room: Box, system: str) -> View:
    xs, ys = zip(*points, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    n = scale.choose(wide, high, _inner(room), system=system)
    left = (room.left + room.right - wide * 1000 / n) / 2
    base = (room.top + room.bottom + high * 1000 / n) / 2
    return View(scale=n, origin=(min(xs), min(ys)), at=(left, base))


def _body(
    assessment: Assessment, view: View, room: Box, style: DrawingStyle, *, without: Collection[str]
) -> list[Item]:
    feature = assessment.feature
    items: list[Item] = [scale.grid(view, room, system=feature.system)] if style.grid else []
    items.append(plan_parts.footings(assessment, view, room))
    items += [plan_parts.stream(course, view) for course in feature.streams if len(course.path) > 1]
    items.append(plan_parts.bodies(assessment, view))
    items.append(plan_parts.pipes(assessment, view))
    items.append(plan_parts.points(assessment, view, without=without))
    signs = [item for item in flat(items[-1:]) if isinstance(item, Circle | Area | Polyline)]
    spots = [item.centre if isinstance(item, Circle) else item.points[0] for item in signs]
    for body in feature.bodies:
        items.append(_lengths(body, view, feature.system, cap_mm=style.cap_mm, spots=spots))
    if style.bar:
        items.append(scale.north((room.right - 7.0, room.top + 11.0), feature.site.north_rad, size_mm=style.cap_mm))
    return items


def _lengths(body: Body, view: View, system: str, *, cap_mm: float, spots: Sequence[Point]) -> Item:
    """How far the outline goes across the sheet and up it, clear of the signs of what stands round it."""
    xs, ys = zip(*body.outline, strict=True)
    west, east, south, north = min(xs), max(xs), min(ys), max(ys)
    (left, low), (right, high) = view.put(west, south), view.put(east, north)
    below = [y - low for x, y in spots if left - 2.0 <= x <= right + 2.0]
    beyond = [x - right for x, y in spots if high - 2.0 <= y <= low + 2.0]
    wide = Dimension(
        start=(left, low), end=(right, low), offset_mm=-_clear(below, cap_mm), text=length(east - west, system),
        size_mm=cap_mm,
    )  # fmt: skip
    tall = Dimension(
        start=(right, low), end=(right, high), offset_mm=-_clear(beyond, cap_mm), text=length(north - south, system),
        size_mm=cap_mm,
    )  # fmt: skip
    return group("lengths", (wide, tall), path=f"ponds/{body.id}")


def _clear(taken: Sequence[float], cap_mm: float) -> float:
    """The nearest of a few distances from the outline [mm] at which no sign lies on the line or its words."""
    free = [d for d in _OFFSETS_MM if not any(d - 2.5 * cap_mm < t < d + cap_mm for t in taken)]
    return free[0] if free else _OFFSETS_MM[0]


def _knocked_out(placing: labels.Placing, assessment: Assessment, view: View) -> list[Item]:
    """Quiet ground under words that lie on the hatch of a buried reservoir."""
    items: list[Item] = []
    for body in assessment.feature.bodies:
        if body.kind is not BodyKind.RESERVOIR:
            continue
        room = Box.round(view.line(body.outline))
        for placed in placing.placed:
            box = placed.box.grown(0.4)
            if box.overlaps(room):
                left, right = max(box.left, room.left), min(box.right, room.right)
                top, bottom = max(box.top, room.top), min(box.bottom, room.bottom)
                corners = ((left, top), (right, top), (right, bottom), (left, bottom))
                items.append(Area(points=corners, fill="stone wash"))
    return items


def _taken(items: Sequence[Item]) -> list[Box]:
    """Boxes of words and signs that labels must leave free."""
    boxes = [text_box(item) for item in flat(items) if isinstance(item, Text)]
    for item in flat(items):
        if isinstance(item, Circle):
            x, y = item.centre
            boxes.append(Box(left=x, right=x, top=y, bottom=y).grown(item.radius_mm))
        elif isinstance(item, Area) and item.fill in ("ink", "paper"):
            boxes.append(Box.round(item.points))
    return boxes


def _lines(items: Sequence[Item]) -> list[Sequence[tuple[float, float]]]:
    lines: list[Sequence[tuple[float, float]]] = []
    for item in flat(items):
        if isinstance(item, Polyline) and item.pen not in _CLEAR:
            lines.append((*item.points, item.points[0]) if item.closed else item.points)
            if item.pen == "footing":  # so heavy that words over it are hard to read
                lines.append(item.points)
        elif isinstance(item, Area) and item.pen is not None:
            lines.append((*item.points, item.points[0]))
    return lines


def _key(
    entries: Sequence[tuple[int, str]], left: float, room: Box, cap: float
) -> tuple[list[Item], tuple[tuple[int, str], ...]]:
    """The key's lines beside the plan, and those for which the sheet has no room."""
    step = 1.8 * cap
    fits = int((room.height - 4 * step) / step)
    items: list[Item] = []
    for index, (number, words) in enumerate(entries[:fits]):
        y = room.top + 4 * step + step * index
        items.append(Text(x=left + 2.6 * cap, y=y, text=str(number), size_mm=cap, anchor="end", weight="semibold"))
        items.append(Text(x=left + 3.2 * cap, y=y, text=words, size_mm=cap))
    return [group("key", items)] if items else [], tuple(entries[fits:])
