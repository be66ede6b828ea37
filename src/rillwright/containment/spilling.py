"""Where the water of each body and reach would leave first, and the way it would go from there."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.containment.rim_result import LowPlace, SpillPath
from rillwright.containment.ways import CAUGHT, HAIR_M, TOE_M, Ground, edges_of, followed, outward
from rillwright.feature import XY, Feature
from rillwright.shape import RimLine, Surface
from rillwright.sources import default

if TYPE_CHECKING:
    from rillwright.ground import Bins, Descent, Tin

OUT_M = (TOE_M, 0.5, 1.0, 2.0)  # so far outside its rim the way begins, where no other water lies there
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
    near_m = default("spill.reach").number, default("spill.beside").number
    fills_m = default("spill.hollow").number
    if not lows:
        return ()
    import shapely

    rims = {rim.path: rim for rim in surface.rims}
    areas = [(path, shapely.Polygon(outline)) for path, outline in surface.footprints]
    plain = [area for _, area in areas]
    ground = None if tin is None else _over(tin, surface.rims, fills_m=fills_m)
    structures = [(path, _shape(line)) for path, line in _structures(feature)]
    return tuple(
        _path(low, outside(rims[low.rim], low.at, plain), ground, structures=structures, near_m=near_m)
        if rims[low.rim].kind == "outer"
        else _sunk(low)
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


def _over(tin: Tin, rims: Sequence[RimLine], *, fills_m: float) -> Ground:
    """The ground before work with the finished edges on it."""
    from rillwright.ground import descend

    bins = bins_under(tin)

    def down(place: XY) -> Descent:
        return descend(tin, [place], bins=bins, fills_m=fills_m)[0]

    flush_m = default("ground.uneven").number * TOE_M
    return Ground(down, edges_of(rims, tin, bins=bins), fills_m, flush_m)


@lru_cache(maxsize=4)  # the ground stays as it is while the work on it changes
def bins_under(tin: Tin) -> Bins:
    """The bins of a surface of the ground, made once."""
    from rillwright.ground import bins_of

    return bins_of(tin)


def _path(
    low: LowPlace,
    start: XY,
    ground: Ground | None,
    *,
    structures: Sequence[tuple[str, Any]],
    near_m: tuple[float, float],
) -> SpillPath:
    way, ends = np.zeros((0, 3)), "where nobody knows the ground"
    if ground is not None:
        way, ends = followed(ground, start, water=low.water)
    reach_m, beside_m = near_m
    towards, nearest = _towards(way, structures, reach_m=beside_m if ends.startswith(CAUGHT) else reach_m)
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


def _towards(way: np.ndarray, structures: Sequence[tuple[str, Any]], *, reach_m: float) -> tuple[str, float | None]:
    """What the whole way comes nearest to [m], of all that it runs up to within reach; walls before paving."""
    import shapely

    if not len(way):
        return "", None
    start = shapely.Point(way[0, :2])
    line = shapely.LineString(way[:, :2]) if len(way) > 1 else start
    found = []
    for path, shape in structures:
        away = float(line.distance(shape))
        comes = away < float(start.distance(shape)) - HAIR_M or away <= HAIR_M
        if away <= reach_m and comes:
            found.append((not path.startswith(_WALLS), away, path))
    best = min(found, default=None)
    return ("", None) if best is None else (best[2], best[1])


_WALLS = ("buildings/", "footings/")
