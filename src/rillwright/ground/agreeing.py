"""Two levels at one place: within the error of their shots one level, the weighted mean, and told; else a fault."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import Problem
from rillwright.feature import XY
from rillwright.ground.data import Floats, Indices
from rillwright.ground.faults import SAME_LEVEL_M, SAME_PLACE_M, Named, level_on, place_words, told, two_levels
from rillwright.ground.net import edge_keys
from rillwright.ground.plan import lines_of, points_of, tree_of
from rillwright.sources import default

_EXACT_M = 1e-9  # the least error that a level is taken to have


class Agreed(Struct, frozen=True, kw_only=True):
    """Two levels [m] of one place [m] that differ by no more than their shots may, who says each, and what is taken."""

    first: str
    second: str
    at: XY
    levels_m: tuple[float, float]
    taken_m: float

    @property
    def apart_m(self) -> float:
        """How far the two differ [m]."""
        return abs(self.levels_m[0] - self.levels_m[1])


class Told(Struct, frozen=True, kw_only=True):
    """A level [m] of a place as somebody says it, with its standard error [m]."""

    name: str
    level_m: float
    sigma_m: float


def agreed(first: Told, second: Told, at: Floats) -> tuple[Agreed | None, float, float]:
    """What is taken of two levels of one place [m], its standard error [m], and the notice of it.

    No notice, and not a number, where they differ by more than `ground.agree` standard errors of their difference.

    References
    ----------
    The mean weighted by the inverse squares of standard errors: definition, any text on adjustment.
    """
    a, b = max(first.sigma_m, _EXACT_M), max(second.sigma_m, _EXACT_M)
    most = max(SAME_LEVEL_M, default("ground.agree").number * math.hypot(a, b))
    if not abs(first.level_m - second.level_m) <= most:
        return None, math.nan, math.nan
    taken = (first.level_m / a**2 + second.level_m / b**2) / (1.0 / a**2 + 1.0 / b**2)
    place, levels = (float(at[0]), float(at[1])), (first.level_m, second.level_m)
    found = Agreed(first=first.name, second=second.name, at=place, levels_m=levels, taken_m=taken)
    return found, taken, 1.0 / math.hypot(1.0 / a, 1.0 / b)


class Settling:
    """Goes through places that are told twice, keeps what is taken, and collects what is to be told.

    Parameters
    ----------
    given : Named
        Points and edges; nothing of it is changed.
    """

    def __init__(self, given: Named) -> None:
        self.given = given
        self.z, self.sigma_m = given.xyz[:, 2].copy(), given.sigma_m.copy()
        self.notices: list[Agreed] = []
        self.problems: list[Problem] = []

    def point(self, row: int) -> Told:
        """What a point says."""
        return Told(name=self.given.name(row), level_m=float(self.z[row]), sigma_m=float(self.sigma_m[row]))

    def on_edge(self, edge: int, at: Floats) -> Told:
        """What the line of an edge says of a place [m] on it."""
        ends = self.given.edges[edge]
        xyz = np.column_stack((self.given.xyz[ends, :2], self.z[ends]))
        way = xyz[1, :2] - xyz[0, :2]
        share = min(max(float((at[:2] - xyz[0, :2]) @ way) / float(way @ way), 0.0), 1.0)
        sigma = math.hypot((1.0 - share) * self.sigma_m[ends[0]], share * self.sigma_m[ends[1]])
        name = f"break line {self.given.lines[self.given.line_of[edge]]}"
        return Told(name=name, level_m=level_on(xyz, at), sigma_m=sigma)

    def take(self, row: int, first: Told, second: Told) -> None:
        """Two levels of a point: one from now on, or a fault."""
        at = self.given.xyz[row]
        found, taken, sigma = agreed(first, second, at)
        if found is None:
            levels = (first.level_m, second.level_m)
            self.problems.append(two_levels(first.name, second.name, at, levels, self.given.file))
        elif found.apart_m > SAME_LEVEL_M:
            self.notices.append(found)
            self.z[row], self.sigma_m[row] = taken, sigma

    def done(self) -> Named:
        """The points at the levels that are taken.

        Raises
        ------
        InputError
            With every place whose levels do not agree.
        """
        if self.problems:
            raise told(self.problems, self.given.file)
        xyz = np.column_stack((self.given.xyz[:, :2], self.z))
        return replace(self.given, xyz=xyz, sigma_m=self.sigma_m)


def settled(given: Named) -> tuple[Named, tuple[Agreed, ...]]:
    """Points all but at one place made one, points on lines made theirs, lines that cross given a common point.

    Raises
    ------
    InputError
        For every place at two levels, every line that crosses itself, every two that cross at different levels.
    """
    one, first = _points_made_one(given)
    split, second = _through_points(one)
    crossed, third = _through_crossings(split)
    return _each_edge_once(crossed), (*first, *second, *third)


def meeting(given: Named) -> bool:
    """Whether any edge crosses another or runs through a point."""
    return bool(len(given.edges)) and bool(_points_on_edges(given) or _crossing_edges(given))


def _points_made_one(given: Named) -> tuple[Named, list[Agreed]]:
    tree = tree_of(points_of(given.xyz))
    pairs = tree.query(points_of(given.xyz), predicate="dwithin", distance=SAME_PLACE_M).T
    close = sorted((a, b) for a, b in pairs.tolist() if a < b)
    if not close:
        return given, []
    settling, keeps = Settling(given), np.arange(len(given.xyz))
    for a, b in close:
        keeper, other = (int(keeps[row]) for row in (a, b))
        if keeper != other:
            settling.take(keeper, settling.point(keeper), settling.point(other))
            keeps[keeps == other] = keeper
    whole = settling.done()
    kept, row = np.unique(keeps, return_inverse=True)
    edges = row[given.edges]
    there = edges[:, 0] != edges[:, 1]
    made = replace(
        whole, xyz=whole.xyz[kept], called=given.called.at(kept), sigma_m=whole.sigma_m[kept],
        edges=edges[there], line_of=given.line_of[there],
    )  # fmt: skip
    return made, settling.notices


def _through_points(given: Named) -> tuple[Named, list[Agreed]]:
    """Edges that run through points, split there."""
    settling = Settling(given)
    through: dict[int, list[int]] = {}
    for edge, row in _points_on_edges(given):
        settling.take(row, settling.on_edge(edge, given.xyz[row]), settling.point(row))
        through.setdefault(edge, []).append(row)
    return _split(settling.done(), through), settling.notices


def _through_crossings(given: Named) -> tuple[Named, list[Agreed]]:
    """Edges that cross between their ends, split at a point of their own."""
    lines = lines_of(given.xyz, given.edges)
    settling = Settling(given)
    points: list[tuple[float, float, float]] = []
    sigmas: list[float] = []
    through: dict[int, list[int]] = {}
    notices: list[Agreed] = []
    for i, j in _crossing_edges(given):
        at: Floats = np.array(shapely.get_coordinates(shapely.intersection(lines[i], lines[j]))[0])
        one, other = settling.on_edge(i, at), settling.on_edge(j, at)
        found, taken, sigma = agreed(one, other, at)
        if found is None or given.line_of[i] == given.line_of[j]:
            settling.problems.append(_cross(given, (i, j), at, (one.level_m, other.level_m)))
            continue
        notices.append(found)
        for edge in (i, j):
            through.setdefault(edge, []).append(len(given.xyz) + len(points))
        points.append((float(at[0]), float(at[1]), taken))
        sigmas.append(sigma)
    settling.done()
    if not points:
        return given, []
    every = np.concatenate((np.arange(len(given.xyz)), np.full(len(points), -1)))
    made = replace(
        given, xyz=np.concatenate((given.xyz, points)), called=given.called.at(every),
        sigma_m=np.concatenate((given.sigma_m, sigmas)),
    )  # fmt: skip
    return _split(made, through), notices


def _points_on_edges(given: Named) -> list[tuple[int, int]]:
    """Edges and the points through which they run, their own ends apart."""
    edges = given.edges
    lines = lines_of(given.xyz, edges)
    which, point = tree_of(points_of(given.xyz)).query(lines, predicate="dwithin", distance=SAME_PLACE_M)
    between = (point != edges[which, 0]) & (point != edges[which, 1])
    return sorted(zip(which[between].tolist(), point[between].tolist(), strict=True))


def _crossing_edges(given: Named) -> list[tuple[int, int]]:
    """Pairs of edges that cross between their ends."""
    lines = lines_of(given.xyz, given.edges)
    first, second = tree_of(lines).query(lines, predicate="crosses")
    return sorted({(int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b})


def _cross(given: Named, pair: tuple[int, int], at: Floats, levels: tuple[float, float]) -> Problem:
    a, b = (given.lines[given.line_of[edge]] for edge in pair)
    message = f"break line {a} crosses itself" if a == b else f"break lines {a} and {b} cross"
    found = f"at {place_words(float(at[0]), float(at[1]))}, levels {levels[0]:.3f} m and {levels[1]:.3f} m"
    allowed = "lines that meet in a common point, or not at all"
    return Problem(message=message, file=given.file, found=found, allowed=allowed)


def _split(given: Named, through: dict[int, list[int]]) -> Named:
    """The edges with each that runs through points in pieces from one to the next."""
    if not through:
        return given
    xyz = given.xyz
    pieces: list[tuple[int, int]] = []
    owners: list[int] = []
    for edge, (a, b) in enumerate(given.edges.tolist()):
        rows = set(through.get(edge, ()))
        order = sorted(rows, key=lambda row: float(((xyz[row, :2] - xyz[a, :2]) ** 2).sum()))
        way = [a, *order, b]
        pieces += itertools.pairwise(way)
        owners += [int(given.line_of[edge])] * (len(way) - 1)
    return replace(given, edges=_pairs(pieces), line_of=np.array(owners, dtype=np.int64))


def _each_edge_once(given: Named) -> Named:
    """Of two lines over each other, one."""
    first = np.sort(np.unique(edge_keys(given.edges, len(given.xyz)), return_index=True)[1])
    return replace(given, edges=given.edges[first], line_of=given.line_of[first])


def _pairs(found: Iterable[tuple[int, int]]) -> Indices:
    return np.array(list(found), dtype=np.int64).reshape(-1, 2)
