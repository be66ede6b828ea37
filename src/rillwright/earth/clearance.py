"""The digs against what stands by them: a 1:1 line down from whatever bears, and the roots of trees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from msgspec import Struct

from rillwright.earth.plan import BodyDig, StreamDig, away_m
from rillwright.earth.result import FootingClearance, TreeClearance
from rillwright.feature import XY, Feature, Stream
from rillwright.sources import default


class _Bearing(Struct, frozen=True, eq=False):
    """What bears on the ground: its kind, id, line or area, and the level [m] of its foot; None: nobody knows it."""

    kind: str
    id: str
    form: Any
    base_m: float | None


def clearances(
    feature: Feature, bodies: Sequence[BodyDig], streams: Sequence[StreamDig]
) -> tuple[FootingClearance, ...]:
    """For every footing, paving and building and every dig: height of the dig above the line, at its least.

    The line falls one down to one across from the foot of what bears, away from it on all sides. A body is looked at on
    its outlines (waterline, shelf, floor), a stream along both edges of its dig. What is paved or built over a dig
    stands at no distance from it.
    """
    found: list[FootingClearance] = []
    digs: tuple[BodyDig | StreamDig, ...] = (*bodies, *streams)
    for each in _bearing(feature):
        for dig in digs:
            clear = _of_body(each, dig) if isinstance(dig, BodyDig) else _of_stream(each, dig)
            best = None
            if each.base_m is None:
                best = clear + default("footing.shallowest").number
            found.append(
                FootingClearance(footing=each.id, kind=each.kind, path=dig.path, clearance_m=clear, at_best_m=best)
            )
    return tuple(found)


def above_line_m(*, base_m: float, distance_m: float, dig_m: float) -> float:
    """How far a dig at level `dig_m` [m], `distance_m` [m] from a footing, lies above the 1:1 line from its base at
    `base_m` [m]; negative below it [m]."""
    return dig_m - (base_m - distance_m)


def tree_clearances(
    feature: Feature, bodies: Sequence[BodyDig], streams: Sequence[StreamDig]
) -> tuple[TreeClearance, ...]:
    """For every tree and every dig: how far the edge of the dig on the ground stays from the middle of its trunk."""
    import shapely

    if not feature.site.trees:
        return ()
    digs: tuple[BodyDig | StreamDig, ...] = (*bodies, *streams)
    trunks, most = default("tree.trunks").number, default("tree.root_most").number
    return tuple(
        TreeClearance(
            tree=tree.id,
            path=dig.path,
            distance_m=away_m(shapely.Point(tree.at), dig),
            trunk_m=tree.trunk_m,
            root_m=root_radius_m(tree.trunk_m, trunks=trunks, most_m=most),
        )
        for tree in feature.site.trees
        for dig in digs
    )


def root_radius_m(trunk_m: float, *, trunks: float, most_m: float) -> float:
    """Radius [m] of the ground that a tree's roots need: so many trunk diameters [m], and never more than `most_m` [m].

    References
    ----------
    BS 5837:2012, 4.6 (from memory): 12 diameters at 1.5 m above the ground, capped at 15 m.
    """
    return min(trunks * trunk_m, most_m)


def place_at(stream: Stream, station_m: float) -> XY:
    """Where a station [m] lies on the stream's centre line; the drawn line is stretched to the beds' length."""
    import shapely

    share = station_m / stream.length_m if stream.length_m > 0.0 else 0.0
    point = shapely.LineString(stream.path).interpolate(share, normalized=True)
    return float(point.x), float(point.y)


def _bearing(feature: Feature) -> Iterator[_Bearing]:
    import shapely

    site = feature.site
    for footing in site.footings:
        yield _Bearing("footings", footing.id, shapely.LineString(footing.line), footing.base.m)
    for paved in site.paving:
        yield _Bearing("paving", paved.id, shapely.Polygon(paved.outline), paved.base.m)
    for built in site.buildings:
        base = None if built.base is None else built.base.m
        yield _Bearing("buildings", built.id, shapely.Polygon(built.outline), base)


def _of_body(bearing: _Bearing, dig: BodyDig) -> float:
    base = bearing.base_m
    if base is None:  # the ground beside it
        base = max(level for level, _ in dig.rings) if dig.ground_m is None else dig.ground_m
    return min(
        above_line_m(base_m=base, distance_m=float(bearing.form.distance(ring)), dig_m=level)
        for level, ring in dig.rings
    )


def _of_stream(bearing: _Bearing, dig: StreamDig) -> float:
    import shapely

    away = shapely.distance(bearing.form, dig.centre).tolist()
    return min(
        above_line_m(
            base_m=ground if bearing.base_m is None else bearing.base_m,
            distance_m=max(0.0, distance - half),
            dig_m=level,
        )
        for distance, half, level, ground in zip(away, dig.half_m, dig.dig_m, dig.ground_m, strict=True)
    )
