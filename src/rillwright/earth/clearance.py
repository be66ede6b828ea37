"""The dig against a 1:1 line down from each footing."""

from __future__ import annotations

from rillwright.earth.result import FootingClearance
from rillwright.earth.section import level_on
from rillwright.feature import XY, Feature, Footing, Stream
from rillwright.shape import LongSection, PondShape, Shape

_EVERY_M = 0.10


def clearances(feature: Feature, shape: Shape) -> tuple[FootingClearance, ...]:
    """For every footing and every body and stream: height of the dig above the line, at its least.

    The line falls one down to one across from the footing's base, away from it on all sides. A body is looked at on its
    outlines (waterline, shelf, floor), a stream along both edges of its dig.
    """
    found: list[FootingClearance] = []
    for footing in feature.site.footings:
        for body in feature.bodies:
            clear = _of_body(footing, shape.pond(body.id), under_m=feature.liner.under_m, gravel_m=body.gravel_m)
            found.append(FootingClearance(footing=footing.id, path=f"ponds/{body.id}", clearance_m=clear))
        for stream, section in zip(feature.streams, shape.sections, strict=True):
            clear = _of_stream(footing, stream, section)
            found.append(FootingClearance(footing=footing.id, path=f"streams/{stream.id}", clearance_m=clear))
    return tuple(found)


def above_line_m(*, base_m: float, distance_m: float, dig_m: float) -> float:
    """How far a dig at level `dig_m` [m], `distance_m` [m] from a footing, lies above the 1:1 line from its base at
    `base_m` [m]; negative below it [m]."""
    return dig_m - (base_m - distance_m)


def _of_body(footing: Footing, pond: PondShape, *, under_m: float, gravel_m: float) -> float:
    import shapely

    line = shapely.LineString(footing.line)
    clear = []
    for level, outline in pond.rings:
        deep = under_m + (gravel_m if abs(level - pond.floor_m) < 1e-6 else 0.0)
        distance = float(shapely.distance(line, shapely.Polygon(outline)))
        clear.append(above_line_m(base_m=footing.base.m, distance_m=distance, dig_m=level - deep))
    return min(clear)


def _of_stream(footing: Footing, stream: Stream, section: LongSection) -> float:
    import shapely

    line, course = shapely.LineString(footing.line), shapely.LineString(stream.path)
    whole_m = stream.length_m
    clear = []
    for reach in stream.reaches:
        steps = max(1, round(reach.length_m / _EVERY_M))
        stations = [reach.station_m + reach.length_m * i / steps for i in range(steps + 1)]
        shares = [station / whole_m if whole_m > 0.0 else 0.0 for station in stations]
        places = shapely.line_interpolate_point(course, shares, normalized=True)  # as place_at has them
        for station, away in zip(stations, shapely.distance(line, places).tolist(), strict=True):
            inner = min(max(station, reach.station_m + 1e-6), reach.station_m + reach.length_m - 1e-6)
            distance = max(0.0, away - 0.5 * reach.width_m)
            dig = level_on(section.dig, inner)
            clear.append(above_line_m(base_m=footing.base.m, distance_m=distance, dig_m=dig))
    return min(clear)


def place_at(stream: Stream, station_m: float) -> XY:
    """Where a station [m] lies on the stream's centre line; the drawn line is stretched to the beds' length."""
    import shapely

    share = station_m / stream.length_m if stream.length_m > 0.0 else 0.0
    point = shapely.LineString(stream.path).interpolate(share, normalized=True)
    return float(point.x), float(point.y)
