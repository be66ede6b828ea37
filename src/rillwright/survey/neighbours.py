"""A level that does not go with its neighbours: the one slip that no second reading shows, since there was none."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import combinations
from statistics import median

from msgspec import Struct

from rillwright.sources import limit
from rillwright.survey.result import SurveyedPoint

FEWEST = 3  # of two that differ nobody knows which
_TREND_FROM = 5  # points along a slope before it is told from a stray
_ROBUST = 3.5 / 0.6745  # median deviations of which a stray is farther out
_NUMBERED = re.compile(r"(.*?)[-_ ]?(\d+|[a-z])", re.IGNORECASE)


class Stray(Struct, frozen=True, kw_only=True):
    """A level that differs from its neighbours by `off_m` [m], above them where positive; `allowed_m` [m] is usual."""

    id: str
    off_m: float
    allowed_m: float


def strays(levels_m: Mapping[str, float]) -> tuple[Stray, ...]:
    """Which of these levels, by id in the order in which one walks past them, does not go with the others.

    Each is held against the median of all; from five on, against the line of the median of all slopes. Allowed is 3.5
    robust deviations, one being the median deviation / 0.6745, and never less than `survey.neighbours`: ground is not
    level. Of fewer than three nothing can be said.

    Parameters
    ----------
    levels_m
        Levels [m] by id, along the way.

    Returns
    -------
    tuple of Stray
        Those farther out [m] than is usual.

    References
    ----------
    Modified z-score of Iglewicz and Hoaglin, 1993, its 3.5 and 0.6745 from memory; the floor: common practice, no
    source.
    """
    if len(levels_m) < FEWEST:
        return ()
    off = _off(list(levels_m.values()))
    allowed_m = max(limit("survey.neighbours").good, _ROBUST * median(abs(each) for each in off))
    return tuple(
        Stray(id=id, off_m=each, allowed_m=allowed_m)
        for id, each in zip(levels_m, off, strict=True)
        if abs(each) > allowed_m
    )


def _off(levels_m: Sequence[float]) -> list[float]:
    """Each level less what its place among the others would have [m]."""
    slope = 0.0
    if len(levels_m) >= _TREND_FROM:
        pairs = combinations(enumerate(levels_m), 2)
        slope = median((high - low) / (j - i) for (i, low), (j, high) in pairs)
    flat = [level - slope * place for place, level in enumerate(levels_m)]
    middle = median(flat)
    return [each - middle for each in flat]


def runs_of(points: Sequence[SurveyedPoint]) -> list[list[SurveyedPoint]]:
    """Points that are named as one row and lie on one surface: r1, r2, r3, or rim-a to rim-d."""
    runs: dict[tuple[str, str], list[SurveyedPoint]] = {}
    for point in points:
        named = _NUMBERED.fullmatch(point.id)
        if named is not None and named[1]:
            runs.setdefault((named[1].lower(), point.level.surface), []).append(point)
    return [run for run in runs.values() if len(run) >= FEWEST]
