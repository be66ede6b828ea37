"""A buried reservoir in the long section: what the water stands between, and the gravel over it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.assessment import Body, LongSection
from rillwright.drawings.display import Area, Box, Circle, Item, Point, View, group
from rillwright.drawings.hatch import strokes
from rillwright.drawings.profile import between

BLOCKS_FROM = 0.67  # share of a reservoir that water can fill [-]: stone leaves 0.3 to 0.5, blocks 0.9 and more
COVER = "gravel or a lid over it"


def words(body: Body) -> str:
    """What the water of a buried reservoir stands between."""
    filling = "void blocks" if body.water_share >= BLOCKS_FROM else "stone"
    return f"water between {filling}, {body.water_share:.0%} of the room".replace("%", " %")


def filled(body: Body, room: Sequence[Point]) -> tuple[Item, ...]:
    """What a buried reservoir is filled with: upright void blocks, or stone that leaves less than two thirds free."""
    if body.water_share >= BLOCKS_FROM:
        return tuple(
            line for angle in (0.0, 90.0) for line in strokes(room, spacing_mm=6.0, angle_deg=angle, pen="water mark")
        )
    return tuple(_pebbles(room, 1.0, spacing=3.4))


def cover(section: LongSection, water_m: float, end_m: float, view: View, path: str) -> list[Item]:
    """The dry gravel between the water of a buried reservoir and the ground over it."""
    top = between(section.ground, section.length_m, end_m)
    if len(top) < 2 or min(z for _, z in top) <= water_m:
        return []
    corners = view.line((*top, (end_m, water_m), (section.length_m, water_m)))
    return [group("cover", (Area(points=corners, fill="stone wash"), *_pebbles(corners, 0.5, spacing=1.8)), path=path)]


def _pebbles(room: Sequence[Point], radius_mm: float, *, spacing: float) -> Iterator[Item]:
    box = Box.round(room)
    for row in range(int(box.height / spacing) + 1):
        for column in range(int(box.width / spacing) + 1):
            x, y = box.left + spacing * (column + 0.5 + 0.5 * (row % 2)), box.top + spacing * (row + 0.5)
            if all(inside((x + dx, y + dy), room) for dx in (-radius_mm, radius_mm) for dy in (-radius_mm, radius_mm)):
                yield Circle(centre=(x, y), radius_mm=radius_mm, pen="facet")


def inside(point: Point, polygon: Sequence[Point]) -> bool:
    """Whether a point lies in a polygon."""
    inside = False
    for a, b in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
        if (a[1] > point[1]) != (b[1] > point[1]) and point[0] < a[0] + (b[0] - a[0]) * (point[1] - a[1]) / (
            b[1] - a[1]
        ):
            inside = not inside
    return inside
