"""Water in the gravel under a channel, beside the water above it: seeping along by Ergun, trading with the surface.

The water in a cell's gravel stands at a level of its own until the gravel is full; then it is one with the water above.
Levels are found implicitly, so that a step may be as long as the surface's own runs are; what flows is then counted
from those levels, held to what there is, and moved: nothing is lost.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.errors import InputError, Problem
from rillwright.hydraulics.gravel import darcy_conductivity, ergun_slope

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

LEAST_SLOPE = 1e-9  # below it water in gravel stands


class GravelStore(Struct, frozen=True, kw_only=True):
    """Gravel under the cells of a channel; one value a cell, or one a face between cells.

    `under_slope` [-] of a face drives water past a crest whose stone is not sealed: NaN at a plain face, 0 where
    nothing passes.
    """

    bottom: Floats  # level of the liner [m]
    thickness: Floats  # [m]
    plan: Floats  # [m2], none where there is no channel
    width: Floats  # of a face [m]
    spacing: Floats  # between the middles of two cells [m]
    viscous: Floats  # a of i = a v + b v^2, by cell [s/m]
    inertial: Floats  # b [s2/m2]
    porosity: Floats  # [-]
    under_slope: Floats  # by face [-]

    @property
    def capacity_m3(self) -> Floats:
        """What each cell's gravel holds when full [m3]."""
        return self.plan * self.thickness * self.porosity


class Seeped(Struct, frozen=True, kw_only=True):
    """Water in the gravel and above it by cell [m3], and what went past each face inside the gravel [m3]."""

    gravel_m3: Floats
    surface_m3: Floats
    through_m3: Floats


def ergun_coefficients(grain_m: float, porosity: float) -> tuple[float, float]:
    """a [s/m] and b [s2/m2] of i = a v + b v^2 for a grain [m] and a porosity [-].

    References
    ----------
    ergun-1952.
    """
    viscous = 1.0 / darcy_conductivity(grain_m=grain_m, porosity=porosity)
    return viscous, ergun_slope(1.0, grain_m=grain_m, porosity=porosity) - viscous


def seep(store: GravelStore, gravel_m3: Floats, surface_m3: Floats, *, time_s: float) -> Seeped:
    """Water in the gravel and above it `time_s` later.

    Parameters
    ----------
    store : GravelStore
        Lengths [m].
    gravel_m3 : array
        Water in the gravel of each cell [m3].
    surface_m3 : array
        Water above it [m3].
    time_s : float
        [s].

    Returns
    -------
    Seeped
        [m3] by cell and by face.

    Raises
    ------
    InputError
        If the arrays do not go together.

    References
    ----------
    ergun-1952 for the speeds, in a storage equation by cell: closed form of none; tests hold it to its steady flow.
    """
    if not len(gravel_m3) == len(surface_m3) == len(store.bottom):
        found = f"{len(gravel_m3)} and {len(surface_m3)} values for {len(store.bottom)} cells"
        raise InputError(Problem(message="does not go together", field="gravel_m3", found=found, allowed="one a cell"))
    room = store.capacity_m3
    gravel, surface = _traded(store, room, (gravel_m3, surface_m3), time_s)
    moved = _moved(store, room, (gravel, surface), time_s)
    gravel[:-1] -= moved
    gravel[1:] += moved
    gravel = np.maximum(gravel, 0.0)  # what rounding left below nothing
    over = np.maximum(gravel - room, 0.0)
    return Seeped(gravel_m3=gravel - over, surface_m3=surface + over, through_m3=moved)


def levels_in(store: GravelStore, gravel_m3: Floats, surface_m3: Floats) -> Floats:
    """Level of the water in the gravel by cell [m]: that of the surface where the gravel [m3] is full [m3 above it]."""
    return _levels(store, _full(gravel_m3, store.capacity_m3), gravel_m3, surface_m3)


def speed_at(slope: Floats, viscous: Floats, inertial: Floats) -> Floats:
    """Speed over gravel and voids [m/s] at a slope [-], by Ergun: the stable root of the quadratic."""
    return np.asarray(2.0 * slope / (viscous + np.sqrt(viscous * viscous + 4.0 * inertial * slope)))


def _full(gravel: Floats, room: Floats) -> Bools:
    return np.asarray(gravel >= room * (1.0 - 1e-12))


def _levels(store: GravelStore, full: Bools, gravel: Floats, surface: Floats) -> Floats:
    area = np.maximum(store.plan, 1e-12)
    standing = store.bottom + gravel / (area * store.porosity)
    return np.where(full, store.bottom + store.thickness + surface / area, standing)


def _traded(store: GravelStore, room: Floats, held: tuple[Floats, Floats], time_s: float) -> tuple[Floats, Floats]:
    """What sinks in: all there is room for, no faster than down a slope of one."""
    gravel, surface = held
    fastest = speed_at(np.ones(len(gravel)), store.viscous, store.inertial) * store.plan * time_s
    sinking = np.minimum(np.minimum(surface, room - gravel), fastest)
    sinking = np.maximum(sinking, 0.0)
    return gravel + sinking, surface - sinking


def _moved(store: GravelStore, room: Floats, held: tuple[Floats, Floats], time_s: float) -> Floats:
    """Water past each face in the time [m3], none more than there is."""
    gravel, surface = held
    full = _full(gravel, room)
    level = _levels(store, full, gravel, surface)
    drop = level[:-1] - level[1:]
    wet = np.minimum(gravel / np.maximum(store.plan * store.porosity, 1e-12), store.thickness)
    upper = drop > 0.0
    thick = np.where(upper, wet[:-1], wet[1:])
    viscous = np.where(upper, store.viscous[:-1], store.viscous[1:])
    inertial = np.where(upper, store.inertial[:-1], store.inertial[1:])
    plain = np.isnan(store.under_slope)
    joined = plain & (store.plan[:-1] > 0.0) & (store.plan[1:] > 0.0)
    slope = np.maximum(np.abs(drop) / store.spacing, LEAST_SLOPE)
    speed = speed_at(slope, viscous, inertial)
    eased = np.where(joined, store.width * thick * speed / (slope * store.spacing), 0.0)
    later = _later(store, level, full, time_s * eased)
    moved = time_s * eased * (later[:-1] - later[1:])
    under = np.where(plain, 0.0, store.under_slope)
    passing = store.width * wet[:-1] * speed_at(under, store.viscous[:-1], store.inertial[:-1])
    return _held_to(moved + time_s * passing, gravel)


def _later(store: GravelStore, level: Floats, full: Bools, pull: Floats) -> Floats:
    """Levels after a time [m], each cell joined to its neighbours by `pull` [m2]: a tridiagonal system."""
    from scipy.linalg.lapack import dgtsv

    own = np.maximum(store.plan * np.where(full, 1.0, store.porosity), 1e-12)
    middle = own.copy()
    middle[:-1] += pull
    middle[1:] += pull
    return np.asarray(dgtsv(-pull, middle, -pull, own * level)[3])


def _held_to(moved: Floats, gravel: Floats) -> Floats:
    """What leaves each cell scaled down to what it holds [m3]."""
    leaving = np.zeros_like(gravel)
    leaving[:-1] += np.maximum(moved, 0.0)
    leaving[1:] += np.maximum(-moved, 0.0)
    share = np.where(leaving > gravel, gravel / np.maximum(leaving, 1e-300), 1.0)
    return np.asarray(moved * np.where(moved > 0.0, share[:-1], share[1:]))
