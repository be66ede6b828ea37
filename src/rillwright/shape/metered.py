"""The storage of a body as the fill meter has it.

The drawing gives the volume below every level, and the meter gives some of these again. Between readings the meter's
volume is a smooth rising function of the drawing's, so that what the drawing knows of shelves and sides stays. Below
the lowest reading the drawing is scaled to reach it, above the highest it counts on from there.
"""

from __future__ import annotations

import bisect
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from rillwright.feature import Filled
from rillwright.shape.result import MeterDoubt, PondShape
from rillwright.shape.storage import EDGE_M, Storage, area_at, drawn, volume_at
from rillwright.sources import default

_SAME_M = 1e-9


def doubts_of(pond: PondShape, readings: Sequence[Filled]) -> tuple[MeterDoubt | None, ...]:
    """What speaks against each reading of a body's fill meter, None where nothing does.

    A reading of nothing at the floor is where the meter begins. Two readings that contradict each other are both in
    doubt: which of them is wrong the readings do not say.
    """
    if not readings:
        return ()
    plain = drawn(pond)
    found = [_alone(plain, one) for one in readings]
    order = sorted(_counted(plain, readings, found), key=lambda i: (readings[i].level.m, readings[i].meter_m3))
    span = default("filled.believed").band
    outline_m2 = span.high * max(area for _, area, _ in plain.storage)
    for i in order[:1]:
        if readings[i].meter_m3 > outline_m2 * (readings[i].level.m - plain.floor_m):
            found[i] = MeterDoubt.BEYOND
    for i, j in pairwise(order):
        pair = _of_two(plain, readings[i], readings[j], outline_m2)
        if pair is not None:
            found[i], found[j] = found[i] or pair, found[j] or pair
    for i in order[-1:]:
        share = readings[i].meter_m3 / volume_at(plain, readings[i].level.m)
        if found[i] is None and not span.low <= share <= span.high:
            found[i] = MeterDoubt.BEYOND
    return tuple(found)


def by_meter(pond: PondShape, readings: Sequence[Filled], *, waterline_m: float) -> PondShape:
    """The body with the storage that its fill meter gives, where two readings or more can be believed.

    Two that contradict each other, or one beyond belief, leave the drawing in force. So does a reading alone.
    `waterline_m` [m].
    """
    doubts = doubts_of(pond, readings)
    pond = replace(pond, doubts=doubts)
    if MeterDoubt.NOT_RISING in doubts or MeterDoubt.BEYOND in doubts:
        return pond
    points = {readings[i].level.m: readings[i].meter_m3 for i in _counted(pond, readings, doubts)}
    if len(points) < 2:
        return pond
    levels = sorted(points)
    curve = _curve([volume_at(pond, z) for z in levels], [points[z] for z in levels])
    read = replace(pond, storage=_table(pond, levels, curve), as_drawn=pond.storage)
    return replace(read, volume_m3=volume_at(read, waterline_m))


def _alone(pond: PondShape, one: Filled) -> MeterDoubt | None:
    over_m = one.level.m - pond.floor_m
    if one.meter_m3 <= 0.0:
        return MeterDoubt.EMPTY if over_m > EDGE_M else None
    return MeterDoubt.UNDER if over_m <= EDGE_M else None


def _counted(pond: PondShape, readings: Sequence[Filled], doubts: Sequence[MeterDoubt | None]) -> list[int]:
    """Which readings give points of the curve: those of some water in which nothing is in doubt, each once."""
    first = {(one.level.m, one.meter_m3): i for i, one in reversed(list(enumerate(readings)))}
    return [i for i in first.values() if doubts[i] is None and readings[i].meter_m3 > 0.0]


def _of_two(pond: PondShape, lower: Filled, upper: Filled, outline_m2: float) -> MeterDoubt | None:
    rise, more = upper.level.m - lower.level.m, upper.meter_m3 - lower.meter_m3
    if more <= 0.0 or volume_at(pond, upper.level.m) <= volume_at(pond, lower.level.m):
        return MeterDoubt.NOT_RISING
    return MeterDoubt.BEYOND if more > outline_m2 * rise else None


class _Curve(Struct, frozen=True):
    """Volume by the meter as a function of that by the drawing [m3]: its points, and its slope at each."""

    drawn: tuple[float, ...]
    read: tuple[float, ...]
    slopes: tuple[float, ...]

    def at(self, volume_m3: float) -> tuple[float, float]:
        """Volume by the meter [m3] and its slope, at a volume by the drawing [m3]."""
        if volume_m3 < self.drawn[0]:
            scale = self.read[0] / self.drawn[0]
            return scale * volume_m3, scale
        if volume_m3 >= self.drawn[-1]:
            return self.read[-1] + volume_m3 - self.drawn[-1], 1.0
        i = bisect.bisect_right(self.drawn, volume_m3) - 1
        wide, high = self.drawn[i + 1] - self.drawn[i], self.read[i + 1] - self.read[i]
        start, end, t = self.slopes[i] * wide, self.slopes[i + 1] * wide, (volume_m3 - self.drawn[i]) / wide
        bend, turn = 3.0 * high - 2.0 * start - end, start + end - 2.0 * high
        return (
            self.read[i] + t * (start + t * (bend + t * turn)),
            (start + t * (2.0 * bend + 3.0 * t * turn)) / wide,
        )


def _curve(drawn_m3: Sequence[float], read_m3: Sequence[float]) -> _Curve:
    """The rising curve through points that rise.

    References
    ----------
    Fritsch and Butland 1984: slopes as weighted harmonic means of those beside, at the ends by three points.
    """
    wide = [b - a for a, b in pairwise(drawn_m3)]
    steep = [(b - a) / w for (a, b), w in zip(pairwise(read_m3), wide, strict=True)]
    inner = [
        3.0 * (w0 + w1) / ((2.0 * w1 + w0) / s0 + (w1 + 2.0 * w0) / s1)
        for (w0, w1), (s0, s1) in zip(pairwise(wide), pairwise(steep), strict=True)
    ]
    first, last = _end(wide, steep), _end(wide[::-1], steep[::-1])
    return _Curve(tuple(drawn_m3), tuple(read_m3), (first, *inner, last))


def _end(wide: Sequence[float], steep: Sequence[float]) -> float:
    """Slope at the first point; between a third and three times that to the next, so that the curve always rises."""
    if len(steep) == 1:
        return steep[0]
    slope = ((2.0 * wide[0] + wide[1]) * steep[0] - wide[0] * steep[1]) / (wide[0] + wide[1])
    return min(max(slope, steep[0] / 3.0), 3.0 * steep[0])


def _table(pond: PondShape, read_m: Sequence[float], curve: _Curve) -> Storage:
    """The drawing's table with rows at the readings, its volumes and areas by the curve.

    Where scaled and measured, or measured and shifted volumes meet, the area may jump, as it does at a shelf.
    """
    areas = {level: area for level, area, _ in pond.storage}
    wanted = [*read_m, read_m[0] - EDGE_M, read_m[-1] - EDGE_M, *_beyond(pond, read_m[-1])]
    for level in wanted:
        if all(abs(level - other) > _SAME_M for other in areas):
            areas[level] = area_at(pond, level)
    rows = []
    for level in sorted(areas):
        volume, slope = curve.at(volume_at(pond, level))
        rows.append((level, areas[level] * slope, volume))
    return tuple(rows)


def _beyond(pond: PondShape, highest_m: float) -> tuple[float, ...]:
    """A level above the highest reading where the drawing's table ends at or below it: what lies above is drawn."""
    (below, _, _), (top, _, _) = pond.storage[-2:]
    return (highest_m + top - below,) if highest_m > top - _SAME_M else ()
