"""The liner's edge round islands: the water lies outside it, to the left of a way round it clockwise."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.feature import Feature, Island, Reach, Stream
from rillwright.shape.bank_tops import bank_ground, bed_m
from rillwright.shape.course import course_of
from rillwright.shape.natural import NaturalGround, ground_there
from rillwright.shape.pond_edge import known_by
from rillwright.shape.rims import spaced
from rillwright.shape.sides import inset, polygon_of
from rillwright.shape.surface_result import RimLine, RimPoint
from rillwright.sources import default

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_PARTS = 9


def islands_of(feature: Feature) -> tuple[tuple[Island, Stream | None, Reach | None], ...]:
    """Every island, with its stream and reach where it lies in one."""
    found: list[tuple[Island, Stream | None, Reach | None]] = []
    found += [(island, None, None) for body in feature.bodies for island in body.islands]
    found += [
        (island, stream, reach) for stream in feature.streams for reach in stream.reaches for island in reach.islands
    ]
    return tuple(found)


def island_lines(feature: Feature, natural: NaturalGround) -> tuple[RimLine, ...]:
    """The edge round every island: at its top, as far inside its outline as its side needs to rise there."""
    return tuple(_line(feature, island, stream, reach, natural) for island, stream, reach in islands_of(feature))


def island_edge(feature: Feature, island: Island) -> Any:
    """The area inside the liner's edge of an island; where its sides meet before its top, as high as they come."""
    body = next((body for body in feature.bodies if island.of == f"ponds/{body.id}"), None)
    up = body.side_up_per_across if body is not None else default("earth.bank_side").number
    outline = polygon_of(island.outline)
    if math.isinf(up):
        return outline
    found = inset(outline, np.linspace(0.0, island.top_m / up, _PARTS))
    return [each for each in found if not each.is_empty and each.geom_type == "Polygon"][-1]


def _line(
    feature: Feature, island: Island, stream: Stream | None, reach: Reach | None, natural: NaturalGround
) -> RimLine:
    import shapely

    ring = shapely.orient_polygons(island_edge(feature, island), exterior_cw=True).exterior
    places = spaced(ring, default("rim.every").number)
    first = int(np.hypot(*(places - np.asarray(island.outline[0])).T).argmin())
    places = np.roll(places, -first, axis=0)
    stations: list[float | None] = [None] * len(places)
    if stream is not None and reach is not None:
        at = course_of(stream).locate(places)[0]
        stations = at.tolist()
        water_m, sigma = bed_m(reach, at), max(reach.bed_start.sigma_m, reach.bed_end.sigma_m)
        ground, known = bank_ground(stream, places, at, natural)
        setup = reach.bed_start.setup
    else:
        body = next(body for body in feature.bodies if island.of == f"ponds/{body.id}")
        water_m, sigma = np.full(len(places), body.waterline.m), body.waterline.sigma_m
        ground, known = _ground(places, body.waterline.m, natural)
        setup = body.waterline.setup
    fill = water_m + island.top_m - ground
    settles = default("pond.settlement").number * np.clip(fill, 0.0, island.top_m)
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(places, axis=0).T))))
    points = tuple(
        RimPoint(
            at=(float(x), float(y)), along_m=float(along[i]), top_m=float(water_m[i] + island.top_m - settles[i]),
            sigma_m=sigma, ground_m=float(ground[i]), ground_is=known[i], fill_m=float(fill[i]),
            settles_m=float(settles[i]), water=island.of, station_m=stations[i], by=f"islands/{island.id}", setup=setup,
        )
        for i, (x, y) in enumerate(places)
    )  # fmt: skip
    return RimLine(path=f"islands/{island.id}", kind="island", closed=True, points=points)


def _ground(places: Floats, waterline_m: float, natural: NaturalGround) -> tuple[Floats, list[str]]:
    if natural.tin is None:
        return np.full(len(places), waterline_m), ["guess"] * len(places)
    there = ground_there(natural, places)
    return there.level_m, known_by(there.away_m, there.outside_m, near_m=natural.model.near_m)
