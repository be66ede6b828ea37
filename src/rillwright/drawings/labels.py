"""Placing labels: none over another, none out of its frame, none dropped.

Labels are placed in the order of their rank, each at the cheapest free place near its point: close, on the side that is
preferred, crossing few lines. What finds no place becomes a number beside its point and a line in a key.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from rillwright.drawings.display import Box, Circle, Group, Item, Point, Polyline, Text
from rillwright.drawings.measure import ASCENT, DESCENT, width_mm

_DISTANCES_MM = (1.2, 2.6, 4.5, 6.0, 7.5, 9.0, 11.0, 14.0, 19.0, 25.0)
_DIRECTIONS = 16
_LEADER_FROM_MM = 2.0  # nearer than this the eye needs no line
_CLEAR_MM = 0.5  # between two labels
_CROSSING = 12.0  # a line under the words is as bad as this many millimetres away
_COVERING = 8.0  # hiding the point of another label
_FAR_STEP_MM = 2.5
_FAR_CROSSING = 40.0  # words that may stand anywhere need cross nothing
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
    board = _Board(
        frame, list(taken), tuple(avoid), points, [pair for line in lines for pair in itertools.pairwise(line)]
    )
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
    parts.append(replace(placed.text, halo=halo))
    return Group(name="label", items=tuple(parts), path=placed.label.path)


class _Found(Struct, frozen=True):
    text: str
    box: Box
    leader: tuple[Point, ...]
    ring: bool


class _Board:
    """What has been laid down so far."""

    def __init__(
        self,
        frame: Box,
        taken: list[Box],
        avoid: tuple[Box, ...],
        points: tuple[Point, ...],
        segments: list[tuple[Point, Point]],
    ) -> None:
        self.frame = frame
        self.boxes = taken
        self.avoid = avoid
        self.points = points
        self.segments = segments
        self.leaders: list[tuple[Point, Point]] = []

    def keep(self, label: Label, number: int | None, found: _Found) -> Placed:
        self.boxes.append(found.box.grown(_CLEAR_MM / 2))
        if found.leader:
            self.leaders.append((found.leader[0], found.leader[1]))
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
        """The cheapest free place near the label's point."""
        width, height, ring = _size(label, words)
        best, best_cost = None, math.inf
        for at in (label.at, *label.also):
            here = replace(label, at=at)
            for cost, x, y in _candidates(here, width, height):
                if cost >= best_cost:
                    break
                found = self._fit(here, words, (x, y, width, height), ring=ring)
                if found is None:
                    continue
                cost += _COVERING * sum(1 for point in self.points if point != at and found.box.has(point))
                whole = cost + _CROSSING * self._crossings(found.box, best_cost - cost)
                if whole < best_cost:
                    best, best_cost = found, whole
        return best

    def find_anywhere(self, label: Label, words: str) -> _Found | None:
        """The nearest free place in the whole frame, on a grid."""
        width, height, ring = _size(label, words)
        x, y = label.at
        places = sorted(
            (math.hypot(px - x, py - y), px, py)
            for px in _steps(self.frame.left + width / 2, self.frame.right - width / 2, width + _CLEAR_MM)
            for py in _steps(self.frame.top + height / 2, self.frame.bottom - height / 2, height + _CLEAR_MM)
        )
        for _, px, py in places:
            found = self._fit(label, words, (px, py, width, height), ring=ring)
            if found is not None:
                return found
        return None

    def find_far(self, label: Label, words: str) -> _Found | None:
        """The free place in the whole frame to which the way is shortest, over as few lines as can be."""
        width, height, ring = _size(label, words)
        x, y = label.at
        places = sorted(
            (math.hypot(max(abs(px - x) - width / 2, 0.0), max(abs(py - y) - height / 2, 0.0)), px, py)
            for px in _steps(self.frame.left + width / 2, self.frame.right - width / 2, _FAR_STEP_MM)
            for py in _steps(self.frame.top + height / 2, self.frame.bottom - height / 2, _FAR_STEP_MM)
        )
        best, best_cost = None, math.inf
        for cost, px, py in places:
            if cost >= best_cost:
                break
            found = self._fit(label, words, (px, py, width, height), ring=ring)
            if found is not None:
                whole = cost + _FAR_CROSSING * self._crossings(found.box, best_cost - cost)
                if whole < best_cost:
                    best, best_cost = found, whole
        return best

    def _fit(self, label: Label, words: str, place: tuple[float, float, float, float], *, ring: bool) -> _Found | None:
        x, y, width, height = place
        box = Box(left=x - width / 2, top=y - height / 2, right=x + width / 2, bottom=y + height / 2)
        if not self.frame.holds(box) or any(box.overlaps(other) for other in label.clear_of):
            return None
        wide = box.grown(_CLEAR_MM / 2)
        if any(wide.overlaps(other) for other in (*self.boxes, *self.avoid)):
            return None
        if any(meets(a, b, wide) for a, b in self.leaders):
            return None
        near = (min(max(label.at[0], box.left), box.right), min(max(label.at[1], box.top), box.bottom))
        leader: tuple[Point, ...] = ()
        if math.hypot(near[0] - label.at[0], near[1] - label.at[1]) > _LEADER_FROM_MM:
            leader = (label.at, near)
            if any(meets(label.at, near, other) for other in self.boxes if not other.grown(0.1).has(label.at)):
                return None
        return _Found(words, box, leader, ring)

    def _crossings(self, box: Box, budget: float) -> int:
        count = 0
        for a, b in self.segments:
            if max(a[0], b[0]) < box.left or min(a[0], b[0]) > box.right:
                continue
            if meets(a, b, box):
                count += 1
                if count * _CROSSING >= budget:
                    break
        return count


def _size(label: Label, words: str) -> tuple[float, float, bool]:
    width = width_mm(words, label.size_mm, weight=label.weight)
    height = (ASCENT + DESCENT) * label.size_mm
    if words is label.text:
        return width, height, False
    ring = max(width_mm(words, label.size_mm, weight="semibold"), height) + 1.0
    return ring, ring, True


def _candidates(label: Label, width: float, height: float) -> Iterator[tuple[float, float, float]]:
    """(cost, x, y) of label centres round the point, cheapest first."""
    wanted = math.atan2(label.towards[1], label.towards[0])
    found = []
    for distance in _DISTANCES_MM:
        for index in range(_DIRECTIONS):
            angle = wanted + math.tau * index / _DIRECTIONS
            c, s = math.cos(angle), math.sin(angle)
            # the box touches the ray's end with its nearest edge: half extents as far as the direction calls for them
            x = label.at[0] + c * distance + max(-1.0, min(1.0, 1.6 * c)) * width / 2
            y = label.at[1] + s * distance + max(-1.0, min(1.0, 1.6 * s)) * height / 2
            found.append((distance + _AGAINST * (1.0 - math.cos(angle - wanted)) / 2, x, y))
    yield from sorted(found)


def _steps(start: float, stop: float, step: float) -> Iterator[float]:
    count = int((stop - start) / step) + 1 if stop >= start else 0
    yield from (start + step * index for index in range(count))


def meets(a: Point, b: Point, box: Box) -> bool:
    """Whether the segment from a to b passes through the inside of the box (clipping by parameter)."""
    low, high = 0.0, 1.0
    for start, change, least, most in (
        (a[0], b[0] - a[0], box.left, box.right),
        (a[1], b[1] - a[1], box.top, box.bottom),
    ):
        if abs(change) < 1e-12:
            if not least < start < most:
                return False
            continue
        t0, t1 = sorted(((least - start) / change, (most - start) / change))
        low, high = max(low, t0), min(high, t1)
        if low >= high:
            return False
    return True
