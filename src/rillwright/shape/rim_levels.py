"""The edges of liner as sides with levels: how far a place lies from them, and how high the nearest of them is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.shape.surface_result import RimLine, RimPoint

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

AT_ONCE = 2_000_000  # pairs of places and sides looked at together


class Edges(Struct, frozen=True, kw_only=True, eq=False):
    """Sides (s, 2, 3) [m] of edges, with level, and the water that stands against each end: rows of `waters` (s, 2)."""

    sides: Floats
    water: Indices
    waters: tuple[str, ...]

    def of(self, waters: Iterable[str]) -> Edges:
        """The sides that stand against one of these waters, or all where none does."""
        rows = [self.waters.index(each) for each in waters if each in self.waters]
        mine = np.isin(self.water, rows)
        both = mine.all(axis=1)
        kept = both if both.any() else mine.any(axis=1)
        return Edges(sides=self.sides[kept], water=self.water[kept], waters=self.waters) if kept.any() else self

    def nearest(self, places: Floats) -> tuple[Floats, Floats, Indices]:
        """Of places (p, 2) [m]: distance [m] to the nearest side, its level there [m], and the water against it."""
        away, level, water = np.empty(len(places)), np.empty(len(places)), np.empty(len(places), dtype=np.int64)
        for some, apart, share in self._feet(places):
            best = apart.argmin(axis=1)
            rows = np.arange(len(best))
            on = share[rows, best]
            away[some] = np.sqrt(apart[rows, best])
            level[some] = self.sides[best, 0, 2] * (1.0 - on) + self.sides[best, 1, 2] * on
            water[some] = self.water[best, (on > 0.5).astype(np.int64)]
        return away, level, water

    def all_of(self, places: Floats) -> Iterator[tuple[slice, Floats, Floats]]:
        """Some of the places at a time: distances [m] to all sides, and their levels at the nearest points [m]."""
        low, rise = self.sides[:, 0, 2], self.sides[:, 1, 2] - self.sides[:, 0, 2]
        for some, apart, share in self._feet(places):
            yield some, np.sqrt(apart), low + share * rise

    def _feet(self, places: Floats) -> Iterator[tuple[slice, Floats, Floats]]:
        """Squared distances [m2] to all sides, and where along them the nearest points lie [-]."""
        start, way = self.sides[:, 0, :2], self.sides[:, 1, :2] - self.sides[:, 0, :2]
        long2 = np.maximum((way**2).sum(axis=1), 1e-18)
        step = max(AT_ONCE // len(start), 1)
        for first in range(0, len(places), step):
            some = slice(first, first + step)
            x, y = (places[some, None, k] - start[None, :, k] for k in (0, 1))
            share = np.clip((x * way[:, 0] + y * way[:, 1]) / long2, 0.0, 1.0)
            yield some, (x - share * way[:, 0]) ** 2 + (y - share * way[:, 1]) ** 2, share


def rulings(edges: Edges, foot: Any, *, area: Any) -> tuple[Any, ...]:
    """The shortest lines from the corners of edges in an area to another area, their foot: sides run straight along
    them."""
    import shapely

    corners = edges.sides[:, 0, :2]
    near = shapely.buffer(area, 1e-6)
    mine = corners[shapely.contains_xy(near, corners)]
    if not len(mine):
        return ()
    lines: Any = shapely.shortest_line(foot, shapely.points(mine))
    return (shapely.multilinestrings(lines[shapely.length(lines) > 1e-6]),)


def edges_of(rims: Sequence[RimLine]) -> Edges:
    """All sides of all edges."""
    waters = tuple(dict.fromkeys(point.water for rim in rims for point in rim.points))
    number = {water: i for i, water in enumerate(waters)}
    sides: list[Floats] = []
    water: list[Indices] = []
    for rim in rims:
        at = np.array([(*point.at, point.top_m) for point in rim.points])
        of = np.array([number[point.water] for point in rim.points])
        sides.append(np.stack((at, np.roll(at, -1, axis=0)), axis=1)[: None if rim.closed else -1])
        water.append(np.column_stack((of, np.roll(of, -1)))[: None if rim.closed else -1])
    return Edges(sides=np.concatenate(sides), water=np.concatenate(water), waters=waters)


def inside(rims: Sequence[RimLine]) -> Any:
    """The area that the edges enclose, islands left out: a polygon or several."""
    import shapely

    outer = shapely.union_all([_ring(rim.points) for rim in rims if rim.kind == "outer"])
    islands = [_ring(rim.points) for rim in rims if rim.kind != "outer"]
    return shapely.difference(outer, shapely.union_all(islands)) if islands else outer


def _ring(points: Sequence[RimPoint]) -> Any:
    import shapely

    ring = shapely.Polygon([point.at for point in points])
    return ring if ring.is_valid else shapely.make_valid(ring)
