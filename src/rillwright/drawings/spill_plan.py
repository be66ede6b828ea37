"""Where water would leave first and the way that it would go: edges of liner by what they have to spare, and arrows."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from rillwright.assessment import XY, Assessment, Judged, Mesh, NotRun, Raise, RimProfile, SpillPath
from rillwright.drawings import labels, scale, site_plan, surroundings
from rillwright.drawings.display import Area, Box, Circle, Drawing, Item, Point, Polyline, Text, group
from rillwright.drawings.expand import cross
from rillwright.drawings.graph import ticks
from rillwright.drawings.measure import text_box, width_mm
from rillwright.drawings.rim_spare import Spare, profiles_of, stretches, wanted_m
from rillwright.drawings.source import PLAIN, DrawingStyle, assessment_of, nothing
from rillwright.drawings.ways_told import all_ways
from rillwright.drawings.words import length, level

NAME = "Where spilt water would go"
_PENS = {Spare.ENOUGH: "liner", Spare.LESS: "rim low", Spare.LEAVES: "rim spills"}
_ARROW_EVERY_MM = 14.0
_ARROW_MM = 2.2
_ABOUT_TICKS = 9
_TICK_MM = 1.2
_CLOSE_MM = 10.0
_AHEAD_M = 0.05
_MARK_MM = 1.4
_MANY = 3  # reaches: from so many on they are told in short
MOST_RAISED = 6  # stretches that are told one by one, as they come
_WAY_M = 6.0  # so much of a way is in the picture, however far it goes


def draw(
    source: Judged | Assessment, *, frame_mm: tuple[float, float] = (177.0, 120.0), style: DrawingStyle = PLAIN
) -> Drawing:
    """The plan of the edges of liner and of the ways of spilt water in a frame.

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
    profiles = profiles_of(assessment)
    containment = assessment.containment
    if isinstance(containment, NotRun) or not profiles:
        why = containment.reason if isinstance(containment, NotRun) else "no edge of liner could be laid out"
        return nothing(NAME, frame_mm, why, style=style)
    world = site_plan.work_of(assessment)
    every = all_ways(assessment)
    world += [at for spill in every for at in _first(spill)]
    marks = _marks(assessment, every)
    world += [at for _, at in marks]
    layout = site_plan.lay(world, frame_mm, assessment.feature.system, style)
    view, room, cap = layout.view, layout.room, style.cap_mm
    items: list[Item] = [scale.grid(view, room, system=layout.system)] if style.grid else []
    words: list[labels.Label] = []
    finished = site_plan.finished_of(assessment)
    if finished is not None:
        lines, said = _ground(finished.ground, layout)
        items += lines
        words += said
    items += site_plan.waterworks(assessment, view)
    items.append(surroundings.drawn(assessment, view, room))
    words += surroundings.names(assessment, view, room, cap_mm=cap)
    taken: list[Box] = []
    for profile in profiles:
        items.append(group("rim", list(_rim(assessment, profile, layout)), path=profile.path))
        items.append(group("distances", _distances(profile, layout, taken)))
    for path, place in marks:
        at = view.put(*place)
        items.append(group("paving", list(cross(at, arm_mm=_MARK_MM)), path=path))
        words.append(labels.Label(text=surroundings.called(path), at=at, size_mm=cap, path=path, rank=1))
    crowded = _crowded(assessment, every)
    for spill in every:
        path = f"{spill.water}.overflow" if spill.over == "overflow" else spill.rim
        items.append(group("spill", list(_way(spill, layout)), path=path))
        told = _matters(assessment, spill)
        where = _leaves_words(assessment, spill, layout, short=told and spill.water in crowded)
        words += _spill_words(spill, layout, where=where, told=told)
    words = _once(words)
    words += [_raise_words(raised, layout) for raised in containment.raises[:MOST_RAISED]]
    words += _bodies(assessment, layout)
    if assessment.feature.site.north_rad is not None:
        at = (room.right - 6.0, room.top + 10.0)
        items.append(scale.north(at, assessment.feature.site.north_rad, size_mm=cap))
    alt = f"Plan of {assessment.feature.name}: edges of liner, and {len(every)} ways of spilt water"
    return site_plan.drawing(layout, items, words, name=NAME, alt=alt, notes=())


def _marks(assessment: Assessment, spills: Sequence[SpillPath]) -> list[tuple[str, XY]]:
    """Path and place of every mark on paving towards which a way runs [m]."""
    wanted = {spill.towards for spill in spills}
    marks = [(f"marks/{mark.id}", mark.at) for mark in assessment.feature.marks]
    return [(path, at) for path, at in marks if path in wanted and at is not None]


def _crowded(assessment: Assessment, spills: Sequence[SpillPath]) -> set[str]:
    """The waters that are told in short, where many lie along a stream: all reaches but that with least to spare."""
    told = [one for one in spills if _matters(assessment, one) and not one.water.startswith("ponds/")]
    if len(told) < _MANY:
        return set()
    worst = min(told, key=lambda one: one.spare_m.value)
    return {one.water for one in told if one is not worst and not one.towards and one.spare_m.value >= 0.0}


def _first(spill: SpillPath) -> Iterator[tuple[float, float]]:
    """The beginning of a way, which is in the picture."""
    yield spill.at
    so_far = 0.0
    for (x0, y0, _), (x, y, _) in itertools.pairwise(spill.way):
        so_far += math.hypot(x - x0, y - y0)
        if so_far > _WAY_M:
            return
        yield (x, y)


def _ground(mesh: Mesh, layout: site_plan.Layout) -> tuple[list[Item], list[labels.Label]]:
    span = site_plan.span_in(mesh, *site_plan.corners(layout))
    if span is None:
        return [], []
    every = site_plan.interval_m(*span, layout.system)
    return site_plan.contours(mesh, layout, every_m=every, span_m=span, pen="ground before", word="ground")


def _rim(assessment: Assessment, profile: RimProfile, layout: site_plan.Layout) -> Iterator[Item]:
    """The edge of liner, heavier where it has less to spare than is wanted, heaviest where water leaves."""
    for piece in sorted(stretches(assessment, profile), key=lambda one: list(Spare).index(one.spare)):
        yield Polyline(points=layout.view.line(along(profile, piece.start_m, piece.end_m)), pen=_PENS[piece.spare])


def along(profile: RimProfile, start_m: float, end_m: float) -> list[tuple[float, float]]:
    """The places of a rim from one distance along it to another [m]."""
    listed = [(point.along_m, point.at) for point in profile.points]
    if profile.closed:
        listed.append((profile.length_m, profile.points[0].at))
    found: list[tuple[float, float]] = []
    for (a, (x0, y0)), (b, (x1, y1)) in itertools.pairwise(listed):
        if b <= a or b < start_m or a > end_m:
            continue
        for s in (max(a, start_m), min(b, end_m)):
            t = (s - a) / (b - a)
            place = (x0 + (x1 - x0) * t, y0 + (y1 - y0) * t)
            found += [place] if not found or math.dist(place, found[-1]) > 1e-9 else []
    return found


def _distances(profile: RimProfile, layout: site_plan.Layout, taken: list[Box]) -> list[Item]:
    """Distances along the rim as they stand under its strip, from 0, on the dry side, where there is room."""
    unit, cap = ("ft" if layout.system == "us" else "m"), layout.style.cap_mm
    said = [("0", 0.0), *ticks(profile.length_m * 0.96, unit, "length", about=_ABOUT_TICKS)]
    items: list[Item] = []
    for index, (words, at) in enumerate(said):
        places = along(profile, at, min(at + 0.05, profile.length_m))
        if len(places) < 2:
            continue
        (x0, y0), (x1, y1) = places[0], places[-1]
        size = math.hypot(x1 - x0, y1 - y0)
        out = ((y1 - y0) / size, (x1 - x0) / size)  # to the right of the way, on paper
        x, y = layout.view.put(x0, y0)
        end = (x + out[0] * _TICK_MM, y + out[1] * _TICK_MM)
        items.append(Polyline(points=((x, y), end), pen="ink"))
        shown = f"{words} {unit}" if index == len(said) - 1 else words
        half = width_mm(shown, cap) / 2
        middle = (end[0] + out[0] * (half + 0.5), end[1] + out[1] * (cap / 2 + 0.7))
        text = Text(x=middle[0], y=middle[1] + cap / 2, text=shown, size_mm=cap, anchor="middle", colour="quiet")
        box = text_box(text)
        if layout.room.holds(box) and not any(box.grown(0.3).overlaps(other) for other in taken):
            items.append(text)
            taken.append(box)
    return items


def _way(spill: SpillPath, layout: site_plan.Layout) -> Iterator[Item]:
    """The way of the water with arrows along it, and a ring where it leaves."""
    at = layout.view.put(*spill.at)
    line = [at, *(layout.view.put(x, y) for x, y, _ in spill.way)]
    pieces = surroundings.pieces_in(line, layout.room)
    for piece in pieces:
        yield Polyline(points=piece, pen="spill")
    yield from (_head(piece, at) for piece, at in _arrows(pieces))
    if layout.room.has(at):
        yield Circle(
            centre=at,
            radius_mm=1.2,
            pen="stop" if spill.spare_m.value < 0.0 and spill.over != "overflow" else "ink",
            fill="paper",
        )


def _arrows(pieces: Sequence[tuple[Point, Point]]) -> Iterator[tuple[tuple[Point, Point], Point]]:
    """Every so far along a way, and at its end, the stretch and the place for an arrow's head."""
    so_far = 0.5 * _ARROW_EVERY_MM
    for number, piece in enumerate(pieces):
        run = math.dist(*piece)
        while run > 0.0 and so_far <= run:
            t = so_far / run
            yield piece, (piece[0][0] + (piece[1][0] - piece[0][0]) * t, piece[0][1] + (piece[1][1] - piece[0][1]) * t)
            so_far += _ARROW_EVERY_MM
        so_far -= run
        if number == len(pieces) - 1 and run > 0.0:
            yield piece, piece[1]


def _head(piece: tuple[Point, Point], at: Point) -> Item:
    run = math.dist(*piece)
    u = ((piece[1][0] - piece[0][0]) / run, (piece[1][1] - piece[0][1]) / run)
    back = (at[0] - u[0] * _ARROW_MM, at[1] - u[1] * _ARROW_MM)
    wide = 0.45 * _ARROW_MM
    corners = (at, (back[0] - u[1] * wide, back[1] + u[0] * wide), (back[0] + u[1] * wide, back[1] - u[0] * wide))
    return Area(points=corners, fill="water")


def _matters(assessment: Assessment, spill: SpillPath) -> bool:
    """Whether it is told in full: a body's, one that has less to spare than is wanted, one that goes to a building."""
    short = spill.spare_m.value < wanted_m(assessment, spill.water)
    return bool(spill.towards) or short or spill.water.startswith("ponds/")


def _once(words: Sequence[labels.Label]) -> list[labels.Label]:
    """The same words for places that lie close together on paper said once."""
    found: list[labels.Label] = []
    for one in words:
        if not any(one.text == other.text and math.dist(one.at, other.at) < _CLOSE_MM for other in found):
            found.append(one)
    return found


def _leaves_words(assessment: Assessment, spill: SpillPath, layout: site_plan.Layout, *, short: bool) -> str:
    """What leaves there, in which order, at which level."""
    system, id = layout.system, spill.water.partition("/")[2]
    containment, ways = assessment.containment, assessment.ways
    outs = () if isinstance(containment, NotRun) else containment.outs
    lets = any(out.water == spill.water and out.room_m.value > 0.0 for out in outs)
    if spill.over == "overflow":
        return f"{id}{' first' if lets else ''} here, overflow {level(spill.level_m.value, system)} liner"
    spare = spill.spare_m.value
    left = f"{length(spare, system)} to spare" if spare >= 0.0 else f"{length(-spare, system)} under water"
    if ways is not None and spill in ways.may:
        return f"or {id} here, by its levels' bands: {left}"
    if short or not _matters(assessment, spill):
        return f"{id}: {left}"
    return f"{id} {'then' if lets else 'first'} here, rim {level(spill.level_m.value, system)} liner: {left}"


def _spill_words(spill: SpillPath, layout: site_plan.Layout, *, where: str, told: bool) -> Iterator[labels.Label]:
    """Where it leaves and how high the rim stands there; at its end, where it goes."""
    cap, out = layout.style.cap_mm, spill.over == "overflow"
    yield labels.Label(
        text=where, at=layout.view.put(*spill.at), size_mm=cap, weight="semibold" if told else "regular",
        colour="stop" if spill.spare_m.value < 0.0 and not out else "ink", towards=_out_of(spill),
        path=f"{spill.water}.overflow" if out else spill.rim, rank=0 if told else 3,
        of=f"{spill.water}.overflow level" if out else f"{spill.rim} water",
    )  # fmt: skip
    inside = [at for x, y, _ in spill.way if layout.room.has(at := layout.view.put(x, y))]
    if told and len(inside) > 1:
        yield labels.Label(
            text=goes_to(spill), at=inside[-1], also=tuple(reversed(inside[-8:-1])), size_mm=cap,
            weight="semibold" if spill.towards else "regular", colour="stop" if spill.towards else "water", rank=1,
        )  # fmt: skip


def _out_of(spill: SpillPath) -> Point:
    """The way out of the water on paper, by the beginning of the water's way."""
    ahead = next((at for *at, _ in spill.way if math.dist(at, spill.at) > _AHEAD_M), None)
    return (0.6, -1.0) if ahead is None else (ahead[0] - spill.at[0], spill.at[1] - ahead[1])


def goes_to(spill: SpillPath) -> str:
    """Where spilt water ends, in words; first of all what stands in its way."""
    if spill.towards:
        return f"towards {surroundings.called(spill.towards)}"
    return spill.ends or "where to is not known"


def _raise_words(raised: Raise, layout: site_plan.Layout) -> labels.Label:
    return labels.Label(
        text="read here first" if raised.read_first else f"raise {length(raised.by_m, layout.system)}",
        at=layout.view.put(*raised.at),
        size_mm=layout.style.cap_mm,
        colour="watch",
        weight="semibold",
        path=raised.path,
        rank=2,
        of=f"{raised.path} raise",
    )


def _bodies(assessment: Assessment, layout: site_plan.Layout) -> Iterator[labels.Label]:
    for body in assessment.feature.bodies:
        xs, ys = zip(*body.outline, strict=True)
        at = layout.view.put(sum(xs) / len(xs), sum(ys) / len(ys))
        yield labels.Label(text=body.id, at=at, size_mm=layout.style.cap_mm, colour="water", weight="semibold", rank=4)
