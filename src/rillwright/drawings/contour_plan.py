"""Contours to scale: every fifth heavier and with its level, shots as crosses, outlines of what is planned."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from rillwright.drawings import labels, scale
from rillwright.drawings.display import Box, Drawing, Group, Item, Point, Polyline, Text, View
from rillwright.drawings.expand import cross
from rillwright.drawings.measure import width_mm
from rillwright.drawings.source import PLAIN, DrawingStyle, nothing
from rillwright.drawings.words import length, level

NAME = "How the ground lies"
_MARGIN_MM = 3.0
_ROUND_MM = 12.0
_INDEX = 5  # every fifth contour is drawn heavier and bears its level
_MOST_CROSSES = 400
_SPOTS = 7  # places along a line at which its level may stand


class ContourLine(Struct, frozen=True, kw_only=True):
    """A line of one level [m] in plan, places in m."""

    level_m: float
    points: tuple[Point, ...]
    closed: bool


def draw(
    lines: Sequence[ContourLine],
    *,
    shots: Sequence[Point] = (),
    outlines: Sequence[Sequence[Point]] = (),
    name: str = "",
    every_m: float,
    system: str,
    frame_mm: tuple[float, float] = (277.0, 180.0),
    style: DrawingStyle = PLAIN,
) -> Drawing:
    """Contours in a frame, with grid, bar and levels.

    Parameters
    ----------
    lines
        The contours, places [m].
    shots
        Where levels were taken [m].
    outlines
        Of what is planned there [m].
    name
        What the ground is called.
    every_m
        Interval between contours [m].
    system
        "metric" or "us".
    frame_mm
        Width and height of the room [mm].
    style
        The hand.

    Raises
    ------
    InputError
        If it is too large for the frame at every standard scale.
    """
    world = [*shots, *(point for line in lines for point in line.points), *(p for each in outlines for p in each)]
    if not world:
        return nothing(NAME, frame_mm, "no level is known there", style=style)
    cap, (width, height) = style.cap_mm, frame_mm
    head, foot = 2.2 * cap, 2 * cap + 8.0
    room = Box(left=_MARGIN_MM, top=_MARGIN_MM + head, right=width - _MARGIN_MM, bottom=height - _MARGIN_MM - foot)
    view = _view(world, room, system)
    items: list[Item] = [scale.grid(view, room, system=system)] if style.grid else []
    drawn = [_line(line, view, every_m) for line in lines]
    items.append(Group(name="contours", items=tuple(drawn)))
    plans = [Polyline(points=view.line(each), pen="water", closed=True) for each in outlines if len(each) > 2]
    items.append(Group(name="planned", items=tuple(plans)))
    marked = shots if len(shots) <= _MOST_CROSSES else ()
    crosses = [part for at in marked for part in cross(view.put(*at), arm_mm=0.7)]
    items.append(Group(name="shots", items=tuple(crosses)))
    wanted = [_label(line, view, cap, system) for line in _labelled(lines, every_m)]
    signs = [Box.round([view.put(*at)]).grown(0.9) for at in marked]
    placing = labels.place(wanted, room, avoid=signs, lines=[each.points for each in (*drawn, *plans)])
    items += labels.items(placing)
    items += _said(name, every_m, len(shots), system, cap=cap, wide=room.width)
    if style.bar:
        items.append(scale.bar(view, (_MARGIN_MM, room.bottom + 2.0), size_mm=cap, system=system))
    return Drawing(
        name=NAME,
        alt=f"Contours of {name or 'the ground'} every {length(every_m, system)}, {len(lines)} lines",
        width_mm=width,
        height_mm=height,
        items=tuple(items),
        scale=view.scale,
        scale_text=scale.words(view.scale, system),
        key=placing.key,
    )


def _view(world: Sequence[Point], room: Box, system: str) -> View:
    xs, ys = zip(*world, strict=True)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    inner = room.grown(-min(_ROUND_MM, 0.08 * min(room.width, room.height)))
    n = scale.choose(wide, high, inner, system=system)
    left = (room.left + room.right - wide * 1000 / n) / 2
    base = (room.top + room.bottom + high * 1000 / n) / 2
    return View(scale=n, origin=(min(xs), min(ys)), at=(left, base))


def _step(line: ContourLine, every_m: float) -> int:
    return round(line.level_m / every_m)


def _line(line: ContourLine, view: View, every_m: float) -> Polyline:
    pen = "earth" if _step(line, every_m) % _INDEX == 0 else "hatch"
    return Polyline(points=view.line(line.points), pen=pen, closed=line.closed)


def _labelled(lines: Sequence[ContourLine], every_m: float) -> list[ContourLine]:
    """The longest line of each fifth level; of every level where there are few."""
    few = len({_step(line, every_m) for line in lines}) <= 2 * _INDEX
    longest: dict[int, ContourLine] = {}
    for line in lines:
        step = _step(line, every_m)
        if (few or step % _INDEX == 0) and (step not in longest or _long(line) > _long(longest[step])):
            longest[step] = line
    return list(longest.values())


def _long(line: ContourLine) -> float:
    return sum(math.dist(a, b) for a, b in zip(line.points, line.points[1:], strict=False))


def _label(line: ContourLine, view: View, cap: float, system: str) -> labels.Label:
    """Its level and the word of its surface, at the middle of the line or at another place along it."""
    count = len(line.points)
    spread = [count // 2, *(count * k // (_SPOTS + 1) for k in range(1, _SPOTS + 1))]
    places = [view.put(*line.points[min(index, count - 1)]) for index in spread]
    return labels.Label(
        text=f"{level(line.level_m, system)} ground",
        at=places[0],
        also=tuple(places[1:]),
        size_mm=cap,
        colour="earth word",
    )


def _said(name: str, every_m: float, shots: int, system: str, *, cap: float, wide: float) -> list[Item]:
    """A line over the drawing: what it is, how far apart the contours stand, how many levels they rest on."""
    told = f"contours every {length(every_m, system)}, from {shots} levels"
    told += "" if shots <= _MOST_CROSSES else ", too many to be marked"
    words = f"{name}: {told}" if name and width_mm(f"{name}: {told}", cap) <= wide else told
    return [Text(x=_MARGIN_MM, y=_MARGIN_MM + cap, text=words, size_mm=cap)]
