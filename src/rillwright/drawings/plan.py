"""The plan to scale: what lies where, with grid, levels by surface and the main lengths."""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Sequence
from functools import partial

from rillwright.assessment import XY, Assessment, BodyKind, Judged
from rillwright.drawings import across, far, labels, plan_parts, scale, surroundings
from rillwright.drawings.buried import inside
from rillwright.drawings.display import Area, Box, Circle, Drawing, Item, Point, Polyline, Text, View, group
from rillwright.drawings.expand import flat
from rillwright.drawings.measure import text_box, width_mm
from rillwright.drawings.outline import beside, middle_of
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.errors import InputError

NAME = "What lies where"
_MARGIN_MM = 3.0
_ROUND_MM = 22.0  # room for words round what is drawn
_CLEAR = ("leader", "grid", "water mark")  # pens over which words may lie


def draw(
    source: Judged | Assessment,
    *,
    frame_mm: tuple[float, float] = (390.0, 250.0),
    style: DrawingStyle = PLAIN,
    key_below: bool = False,
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
    key_below
        Whether words for which there is no room stand under the plan, which grows by that, and not beside it.

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
        away = [one for one in away if not (one.beside and room.has(view.put(*one.at)))]
        without = {one.path for one in away}
        items = _body(assessment, view, room, style, without=without)
        arrows, told = far.arrows(
            away, assessment, view, room=room, starts=_starts(assessment), clear_of=_wet(assessment, view), cap_mm=cap
        )
        items += arrows
        words = (
            *told,
            *plan_parts.names(assessment, view, cap_mm=cap, without=without),
            *surroundings.names(assessment, view, room, cap_mm=cap, but=("footings",)),
        )
        placing = labels.place(words, room, taken=_taken(items), lines=_lines(items))
        if key_below or len(placing.key) <= len(key):
            break
        key = placing.key
        column = _MARGIN_MM + max(width_mm(text, cap) for _, text in key) + 4.0 * cap
    items += _knocked_out(placing, assessment, view)
    items += labels.items(placing, ground=partial(_ground, assessment=assessment, view=view))
    at_scale = f"scale {scale.words(view.scale, system)}"
    beside_bar = not key_below or scale.bar_box((_MARGIN_MM, 0.0), size_mm=cap, words_text=at_scale).right <= width
    under = [("", at_scale)] if style.bar and not beside_bar else []
    under += [(str(number), text) for number, text in placing.key] if key_below else []
    below = _under(under, width, height, cap) if under else []
    drawn_key, left_over = (below, ()) if key_below else _key(placing.key, room.right + _MARGIN_MM, room, cap)
    items += drawn_key
    if style.bar:
        items.append(scale.bar(view, (_MARGIN_MM, height - bar + 1.0), size_mm=cap, system=system, said=beside_bar))
    alt = f"Plan of {assessment.feature.name} with {len(assessment.feature.falls)} drops"
    return Drawing(
        name=NAME, alt=alt, width_mm=width, height_mm=_lowest(below, height), items=tuple(items), scale=view.scale,
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
    return stakes or [(f"the middle of {body.id}", middle_of(body.outline)) for body in bodies]


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
    items.append(surroundings.drawn(assessment, view, room, but=("footings",)))
    items += [plan_parts.stream(course, view) for course in feature.streams if len(course.path) > 1]
    items.append(plan_parts.bodies(assessment, view))
    items.append(plan_parts.pipes(assessment, view))
    items.append(plan_parts.points(assessment, view, without=without))
    signs = [item for item in flat(items[-1:]) if isinstance(item, Circle | Area | Polyline)]
    spots = [item.centre if isinstance(item, Circle) else item.points[0] for item in signs]
    lines = _lines(items)
    for body in feature.bodies:
        items.append(
            across.dimensions(body, view, feature.system, cap_mm=style.cap_mm, room=room, spots=spots, lines=lines)
        )
    if feature.site.north_rad is not None:
        items.append(scale.north((room.right - 7.0, room.top + 11.0), feature.site.north_rad, size_mm=style.cap_mm))
    return items


def _wet(assessment: Assessment, view: View) -> tuple[Box, ...]:
    """Boxes on paper [mm] round each body and each stretch of stream: what lies elsewhere is not told there."""
    boxes = [Box.round(view.line(body.outline)).grown(1.5) for body in assessment.feature.bodies]
    for course in assessment.feature.streams:
        half = view.length(course.width_m / 2) + 1.5
        boxes += [Box.round(view.line(pair)).grown(half) for pair in itertools.pairwise(course.path)]
    return tuple(boxes)


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


def _under(entries: Sequence[tuple[str, str]], width: float, top: float, cap: float) -> list[Item]:
    """Signs and their words under a plan that ends at `top` [mm], as many beside each other as there is room for."""
    step, gap = 1.8 * cap, 2.0 * cap
    x, y = _MARGIN_MM, top + 1.2 * cap
    items: list[Item] = []
    for sign, words in entries:
        least = width_mm(sign, cap, weight="semibold") + 0.6 * cap if sign else 0.0
        long = least + width_mm(words, cap)
        if x > _MARGIN_MM and x + long > width - _MARGIN_MM:
            x, y = _MARGIN_MM, y + step
        if sign:
            items.append(Text(x=x, y=y, text=sign, size_mm=cap, weight="semibold"))
        items.append(Text(x=x + least, y=y, text=words, size_mm=cap))
        x += long + gap
    return [group("key", items)]


def _lowest(key: Sequence[Item], height: float) -> float:
    """The height of a sheet with a key under it [mm]."""
    return max([height, *(text_box(item).bottom + _MARGIN_MM for item in flat(key) if isinstance(item, Text))])


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
