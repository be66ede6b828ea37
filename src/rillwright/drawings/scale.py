"""A standard scale for what is drawn, and what says on the sheet how large it is: bar, north, grid."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.drawings.display import Area, Box, Drawing, Group, Item, Polyline, Text, View
from rillwright.drawings.expand import flat
from rillwright.drawings.measure import text_box, width_mm
from rillwright.errors import InputError, Problem
from rillwright.units import parse

# Metric: ISO 5455, and 1:25, 1:75, 1:125, 1:250 of usual triangular rules. Inches: the architect's rule from 1 in to
# 1/16 in = 1 ft, then the engineer's from 1 in = 20 ft. Both from memory; on rules, common practice, no source.
STANDARD = {
    "metric": (10, 20, 25, 50, 75, 100, 125, 200, 250, 500, 1000, 2000, 5000),
    "us": (12, 16, 24, 32, 48, 64, 96, 128, 192, 240, 360, 480, 600, 1200, 2400, 6000),
}
_OF_AN_INCH = {16: "3/4", 24: "1/2", 32: "3/8", 48: "1/4", 64: "3/16", 96: "1/8", 128: "3/32", 192: "1/16"}
_BAR_MM = 60.0  # no longer than this
_BAR_HEIGHT_MM = 1.2


def foot_m() -> float:
    """One foot [m]."""
    return float(parse("1 ft", "length").si)


def choose(width_m: float, height_m: float, frame: Box, *, system: str, exaggeration: float = 1.0) -> float:
    """The largest standard scale 1:n at which something fits its frame.

    Parameters
    ----------
    width_m
        Across [m].
    height_m
        Up [m].
    frame
        Room on paper.
    system
        "metric" or "us".
    exaggeration
        Of heights [-].

    Returns
    -------
    float
        n of 1:n [-].

    Raises
    ------
    InputError
        If even the smallest scale does not fit.
    """
    for n in STANDARD[system]:
        if width_m * 1000 / n <= frame.width and height_m * exaggeration * 1000 / n <= frame.height:
            return float(n)
    raise InputError(
        Problem(
            message="too large to be drawn",
            found=f"{width_m:.0f} m by {height_m:.0f} m",
            allowed=f"what fits {frame.width:.0f} mm by {frame.height:.0f} mm of paper at 1:{STANDARD[system][-1]}",
        )
    )


def words(scale: float, system: str) -> str:
    """The scale 1:`scale` [-] as it is said: 1:50, or 1/4 in = 1 ft (1:48), or 1 in = 20 ft (1:240)."""
    if system == "us" and scale in _OF_AN_INCH:
        return f"{_OF_AN_INCH[int(scale)]} in = 1 ft (1:{scale:g})"
    if system == "us" and scale % 12 == 0:
        return f"1 in = {scale / 12:g} ft (1:{scale:g})"
    return f"1:{scale:g}"


def nice_below(limit: float) -> float:
    """The largest of 1, 2, 5 times a power of ten that is no more than `limit` [-]."""
    power = 10.0 ** math.floor(math.log10(limit) + 1e-9)
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= limit * (1 + 1e-9))


def bar(
    view: View, at: tuple[float, float], *, size_mm: float = 2.0, system: str = "metric", said: bool = True
) -> Group:
    """A bar in both units, metres above and feet below, its top left at `at`; capitals `size_mm` [mm] high."""
    x, y = at
    top = y + size_mm + 1.0
    items: list[Item] = []
    for unit_m, name, above in ((1.0, "m", True), (foot_m(), "ft", False)):
        total = nice_below(_BAR_MM / view.length(unit_m))
        mm = view.length(total * unit_m)
        edge = top if above else top + _BAR_HEIGHT_MM
        items += _bar_boxes(x, edge, mm)
        words_y = top - 1.0 if above else top + 2 * _BAR_HEIGHT_MM + 1.0 + size_mm
        items.append(_bar_word(x, words_y, "0", size_mm))
        items.append(_bar_word(x + mm / 2, words_y, f"{total / 2:g}", size_mm))
        items.append(_bar_word(x + mm, words_y, f"{total:g} {name}", size_mm))
    if not said:
        return Group(name="scale bar", items=tuple(items))
    text = f"scale {words(view.scale, system)}"
    items.append(Text(x=x + _BAR_MM + 10.0, y=top + _BAR_HEIGHT_MM + size_mm / 2, text=text, size_mm=size_mm))
    return Group(name="scale bar", items=tuple(items))


def bar_alone(n: float, *, size_mm: float = 2.0) -> Drawing:
    """The bar of a scale 1:`n` [-] in both units as a drawing of its own, for a strip; capitals `size_mm` [mm] high."""
    view = View(scale=n, origin=(0.0, 0.0), at=(0.0, 0.0))
    items = (bar(view, (size_mm, 0.0), size_mm=size_mm, said=False),)
    boxes = [text_box(item) for item in flat(items) if isinstance(item, Text)]
    return Drawing(
        name="scale bar", alt=f"scale bar of 1:{n:g}", width_mm=max(box.right for box in boxes) + 0.5,
        height_mm=max(box.bottom for box in boxes) + 0.2, items=items, scale=n,
    )  # fmt: skip


def bar_box(at: tuple[float, float], *, size_mm: float = 2.0, words_text: str = "") -> Box:
    """The room on paper that the bar with its words takes."""
    right = at[0] + _BAR_MM + 10.0 + width_mm(words_text, size_mm)
    return Box(left=at[0] - 1.0, top=at[1], right=right, bottom=at[1] + 2 * size_mm + 2 * _BAR_HEIGHT_MM + 3.0)


def _bar_boxes(x: float, y: float, mm: float) -> Iterator[Item]:
    for index in range(4):
        left, right = x + mm * index / 4, x + mm * (index + 1) / 4
        corners = ((left, y), (right, y), (right, y + _BAR_HEIGHT_MM), (left, y + _BAR_HEIGHT_MM))
        yield Area(points=corners, fill="ink" if index % 2 == 0 else "paper", pen="frame")


def _bar_word(x: float, y: float, text: str, size_mm: float) -> Text:
    return Text(x=x, y=y, text=text, size_mm=size_mm, anchor="middle" if text[-1].isdigit() else "start")


def north(at: tuple[float, float], north_rad: float, *, size_mm: float = 2.0) -> Group:
    """A small arrow to the north, `north_rad` [rad] clockwise from the sheet's up, round the point `at`."""
    c, s = math.cos(north_rad), math.sin(north_rad)

    def turned(x: float, y: float) -> tuple[float, float]:
        return (at[0] + x * c + y * s, at[1] + x * s - y * c)

    shaft = Polyline(points=(turned(0, -4.0), turned(0, 4.0)), pen="ink")
    head = Area(points=(turned(0, 4.6), turned(-1.1, 1.4), turned(0, 2.2)), fill="ink", pen="frame")
    half = Area(points=(turned(0, 4.6), turned(1.1, 1.4), turned(0, 2.2)), fill="paper", pen="frame")
    x, y = turned(0, 6.6)
    letter = Text(x=x, y=y + size_mm / 2, text="N", size_mm=size_mm, anchor="middle", weight="semibold")
    return Group(name="north", items=(shaft, head, half, letter))


def grid(view: View, frame: Box, *, system: str) -> Group:
    """A faint grid of whole metres or feet, no closer than 8 mm, over the frame."""
    unit_m = 1.0 if system == "metric" else foot_m()
    step = next(n for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000) if view.length(n * unit_m) >= 8.0) * unit_m
    left, top = _world(view, frame.left, frame.top)
    right, bottom = _world(view, frame.right, frame.bottom)
    lines: list[Item] = []
    for index in range(math.ceil(left / step), math.floor(right / step) + 1):
        x = view.put(index * step, 0.0)[0]
        lines.append(Polyline(points=((x, frame.top), (x, frame.bottom)), pen="grid"))
    for index in range(math.ceil(bottom / step), math.floor(top / step) + 1):
        y = view.y(index * step)
        lines.append(Polyline(points=((frame.left, y), (frame.right, y)), pen="grid"))
    return Group(name="grid", items=tuple(lines))


def _world(view: View, x: float, y: float) -> tuple[float, float]:
    size = view.scale / 1000.0
    return (
        view.origin[0] + (x - view.at[0]) * size,
        view.origin[1] - (y - view.at[1]) * size / view.exaggeration,
    )
