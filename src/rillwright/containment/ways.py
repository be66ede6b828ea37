"""The way of spilt water over the ground: back in where the ground reaches the finished edge, else along that edge."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from rillwright.feature import XY, named
from rillwright.shape import RimLine

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rillwright.ground import Bins, Descent, Tin

    Floats = NDArray[np.float64]

TOE_M = 0.25  # so far outside an edge its water runs along it
HAIR_M = 1e-6
MOST_TOUCHES = 60  # of one edge after another
OFF, HOLLOW, FLAT = "at the edge of the known ground", "in a hollow", "on level ground"
AGAINST, CAUGHT, WALL = "against the ", "back in ", "against the wall of "
WALL_EVERY_M = 0.25
_ENDS = {"edge": OFF, "hollow": HOLLOW, "flat": FLAT}
_BUILDINGS = "buildings/"


class Edge(Struct, frozen=True, eq=False):
    """One outer edge: its area, and place by place its finished top, the ground there and the toe just outside it."""

    area: Any
    water: tuple[str, ...]  # path of the body or reach
    places: Floats  # (p, 2) [m]
    tops_m: Floats
    ground_m: Floats
    toes: Floats  # (p, 2) [m]
    toes_m: Floats  # level of the ground there; not a number where nobody knows it
    outer_m: Floats  # as far out again
    free: NDArray[np.bool_]  # whether the toe lies in no water


class Ground(Struct, frozen=True, eq=False):
    """What a way is followed over: how water runs down from a place, the edges in its way, how deep a hollow it fills
    and by how much ground may lie under an edge that is flush with it [m].
    """

    descend: Callable[[XY], Descent]
    edges: tuple[Edge, ...]
    fills_m: float
    flush_m: float


def edges_of(rims: Sequence[RimLine], tin: Tin, *, bins: Bins) -> tuple[Edge, ...]:
    """The outer edges over the ground before work."""
    return tuple(_edge(rim, tin, bins) for rim in rims if rim.kind == "outer" and len(rim.points) > 2)


def _edge(rim: RimLine, tin: Tin, bins: Bins) -> Edge:
    import shapely

    from rillwright.ground import levels_at

    places = np.array([point.at for point in rim.points])
    area = shapely.Polygon(places)
    away = outward(places, closed=rim.closed)
    toes, outer = places + TOE_M * away, places + 2.0 * TOE_M * away
    return Edge(
        area,
        tuple(point.water for point in rim.points),
        places,
        np.array([point.top_m for point in rim.points]),
        levels_at(tin, places, bins=bins),
        toes,
        levels_at(tin, toes, bins=bins),
        levels_at(tin, outer, bins=bins),
        ~shapely.contains_xy(area, toes),
    )


def walls_of(buildings: Sequence[tuple[str, Sequence[XY]]], tin: Tin, *, bins: Bins) -> tuple[Edge, ...]:
    """The walls of buildings, by path and outline [m], as edges that no water gets over."""
    import shapely

    from rillwright.ground import levels_at

    found = []
    for path, outline in buildings:
        area = shapely.orient_polygons(shapely.Polygon(outline))
        places = shapely.get_coordinates(shapely.segmentize(area.exterior, WALL_EVERY_M * (1.0 + HAIR_M)))[:-1]
        away = outward(places, closed=True)
        toes, outer = places + TOE_M * away, places + 2.0 * TOE_M * away
        at, toe, out = (levels_at(tin, some, bins=bins) for some in (places, toes, outer))
        never = np.full(len(places), np.inf)
        free = ~shapely.contains_xy(area, toes)
        found.append(Edge(area, (path,) * len(places), places, never, at, toes, toe, out, free))
    return tuple(found)


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


def followed(ground: Ground, start: XY, *, water: str) -> tuple[Floats, str]:
    """The way from just outside the edge of a body or reach (k, 3) [m], and in words where it ends.

    It goes back into a water only where the ground at its edge reaches up to that, and never into the one that it
    left; else along the foot of the edge for as long as the ground falls there, and out again where the ground leads
    away.
    """
    inside = next((edge for edge in ground.edges if holds(edge, start)), None)
    if inside is not None:
        row = _nearest(inside, start)
        level = float(inside.ground_m[row])
        caught = inside.water[row] not in (water, *_walls(inside))
        ends = f"{CAUGHT}{named(inside.water[row])}" if caught else _held(inside, row, ground)
        return np.array([[*start, level]]), ends
    way: list[tuple[float, float, float]] = []
    for _ in range(MOST_TOUCHES):
        found = ground.descend(start)
        if found.ends == "nowhere":
            return np.array(way).reshape(-1, 3), OFF if way else "where nobody knows the ground"
        hit = _first_edge(found.way, ground.edges)
        if hit is None:
            _extend(way, found.way)
            return np.array(way), _ENDS[found.ends]
        edge, along = hit
        _extend(way, cut(found.way, along))
        ends, leaves = _along_edge(way, edge, ground, water)
        if leaves is None:
            return np.array(way), ends
        start = leaves
    return np.array(way), ends


def _walls(edge: Edge) -> tuple[str, ...]:
    return tuple(path for path in edge.water[:1] if path.startswith(_BUILDINGS))


def holds(edge: Edge, place: XY) -> bool:
    """Whether a place [m] lies inside an edge."""
    import shapely

    return bool(shapely.contains_xy(edge.area, *place))


def _nearest(edge: Edge, place: XY) -> int:
    return int(np.hypot(*(edge.places - place).T).argmin())


def _extend(way: list[tuple[float, float, float]], more: Floats) -> None:
    """The way led on; its level never rises."""
    for x, y, z in more.tolist():
        level = min(z, way[-1][2]) if way else z
        if not way or (x, y) != way[-1][:2]:
            way.append((x, y, level))


def _first_edge(way: Floats, edges: Sequence[Edge]) -> tuple[Edge, float] | None:
    """The edge that a way meets first, and how far along the way [m]."""
    import shapely

    if len(way) < 2:
        return None
    line, best = shapely.LineString(way[:, :2]), None
    for edge in edges:
        cut = shapely.intersection(line, edge.area.exterior)
        if not cut.is_empty:
            along = float(shapely.line_locate_point(line, shapely.points(shapely.get_coordinates(cut))).min())
            if best is None or along < best[1]:
                best = edge, along
    return best


def cut(way: Floats, along_m: float) -> Floats:
    """The beginning of a way, so long [m]."""
    long = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(way[:, :2], axis=0).T))))
    end = [np.interp(along_m, long, way[:, k]) for k in range(3)]
    return np.vstack((way[long < along_m - HAIR_M], end))


def _along_edge(way: list[tuple[float, float, float]], edge: Edge, ground: Ground, water: str) -> tuple[str, XY | None]:
    """Along the foot of an edge from where a way met it: where it ends, or the place where it leaves the edge again."""
    first = _nearest(edge, way[-1][:2])
    if _enters(edge, first, ground, water):
        return f"{CAUGHT}{named(edge.water[first])}", None
    rows = _downhill(edge, first, ground.fills_m)
    for row in rows:
        if edge.free[row]:
            _extend(way, np.array([[*edge.toes[row], edge.toes_m[row]]]))
        if row != first and _enters(edge, row, ground, water):
            return f"{CAUGHT}{named(edge.water[row])}", None
        if edge.free[row] and edge.outer_m[row] < edge.toes_m[row] - HAIR_M and row != first:
            x, y = edge.toes[row].tolist()
            return "", (x, y)
    last = rows[-1] if rows else first
    if np.isnan(edge.toes_m[last]):
        return OFF, None
    return _held(edge, last, ground), None


def _enters(edge: Edge, row: int, ground: Ground, water: str) -> bool:
    """Whether the ground at that place of an edge stands up to its finished top, and another water lies behind it."""
    return edge.water[row] != water and bool(edge.ground_m[row] >= edge.tops_m[row] - ground.flush_m)


def _held(edge: Edge, row: int, ground: Ground) -> str:
    """Where the ground leads no further: the edge stands over it, or the water lies in a hollow of the ground."""
    name = named(edge.water[row])
    if _walls(edge):
        return f"{WALL}{name}"
    if edge.ground_m[row] >= edge.tops_m[row] - ground.flush_m:
        return held_by(edge.water[row])
    return f"{AGAINST}{'bank' if edge.water[row].startswith('reaches/') else 'berm'} of {name}"


def held_by(water: str) -> str:
    """In words: water stands about another, as a wider one."""
    return f"in the hollow in which {named(water)} lies"


def _downhill(edge: Edge, first: int, fills_m: float) -> list[int]:
    """The places of an edge from one on, that way round in which the ground at its foot falls; a hollow that is filled
    is passed. The last is the lowest that is reached, or the first of which nobody knows the ground.
    """
    count = len(edge.places)
    best: list[int] = []
    least = float("inf")
    for step in (1, -1):
        rows, low, kept = [first], float(edge.toes_m[first]), 1
        for k in range(1, count):
            row = (first + k * step) % count
            level = float(edge.toes_m[row])
            if np.isnan(level):
                rows.append(row)
                kept = len(rows)
                break
            if level > low + fills_m:
                break
            rows.append(row)
            if level < low:
                low, kept = level, len(rows)
        fall = float(edge.toes_m[rows[min(1, len(rows) - 1)]])  # the steeper side first
        rows = rows[:kept]
        if kept > 1 and fall < least:
            best, least = rows, fall
    return best or [first]
