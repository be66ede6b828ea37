"""Where sections say most: through the lowest place of a rim, the deepest cut, the nearest footing or highest fill."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from rillwright.assessment import XY, Assessment, NotRun, RimProfile
from rillwright.drawings.buried import inside
from rillwright.drawings.earth_plan import coarse
from rillwright.drawings.outline import at_station, nearest_on
from rillwright.drawings.rim_spare import profiles_of
from rillwright.drawings.site_plan import edges_of
from rillwright.drawings.surroundings import called
from rillwright.drawings.words import along

_OUT_M, _IN_M = 2.0, 2.0  # of a section through a rim, on its dry and on its wet side
_BEYOND_M = 1.2  # of a section through a hole, on both sides
BEHIND_M = 0.8  # behind a footing
_ALONG = 40  # places along a stream at which it is looked at
_NEAR_M = 4.0  # a footing farther off than this is none of the work's
_SAME_M, _SAME_WAY = 1.0, 0.9  # two sections so near and so much the same way are one
_LEAST_FILL_M = 0.05
_STEP_M = 0.4  # a section through a rim stays so far from a step between two waters
_CLEAR_M = 0.8  # a section across a pond stays so far from the mouth of a stream


class Cut(Struct, frozen=True, kw_only=True):
    """A straight section from `start` to `end` [m], what it is drawn for in words, and what stands there by path."""

    letter: str
    why: str
    start: XY
    end: XY
    structure: str = ""  # footings/ID ...: from whose foot the 1:1 line falls

    @property
    def length_m(self) -> float:
        """From end to end [m]."""
        return math.dist(self.start, self.end)


def chosen(assessment: Assessment, *, most: int = 3) -> tuple[Cut, ...]:
    """The sections to draw, by letter; none where the finished work was not worked out."""
    if isinstance(assessment.finished, NotRun):
        return ()
    found: list[Cut] = []
    for cut in _wanted(assessment):
        if len(found) < most and cut.length_m > 0.5 and not any(_alike(cut, other) for other in found):
            found.append(cut)
    letters = "ABCDEFGH"
    return tuple(
        Cut(letter=letters[n], why=cut.why, start=cut.start, end=cut.end, structure=cut.structure)
        for n, cut in enumerate(found)
    )


def _wanted(assessment: Assessment) -> Iterator[Cut]:
    system = assessment.feature.system
    for profile in profiles_of(assessment)[:1]:
        number = clear_of_steps(profile)
        place, lowest = profile.points[number], profile.points[profile.lowest]
        out = _outward(profile, number)
        why = f"the lowest place of the rim, {along(lowest.along_m, system)} along"
        if number != profile.lowest:
            why = f"the rim at {along(place.along_m, system)} along, beside its lowest place at a step"
        yield _across(place.at, out, out_m=_OUT_M, in_m=_IN_M, why=why)
    yield from _by_structure(assessment)
    yield from _by_earth(assessment)


def _across(at: XY, out: XY, *, out_m: float, in_m: float, why: str, structure: str = "") -> Cut:
    start = (at[0] + out[0] * out_m, at[1] + out[1] * out_m)
    end = (at[0] - out[0] * in_m, at[1] - out[1] * in_m)
    return Cut(letter="", why=why, start=start, end=end, structure=structure)


def clear_of_steps(profile: RimProfile) -> int:
    """The lowest place of the rim, or if that is by a step, where another water begins, the nearest clear of it."""
    points, lowest = profile.points, profile.points[profile.lowest]

    def apart(a_m: float, b_m: float) -> float:
        away = abs(a_m - b_m)
        return min(away, profile.length_m - away) if profile.closed else away

    pairs = itertools.pairwise([*points, points[0]] if profile.closed else points)
    steps = [end.along_m for a, b in pairs if a.water != b.water for end in (a, b)]

    def clear(along_m: float) -> float:
        return min((apart(along_m, step) for step in steps), default=math.inf)

    if clear(lowest.along_m) >= _STEP_M:
        return profile.lowest
    same = [n for n, point in enumerate(points) if point.water == lowest.water]
    beyond = [n for n in same if clear(points[n].along_m) >= _STEP_M]
    if not beyond:
        return max(same, key=lambda n: clear(points[n].along_m))
    return min(beyond, key=lambda n: apart(points[n].along_m, lowest.along_m))


def _outward(profile: RimProfile, n: int) -> XY:
    """The way out of the water at a place: to the right of the rim's way."""
    points = profile.points
    before, after = points[n - 1 if n or profile.closed else 0].at, points[(n + 1) % len(points)].at
    size = math.dist(before, after) or 1.0
    return ((after[1] - before[1]) / size, -(after[0] - before[0]) / size)


def _by_structure(assessment: Assessment) -> Iterator[Cut]:
    """From behind what bears to the middle of the stream or the water's edge that is nearest, where that is near."""
    feature = assessment.feature
    places = [at for body in feature.bodies for at in body.outline]
    for stream in feature.streams:
        if len(stream.path) > 1:
            places += [at_station(stream.path, n / _ALONG)[0] for n in range(_ALONG + 1)]
    near = [
        (math.dist(foot := nearest_on(line, place), place), path, foot, place)
        for path, line in feature.site.structures
        for place in places
    ]
    if near:
        away, path, foot, place = min(near)
        if 1e-6 < away <= _NEAR_M:
            out = ((foot[0] - place[0]) / away, (foot[1] - place[1]) / away)
            why = f"{called(path)}, nearest to the work"
            yield _across(place, out, out_m=away + BEHIND_M, in_m=_IN_M, why=why, structure=path)


def _by_earth(assessment: Assessment) -> Iterator[Cut]:
    """Through the deepest cut the short way, and out over the highest fill."""
    assert not isinstance(assessment.finished, NotRun)
    grid = coarse(assessment.finished)
    values = np.nan_to_num(grid.values)
    rims = [[point.at for point in rim.points] for rim in edges_of(assessment) if rim.kind == "outer"]
    deepest, highest = int(values.argmin()), int(values.argmax())
    for flat, why in ((deepest, "the deepest cut"), (highest, "the highest fill")):
        i, j = divmod(flat, values.shape[1])
        at = (grid.low[0] + j * grid.step_m, grid.low[1] + i * grid.step_m)
        edge = _edge_by(assessment, at, rims)
        if edge is None or abs(float(values[i, j])) < _LEAST_FILL_M:
            continue
        away = math.dist(edge, at)
        if away < 1e-6:
            continue
        out = ((edge[0] - at[0]) / away, (edge[1] - at[1]) / away)
        if why == "the deepest cut":
            back = max((_through(rim, at, (-out[0], -out[1])) for rim in rims), default=0.0)
            yield _across(at, out, out_m=away + _BEYOND_M, in_m=max(back, _IN_M) + _BEYOND_M, why=why)
        else:
            yield _across(edge, (-out[0], -out[1]), out_m=away + _OUT_M, in_m=_IN_M, why=why)


def _edge_by(assessment: Assessment, at: XY, rims: Sequence[Sequence[XY]]) -> XY | None:
    """The nearest place on a rim; of a pond's, one that keeps clear of the streams that come in."""
    nearest = min((nearest_on([*rim, rim[0]], at) for rim in rims), key=lambda e: math.dist(e, at), default=None)
    if not any(inside(at, body.outline) for body in assessment.feature.bodies):
        return nearest
    points = [point for rim in edges_of(assessment) if rim.kind == "outer" for point in rim.points]
    streams = [point.at for point in points if point.water.startswith("reaches/")]
    clear = [
        point.at
        for point in points
        if point.water.startswith("ponds/") and all(math.dist(point.at, other) >= _CLEAR_M for other in streams)
    ]
    return min(clear, key=lambda e: math.dist(e, at), default=nearest)


def _through(rim: Sequence[XY], at: XY, way: XY) -> float:
    """How far it is from a place to a rim in one direction [m]; 0 where there is none that way."""
    least = math.inf
    for (x0, y0), (x1, y1) in itertools.pairwise([*rim, rim[0]]):
        cross = way[0] * (y1 - y0) - way[1] * (x1 - x0)
        if abs(cross) < 1e-12:
            continue
        t = ((x0 - at[0]) * (y1 - y0) - (y0 - at[1]) * (x1 - x0)) / cross
        u = ((x0 - at[0]) * way[1] - (y0 - at[1]) * way[0]) / cross
        if t > 1e-9 and 0.0 <= u <= 1.0:
            least = min(least, t)
    return least if math.isfinite(least) else 0.0


def _alike(one: Cut, other: Cut) -> bool:
    def middle(cut: Cut) -> XY:
        return ((cut.start[0] + cut.end[0]) / 2, (cut.start[1] + cut.end[1]) / 2)

    def way(cut: Cut) -> XY:
        return ((cut.end[0] - cut.start[0]) / cut.length_m, (cut.end[1] - cut.start[1]) / cut.length_m)

    (a, b), (c, d) = way(one), way(other)
    return math.dist(middle(one), middle(other)) < _SAME_M and abs(a * c + b * d) > _SAME_WAY
