"""The digs in plan: how far they reach, and how deep they are at a place."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from rillwright.earth.section import level_on
from rillwright.feature import XY, Body, Stream
from rillwright.shape import LongSection, PondShape

if TYPE_CHECKING:
    from rillwright.ground import Tin

EVERY_M = 0.10  # how closely a line is looked at
_HAIR_M = 1e-6


class BodyDig(Struct, frozen=True, eq=False):
    """A body's hole: its edge on the ground, and its outlines with the level [m] dug to, all as areas."""

    path: str
    edge: Any
    rings: tuple[tuple[float, Any], ...]
    ground_m: float | None  # mean of its rims; None: no rim is known
    tin: Tin | None = None  # the ground as surveyed, where it was


class StreamDig(Struct, frozen=True, eq=False):
    """A stream's cut at places along its centre line: stations, half its floor and half its top, dig and ground [m]."""

    path: str
    centre: Any  # points
    stations_m: tuple[float, ...]
    half_m: tuple[float, ...]
    top_m: tuple[float, ...]
    dig_m: tuple[float, ...]
    ground_m: tuple[float, ...]
    tin: Tin | None = None  # the ground as surveyed, where it was


def body_dig(body: Body, pond: PondShape, *, under_m: float, tin: Tin | None = None) -> BodyDig:
    """The hole of a body: under its liner [m], and on the floor under the gravel as well."""
    import shapely

    ground = max((rim.ground.m for rim in body.rims), default=body.waterline.m)
    out = max(ground - body.waterline.m, 0.0) / body.side_up_per_across
    rings = []
    for level, outline in pond.rings:
        deep = under_m + (body.gravel_m if abs(level - pond.floor_m) < _HAIR_M else 0.0)
        rings.append((level - deep, shapely.Polygon(outline)))
    edge = shapely.Polygon(body.outline).buffer(out)
    known = sum(rim.ground.m for rim in body.rims) / len(body.rims) if body.rims else None
    return BodyDig(f"ponds/{body.id}", edge, tuple(rings), known, tin)


def stream_dig(stream: Stream, section: LongSection, *, side: float, tin: Tin | None = None) -> StreamDig:
    """The cut of a stream, its sides `side` [-] up per across, at both ends of every bed and every 0.1 m between."""
    import shapely

    course, whole_m = shapely.LineString(stream.path), stream.length_m
    rows: list[tuple[float, float, float, float, float]] = []
    for reach in stream.reaches:
        steps = max(1, round(reach.length_m / EVERY_M))
        for i in range(steps + 1):
            station = reach.station_m + reach.length_m * i / steps
            inner = min(max(station, reach.station_m + _HAIR_M), reach.station_m + reach.length_m - _HAIR_M)
            dig, ground = level_on(section.dig, inner), level_on(section.ground, inner)
            half = 0.5 * reach.width_m
            up = side if reach.side_up_per_across is None else min(side, reach.side_up_per_across)
            rows.append((station, half, half + max(ground - dig, 0.0) / up, dig, ground))
    stations, half_m, top_m, dig_m, ground_m = zip(*rows, strict=True)
    shares = [station / whole_m if whole_m > 0.0 else 0.0 for station in stations]
    centre = shapely.line_interpolate_point(course, shares, normalized=True)
    return StreamDig(f"streams/{stream.id}", centre, stations, half_m, top_m, dig_m, ground_m, tin)


def depth_at(dig: BodyDig, place: XY) -> float | None:
    """Level [m] to which a body is dug at a place, straight between its outlines; None outside them."""
    import shapely

    point = shapely.Point(place)
    inside = [(level, ring) for level, ring in dig.rings if ring.covers(point)]
    if not inside:
        return None
    level = min(each for each, _ in inside)
    here = [ring for each, ring in inside if each == level]
    if any(
        abs(each - level) < _HAIR_M and not ring.covers(point) and any(outer.covers(ring) for outer in here)
        for each, ring in dig.rings
    ):
        return level  # on a shelf
    lower = [each for each, _ in dig.rings if each < level - _HAIR_M]
    if not lower:
        return level
    down = max(lower)
    near = min(float(ring.exterior.distance(point)) for ring in here)
    far = min(float(ring.distance(point)) for each, ring in dig.rings if each == down)
    share = near / (near + far) if near + far > 0.0 else 0.0
    return level + (down - level) * share


def away_m(form: Any, dig: BodyDig | StreamDig) -> float:
    """From a line or a point to the edge of a dig on the ground [m]; 0 inside it."""
    import shapely

    if isinstance(dig, BodyDig):
        return float(form.distance(dig.edge))
    away = shapely.distance(form, dig.centre).tolist()
    return max(0.0, min(float(distance) - top for distance, top in zip(away, dig.top_m, strict=True)))
