"""Rims made by hand round an oval, over ground that is a plane, with one level of water. All invented."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cache

import numpy as np
from msgspec.structs import replace
from tests.shape import sample

from rillwright.containment import LowPlace, Raise, RimProfile
from rillwright.containment.profiles import low_places, rim_profiles
from rillwright.containment.raising import raises
from rillwright.ground import GroundData, Tin, tin_of
from rillwright.shape import RimLine, RimPoint, Surface, shape
from rillwright.units import Band
from rillwright.water import HighWater, Water, water

POND = "ponds/pond"
Height = Callable[[float, float], float]


def oval(count: int = 120, *, a: float = 3.0, b: float = 2.0) -> list[tuple[float, float]]:
    """Places on an oval, counter-clockwise, the first at (a, 0) [m]."""
    turns = [2.0 * math.pi * i / count for i in range(count)]
    return [(a * math.cos(turn), b * math.sin(turn)) for turn in turns]


def ring(
    places: Sequence[tuple[float, float]],
    tops: Sequence[float],
    *,
    sigma_m: float = 0.0,
    ground_is: str = "shot",
    by: str = "rims/r",
    of: str = POND,
) -> RimLine:
    """A closed rim with its tops [m]."""
    xy = np.array(places)
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))))
    points = tuple(
        RimPoint(
            at=(float(x), float(y)), along_m=float(s), top_m=float(top), sigma_m=sigma_m, ground_m=float(top),
            ground_is=ground_is, fill_m=0.0, settles_m=0.0, water=of, station_m=None, by=by,
        )
        for (x, y), s, top in zip(places, along, tops, strict=True)
    )  # fmt: skip
    return RimLine(path=POND, kind="outer", closed=True, points=points)


def wet(*levels_m: float, path: str = POND) -> Water:
    """A real water branch whose one body stands at these levels [m], case by case."""
    cases = ("rest", "stopped", "half blocked", "design rain")
    highs = tuple(
        HighWater(path=path, case=case, holding="while running", level_m=Band.exact(level), method="by hand")
        for case, level in zip(cases, levels_m, strict=False)
    )
    return replace(_water(), highest=highs)


@cache
def _water() -> Water:
    feature = sample.four_drops()
    return water(feature, shape(feature))


def profiles(rim: RimLine, water_m: float) -> tuple[RimProfile, ...]:
    return rim_profiles((rim,), wet(water_m))


def low(rim: RimLine, water_m: float) -> LowPlace:
    (found,) = low_places(profiles(rim, water_m))
    return found


def raised(rim: RimLine, water_m: float, wanted_m: float, *, settles: float = 0.0) -> tuple[Raise, ...]:
    return raises(profiles(rim, water_m), {POND: wanted_m}, settles={"rims/r": settles})


def surface(rim: RimLine) -> Surface:
    return Surface(rims=(rim,), footprints=((POND, tuple(point.at for point in rim.points)),), guessed_m=0.0)


def ground(height: Height, *, half_m: float = 8.0, steps: int = 16) -> Tin:
    """A square of ground about the origin."""
    axis = np.linspace(-half_m, half_m, steps + 1)
    xyz = [(x, y, height(x, y)) for x in axis for y in axis]
    return tin_of(GroundData(name="made", xyz=np.array(xyz)))
