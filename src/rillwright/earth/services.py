"""The digs against buried services as they were marked."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from rillwright.earth.on_ground import levels_at
from rillwright.earth.plan import EVERY_M, BodyDig, StreamDig, away_m, depth_at
from rillwright.earth.result import ServiceCrossing
from rillwright.feature import XY, Feature, ServiceLine

_MOST_PLACES = 2000  # along one service over one dig

_Cut = tuple[float, XY, float | None, float]  # ground, place, station, level of the dig there [m]


def service_crossings(
    feature: Feature, bodies: Sequence[BodyDig], streams: Sequence[StreamDig]
) -> tuple[ServiceCrossing, ...]:
    """For every service and every dig: how far they stay apart in plan, and where they cross how far over each other.

    The service's top lies at its level, or so deep under the ground there as it was surveyed; where it was not, under
    that along the stream's middle, by a body under the mean of the ground at its rims. The place told is the one where
    the dig comes nearest to that top, or farthest below it.
    """
    import shapely

    found = []
    digs: tuple[BodyDig | StreamDig, ...] = (*bodies, *streams)
    for service in feature.site.service_lines:
        for dig in digs:
            cuts = list(_of_body(service, dig) if isinstance(dig, BodyDig) else _of_stream(service, dig))
            away = 0.0 if cuts else away_m(shapely.LineString(service.line), dig)
            found.append(_crossing(service, dig.path, cuts, away_m=away))
    return tuple(found)


def _crossing(service: ServiceLine, path: str, cuts: Sequence[_Cut], *, away_m: float) -> ServiceCrossing:
    if not cuts:
        return ServiceCrossing(service=service.id, kind=service.kind, path=path, distance_m=away_m)

    def over(cut: _Cut) -> float:
        ground, _, _, level = cut
        if service.top is not None:
            return level - service.top.m
        return level - (0.0 if math.isnan(ground) else ground - (service.depth_m or 0.0))

    worst = min(cuts, key=over)
    _, place, station, level = worst
    known = service.top is not None or (service.depth_m is not None and not math.isnan(worst[0]))
    return ServiceCrossing(
        service=service.id,
        kind=service.kind,
        path=path,
        distance_m=0.0,
        at=place,
        station_m=station,
        dig_m=level,
        over_m=over(worst) if known else None,
    )


def _of_body(service: ServiceLine, dig: BodyDig) -> Iterator[_Cut]:
    import shapely

    edge = max(level for level, _ in dig.rings)
    places = list(_along(shapely.LineString(service.line).intersection(dig.edge)))
    mean = math.nan if dig.ground_m is None else dig.ground_m
    grounds = levels_at(dig.tin, places) or [mean] * len(places)
    for place, ground in zip(places, grounds, strict=True):
        level = depth_at(dig, place)
        yield ground, place, None, edge if level is None else level


def _of_stream(service: ServiceLine, dig: StreamDig) -> Iterator[_Cut]:
    """Wherever the line comes within the top of the cut: on its side at the level of the side there."""
    import shapely

    line = shapely.LineString(service.line)
    away = shapely.distance(line, dig.centre).tolist()
    nearest = shapely.line_interpolate_point(line, shapely.line_locate_point(line, dig.centre))
    places = [(float(point.x), float(point.y)) for point in nearest]
    grounds = levels_at(dig.tin, places) or dig.ground_m
    for i, (distance, place) in enumerate(zip(away, places, strict=True)):
        half, top = dig.half_m[i], dig.top_m[i]
        if distance <= top:
            share = min(max((distance - half) / (top - half), 0.0), 1.0) if top > half else 0.0
            level = dig.dig_m[i] + share * (dig.ground_m[i] - dig.dig_m[i])
            yield grounds[i], place, dig.stations_m[i], level


def _along(form: Any) -> Iterator[XY]:
    """Places on what a line has in an area: the ends of its pieces and every 0.1 m between."""
    import shapely

    for part in shapely.get_parts(form):
        if part.length == 0.0:
            yield from ((float(x), float(y)) for x, y in shapely.get_coordinates(part))
            continue
        steps = min(max(1, math.ceil(float(part.length) / EVERY_M)), _MOST_PLACES)
        points = shapely.line_interpolate_point(part, [i / steps for i in range(steps + 1)], normalized=True)
        yield from ((float(x), float(y)) for x, y in shapely.get_coordinates(points))
