"""GeoJSON points in and out, in metres of the site's own grid, the surface kept as a property."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, NoReturn

from rillwright.errors import InputError, Problem
from rillwright.exchange.point import (
    FARTHEST_M,
    MOST_CHARACTERS,
    MOST_POINTS,
    ExchangePoint,
    fail,
    refuse_twice,
    shown,
    surface_of,
    writable,
)
from rillwright.feature import Surface


def read_points_geojson(text: str, *, file: str) -> tuple[ExchangePoint, ...]:
    """Points of a GeoJSON feature collection whose coordinates are metres of the site's grid: easting, northing, level.

    Parameters
    ----------
    text : str
        The file's text: a FeatureCollection of Point features.
    file : str
        Its name, for messages.

    Returns
    -------
    tuple of ExchangePoint
        Points with places and levels [m].

    Raises
    ------
    InputError
        With all that is wrong, by the index of the feature.

    References
    ----------
    RFC 7946, sections 3.1.1, 3.1.2, 3.2, 3.3. Coordinates in metres are by prior arrangement, section 4.
    """
    if len(text) > MOST_CHARACTERS:
        raise InputError(Problem(message="the file is too large", file=file, allowed=f"{MOST_CHARACTERS} characters"))
    features = _features(_load(text, file), file)
    problems: list[Problem] = []
    points: list[tuple[int, ExchangePoint]] = []
    for i, feature in enumerate(features):
        found = _point(feature, i, file, problems)
        if found is not None:
            points.append((i, found))
    problems += refuse_twice([(p.id, p.surface, f"features[{i}]") for i, p in points], file)
    fail(problems)
    return tuple(p for _, p in points)


def write_points_geojson(points: Sequence[ExchangePoint]) -> str:
    """Text of a GeoJSON feature collection in metres of the site's grid; a tenth of a millimetre is kept.

    Raises
    ------
    OutputError
        If a point could not be read again.
    """
    writable(points)
    features = [_feature(p) for p in points]
    return json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=True, indent=1) + "\n"


def _feature(p: ExchangePoint) -> dict[str, Any]:
    place = [p.easting_m, p.northing_m, *(() if p.level_m is None else (p.level_m,))]
    properties = {"point": p.id, "units": "m"}
    if p.surface is not None:
        properties["surface"] = p.surface.value
    if p.note:
        properties["note"] = p.note
    return {
        "type": "Feature",
        "id": p.id,
        "geometry": {"type": "Point", "coordinates": [round(x, 5) + 0.0 for x in place]},
        "properties": properties,
    }


def _no_constant(word: str) -> NoReturn:
    raise ValueError(f"{word} is not a number")


def _load(text: str, file: str) -> Any:
    try:
        return json.loads(text.removeprefix("\ufeff"), parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        problem = Problem(message=f"not JSON: {error.msg}", file=file, line=error.lineno, column=error.colno)
    except RecursionError:
        problem = Problem(message="not JSON that can be read: nested too deeply", file=file)
    except ValueError as error:
        problem = Problem(message=f"not JSON: {str(error)[:80]}", file=file)
    raise InputError(problem)


def _features(document: Any, file: str) -> list[Any]:
    if not isinstance(document, dict) or document.get("type") != "FeatureCollection":
        found = shown(document.get("type")) if isinstance(document, dict) else shown(document)
        problem = Problem(message="not a collection of features", file=file, found=found, allowed="FeatureCollection")
        raise InputError(problem)
    if "crs" in document:
        message = "the file names a coordinate system; places here are metres of the site's grid"
        raise InputError(Problem(message=message, file=file, field="crs", allowed="no crs, coordinates in metres"))
    features = document.get("features")
    if not isinstance(features, list) or not features:
        raise InputError(Problem(message="the collection has no features", file=file, field="features"))
    if len(features) > MOST_POINTS:
        raise InputError(Problem(message="too many points", file=file, allowed=f"at most {MOST_POINTS}"))
    return features


def _point(feature: Any, index: int, file: str, problems: list[Problem]) -> ExchangePoint | None:
    before = len(problems)

    def wrong(field: str, message: str, found: Any, allowed: str = "") -> None:
        name = f"features[{index}]" + (f".{field}" if field else "")
        problems.append(Problem(message=message, file=file, field=name, found=shown(found), allowed=allowed))

    if not isinstance(feature, dict) or feature.get("type") != "Feature":
        wrong("", "not a feature", feature, "Feature")
        return None
    properties = feature.get("properties")
    if not isinstance(properties, dict):
        properties = {}
    place = _place(feature.get("geometry"))
    if place is None:
        wrong("geometry", "not a point of two or three finite numbers [m]", feature.get("geometry"), "Point")
    id = _id(feature, properties)
    if not id:
        wrong("id", "the point has no number", feature.get("id"), "id, or the property 'point'")
    if properties.get("units", "m") != "m":
        wrong("properties.units", "coordinates must be in metres", properties["units"], "m")
    surface = _surface(properties.get("surface"))
    if properties.get("surface") is not None and surface is None:
        wrong("properties.surface", "unknown surface", properties["surface"], ", ".join(s.value for s in Surface))
    note = properties.get("note", "")
    if not isinstance(note, str):
        wrong("properties.note", "a note is text", note)
    if len(problems) > before or place is None:
        return None
    level = place[2] if len(place) == 3 else None
    return ExchangePoint(id=id, easting_m=place[0], northing_m=place[1], level_m=level, surface=surface, note=note)


def _surface(word: Any) -> Surface | None:
    return surface_of(word) if isinstance(word, str) else None


def _id(feature: dict[str, Any], properties: dict[str, Any]) -> str:
    for value in (properties.get("point"), feature.get("id")):
        if (
            isinstance(value, str | int)
            and not isinstance(value, bool)
            and 0 < len(str(value)) <= 200
            and str(value).isprintable()
        ):
            return str(value).strip()
    return ""


def _place(geometry: Any) -> tuple[float, ...] | None:
    if not isinstance(geometry, dict) or geometry.get("type") != "Point":
        return None
    place = geometry.get("coordinates")
    if not isinstance(place, list) or len(place) not in (2, 3):
        return None
    if not all(isinstance(x, int | float) and not isinstance(x, bool) for x in place):
        return None
    if not all(abs(x) <= FARTHEST_M for x in place):
        return None
    return tuple(float(x) for x in place)
