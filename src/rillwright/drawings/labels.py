"""Placing labels: none over another, none out of its frame, none dropped.

Labels are placed in the order of their rank, each at the cheapest free place near its point: close, on the side that is
preferred, crossing few lines. What finds no place becomes a number beside its point and a line in a key.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from functools import cache

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from rillwright.drawings.display import Box, Circle, Group, Item, Point, Polyline, Text
from rillwright.drawings.measure import ASCENT, DESCENT, width_mm
from rillwright.drawings.room import (
    Flags,
    Floats,
    Rows,
    box_of,
    crossings,
    grown,
    has,
    held,
    of_boxes,
    of_segments,
    overlaps,
)

_DISTANCES_MM = (1.2, 2.6, 4.5, 6.0, 7.5, 9.0, 11.0, 14.0, 19.0, 25.0)
_DIRECTIONS = 16
_LEADER_FROM_MM = 2.0  # nearer than this the eye needs no line
_CLEAR_MM = 0.5  # between two labels
_CROSSING = 12.0  # a line under the words is as bad as this many millimetres away
_COVERING = 8.0  # hiding the point of another label
_FAR_STEP_MM = 2.5
_FAR_CROSSING = 40.0  # words that may stand anywhere need cross nothing
_AT_ONCE = 128  # places looked at together: mostly one of them will do
_AGAINST = 3.0  # cost of the side opposite to the preferred one


class Label(Struct, frozen=True, kw_only=True):
    """Words for a point on paper; `towards` is the direction that is preferred, x right, y down."""

    text: str
    at: Point
    size_mm: float = 2.0
    weight: str = "regular"
    colour: str = "ink"
    path: str = ""
    towards: Point = (1.0, -0.6)
    also: tuple[Point, ...] = ()  # other points at which the same words do as well
    rank: int = 1  # lower is placed earlier
    clear_of: tuple[Box, ...] = ()  # of which these words must stay out, however far they stand then
    of: str = ""  # what its numbers are, as of words


class Placed(Struct, frozen=True, kw_only=True):
    """A label, or the number that stands for it, where it came to lie."""

    label: Label
    number: int | None
    text: Text
    box: Box
    leader: tuple[Point, ...]


class Placing(Struct, frozen=True, kw_only=True):
    placed: tuple[Placed, ...]
    key: tuple[tuple[int, str], ...]  # every label that is only a number on the drawing
    unmarked: tuple[int, ...]  # numbers of the key for which not even a number found room


def place(
    labels: Sequence[Label],
    frame: Box,
    *,
    taken: Sequence[Box] = (),
    avoid: Sequence[Box] = (),
    lines: Iterable[Sequence[Point]] = (),
    first_number: int = 1,
) -> Placing:
    """Every label in the frame without overlap, beside its point or in the key.

    Parameters
    ----------
    labels
        What to place.
    frame
        Where labels may stand.
    taken
        Boxes that must stay free of labels and of their leaders.
    avoid
        Boxes that must stay free of labels; leaders may pass.
    lines
        Lines on paper [mm] that labels cross only if they must.
    first_number
        Number of the first line in the key.
    """
    points = tuple(label.at for label in labels)
    board = _Board(frame, taken, avoid, points, [pair for line in lines for pair in itertools.pairwise(line)])
    placed: list[Placed] = []
    left_over: list[Label] = []
    for label in sorted(labels, key=lambda label: label.rank):
        found = board.find_far(label, label.text) if label.clear_of else board.find(label, label.text)
        if found is None:
            left_over.append(label)
        else:
            placed.append(board.keep(label, None, found))
    key: list[tuple[int, str]] = []
    unmarked: list[int] = []
    for number, label in enumerate(left_over, start=first_number):
        key.append((number, label.text))
        found = board.find(label, str(number)) or board.find_anywhere(label, str(number))
        if found is None:
            unmarked.append(number)
        else:
            placed.append(board.keep(label, number, found))
    return Placing(placed=tuple(placed), key=tuple(key), unmarked=tuple(unmarked))


def items(placing: Placing, *, ground: Callable[[Point], str] | None = None) -> tuple[Item, ...]:
    """The placed labels as things to draw: leader, words, and a ring round a number.

    Words get a halo of the colour that `ground` gives for them, or of paper where they lie on several, so that thin
    lines do not run through them.
    """
    return tuple(_item(placed, ground) for placed in placing.placed)


def _item(placed: Placed, ground: Callable[[Point], str] | None) -> Item:
    parts: list[Item] = []
    if placed.leader:
        parts.append(Polyline(points=placed.leader, pen="leader"))
    if placed.number is not None:
        box = placed.box
        centre = ((box.left + box.right) / 2, (box.top + box.bottom) / 2)
        parts.append(Circle(centre=centre, radius_mm=min(box.width, box.height) / 2, pen="leader", fill="paper"))
    box = placed.box
    y = (box.top + box.bottom) / 2
    grounds = {ground((x, y)) for x in (box.left, (box.left + box.right) / 2, box.right)} if ground else {""}
    halo = grounds.pop() if len(grounds) == 1 else "paper"
    parts.append(replace(placed.text, halo=halo, of=placed.label.of))
    return Group(name="label", items=tuple(parts), path=placed.label.path)


class _Found(Struct, frozen=True):
    text: str
    box: Box
    leader: tuple[Point, ...]
    ring: bool


class _Places(Struct, frozen=True):
    """Where the middle of a label may lie, by what each place costs at least; `turn` decides among equals."""

    cost: Floats  # (n,) [mm], ascending
    turn: Rows  # (n,)
    middle: Floats  # (n, 2) [mm]
    at: Floats  # (n, 2) [mm], the point that the label speaks of there


class _Board:
    """What has been laid down so far."""

    def __init__(
        self,
        frame: Box,
        taken: Sequence[Box],
        avoid: Sequence[Box],
        points: Sequence[Point],
        segments: Sequence[tuple[Point, Point]],
    ) -> None:
        self.frame = frame
        self.boxes, self.avoid = of_boxes(taken), of_boxes(avoid)
        self.points = np.array(points, dtype=np.float64).reshape(-1, 2)
        self.segments, self.leaders = of_segments(segments), of_segments(())

    def keep(self, label: Label, number: int | None, found: _Found) -> Placed:
        self.boxes = np.vstack((self.boxes, of_boxes((found.box.grown(_CLEAR_MM / 2),))))
        if found.leader:
            self.leaders = np.vstack((self.leaders, of_segments(((found.leader[0], found.leader[1]),))))
        box = found.box
        pad = (box.height - (ASCENT + DESCENT) * label.size_mm) / 2
        text = Text(
            x=(box.left + box.right) / 2,
            y=box.bottom - DESCENT * label.size_mm - pad
            if not found.ring
            else (box.top + box.bottom + label.size_mm) / 2,
            text=found.text,
            size_mm=label.size_mm,
            anchor="middle",
            weight="semibold" if found.ring else label.weight,
            colour=label.colour,
        )
        return Placed(label=label, number=number, text=text, box=box, leader=found.leader)

    def find(self, label: Label, words: str) -> _Found | None:
        """The cheapest free place near the label's point, or near one that does as well."""
        return self._cheapest(label, words, self._near(label, words), crossing=_CROSSING)

    def find_anywhere(self, label: Label, words: str) -> _Found | None:
        """The nearest free place in the whole frame, on a grid."""
        width, height, _ = _size(label, words)
        middle = self._grid(width, height, step=(width + _CLEAR_MM, height + _CLEAR_MM))
        away = np.hypot(*(middle - label.at).T)
        return self._cheapest(label, words, _ordered(away, middle, label.at), crossing=0.0)

    def find_far(self, label: Label, words: str) -> _Found | None:
        """The free place in the whole frame to which the way is shortest, over as few lines as can be."""
        width, height, _ = _size(label, words)
        middle = self._grid(width, height, step=(_FAR_STEP_MM, _FAR_STEP_MM))
        away = np.hypot(*np.maximum(np.abs(middle - label.at) - (width / 2, height / 2), 0.0).T)
        return self._cheapest(label, words, _ordered(away, middle, label.at), crossing=_FAR_CROSSING)

    def _near(self, label: Label, words: str) -> _Places:
        """Places round the label's points; hiding the point of another label costs."""
        width, height, _ = _size(label, words)
        cost, ray, reach = _rays(label.towards)
        ats = np.array((label.at, *label.also), dtype=np.float64)
        middle = (ats[:, None] + ray[None] + (reach * (width, height) / 2)[None]).reshape(-1, 2)
        which, cost = np.repeat(np.arange(len(ats)), len(cost)), np.tile(cost, len(ats))
        order = np.lexsort((middle[:, 1], middle[:, 0], cost, which))
        middle, at, cost = middle[order], ats[which[order]], cost[order]
        others = (self.points[None] != at[:, None]).any(axis=2)
        cost = cost + _COVERING * (has(_round(middle, width, height), self.points) & others).sum(axis=1)
        turn = np.argsort(cost, kind="stable")
        return _Places(cost[turn], turn, middle[turn], at[turn])

    def _grid(self, width: float, height: float, *, step: tuple[float, float]) -> Floats:
        """Places all over the frame, shape (n, 2) [mm]."""
        xs = _steps(self.frame.left + width / 2, self.frame.right - width / 2, step[0])
        ys = _steps(self.frame.top + height / 2, self.frame.bottom - height / 2, step[1])
        return np.column_stack((np.repeat(xs, len(ys)), np.tile(ys, len(xs))))

    def _cheapest(self, label: Label, words: str, places: _Places, *, crossing: float) -> _Found | None:
        """The free place of the least cost, `crossing` for each line under it; dearer ones are not looked at."""
        width, height, ring = _size(label, words)
        best: _Found | None = None
        least = (math.inf, math.inf)
        for first in range(0, len(places.cost), _AT_ONCE):
            if places.cost[first] > least[0]:
                break
            these = slice(first, first + _AT_ONCE)
            boxes = _round(places.middle[these], width, height)
            rows, leaders, led = self._free(boxes, places.at[these], of_boxes(label.clear_of))
            costs, turns = places.cost[these][rows], places.turn[these][rows]
            if len(rows) == 0:
                continue
            if crossing:
                under, _ = crossings(self.segments, boxes[rows])
                costs = costs + crossing * np.bincount(under, minlength=len(rows))
            one = np.lexsort((turns, costs))[0]
            if (costs[one], turns[one]) < least:
                least = (float(costs[one]), float(turns[one]))
                x0, y0, x1, y1 = map(float, leaders[one])
                best = _Found(words, box_of(boxes[rows[one]]), ((x0, y0), (x1, y1)) if led[one] else (), ring)
        return best

    def _free(self, boxes: Floats, at: Floats, own: Floats) -> tuple[Rows, Floats, Flags]:
        """Which of the boxes are free; of those the lines to their points, and whether the eye needs them."""
        wide = grown(boxes, _CLEAR_MM / 2)
        free = held(boxes, self.frame) & ~overlaps(boxes, own)
        free &= ~overlaps(wide, self.boxes) & ~overlaps(wide, self.avoid)
        rows = np.flatnonzero(free)
        rows = np.delete(rows, crossings(self.leaders, wide[rows])[0])
        at = at[rows]
        near = np.minimum(np.maximum(at, boxes[rows, :2]), boxes[rows, 2:])
        led = np.hypot(*(near - at).T) > _LEADER_FROM_MM
        leaders = np.column_stack((at, near))
        over, runs = crossings(leaders, self.boxes)
        own_box = has(grown(self.boxes, 0.1), at)[over, runs]
        clear = np.ones(len(rows), dtype=bool)
        clear[runs[led[runs] & ~own_box]] = False
        return rows[clear], leaders[clear], led[clear]


def _ordered(cost: Floats, middle: Floats, at: Point) -> _Places:
    """Places for one point by their cost, then from the left, then from the top."""
    order = np.lexsort((middle[:, 1], middle[:, 0], cost))
    ats = np.broadcast_to(np.array(at, dtype=np.float64), middle.shape)
    return _Places(cost[order], np.arange(len(order)), middle[order], ats)


def _round(middle: Floats, width: float, height: float) -> Floats:
    half = (width / 2, height / 2)
    return np.column_stack((middle - half, middle + half))


def _size(label: Label, words: str) -> tuple[float, float, bool]:
    width = width_mm(words, label.size_mm, weight=label.weight)
    height = (ASCENT + DESCENT) * label.size_mm
    if words is label.text:
        return width, height, False
    ring = max(width_mm(words, label.size_mm, weight="semibold"), height) + 1.0
    return ring, ring, True


@cache
def _rays(towards: Point) -> tuple[Floats, Floats, Floats]:
    """Places round a point: cost (n,), the way to the label's nearest edge (n, 2) [mm], its half extents from there."""
    wanted = math.atan2(towards[1], towards[0])
    costs, ray, reach = [], [], []
    for distance in _DISTANCES_MM:
        for index in range(_DIRECTIONS):
            angle = wanted + math.tau * index / _DIRECTIONS
            c, s = math.cos(angle), math.sin(angle)
            # the box touches the ray's end with its nearest edge: half extents as far as the direction calls for them
            ray.append((c * distance, s * distance))
            reach.append((max(-1.0, min(1.0, 1.6 * c)), max(-1.0, min(1.0, 1.6 * s))))
            costs.append(distance + _AGAINST * (1.0 - math.cos(angle - wanted)) / 2)
    return np.array(costs), np.array(ray), np.array(reach)


def _steps(start: float, stop: float, step: float) -> Floats:
    count = int((stop - start) / step) + 1 if stop >= start else 0
    return start + step * np.arange(count, dtype=np.float64)
