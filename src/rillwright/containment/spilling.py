"""Where the water of each body and reach would leave first, and the way it would go from there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from rillwright.containment.rim_result import LowPlace, SpillPath
from rillwright.containment.ways import CAUGHT, HAIR_M, TOE_M, Ground, edges_of, followed, outward, walls_of
from rillwright.feature import XY, Feature
from rillwright.shape import RimLine, Surface
from rillwright.sources import default

if TYPE_CHECKING:
    from rillwright.ground import Bins, Descent, Tin

OUT_M = (TOE_M, 0.5, 1.0, 2.0)  # so far outside its rim the way begins, where no other water lies there
Way = tuple[tuple[float, float, float], ...]
WALLS = ("buildings/", "footings/")


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
    over = on_ground(feature, surface, tin) if lows else None
    return () if over is None else tuple(spill_path(low, over) for low in lows)


class Over(Struct, frozen=True, kw_only=True, eq=False):
    """What the ways over one surface have in common: its edges, how water runs over it (None: nobody knows the ground),
    where water begins that leaves a rim at a place [m] (in words why it stands instead, where it does), what stands on
    the site, and how near to that is towards it [m], of a way that runs on and of one that ends in other water.
    """

    rims: Mapping[str, RimLine]
    ground: Ground | None
    begins: Callable[[RimLine, XY], tuple[XY, str]]
    structures: Sequence[tuple[str, Any]]
    near_m: tuple[float, float]


def on_ground(feature: Feature, surface: Surface, tin: Tin | None) -> Over:
    """Ways over the ground before work, with the finished edges and the walls of buildings on it."""
    import shapely

    fills_m = default("spill.hollow").number
    plain = [shapely.Polygon(outline) for _, outline in surface.footprints]
    return Over(
        rims={rim.path: rim for rim in surface.rims},
        ground=None if tin is None else _before_work(feature, tin, surface.rims, fills_m=fills_m),
        begins=lambda rim, at: (outside(rim, at, plain), ""),
        structures=structures_of(feature),
        near_m=near_m(),
    )


def near_m() -> tuple[float, float]:
    """How near to something a way runs towards it [m]: one that runs on, and one that ends in other water."""
    return default("spill.reach").number, default("spill.beside").number


def spill_path(low: LowPlace, over: Over) -> SpillPath:
    """Where a body or reach spills at a low place, and its way from there."""
    rim = over.rims[low.rim]
    if rim.kind != "outer":  # into the ground of an island
        return _leaves(low, way=(), ends="in the ground of an island, under the liner", towards="", over="island")
    start, stands = over.begins(rim, low.at)
    way, ends, towards, nearest = way_from(start, over, water=low.water, stands=stands)
    return _leaves(low, way=way, ends=ends, towards=towards, nearest_m=nearest)


def _leaves(
    low: LowPlace, *, way: Way, ends: str, towards: str, nearest_m: float | None = None, over: str = "outer"
) -> SpillPath:
    return SpillPath(
        water=low.water,
        rim=low.rim,
        at=low.at,
        along_m=low.along_m,
        level_m=low.top_m,
        spare_m=low.spare_m,
        way=way,
        ends=ends,
        towards=towards,
        nearest_m=nearest_m,
        station_m=low.station_m,
        over=over,
    )


def way_from(start: XY, over: Over, *, water: str, stands: str = "") -> tuple[Way, str, str, float | None]:
    """The way of water from a place [m], where it ends, the path of what it runs towards and how near it comes [m]."""
    way, ends = np.zeros((0, 3)), "where nobody knows the ground"
    if over.ground is not None:
        way, ends = (level_at(over.ground, start), stands) if stands else followed(over.ground, start, water=water)
    reach_m, beside_m = over.near_m
    towards, nearest = _towards(way, over.structures, reach_m=beside_m if ends.startswith(CAUGHT) else reach_m)
    return tuple((float(x), float(y), float(z)) for x, y, z in way), ends, towards, nearest


def level_at(ground: Ground, place: XY) -> np.ndarray:
    """A way of one place (1, 3) [m]."""
    return ground.descend(place).way[:1]


def structures_of(feature: Feature) -> tuple[tuple[str, Any], ...]:
    """What stands on the site with its shape in plan, and the places of paving that is known by its level alone."""
    marks = [(f"marks/{m.id}", (m.at,)) for m in feature.marks if m.role == "paving" and m.at is not None]
    return tuple((path, _shape(line)) for path, line in (*feature.site.structures, *marks))


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


def _before_work(feature: Feature, tin: Tin, rims: Sequence[RimLine], *, fills_m: float) -> Ground:
    """The ground before work with the finished edges on it."""
    from rillwright.ground import descend

    bins = bins_under(tin)

    def down(place: XY) -> Descent:
        return descend(tin, [place], bins=bins, fills_m=fills_m)[0]

    flush_m = default("ground.uneven").number * TOE_M
    walls = walls_of(buildings_of(feature), tin, bins=bins)
    return Ground(down, (*edges_of(rims, tin, bins=bins), *walls), fills_m, flush_m)


def buildings_of(feature: Feature) -> list[tuple[str, tuple[XY, ...]]]:
    """Path and outline of every building [m]."""
    return [(f"buildings/{each.id}", each.outline) for each in feature.site.buildings]


@lru_cache(maxsize=4)  # the ground stays as it is while the work on it changes
def bins_under(tin: Tin) -> Bins:
    """The bins of a surface of the ground, made once."""
    from rillwright.ground import bins_of

    return bins_of(tin)


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
            found.append((not path.startswith(WALLS), away, path))
    best = min(found, default=None)
    return ("", None) if best is None else (best[2], best[1])
