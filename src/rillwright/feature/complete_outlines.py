"""Outlines, completed: of bodies at their waterline, and of the islands in them and in streams."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rillwright.feature.filling import Filling
from rillwright.feature.levels import XY
from rillwright.feature.model_islands import Island
from rillwright.feature.schema import IslandSaid, OutlineSaid
from rillwright.feature.yaml_text import Location

OVAL_CORNERS = 64  # of the polygon that stands for an oval; its area is 0.16 % short, so it is stretched to be exact


def islands(
    said: Sequence[IslandSaid],
    of: str,
    location: Location,
    filling: Filling,
    *,
    height: str,
    inside: Sequence[XY] = (),
) -> tuple[Island, ...]:
    """The islands of one body or reach, `of` its path; `height` is the default of their tops. Those of a body lie
    `inside` its outline [m], apart from each other.
    """
    found = []
    for index, row in enumerate(said):
        id = row.id or f"{of.partition('/')[2]}-island{index + 1}"
        drawn = outline(row.outline, (*location, index, "outline"), filling)
        top_m = filling.value(row.top, height, f"islands/{id}.top")
        if drawn is not None:
            found.append(Island(id=id, of=of, outline=drawn[0], top_m=top_m))
            if inside and not _fits(found, inside):
                allowed = "an island with water all round it"
                filling.wrong((*location, index, "outline"), "does not lie in open water", found=id, allowed=allowed)
    return tuple(found)


def _fits(islands: Sequence[Island], inside: Sequence[XY]) -> bool:
    """Whether the last of them lies in open water."""
    from shapely import Polygon, contains_properly, disjoint

    new = Polygon(islands[-1].outline)
    apart = all(disjoint(new, Polygon(other.outline)) for other in islands[:-1])
    return apart and bool(contains_properly(Polygon(inside), new))


def outline(said: OutlineSaid, location: Location, filling: Filling) -> tuple[tuple[XY, ...], float, float] | None:
    """Corners counter-clockwise, length and width [m]; None (and a problem noted) if it is no outline."""
    if said.points is not None:
        return _drawn([(p[0].si, p[1].si) for p in said.points], location, filling)
    size = said.oval or said.rectangle
    assert size is not None
    length, width = size[0].si, size[1].si
    centre = (said.centre[0].si, said.centre[1].si) if said.centre else (0.0, 0.0)
    turn = said.turn.si if said.turn else 0.0
    if said.oval is not None:
        angle = 2 * math.pi / OVAL_CORNERS
        stretch = math.sqrt(angle / math.sin(angle))
        around = [(math.cos(i * angle) * stretch, math.sin(i * angle) * stretch) for i in range(OVAL_CORNERS)]
    else:
        around = [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)]
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [(x * length / 2, y * width / 2) for x, y in around]
    return tuple((centre[0] + x * cos - y * sin, centre[1] + x * sin + y * cos) for x, y in corners), length, width


def _drawn(points: list[XY], location: Location, filling: Filling) -> tuple[tuple[XY, ...], float, float] | None:
    from shapely import Polygon, get_coordinates
    from shapely.validation import explain_validity

    if points[0] == points[-1]:
        points = points[:-1]
    polygon = Polygon(points) if len(points) >= 3 else None
    if polygon is None or not polygon.is_valid or polygon.area <= 0:
        reason = "fewer than three corners" if polygon is None else explain_validity(polygon)
        filling.wrong(
            (*location, "points"),
            "the outline crosses itself or encloses nothing",
            found=reason,
            allowed="corners in order around the water",
        )
        return None
    if not polygon.exterior.is_ccw:
        points = points[::-1]
    box = get_coordinates(polygon.minimum_rotated_rectangle)
    sides = sorted(math.dist(box[i], box[i + 1]) for i in range(2))
    return tuple(points), sides[1], sides[0]
