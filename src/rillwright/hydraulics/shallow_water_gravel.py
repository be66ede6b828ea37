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
    gravel, surface = _traded(store, gravel_m3, surface_m3, time_s)
    moved = _moved(store, gravel, surface, time_s)
    gravel[:-1] -= moved
    gravel[1:] += moved
    gravel = np.maximum(gravel, 0.0)  # what rounding left below nothing
    over = np.maximum(gravel - store.capacity_m3, 0.0)
    return Seeped(gravel_m3=gravel - over, surface_m3=surface + over, through_m3=moved)


def levels_in(store: GravelStore, gravel_m3: Floats, surface_m3: Floats) -> Floats:
    """Level of the water in the gravel by cell [m]: that of the surface where the gravel [m3] is full [m3 above it]."""
    area = np.maximum(store.plan, 1e-12)
    full = gravel_m3 >= store.capacity_m3 * (1.0 - 1e-12)
    standing = store.bottom + gravel_m3 / (area * store.porosity)
    return np.where(full, store.bottom + store.thickness + surface_m3 / area, standing)


def _traded(store: GravelStore, gravel: Floats, surface: Floats, time_s: float) -> tuple[Floats, Floats]:
    """What sinks in: all there is room for, no faster than down a slope of one."""
    fastest = speed_at(np.ones(len(gravel)), store.viscous, store.inertial) * store.plan * time_s
    sinking = np.minimum(np.minimum(surface, store.capacity_m3 - gravel), fastest)
    sinking = np.maximum(sinking, 0.0)
    return gravel + sinking, surface - sinking


def speed_at(slope: Floats, viscous: Floats, inertial: Floats) -> Floats:
    """Speed over gravel and voids [m/s] at a slope [-], by Ergun: the stable root of the quadratic."""
    return np.asarray(2.0 * slope / (viscous + np.sqrt(viscous * viscous + 4.0 * inertial * slope)))


def _moved(store: GravelStore, gravel: Floats, surface: Floats, time_s: float) -> Floats:
    """Water past each face in the time [m3], none more than there is."""
    level = levels_in(store, gravel, surface)
    drop = level[:-1] - level[1:]
    area = np.maximum(store.plan * store.porosity, 1e-12)
    wet = np.minimum(gravel / area, store.thickness)
    upper = drop > 0.0
    thick = np.where(upper, wet[:-1], wet[1:])
    viscous = np.where(upper, store.viscous[:-1], store.viscous[1:])
    inertial = np.where(upper, store.inertial[:-1], store.inertial[1:])
    plain = np.isnan(store.under_slope)
    slope = np.where(plain, np.abs(drop) / store.spacing, 0.0)
    speed = speed_at(np.maximum(slope, LEAST_SLOPE), viscous, inertial)
    joined = (store.plan[:-1] > 0.0) & (store.plan[1:] > 0.0)
    eased = np.where(
        plain & joined, store.width * thick * speed / (np.maximum(slope, LEAST_SLOPE) * store.spacing), 0.0
    )
    moved = time_s * eased * -np.diff(_later(store, level, gravel, eased, time_s))
    under = np.where(plain, 0.0, store.under_slope)
    passing = store.width * wet[:-1] * speed_at(under, store.viscous[:-1], store.inertial[:-1])
    return _held_to(moved + time_s * passing, gravel)


def _later(store: GravelStore, level: Floats, gravel: Floats, eased: Floats, time_s: float) -> Floats:
    """Levels after the time [m], each cell joined to its neighbours by `eased` [m2/s]: a tridiagonal system."""
    from scipy.linalg import solve_banded

    full = gravel >= store.capacity_m3 * (1.0 - 1e-12)
    room = np.maximum(store.plan * np.where(full, 1.0, store.porosity), 1e-12)
    pull = time_s * eased
    bands = np.zeros((3, len(level)))
    bands[1] = room
    bands[1, :-1] += pull
    bands[1, 1:] += pull
    bands[0, 1:] = -pull
    bands[2, :-1] = -pull
    return np.asarray(solve_banded((1, 1), bands, room * level, overwrite_b=True, check_finite=False))


def _held_to(moved: Floats, gravel: Floats) -> Floats:
    """What leaves each cell scaled down to what it holds [m3]."""
    leaving = np.zeros_like(gravel)
    leaving[:-1] += np.maximum(moved, 0.0)
    leaving[1:] += np.maximum(-moved, 0.0)
    share = np.where(leaving > gravel, gravel / np.maximum(leaving, 1e-300), 1.0)
    return np.asarray(moved * np.where(moved > 0.0, share[:-1], share[1:]))
