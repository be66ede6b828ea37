"""Height to spare along every rim, place by place, against the worst water there."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.containment.places import LEVEL_CASES, SIGMAS, worst
from rillwright.containment.rim_result import LowPlace, RimProfile, SparePoint
from rillwright.shape import RimLine, RimPoint
from rillwright.units import Band
from rillwright.water import HighWater, ReachWater, Water

Floats = NDArray[np.float64]


def rim_profiles(
    rims: Sequence[RimLine], water: Water, *, setups: Mapping[str, str] | None = None, shared_m: float = 0.0
) -> tuple[RimProfile, ...]:
    """Each place of each rim against the highest water of its body or reach, over all cases and ways of holding it.

    The band of a top is that of its own reading and ground; where it was read from another set-up than that from which
    its water's level hangs, what a set-up's levels share comes on top. From one set-up it lifts both alike.

    Parameters
    ----------
    rims : sequence of RimLine
        The edges as they run [m].
    water : Water
        Highest water [m], and the running water of each reach.
    setups : mapping or None
        The set-up from which the level of each body and reach hangs, by path; None: nobody knows.
    shared_m : float
        Standard error that levels of one set-up share [m].

    Returns
    -------
    tuple of RimProfile
        One a rim that has places at water that was computed [m].
    """
    by_path: dict[str, list[HighWater]] = {}
    for high in water.highest:
        by_path.setdefault(high.path, []).append(high)
    wet = {reach.path: reach for reach in water.reaches}
    other = setups if setups is not None else {}
    found = [_profile(rim, by_path, wet, shared=lambda p: _shared_m(p, other, shared_m)) for rim in rims]
    return tuple(each for each in found if each is not None)


def _profile(
    rim: RimLine,
    by_path: Mapping[str, Sequence[HighWater]],
    wet: Mapping[str, ReachWater],
    *,
    shared: Callable[[RimPoint], float],
) -> RimProfile | None:
    points: list[SparePoint | None] = [None] * len(rim.points)
    of_water: dict[str, list[int]] = {}
    for row, point in enumerate(rim.points):
        of_water.setdefault(point.water, []).append(row)
    for path, rows in of_water.items():
        if path in by_path:
            for row, (high, level) in zip(rows, _against(rim, rows, by_path[path], wet.get(path)), strict=True):
                points[row] = _spare(rim.points[row], high, level, shared(rim.points[row]))
    kept = tuple(point for point in points if point is not None)
    if not kept:
        return None
    lowest = int(np.argmin([point.spare_m.value for point in kept]))
    return RimProfile(
        path=rim.path, kind=rim.kind, closed=rim.closed, length_m=rim.length_m, points=kept, lowest=lowest
    )


def _against(
    rim: RimLine, rows: Sequence[int], highs: Sequence[HighWater], reach: ReachWater | None
) -> list[tuple[HighWater, Band]]:
    """The worst water at some places of a rim, and its level there."""
    if reach is None:
        high = worst(highs)
        return [(high, high.level_m)] * len(rows)
    stations = np.array([_station(rim.points[row]) for row in rows])
    lower = running_fall(reach, stations)
    levels = np.array([high.level_m.value for high in highs])[:, None] - np.where(
        np.array([high.case in LEVEL_CASES for high in highs])[:, None], 0.0, lower[None, :]
    )
    found = []
    for place, row in enumerate(levels.argmax(axis=0).tolist()):
        high = highs[row]
        found.append((high, high.level_m.shift(float(levels[row, place]) - high.level_m.value)))
    return found


def running_fall(reach: ReachWater, stations: Floats) -> Floats:
    """How far the running water at stations (p,) [m] along its stream lies under the higher end of its reach [m].

    A case gives the level of the higher end; what it adds to the running level there is added all along.
    """
    ends = (reach.running_start_m.value, reach.running_end_m.value)
    if reach.profile is not None and len(reach.profile.stations_m) > 1:
        at, levels = np.array(reach.profile.stations_m), np.array([level.value for level in reach.profile.levels_m])
        order = np.argsort(at)
        found: Floats = max(ends) - np.interp(stations, at[order], levels[order])
        return found
    start, end = float(stations.min()), float(stations.max())
    share = (stations - start) / (end - start) if end > start else np.zeros(len(stations))
    fallen: Floats = max(ends) - (ends[0] + (ends[1] - ends[0]) * share)
    return fallen


def _station(point: RimPoint) -> float:
    return 0.0 if point.station_m is None else point.station_m


def _shared_m(point: RimPoint, setups: Mapping[str, str], shared_m: float) -> float:
    return shared_m if point.setup and setups.get(point.water, "") != point.setup else 0.0


def _spare(point: RimPoint, high: HighWater, level: Band, shared_m: float) -> SparePoint:
    spread = SIGMAS * math.hypot(point.sigma_m, shared_m)
    top = Band(point.top_m, point.top_m - spread, point.top_m + spread)
    return SparePoint(
        at=point.at,
        along_m=point.along_m,
        top_m=top,
        water_m=level,
        spare_m=top - level,
        path=point.by,
        water=point.water,
        case=high.case,
        holding=high.holding,
        ground_is=point.ground_is,
        station_m=point.station_m,
    )


class Readings(Struct, frozen=True, kw_only=True, eq=False):
    """Places (r, 2) [m] of levels that were read, and what each is called."""

    places: Floats
    called: Callable[[int], str]


NONE_READ = Readings(places=np.zeros((0, 2)), called=str)


def low_places(
    profiles: Sequence[RimProfile], readings: Readings = NONE_READ, *, at_worst: bool = False
) -> tuple[LowPlace, ...]:
    """Where each body and reach has least to spare on any of its rims, and the reading nearest to that place.

    Least is meant of the likeliest value; `at_worst` of the low end of its band, where the ground is not a guess.
    """
    least: dict[str, tuple[RimProfile, SparePoint]] = {}
    for profile in profiles:
        for point in profile.points:
            if at_worst and point.ground_is == "guess":
                continue
            known = least.get(point.water)
            if known is None or _least(point, at_worst) < _least(known[1], at_worst):
                least[point.water] = (profile, point)
    return tuple(low_at(profile, point, readings) for profile, point in least.values())


def _least(point: SparePoint, at_worst: bool) -> float:
    return point.spare_m.low if at_worst else point.spare_m.value


def low_at(profile: RimProfile, point: SparePoint, readings: Readings = NONE_READ) -> LowPlace:
    """That place of a rim as one at which its water may leave, with the reading nearest to it."""
    nearest, away = "", None
    if len(readings.places):
        far = np.hypot(*(readings.places - point.at).T)
        row = int(far.argmin())
        nearest, away = readings.called(row), float(far[row])
    return LowPlace(
        water=point.water,
        rim=profile.path,
        at=point.at,
        along_m=point.along_m,
        path=point.path,
        top_m=point.top_m,
        spare_m=point.spare_m,
        case=point.case,
        holding=point.holding,
        ground_is=point.ground_is,
        nearest=nearest,
        nearest_m=away,
        station_m=point.station_m,
    )
