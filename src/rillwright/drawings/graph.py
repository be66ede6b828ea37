"""What graphs have in common: a window on two quantities, a curve in it, round numbers along its edges."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from msgspec import Struct

from rillwright.drawings.display import Area, Box, Item, Point, Polyline, Text
from rillwright.drawings.scale import nice_below
from rillwright.units import parse

_TIMES_S = (5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 21600, 43200, 86400)


class Window(Struct, frozen=True, kw_only=True):
    """A box on paper [mm] in which one quantity goes from `left` to `right` and another from `foot` to `top` [SI]."""

    box: Box
    left: float = 0.0
    right: float
    foot: float = 0.0
    top: float

    def at(self, x: float, y: float) -> Point:
        """Paper place [mm] of a pair of values [SI]."""
        return (self.x(x), self.y(y))

    def x(self, value: float) -> float:
        """Paper place [mm] of a value along the foot [SI]."""
        return self.box.left + self.box.width * (value - self.left) / (self.right - self.left)

    def y(self, value: float) -> float:
        """Paper height [mm, down] of a value [SI]."""
        return self.box.bottom - self.box.height * (value - self.foot) / (self.top - self.foot)

    def line(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """A curve, cut where it leaves the window through its foot or its top, and left out beyond its right edge."""
        return tuple(
            self.at(x, min(max(y, self.foot), self.top)) for x, y in points if self.left <= x <= self.right * (1 + 1e-9)
        )

    def strip(self, low: Iterable[Point], high: Iterable[Point], *, fill: str) -> Area | None:
        """The room between two curves, None where nothing of it lies in the window."""
        corners = (*self.line(low), *reversed(self.line(high)))
        return Area(points=corners, fill=fill) if len(corners) > 3 else None


def ticks(most: float, name: str, kind: str, *, about: int = 4) -> Iterator[tuple[str, float]]:
    """Round numbers of a unit from nothing to `most` [SI], some `about` of them, each with its SI value."""
    size = float(parse(f"1 {name}", kind).si)
    step = nice_below(most / size / about)
    for index in range(1, math.floor(most / size / step) + 1):
        yield f"{round(index * step, 6):g}", index * step * size


def clock(most_s: float, *, about: int = 4) -> Iterator[tuple[str, float]]:
    """Round times from nothing to `most_s` [s], no more than some `about` of them, the unit said with the last."""
    step = next((each for each in _TIMES_S if each * (about + 1) > most_s), _TIMES_S[-1])
    size, unit = (1.0, "s") if step < 60 else (60.0, "min") if step < 3600 else (3600.0, "h")
    count = math.floor(most_s / step + 1e-9)
    for index in range(count + 1):
        yield f"{index * step / size:g}" + (f" {unit}" if index == count else ""), float(index * step)


def foot_axis(window: Window, marks: Iterable[tuple[str, float]], *, size_mm: float, grid: bool = True) -> list[Item]:
    """The line along the foot with its numbers, capitals `size_mm` [mm] high."""
    box = window.box
    items: list[Item] = [Polyline(points=((box.left, box.bottom), (box.right, box.bottom)), pen="ink")]
    for words, value in marks:
        x = window.x(value)
        items.append(Polyline(points=((x, box.bottom), (x, box.bottom + 1.2)), pen="ink"))
        if grid:
            items.append(Polyline(points=((x, box.bottom), (x, box.top)), pen="grid"))
        items.append(Text(x=x, y=box.bottom + 2.2 + size_mm, text=words, size_mm=size_mm, anchor="middle"))
    return items


def side_axis(window: Window, marks: Iterable[tuple[str, float]], *, size_mm: float) -> list[Item]:
    """The line along the left side with its numbers, capitals `size_mm` [mm] high."""
    box = window.box
    items: list[Item] = [Polyline(points=((box.left, box.top), (box.left, box.bottom)), pen="ink")]
    for words, value in marks:
        y = window.y(value)
        items.append(Polyline(points=((box.left, y), (box.left - 1.2, y)), pen="ink"))
        items.append(Polyline(points=((box.left, y), (box.right, y)), pen="grid"))
        items.append(Text(x=box.left - 2.2, y=y + size_mm / 2, text=words, size_mm=size_mm, anchor="end"))
    return items
