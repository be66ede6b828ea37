"""The ground that the digs are cut in, read off the surface of it: along a stream's middle and both its edges, round
and inside a body's edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.earth.plan import EVERY_M
from rillwright.earth.section import level_on
from rillwright.feature import XY, Stream
from rillwright.shape import Line, LongSection, RimPoint, Surface, course_of, ground_levels

_WIDTHS = 2.0  # of the stream: ground so near to a reading is known, as in its long section
_HAIR_M = 1e-6

if TYPE_CHECKING:
    from rillwright.ground import Tin

Floats = NDArray[np.float64]


class StreamGround(Struct, frozen=True, eq=False):
    """A stream's long section on the ground as it was surveyed, and that ground at its left and its right edge."""

    section: LongSection
    left: Line
    right: Line


def stream_ground(stream: Stream, section: LongSection, tin: Tin | None) -> StreamGround:
    """The same section with the ground of the surface under it; as it is where there is no surface.

    What lies within two widths of a reading counts as known, and so does what the section knew.
    """
    if tin is None:
        return StreamGround(section, section.ground, section.ground)
    course = course_of(stream)
    stations = _stations(stream)
    middle, aside = course.places(stations), course.across(stations) * course.half_m(stations)[:, None]
    levels, away, outside = ground_levels(tin, middle)
    left, right = (ground_levels(tin, middle + side * aside)[0] for side in (1.0, -1.0))
    beyond = tuple(point for point in section.ground if point[0] > stream.length_m + _HAIR_M)
    near = stations[(away <= _WIDTHS * stream.width_m) & (outside <= 0.0)]
    ends = [*(section.ground_known or ()), *near[:1].tolist(), *near[-1:].tolist()]
    known = (min(ends), max(ends)) if len(ends) > 1 else None
    reach_m = _WIDTHS * stream.width_m
    guessed = known is None or known[0] > stream.width_m or known[1] < stream.length_m - reach_m
    read = replace(
        section,
        ground=(*_line(stations, levels), *beyond),
        ground_known=known,
        ground_guessed=section.ground_guessed and guessed,
    )
    return StreamGround(read, _line(stations, left), _line(stations, right))


def deepest_m(stream: Stream, ground: StreamGround) -> float:
    """How far [m] the dig of a stream lies below the highest ground beside it, at its deepest: of its middle and both
    its edges, for a bank that is cut stands over whoever is in it.
    """
    deepest = 0.0
    for reach in stream.reaches:
        a, b = reach.station_m + _HAIR_M, reach.station_m + reach.length_m - _HAIR_M
        lines = (ground.section.dig, ground.section.ground, ground.left)
        inside = {round(at, 6) for line in lines for at, _ in line if a < at < b}
        for station in (a, *(at + side for at in inside for side in (-_HAIR_M, _HAIR_M)), b):
            dig = level_on(ground.section.dig, station)
            high = max(level_on(line, station) for line in (ground.section.ground, ground.left, ground.right))
            deepest = max(deepest, high - dig)
    return deepest


def highest_m(path: str, surface: Surface, tin: Tin | None) -> float | None:
    """Level [m] of the highest ground at a body's edge of liner or inside it; None where its edge was not followed.

    A surface of triangles is highest at its corners, or where the edge cuts it.
    """
    points: list[RimPoint] = [point for rim in surface.rims for point in rim.points if point.water == path]
    if not points:
        return None
    highest = max(point.ground_m for point in points)
    outline = dict(surface.footprints).get(path)
    if tin is not None and outline is not None:
        import shapely

        corners = tin.xyz
        inside = shapely.contains_xy(shapely.Polygon(outline), *corners[:, :2].T)
        highest = max(highest, float(corners[inside, 2].max(initial=-np.inf)))
    return highest


def levels_at(tin: Tin | None, places: Sequence[XY]) -> list[float] | None:
    """Levels [m] of the ground at places; None where it is no surface."""
    if tin is None or not places:
        return None
    found: list[float] = ground_levels(tin, np.array(places))[0].tolist()
    return found


def _stations(stream: Stream) -> Floats:
    """Both ends of every bed and places between."""
    starts = [reach.station_m for reach in stream.reaches] + [stream.length_m]
    parts = [np.linspace(a, b, max(2, round((b - a) / EVERY_M) + 1)) for a, b in pairwise(starts) if b - a > _HAIR_M]
    found: Floats = np.unique(np.concatenate(parts))
    return found


def _line(stations: Floats, levels: Floats) -> Line:
    return tuple(zip(stations.tolist(), levels.tolist(), strict=True))
