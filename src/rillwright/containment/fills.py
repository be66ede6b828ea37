"""Fill along an edge of liner: how high it stands on the ground, and how deep water stands against it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.containment.rim_result import RimFill, RimProfile
from rillwright.feature import XY
from rillwright.shape import RimLine, RimPoint, Surface, ground_levels
from rillwright.units import Band

if TYPE_CHECKING:
    from rillwright.ground import Tin

Floats = NDArray[np.float64]

_HAIR_M = 1e-6


class _On(Struct, frozen=True, eq=False):
    """A place on an edge, the lowest ground under its fill [m], and the highest water there [m] if any was computed."""

    point: RimPoint
    ground_m: float
    water_m: Band | None


def rim_fills(
    surface: Surface, profiles: Sequence[RimProfile], tin: Tin | None, *, crest_m: float
) -> tuple[RimFill, ...]:
    """For each body and reach where the fill under its edge is highest, and where the most water stands against fill.

    Fill is as built, before it settles, over the lowest of the ground under the edge and of that on the outer side of
    its level crest, `crest_m` [m] out. Nothing is said of ground that is a guess, and nothing is filled inside an edge.

    References
    ----------
    Height of a bank over the ground at its outer side: common practice, no source.
    """
    water = {(profile.path, point.along_m): point.water_m for profile in profiles for point in profile.points}
    found: dict[str, list[_On]] = {}
    for rim in surface.rims:
        for point, ground in zip(rim.points, _lowest(rim, surface, tin, crest_m=crest_m), strict=True):
            if point.ground_is != "guess" and point.top_m + point.settles_m - ground > _HAIR_M:
                at = _On(point, ground, water.get((rim.path, point.along_m)))
                found.setdefault(point.water, []).append(at)
    return tuple(_fill(path, places) for path, places in found.items())


def _fill(path: str, places: Sequence[_On]) -> RimFill:
    high = max(places, key=_height_m)
    wet = max(places, key=_held_m)
    held = _held_m(wet)
    against = wet.water_m.shift(-wet.ground_m) if wet.water_m is not None and held > 0.0 else Band.exact(0.0)
    return RimFill(
        water=path,
        at=high.point.at,
        station_m=high.point.station_m,
        high_m=_height_m(high),
        by=high.point.by,
        held_m=Band(against.value, max(against.low, 0.0), max(against.high, 0.0)),
        held_at=wet.point.at,
        held_station_m=wet.point.station_m,
    )


def _height_m(place: _On) -> float:
    return place.point.top_m + place.point.settles_m - place.ground_m


def _held_m(place: _On) -> float:
    return max(place.water_m.value - place.ground_m, 0.0) if place.water_m is not None else 0.0


def _lowest(rim: RimLine, surface: Surface, tin: Tin | None, *, crest_m: float) -> Iterator[float]:
    """Level [m] of the ground under each place, or on the outer side of its crest where that is known and lower."""
    edge = np.array([point.ground_m for point in rim.points])
    if tin is None or len(edge) < 3:
        yield from edge.tolist()
        return
    out = _outside(rim, crest_m)
    level, _, beyond = ground_levels(tin, out)
    known = (beyond <= 0.0) & ~_wet(out, [outline for _, outline in surface.footprints])
    yield from np.where(known, np.minimum(level, edge), edge).tolist()


def _outside(rim: RimLine, far_m: float) -> Floats:
    """Places (p, 2) [m] so far to the right of an edge, where its water is not."""
    at = np.array([point.at for point in rim.points])
    way = np.roll(at, -1, axis=0) - np.roll(at, 1, axis=0)
    if not rim.closed:
        way[0], way[-1] = at[1] - at[0], at[-1] - at[-2]
    long = np.maximum(np.hypot(*way.T), _HAIR_M)
    found: Floats = at + far_m * way[:, ::-1] * (1.0, -1.0) / long[:, None]
    return found


def _wet(places: Floats, outlines: Sequence[Sequence[XY]]) -> NDArray[np.bool_]:
    import shapely

    whole = shapely.union_all([shapely.Polygon(outline) for outline in outlines if len(outline) > 2])
    found: NDArray[np.bool_] = np.asarray(shapely.contains_xy(whole, *places.T))
    return found
