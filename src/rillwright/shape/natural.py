"""The ground before work: one surface through all levels that have a place, and what is known of it anywhere."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.feature import XY, Feature, Level, Origin, Surface
from rillwright.shape.surface_result import OneLevel
from rillwright.sources import default

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from rillwright.ground import GroundData, Tin

    Floats = NDArray[np.float64]

_OF_GROUND = (Surface.GROUND, Surface.MARK)
_READ = (Origin.MEASURED, Origin.BUILT)
SAME_PLACE_M = 1e-4


class Placed(Struct, frozen=True):
    """A level of the ground at a place [m], and what it is called."""

    path: str
    at: XY
    level: Level


class Model(Struct, frozen=True, kw_only=True):
    """The band of the ground: it counts as shot to `near_m` [m] from a reading, is off the straight between readings by
    `uneven` [-] for each metre, and by `guessed_m` [m] where nobody read.
    """

    near_m: float
    uneven: float
    guessed_m: float


class NaturalGround(Struct, frozen=True, kw_only=True, eq=False):
    """The ground before work. `tin` is None where fewer than three levels have a place, or `faults` keep it from being
    one surface: lines that cross, one place at two levels. `agreed`: where two levels of one place were taken for one.
    """

    tin: Tin | None
    model: Model
    faults: tuple[str, ...] = ()
    agreed: tuple[OneLevel, ...] = ()
    remarks: tuple[str, ...] = ()


class GroundThere(Struct, frozen=True, kw_only=True, eq=False):
    """The ground at some places: level [m], standard error [m], how far the nearest shot of its triangle lies [m], how
    far outside the surveyed ground [m]; 0 inside.
    """

    level_m: Floats
    sigma_m: Floats
    away_m: Floats
    outside_m: Floats


def placed_levels(feature: Feature) -> tuple[Placed, ...]:
    """The feature's own levels of the ground that have a place: marks of points and paving, rims, stream heads."""
    found = [
        Placed(f"marks/{mark.id}", mark.at, mark.level)
        for mark in feature.marks
        if mark.role in ("point", "paving") and mark.level.surface in _OF_GROUND and mark.at is not None
    ]
    found += [
        Placed(f"rims/{rim.id}", rim.at, rim.ground)
        for body in feature.bodies
        for rim in body.rims
        if rim.at is not None
    ]
    found += [
        Placed(f"streams/{stream.id}.head_ground", stream.path[0], stream.head_ground)
        for stream in feature.streams
        if stream.head_ground is not None and stream.path
    ]
    return tuple(found)


def natural_ground(feature: Feature, ground: GroundData | None = None) -> NaturalGround:
    """The ground before work: the levels of the job's files, with those of the feature that have a place.

    A level that says the same twice counts once. Triangles that a file brings give way to those over all points.
    """
    model = Model(
        near_m=default("ground.near").number,
        uneven=default("ground.uneven").number,
        guessed_m=default("level.sigma_guessed").number,
    )
    tin, faults = _tin(placed_levels(feature), ground)
    if tin is None:
        return NaturalGround(tin=None, model=model, faults=faults)
    agreed = tuple(
        OneLevel(first=each.first, second=each.second, at=each.at, levels_m=each.levels_m, taken_m=each.taken_m)
        for each in tin.agreed
    )
    return NaturalGround(tin=tin, model=model, faults=faults, agreed=agreed, remarks=tin.remarks)


def natural_tin(feature: Feature, ground: GroundData | None = None) -> Tin | None:
    """The surface of the ground before work alone; None where there is none."""
    return _tin(placed_levels(feature), ground)[0]


@lru_cache(maxsize=8)  # what changes in the water changes nothing of the ground
def _tin(placed: tuple[Placed, ...], ground: GroundData | None) -> tuple[Tin | None, tuple[str, ...]]:
    """The surface through all levels, or why there is none."""
    if ground is None and len(placed) < 3:
        return None, ()
    from rillwright.ground import GroundData, joined, tin_of

    once: dict[tuple[float, float, float], Placed] = {}
    for each in placed:
        x, y = each.at
        once.setdefault((round(x, 6), round(y, 6), round(each.level.m, 6)), each)
    own = list(once.values())
    sets = [] if ground is None else [ground]
    if own:
        xyz = np.array([(*each.at, each.level.m) for each in own])
        sigmas = np.array([each.level.sigma_m for each in own])
        names = tuple(each.path for each in own)  # said as elements are
        sigma_m = float(sigmas.max())
        sets.append(
            GroundData(name="levels of the job", xyz=xyz, names=names, sigma_m=sigma_m or None, sigmas_m=sigmas)
        )
    whole = joined(sets)
    xy = np.concatenate([whole.xyz[:, :2], *(line.xyz[:, :2] for line in whole.lines)])
    if not _spread(xy):
        return None, ()
    try:
        return tin_of(whole), ()
    except InputError as error:
        return None, tuple(_said(problem) for problem in error.problems)


def _said(problem: Problem) -> str:
    """What is wrong, without the advice and the file that one who reads a finding has no use for."""
    return f"{problem.message} ({problem.found})" if problem.found else problem.message


def _spread(xy: Floats) -> bool:
    """Whether places (n, 2) [m] span a surface: three of them not in one line."""
    if len(xy) < 3:
        return False
    off = xy - xy.mean(axis=0)
    return bool(np.linalg.svd(off, compute_uv=False)[1] > SAME_PLACE_M * math.sqrt(len(xy)))


def ground_there(natural: NaturalGround, places: Floats) -> GroundThere:
    """The ground at places (p, 2) [m]; of a natural ground that is a surface.

    Outside the surveyed ground the level of its nearest edge is carried on, and is a guess. The standard error is that
    of the shots by the share of each corner, of ground that is uneven between shots by `ground.uneven`, and outside
    that of a level that nobody shot, `level.sigma_guessed`, or the slope of the edge's ground all the way if that is
    more. The model is that of `ground.spots`, without its look round for rougher ground.

    Raises
    ------
    ValueError
        If there is no surface.
    """
    tin = natural.tin
    if tin is None:
        raise ValueError("no surface of the ground")
    there = _there(tin, places)
    own = tin.sigma_m * np.sqrt((there.shares**2).sum(axis=1))
    unread = np.where(there.away_m > natural.model.near_m, natural.model.guessed_m, 0.0)
    beyond = np.where(there.outside_m > 0.0, np.maximum(unread, _slopes(there.corners) * there.outside_m), 0.0)
    sigma = np.sqrt(own**2 + (natural.model.uneven * there.away_m) ** 2 + beyond**2)
    return GroundThere(level_m=there.level_m, sigma_m=sigma, away_m=there.away_m, outside_m=there.outside_m)


def ground_levels(tin: Tin, places: Floats) -> tuple[Floats, Floats, Floats]:
    """At places (p, 2) [m] the level of the ground, how far the nearest shot of its triangle lies, and how far outside
    the surveyed ground they lie [m]; there the level of its nearest edge is carried on.
    """
    there = _there(tin, places)
    return there.level_m, there.away_m, there.outside_m


class _There(Struct, frozen=True, kw_only=True, eq=False):
    """Places on a surface: levels, distances [m], and the corners of their triangles with their shares [-]."""

    level_m: Floats
    away_m: Floats
    outside_m: Floats
    corners: Floats
    shares: Floats


def _there(tin: Tin, places: Floats) -> _There:
    from rillwright.ground import triangles_under

    rows, shares = triangles_under(tin, places)
    on, outside = places, np.zeros(len(places))
    off = np.flatnonzero(rows < 0)
    if len(off):
        on = places.copy()
        sides, owner = _edges(tin)
        rows[off], on[off], outside[off] = _onto(tin, places[off], sides, owner)
        shares[off] = _shares(tin, rows[off], on[off])
    corners = tin.xyz[tin.triangles[rows]]
    level = (corners[:, :, 2] * shares).sum(axis=1)
    away = np.hypot(*np.moveaxis(corners[:, :, :2] - places[:, None, :], 2, 0)).min(axis=1)
    return _There(level_m=level, away_m=away, outside_m=outside, corners=corners, shares=shares)


def _edges(tin: Tin) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The sides (e, 2) at which a surface ends, and the triangle inside each."""
    t = tin.triangles
    sides = np.concatenate((t[:, (0, 1)], t[:, (1, 2)], t[:, (2, 0)]))
    keys = np.minimum(sides[:, 0], sides[:, 1]) * len(tin.xyz) + np.maximum(sides[:, 0], sides[:, 1])
    _, first, count = np.unique(keys, return_index=True, return_counts=True)
    alone = first[count == 1]
    return sides[alone], alone % len(t)


def _onto(
    tin: Tin, places: Floats, sides: NDArray[np.int64], owner: NDArray[np.int64]
) -> tuple[NDArray[np.int64], Floats, Floats]:
    """For places (p, 2) [m] outside: the triangle at the nearest edge, the place there, and how far it is [m]."""
    a, b = tin.xyz[sides[:, 0], :2], tin.xyz[sides[:, 1], :2]
    way, off = b - a, places[:, None, :] - a
    share = np.clip((off * way).sum(axis=2) / (way**2).sum(axis=1), 0.0, 1.0)
    off -= share[:, :, None] * way
    away = np.hypot(off[:, :, 0], off[:, :, 1])
    best, row = away.argmin(axis=1), np.arange(len(places))
    return owner[best], places - off[row, best], away[row, best]


def _shares(tin: Tin, rows: NDArray[np.int64], at: Floats) -> Floats:
    """Shares of the corners of triangles at one place each (p, 2) [m], none below nought."""
    a, b, c = (tin.xyz[tin.triangles[rows, k], :2] for k in range(3))
    whole = _cross(b - a, c - a)
    parts = np.column_stack((_cross(b - at, c - at), _cross(c - at, a - at), _cross(a - at, b - at)))
    shares = np.maximum(parts / whole[:, None], 0.0)
    found: Floats = shares / shares.sum(axis=1)[:, None]
    return found


def _slopes(corners: Floats) -> Floats:
    """Slope [-] of triangles (p, 3, 3) [m]."""
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    found: Floats = np.hypot(normal[:, 0], normal[:, 1]) / np.maximum(np.abs(normal[:, 2]), 1e-12)
    return found


def _cross(p: Floats, q: Floats) -> Floats:
    found: Floats = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    return found


def was_read(level: Level) -> bool:
    """Whether somebody read that level, rather than planned or assumed it."""
    return level.origin in _READ
