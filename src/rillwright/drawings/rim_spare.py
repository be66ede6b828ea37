"""Height to spare along a rim in three words, cut exactly where one becomes another."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Assessment, NotRun, RimProfile, SparePoint
from rillwright.sources import limit

_SAME_M = 1e-9


class Spare(StrEnum):
    """What is to be said of a stretch of rim."""

    ENOUGH = "spare"
    LESS = "less than wanted"
    LEAVES = "water leaves here"


SPARE_COLOUR = {Spare.ENOUGH: "ink", Spare.LESS: "watch", Spare.LEAVES: "stop"}
SPARE_WASH = {Spare.ENOUGH: "spare wash", Spare.LESS: "watch wash", Spare.LEAVES: "stop wash"}


class Stretch(Struct, frozen=True, kw_only=True):
    """A piece of rim of which one thing is to be said: (distance along it, height to spare) [m]."""

    spare: Spare
    points: tuple[tuple[float, float], ...]
    wanted_m: float
    water: str
    guessed: bool

    @property
    def start_m(self) -> float:
        """Where it begins along its rim [m]."""
        return self.points[0][0]

    @property
    def end_m(self) -> float:
        """Where it ends along its rim [m]."""
        return self.points[-1][0]

    @property
    def least_m(self) -> float:
        """The least height to spare in it [m]."""
        return min(spare for _, spare in self.points)

    def between(self, start_m: float, end_m: float) -> Stretch | None:
        """The part of it between two distances [m]; None where there is none."""
        low, high = max(start_m, self.start_m), min(end_m, self.end_m)
        if high - low <= _SAME_M:
            return None
        inner = [point for point in self.points if low < point[0] < high]
        return replace(self, points=((low, self._at(low, last=True)), *inner, (high, self._at(high, last=False))))

    def _at(self, along_m: float, *, last: bool) -> float:
        pairs = list(itertools.pairwise(self.points))
        for (a, z0), (b, z1) in reversed(pairs) if last else pairs:
            if a <= along_m <= b:
                return z0 + (z1 - z0) * (along_m - a) / (b - a) if b > a else (z1 if last else z0)
        return self.points[-1][1]


def profiles_of(assessment: Assessment) -> tuple[RimProfile, ...]:
    """Height to spare along every rim, the one with the lowest place first; none where it was not worked out."""
    containment = assessment.containment
    if isinstance(containment, NotRun):
        return ()
    return tuple(sorted(containment.profiles, key=lambda one: one.points[one.lowest].spare_m.value))


def wanted_m(assessment: Assessment, water: str) -> float:
    """Height wanted between the highest water of a body or a reach, by path, and the edge over it [m]."""
    name = "rim.freeboard" if water.startswith("ponds/") else "bank.freeboard"
    return next((used.good for used in assessment.limits_used if used.name == name), limit(name).good)


def spare_of(spare_m: float, *, wanted: float) -> Spare:
    """The word for a height to spare [m] where `wanted` [m] is asked for."""
    return Spare.LEAVES if spare_m < 0.0 else Spare.LESS if spare_m < wanted - _SAME_M else Spare.ENOUGH


def stretches(assessment: Assessment, profile: RimProfile) -> tuple[Stretch, ...]:
    """The whole rim as it runs, piece by piece."""
    found: list[Stretch] = []
    for start, end in itertools.pairwise(points_of(profile)):
        wanted = wanted_m(assessment, start[2].water)
        for (a, z0), (b, z1) in _parted(start, end, (0.0, wanted)):
            piece = Stretch(
                spare=spare_of((z0 + z1) / 2, wanted=wanted), points=((a, z0), (b, z1)), wanted_m=wanted,
                water=start[2].water, guessed=_guess(start[2]) and _guess(end[2]),
            )  # fmt: skip
            found = _joined(found, piece)
    return tuple(found)


def points_of(profile: RimProfile) -> list[tuple[float, float, SparePoint]]:
    """(distance along, height to spare, place) of every place; of a closed rim back to its first one [m]."""
    listed = [(point.along_m, point.spare_m.value, point) for point in profile.points]
    if profile.closed and profile.points:
        first = profile.points[0]
        listed.append((profile.length_m, first.spare_m.value, first))
    return listed


def _joined(found: list[Stretch], piece: Stretch) -> list[Stretch]:
    """The pieces with one more, grown into the last where the same is to be said of both."""
    last = found[-1] if found else None
    alike = last is not None and (last.spare, last.water, last.guessed) == (piece.spare, piece.water, piece.guessed)
    if last is None or not alike or last.points[-1] != piece.points[0]:
        return [*found, piece] if piece.points[0] != piece.points[-1] else found
    return [*found[:-1], replace(last, points=(*last.points, piece.points[-1]))]


def _parted(
    start: tuple[float, float, SparePoint], end: tuple[float, float, SparePoint], at: Sequence[float]
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """A straight piece cut where its height passes some values [m]."""
    (a, z0, _), (b, z1, _) = start, end
    shares = sorted((level - z0) / (z1 - z0) for level in at if min(z0, z1) < level < max(z0, z1))
    places = [(a, z0), *((a + (b - a) * t, z0 + (z1 - z0) * t) for t in shares), (b, z1)]
    yield from itertools.pairwise(places)


def _guess(place: SparePoint) -> bool:
    return place.ground_is == "guess"
