"""Where the water of each body and reach would leave first, and the way it would go from there."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.containment.rim_result import LowPlace, SpillPath
from rillwright.feature import XY, Feature, named
from rillwright.shape import RimLine, Surface
from rillwright.sources import default

if TYPE_CHECKING:
    from rillwright.ground import Bins, Descent, Tin

OUT_M = (0.25, 0.5, 1.0, 2.0)  # so far outside its rim the way begins, where no other water lies there
HAIR_M = 1e-6
Structures = Sequence[tuple[str, tuple[XY, ...]]]


def spill_paths(feature: Feature, lows: Sequence[LowPlace], surface: Surface, tin: Tin | None) -> tuple[SpillPath, ...]:
    """Where each body and reach would spill first, and the steepest way down from there over the natural ground.

    Parameters
    ----------
    feature : Feature
        What stands on the site.
    lows : sequence of LowPlace
        The lowest place of each body and reach [m].
    surface : Surface
        The rims as they run, and what each body and stream takes up in plan [m].
    tin : Tin or None
        The ground before work; None: nobody knows it.

    Returns
    -------
    tuple of SpillPath
        One a low place [m].

    References
    ----------
    Steepest descent on triangles: definition. A spill as high as its rim's lowest place: definition.
    """
    reach_m, fills_m = default("spill.reach").number, default("spill.hollow").number
    if not lows:
        return ()
    import shapely

    rims = {rim.path: rim for rim in surface.rims}
    areas = [(path, shapely.Polygon(outline)) for path, outline in surface.footprints]
    outer = [low for low in lows if rims[low.rim].kind == "outer"]
    starts = [outside(rims[low.rim], low.at, [area for _, area in areas]) for low in outer]
    found = dict(zip((low.water for low in outer), _descents(tin, starts, fills_m), strict=True))
    structures = [(path, _shape(line)) for path, line in _structures(feature)]
    return tuple(
        _path(low, found[low.water], areas, structures=structures, reach_m=reach_m) if low in outer else _sunk(low)
        for low in lows
    )


def _sunk(low: LowPlace) -> SpillPath:
    """Over the rim of an island, into its ground."""
    return SpillPath(
        water=low.water,
        rim=low.rim,
        at=low.at,
        along_m=low.along_m,
        level_m=low.top_m,
        spare_m=low.spare_m,
        way=(),
        ends="in the ground of an island, under the liner",
        towards="",
        station_m=low.station_m,
        over="island",
    )


def _structures(feature: Feature) -> Structures:
    """What stands on the site, and the places of paving that is known by its level alone."""
    marks = [(f"marks/{m.id}", (m.at,)) for m in feature.marks if m.role == "paving" and m.at is not None]
    return (*feature.site.structures, *marks)


def _shape(line: tuple[XY, ...]) -> Any:
    import shapely

    if len(line) == 1:
        return shapely.Point(line[0])
    if len(line) > 3 and line[0] == line[-1]:
        return shapely.Polygon(line)
    return shapely.LineString(line)


def outside(rim: RimLine, at: XY, areas: Sequence[Any]) -> XY:
    """A place just outside a rim, to its right, that lies in none of some areas [m]; the nearest if all tried do."""
    import shapely

    places = np.array([point.at for point in rim.points])
    row = int(np.hypot(*(places - at).T).argmin())
    way = outward(places, closed=rim.closed)[row]
    tried = [(float(at[0] + far * way[0]), float(at[1] + far * way[1])) for far in OUT_M]
    free = (place for place in tried if not any(shapely.contains_xy(area, *place) for area in areas))
    return next(free, tried[0])


def outward(places: np.ndarray, *, closed: bool) -> np.ndarray:
    """Unit vectors (p, 2) to the right of a line [m], away from the water, at its places (p, 2); 0 where it stands."""
    before, after = np.roll(places, 1, axis=0), np.roll(places, -1, axis=0)
    if not closed:
        before[0], after[-1] = places[0], places[-1]
    way = after - before
    right = np.column_stack((way[:, 1], -way[:, 0]))
    long = np.hypot(*right.T)
    found: np.ndarray = right / np.where(long > 0.0, long, 1.0)[:, None]
    return found


def _descents(tin: Tin | None, starts: Sequence[XY], fills_m: float) -> Sequence[Descent | None]:
    if tin is None:
        return [None] * len(starts)
    from rillwright.ground import descend

    return descend(tin, starts, bins=bins_under(tin), fills_m=fills_m)


@lru_cache(maxsize=4)  # the ground stays as it is while the work on it changes
def bins_under(tin: Tin) -> Bins:
    """The bins of a surface of the ground, made once."""
    from rillwright.ground import bins_of

    return bins_of(tin)


def _path(
    low: LowPlace,
    found: Descent | None,
    areas: Sequence[tuple[str, Any]],
    *,
    structures: Sequence[tuple[str, Any]],
    reach_m: float,
) -> SpillPath:
    way, ends = np.zeros((0, 3)), "where nobody knows the ground"
    if found is not None and found.ends != "nowhere":
        way, ends = _until_water(found, areas)
    towards, nearest = _towards(way, structures, reach_m=HAIR_M if ends.startswith(_CAUGHT) else reach_m)
    return SpillPath(
        water=low.water,
        rim=low.rim,
        at=low.at,
        along_m=low.along_m,
        level_m=low.top_m,
        spare_m=low.spare_m,
        way=tuple((float(x), float(y), float(z)) for x, y, z in way),
        ends=ends,
        towards=towards,
        nearest_m=nearest,
        station_m=low.station_m,
    )


_CAUGHT = "back in "
_ENDS = {"edge": "at the edge of the known ground", "hollow": "in a hollow", "flat": "on level ground"}


def _until_water(found: Descent, areas: Sequence[tuple[str, Any]]) -> tuple[np.ndarray, str]:
    """The way until it meets a body or a stream."""
    import shapely

    way = found.way
    if len(way) < 2:
        return way, _ENDS[found.ends]
    line = shapely.LineString(way[:, :2])
    first, into = float("inf"), ""
    for path, area in areas:
        cut = shapely.intersection(line, area.exterior)
        if not cut.is_empty:
            along = float(shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(cut))).min())
            if along < first:
                first, into = along, path
    if not into:
        return way, _ENDS[found.ends]
    long = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(way[:, :2], axis=0).T))))
    kept = way[long < first - HAIR_M]
    end = [np.interp(first, long, way[:, k]) for k in range(3)]
    return np.vstack((kept, end)), f"{_CAUGHT}{named(into)}"


def _towards(way: np.ndarray, structures: Sequence[tuple[str, Any]], *, reach_m: float) -> tuple[str, float | None]:
    """What the way comes nearest to [m], of all that it runs up to within reach."""
    import shapely

    if not len(way):
        return "", None
    start = shapely.Point(way[0, :2])
    line = shapely.LineString(way[:, :2]) if len(way) > 1 else start
    best, least = "", float("inf")
    for path, shape in structures:
        away = float(line.distance(shape))
        comes = away < float(start.distance(shape)) - HAIR_M or away <= HAIR_M
        if away <= reach_m and comes and away < least:
            best, least = path, away
    return (best, least) if best else ("", None)
