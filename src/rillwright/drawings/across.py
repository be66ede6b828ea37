"""How long and wide a body is in plan: along its own axes, or the sides of the least rectangle round its points."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from rillwright.assessment import XY, Body
from rillwright.drawings.display import Box, Dimension, Group, Point, Text, View, group
from rillwright.drawings.expand import dimension_parts
from rillwright.drawings.measure import text_box
from rillwright.drawings.outline import long_way
from rillwright.drawings.room import crossings, of_boxes, of_segments
from rillwright.drawings.words import length

_OFFSETS_MM = (9.0, 14.0, 19.0, 24.0)  # of a dimension from its outline
_OVER_SIGN = 40.0  # as bad as so many millimetres away
_OVER_LINE = 12.0
_OUT = 200.0
_OTHER_SIDE = 2.0


def dimensions(
    body: Body,
    view: View,
    system: str,
    *,
    cap_mm: float,
    room: Box,
    spots: Sequence[Point] = (),
    lines: Sequence[Sequence[Point]] = (),
) -> Group:
    """Length and width of a body as typed, clear of signs and lines where there is room for that.

    Parameters
    ----------
    body
        Pond or reservoir.
    view
        From the world to paper.
    system
        "us" or "metric".
    cap_mm
        Height of capitals [mm].
    room
        In which they must stand.
    spots
        Places of signs on paper [mm].
    lines
        Other lines on paper [mm].
    """
    found = [
        _best(list(_tried(*side, cap_mm=cap_mm, of=f"ponds/{body.id}.{which}")), room, spots, lines)
        for which, side in zip(("length", "width"), _sides(body, view, system), strict=True)
    ]
    return group("lengths", found, path=f"ponds/{body.id}")


def _sides(body: Body, view: View, system: str) -> Iterator[tuple[tuple[Point, Point], tuple[Point, Point], str]]:
    """For length and width: the side of the box round the body that is preferred, the other one, and the words."""
    middle, (ax, ay), along, across = _box(body)
    for (x, y), far, (u, v), wide in (((ax, ay), along, (-ay, ax), across), ((-ay, ax), across, (-ax, -ay), along)):
        ends = []
        for out in (1.0, -1.0):
            foot = (middle[0] + out * u * wide / 2, middle[1] + out * v * wide / 2)
            a, b = (view.put(foot[0] + s * x * far / 2, foot[1] + s * y * far / 2) for s in (-1.0, 1.0))
            ends.append((a, b) if out < 0 else (b, a))  # so that outward is to the right of the way
        level = abs(ends[0][1][0] - ends[0][0][0]) >= abs(ends[0][1][1] - ends[0][0][1])
        ends.sort(key=lambda pair: -(pair[0][1] + pair[1][1]) if level else -(pair[0][0] + pair[1][0]))
        yield ends[0], ends[1], length(far, system)


def _box(body: Body) -> tuple[XY, XY, float, float]:
    """Middle, axis, and how far the body goes along and across it [m]."""
    axis = body.axis or long_way(body.outline)
    us = [x * axis[0] + y * axis[1] for x, y in body.outline]
    vs = [y * axis[0] - x * axis[1] for x, y in body.outline]
    u, v = (min(us) + max(us)) / 2, (min(vs) + max(vs)) / 2
    middle = (u * axis[0] - v * axis[1], u * axis[1] + v * axis[0])
    return middle, axis, body.length_m, body.width_m


def _tried(
    preferred: tuple[Point, Point], other: tuple[Point, Point], words: str, *, cap_mm: float, of: str
) -> Iterator[tuple[float, Dimension]]:
    for offset in _OFFSETS_MM:
        for cost, (start, end) in ((0.0, preferred), (_OTHER_SIDE, other)):
            shown = Dimension(start=start, end=end, offset_mm=-offset, text=words, size_mm=cap_mm, halo="paper", of=of)
            yield offset + cost, shown


def _best(
    tried: Sequence[tuple[float, Dimension]], room: Box, spots: Sequence[Point], lines: Sequence[Sequence[Point]]
) -> Dimension:
    ways = [(number, pair) for number, line in enumerate(lines) for pair in itertools.pairwise(line)]
    segments = of_segments([pair for _, pair in ways])

    def cost(one: tuple[float, Dimension]) -> float:
        base, shown = one
        box = next(text_box(part) for part in dimension_parts(shown) if isinstance(part, Text)).grown(1.0)
        signs = sum(1 for spot in spots if box.has(spot) or _near(spot, shown) < 2.0)
        crossed = len({ways[segment][0] for segment in crossings(segments, of_boxes((box,)))[1]})
        return base + _OVER_SIGN * signs + _OVER_LINE * crossed + (0.0 if room.holds(box) else _OUT)

    return min(tried, key=cost)[1]


def _near(spot: Point, shown: Dimension) -> float:
    """From a sign to the line of a dimension on paper [mm]."""
    (x0, y0), (x1, y1) = shown.start, shown.end
    size = math.hypot(x1 - x0, y1 - y0) or 1.0
    along = ((x1 - x0) / size, (y1 - y0) / size)
    dx, dy = spot[0] - x0 - along[1] * shown.offset_mm, spot[1] - y0 + along[0] * shown.offset_mm
    t = min(max(dx * along[0] + dy * along[1], 0.0), size)
    return math.hypot(dx - t * along[0], dy - t * along[1])
