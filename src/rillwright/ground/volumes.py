"""Volumes between surfaces, exact on triangles: what is to cut and what is to fill told apart."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from rillwright.ground.data import Floats, Indices
from rillwright.ground.tin import Tin

NOTHING_M = 1e-9  # the rounding of a level: two surfaces that differ by less are one


class Volumes(Struct, frozen=True, kw_only=True):
    """Between two surfaces where both have ground: soil to take away and to bring [m3], and on how much ground [m2].

    `only_before_m2` and `only_after_m2` are ground that the other surface lacks: nothing is worked out there.
    """

    cut_m3: float
    fill_m3: float
    cut_m2: float
    fill_m2: float
    common_m2: float
    only_before_m2: float
    only_after_m2: float

    @property
    def net_m3(self) -> float:
        """Soil that is left over [m3]: cut less fill."""
        return self.cut_m3 - self.fill_m3


def volumes_between(before: Tin, after: Tin) -> Volumes:
    """What is to cut and to fill to bring one surface to another.

    Parameters
    ----------
    before : Tin
        The ground as it is.
    after : Tin
        As it is to be.

    Returns
    -------
    Volumes
        In m3, on areas in m2.

    References
    ----------
    The integral of a linear difference over each convex piece that two triangles share: closed form.
    """
    from rillwright.ground.overlay import pieces

    total = np.zeros(5)
    planes = (fall_of(before), fall_of(after))
    for rows, corners in pieces(before, after):
        rise = levels_on(planes[1], rows[:, 1], corners) - levels_on(planes[0], rows[:, 0], corners)
        rise[np.abs(rise) < NOTHING_M] = 0.0
        for k in range(1, corners.shape[1] - 1):
            fan = (0, k, k + 1)
            total += _parted(corners[:, fan], rise[:, fan])
    common = float(total[4])
    return Volumes(
        cut_m3=float(total[2]),
        fill_m3=float(total[0]),
        cut_m2=float(total[3]),
        fill_m2=float(total[1]),
        common_m2=common,
        only_before_m2=max(before.area_m2 - common, 0.0),
        only_after_m2=max(after.area_m2 - common, 0.0),
    )


def volumes_to_level(tin: Tin, level_m: float) -> Volumes:
    """What is to cut and to fill to bring a surface to one level.

    Parameters
    ----------
    tin : Tin
        The ground as it is.
    level_m : float
        The level [m].

    Returns
    -------
    Volumes
        In m3: the cut lies above the level, the fill below it.

    References
    ----------
    The integral of a linear function over a triangle: closed form.
    """
    corners = tin.xyz[tin.triangles]
    total = _parted(corners[:, :, :2], level_m - corners[:, :, 2])
    fill, fill_m2, cut, cut_m2, whole = (float(each) for each in total)
    return Volumes(
        cut_m3=cut, fill_m3=fill, cut_m2=cut_m2, fill_m2=fill_m2, common_m2=whole, only_before_m2=0.0,
        only_after_m2=0.0,
    )  # fmt: skip


def fall_of(tin: Tin) -> tuple[Floats, Floats]:
    """First corner (t, 3) [m] and fall (t, 2) [-] of each triangle's plane."""
    a, b, c = (tin.xyz[tin.triangles[:, k]] for k in range(3))
    u, v = b - a, c - a
    whole = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    x = (u[:, 2] * v[:, 1] - v[:, 2] * u[:, 1]) / whole
    y = (u[:, 0] * v[:, 2] - v[:, 0] * u[:, 2]) / whole
    return a, np.column_stack((x, y))


def levels_on(planes: tuple[Floats, Floats], rows: Indices, corners: Floats) -> Floats:
    """Levels (p, k) [m] of planes at corners (p, k, 2) [m]."""
    at, fall = planes[0][rows], planes[1][rows]
    found: Floats = at[:, None, 2] + ((corners - at[:, None, :2]) * fall[:, None]).sum(axis=2)
    return found


def _parted(corners: Floats, rise: Floats) -> Floats:
    """Volume and area of what rises, of what falls, and all the area (5,) [m3, m2], over triangles (p, 3, 2) with rises
    (p, 3) [m].
    """
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2
    up, up_share = means_above(rise)
    down, down_share = means_above(-rise)
    parts = (area * up, area * up_share, area * down, area * down_share, area)
    return np.array([part.sum() for part in parts])


def means_above(rise: Floats) -> tuple[Floats, Floats]:
    """Mean of the positive part [m] of a linear rise over each triangle, by its corners' rises (p, 3), and the share of
    the triangle where it rises.

    With the corners in order h >= m >= l: nothing above for h <= 0; a corner h^3 / (3 (h-m)(h-l)) for m <= 0 < h; the
    whole (h+m+l) / 3 less the corner below for l < 0 < m.
    """
    low, middle, high = np.sort(rise, axis=1).T
    with np.errstate(divide="ignore", invalid="ignore"):
        top_share = high**2 / ((high - middle) * (high - low))
        bottom_share = low**2 / ((middle - low) * (high - low))
    mean = (low + middle + high) / 3
    none, one, all_of_it = high <= 0.0, middle <= 0.0, low >= 0.0
    share = np.select((none, all_of_it, one), (0.0, 1.0, top_share), 1.0 - bottom_share)
    volume = np.select((none, all_of_it, one), (0.0, mean, top_share * high / 3), mean - bottom_share * low / 3)
    return volume, share
