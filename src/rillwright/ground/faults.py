"""What is wrong with given levels, by name and place: crossing lines, one place at two levels, too little of them."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.ground.data import Floats, Indices, Names
from rillwright.ground.net import edge_keys, sides

SAME_PLACE_M = 1e-4  # nearer than any instrument tells apart
SAME_LEVEL_M = 1e-3  # no more than this between two levels of one place says the same twice
FARTHEST_M = 10_000_000.0
WIDEST_M = 100_000.0
MOST_TOLD = 20


class Named(Struct, frozen=True, kw_only=True, eq=False):
    """Distinct points (n, 3) [m] with their names and standard errors (n,) [m], edges (e, 2) with the line of each, and
    the names of lines.
    """

    file: str
    xyz: Floats
    called: Names
    sigma_m: Floats
    edges: Indices
    line_of: Indices
    lines: tuple[str, ...]

    def name(self, row: int) -> str:
        return self.called.of(row)


def place_words(x_m: float, y_m: float) -> str:
    """A place [m] as messages say it."""
    return f"x {x_m:.3f} m, y {y_m:.3f} m"


def told(problems: list[Problem], file: str) -> InputError:
    """The error that carries these problems, the first of them in full."""
    if len(problems) > MOST_TOLD:
        more = Problem(message=f"and {len(problems) - MOST_TOLD} more like these", file=file)
        problems = [*problems[:MOST_TOLD], more]
    return InputError(problems)


def refuse_unusable(xyz: Floats, file: str) -> None:
    """Raise if the points (n, 3) [m] are no numbers, too far off, fewer than three, or all in one line."""
    if len(xyz) < 3:
        allowed = "at least three levels at different places"
        raise InputError(
            Problem(message="too few levels for a surface", file=file, found=str(len(xyz)), allowed=allowed)
        )
    if not max(xyz.max(), -xyz.min()) <= FARTHEST_M:  # no number is no less
        message = "a place or level is no usable number"
        raise InputError(
            Problem(message=message, file=file, allowed=f"at most {FARTHEST_M / 1000:,.0f} km from nothing")
        )
    wide = float(max(np.ptp(xyz[:, 0]), np.ptp(xyz[:, 1])))
    if wide > WIDEST_M:
        allowed = f"at most {WIDEST_M / 1000:,.0f} km"
        raise InputError(Problem(message="the ground is too wide", file=file, found=f"{wide:,.0f} m", allowed=allowed))


def refuse_one_line(xyz: Floats, file: str) -> None:
    """Raise if no point (n, 3) [m] lies off the straight line through the others."""
    off = xyz[:, :2] - xyz[:, :2].mean(axis=0)
    across = np.linalg.eigh(off.T @ off)[1][:, 0]
    if np.abs(off @ across).max() < SAME_PLACE_M:
        message = "all levels lie in one straight line, which has no ground on either side"
        raise InputError(
            Problem(message=message, file=file, found=f"{len(xyz)} places", allowed="one more beside the line")
        )


def two_levels(a: str, b: str, at: Floats, levels: tuple[float, float], file: str) -> Problem:
    """One place [m] at two levels [m], by the two names that say so."""
    message = f"{a} and {b} give one place two levels"
    found = f"{levels[0]:.3f} m and {levels[1]:.3f} m at {place_words(float(at[0]), float(at[1]))}"
    allowed = "one level a place; ground that stands upright has its foot and its head a little apart"
    return Problem(message=message, file=file, found=found, allowed=allowed)


def near_misses(given: Named, triangles: Indices) -> list[Problem]:
    """Two levels at one place that only the triangles show: points, or a point and a line, all but touching."""
    xyz = given.xyz
    x, y = (xyz[:, k][triangles.T] for k in (0, 1))
    turn = (1, 2, 0)
    squared = (x[turn, :] - x) ** 2 + (y[turn, :] - y) ** 2
    doubled = (x[1] - x[0]) * (y[2] - y[0]) - (y[1] - y[0]) * (x[2] - x[0])
    if squared.min() >= SAME_PLACE_M**2 and (doubled**2 >= SAME_PLACE_M**2 * squared.max(axis=0)).all():
        return []
    problems: list[Problem] = []
    close = sides(triangles)[squared.reshape(-1) < SAME_PLACE_M**2]
    close = close[np.abs(xyz[close[:, 0], 2] - xyz[close[:, 1], 2]) > SAME_LEVEL_M]
    for a, b in sorted({(min(pair), max(pair)) for pair in close.tolist()}):
        levels = (float(xyz[a, 2]), float(xyz[b, 2]))
        problems.append(two_levels(given.name(a), given.name(b), xyz[b], levels, given.file))
    thin = np.argwhere(doubled**2 < SAME_PLACE_M**2 * squared)
    if len(thin) and len(given.edges):
        held = dict(zip(edge_keys(given.edges, len(xyz)).tolist(), given.line_of.tolist(), strict=True))
        for side, row in thin.tolist():
            a, b, p = (int(triangles[row, (side + k) % 3]) for k in range(3))
            line = held.get(min(a, b) * len(xyz) + max(a, b))
            level = level_on(xyz[[a, b]], xyz[p, :2])
            if line is not None and abs(level - xyz[p, 2]) > SAME_LEVEL_M:
                name = f"break line {given.lines[line]}"
                problems.append(two_levels(name, given.name(p), xyz[p], (level, float(xyz[p, 2])), given.file))
    return problems


def level_on(ends: Floats, at: Floats) -> float:
    """Level [m] of the straight line between two points (2, 3) [m] at the foot of a place."""
    way = ends[1, :2] - ends[0, :2]
    share = float((at[:2] - ends[0, :2]) @ way) / float(way @ way)
    return float(ends[0, 2] + min(max(share, 0.0), 1.0) * (ends[1, 2] - ends[0, 2]))
