"""Where else than at its likely lowest place each water may leave first, and whether it would then run up to a wall."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.containment.profiles import low_at
from rillwright.containment.rim_result import LowPlace, RimProfile, SparePoint, SpillPath
from rillwright.containment.spilling import WALLS, Over, spill_path

EVERY_M = 1.0  # along a rim that places are tried


def may_spill(
    lows: Sequence[LowPlace], likely: Sequence[SpillPath], profiles: Sequence[RimProfile], over: Over
) -> tuple[SpillPath, ...]:
    """The way that comes nearest to a wall from any place at which each water may leave first, by the bands of levels.

    A place may be the first where the low end of what it has to spare lies no higher than the high end of what the
    likely lowest place has; on ground that is a guess, where its likeliest value does. Nothing is said of a water whose
    likely way runs up to a wall already.

    Parameters
    ----------
    lows, likely : sequences
        The lowest place of each body and reach, and its way [m].
    profiles : sequence of RimProfile
        Height to spare along the rims [m].
    over : Over
        What ways run over.

    Returns
    -------
    tuple of SpillPath
        One at most of each water [m].

    References
    ----------
    Bands that lie over each other: definition.
    """
    if over.ground is None or not any(path.startswith(WALLS) for path, _ in over.structures):
        return ()
    known = {path.water for path in likely if path.towards.startswith(WALLS) or path.over == "island"}
    found = []
    for low in lows:
        if low.water not in known:
            ways = [spill_path(place, over) for place in _first_too(low, profiles)]
            walls = [way for way in ways if way.towards.startswith(WALLS) and way.over == "outer"]
            found += sorted(walls, key=lambda way: (way.nearest_m or 0.0, way.spare_m.low))[:1]
    return tuple(found)


def _first_too(low: LowPlace, profiles: Sequence[RimProfile]) -> Iterator[LowPlace]:
    """Places at which the same water may leave first, some way apart along the rim, each the lowest thereabouts."""
    for profile in profiles:
        if profile.kind != "outer":
            continue
        best: SparePoint | None = None
        for point in profile.points:
            if point.water != low.water or _least(point) > low.spare_m.high:
                continue
            if best is not None and point.along_m - best.along_m > EVERY_M:
                yield low_at(profile, best)
                best = None
            best = point if best is None or point.spare_m.value < best.spare_m.value else best
        if best is not None:
            yield low_at(profile, best)


def _least(point: SparePoint) -> float:
    return point.spare_m.value if point.ground_is == "guess" else point.spare_m.low
