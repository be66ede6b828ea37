"""Dimensions and level ticks taken apart into lines and words, for writers that know only those."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from rillwright.drawings.display import Box, Dimension, Drawing, Group, Item, LevelTick, Polyline, Simple, Text
from rillwright.drawings.measure import text_box, width_mm
from rillwright.drawings.palette import SURFACE_COLOUR

TICK_MM = 2.2
AS_SHOT = "built, as shot"
_GAP_MM = 0.8
_OVERRUN_MM = 1.0


def simple(items: Iterable[Item]) -> Iterator[Simple | Group]:
    """The items with every dimension and level tick taken apart; groups stay groups."""
    for item in items:
        if isinstance(item, Dimension):
            yield Group(name="dimension", items=tuple(dimension_parts(item)))
        elif isinstance(item, LevelTick):
            yield Group(name="level", items=tuple(tick_parts(item)))
        else:
            yield item


def flat(items: Iterable[Item]) -> Iterator[Simple]:
    """Lines, areas, circles and words alone, in the order in which they are drawn."""
    for item in simple(items):
        if isinstance(item, Group):
            yield from flat(item.items)
        else:
            yield item


def texts(drawing: Drawing) -> tuple[tuple[Text, Box], ...]:
    """Every line of words of a drawing with the box that it takes."""
    return tuple((item, text_box(item)) for item in flat(drawing.items) if isinstance(item, Text))


def dimension_parts(dimension: Dimension) -> Iterator[Simple]:
    """Extension lines, the line with a slash at each end, and the words over its middle."""
    (x0, y0), (x1, y1) = dimension.start, dimension.end
    length = math.hypot(x1 - x0, y1 - y0)
    if length == 0.0:
        return
    along = ((x1 - x0) / length, (y1 - y0) / length)
    left = (along[1], -along[0])
    offset = dimension.offset_mm
    side = math.copysign(1.0, offset) if offset else 1.0
    ends = [(x + left[0] * offset, y + left[1] * offset) for x, y in (dimension.start, dimension.end)]
    for (x, y), (ex, ey) in zip((dimension.start, dimension.end), ends, strict=True):
        if abs(offset) > _GAP_MM:
            start = (x + left[0] * side * _GAP_MM, y + left[1] * side * _GAP_MM)
            stop = (ex + left[0] * side * _OVERRUN_MM, ey + left[1] * side * _OVERRUN_MM)
            yield Polyline(points=(start, stop), pen="dimension")
        slash = ((along[0] + left[0]) * 0.7, (along[1] + left[1]) * 0.7)
        yield Polyline(points=((ex - slash[0], ey - slash[1]), (ex + slash[0], ey + slash[1])), pen="ink")
    yield Polyline(points=(ends[0], ends[1]), pen="dimension")
    angle = math.degrees(math.atan2(-along[1], along[0]))
    up = left
    if angle > 90.0 + 1e-9 or angle <= -90.0 + 1e-9:  # words are read from the foot or from the right
        angle += 180.0 if angle <= 0 else -180.0
        up = (-left[0], -left[1])
    middle = ((ends[0][0] + ends[1][0]) / 2 + up[0] * _GAP_MM, (ends[0][1] + ends[1][1]) / 2 + up[1] * _GAP_MM)
    yield Text(
        x=middle[0],
        y=middle[1],
        text=dimension.text,
        size_mm=dimension.size_mm,
        anchor="middle",
        colour=dimension.colour,
        angle_deg=angle,
        halo=dimension.halo,
        of=dimension.of,
    )


def tick_words(tick: LevelTick) -> str:
    """What stands beside the tick after its number."""
    return ", ".join(part for part in (tick.surface, tick.note, AS_SHOT if tick.built else "") if part)


def tick_width_mm(tick: LevelTick) -> float:
    """Width of tick, number and word on paper [mm]."""
    number = width_mm(tick.number, tick.size_mm, weight="semibold")
    return TICK_MM + 3 * _GAP_MM + number + width_mm(tick_words(tick), tick.size_mm)


def tick_parts(tick: LevelTick) -> Iterator[Simple]:
    """A short tick, the number in semibold, the word of the surface; a cross where it was shot."""
    x, y = tick.at
    sign = 1.0 if tick.side == "right" else -1.0
    colour = "built" if tick.built else SURFACE_COLOUR[tick.surface]
    pen = "built" if tick.built else "doubted" if tick.doubted else _tick_pen(tick.surface)
    yield Polyline(points=((x, y), (x + sign * TICK_MM, y)), pen=pen)
    if tick.built:
        yield from cross((x, y), arm_mm=0.9)
    number_width = width_mm(tick.number, tick.size_mm, weight="semibold")
    words = tick_words(tick) + (" doubted" if tick.doubted else "")
    words_width = width_mm(words, tick.size_mm)
    start = x + TICK_MM + _GAP_MM
    if sign < 0:
        start = x - TICK_MM - 2 * _GAP_MM - number_width - words_width
    base = y + tick.size_mm / 2
    number = Text(x=start, y=base, text=tick.number, size_mm=tick.size_mm, weight="semibold", colour=colour, of=tick.of)
    yield number
    yield replace(number, x=start + number_width + _GAP_MM, text=words, weight="regular")


def cross(at: tuple[float, float], *, arm_mm: float) -> Iterator[Polyline]:
    """The small cross of a point that was shot, with arms of `arm_mm` [mm]."""
    x, y = at
    yield Polyline(points=((x - arm_mm, y - arm_mm), (x + arm_mm, y + arm_mm)), pen="built")
    yield Polyline(points=((x - arm_mm, y + arm_mm), (x + arm_mm, y - arm_mm)), pen="built")


def _tick_pen(surface: str) -> str:
    return {"water": "water", "dig": "dig", "bed": "bed", "stone top": "stone"}.get(surface, "ink")
