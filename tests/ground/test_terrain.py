"""Real ground: the open terrain sample that matplotlib ships, scaled down to a garden, against its own triangulations.

The sample lies in degrees and whole metres; here a cell is 0.3 m and a metre of height a centimetre.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest
from matplotlib.cbook import get_sample_data
from matplotlib.tri import LinearTriInterpolator, TriAnalyzer, Triangulation
from tests.ground.sites import data

from rillwright.ground import Tin, contours, even_levels, levels_at, raster, spots, tin_of, volumes_to_level
from rillwright.ground.data import Floats

CELL_M, WIDE = 0.3, 60


@cache
def sample() -> Floats:
    held: Any = get_sample_data("jacksboro_fault_dem.npz")
    with held:
        found: Floats = held["elevation"].astype(np.float64)
    return found


@cache
def garden() -> Floats:
    """A window of the sample as levels 18 m square (n, 3) [m]."""
    window = sample()[100 : 100 + WIDE, 200 : 200 + WIDE] / 100.0
    y, x = np.mgrid[0:WIDE, 0:WIDE] * CELL_M
    return np.column_stack((x.ravel(), y.ravel(), window.ravel()))


@cache
def surface() -> Tin:
    return tin_of(data(garden(), name="terrain"))


@cache
def theirs() -> Triangulation:
    tin = surface()
    return Triangulation(tin.xyz[:, 0], tin.xyz[:, 1], tin.triangles)


def test_it_is_that_sample() -> None:
    """Figures of the sample, computed independently."""
    z = sample()
    assert (z.shape, z.min(), z.max(), z.sum(), z[0, 0], z[-1, -1]) == ((344, 403), 236, 1076, 73617913, 483, 272)
    assert (z >= 400).sum() == 103_275
    assert z[100:120, 200:220].mean() == pytest.approx(536.4925)


def test_levels_are_those_of_its_own_interpolation() -> None:
    at = np.random.default_rng(8).random((500, 2)) * (WIDE - 1) * CELL_M
    other = LinearTriInterpolator(theirs(), surface().xyz[:, 2])(*at.T)
    assert levels_at(surface(), at) == pytest.approx(np.asarray(other), abs=1e-9)
    assert TriAnalyzer(theirs()).circle_ratios().min() > 0.0


def test_contours_are_those_of_its_own_on_the_same_triangles() -> None:
    """As long, level by level, between whole centimetres, where no corner lies on one."""
    import matplotlib as mpl

    mpl.use("agg")
    from matplotlib.figure import Figure

    tin = surface()
    levels = [each + 0.005 for each in even_levels(tin, every_m=0.2)][:-1]
    drawn = Figure().subplots().tricontour(theirs(), tin.xyz[:, 2], levels=levels)
    found = contours(tin, levels)
    for level, lines in zip(levels, drawn.allsegs, strict=True):
        long = sum(np.hypot(*np.diff(line, axis=0).T).sum() for line in lines)
        ours = [each for each in found if each.level_m == level]
        assert sum(each.length_m for each in ours) == pytest.approx(long, rel=1e-9)
        assert len(ours) == len(lines)


def test_volume_by_triangles_by_cells_and_by_the_mean_of_corners() -> None:
    """The mean of four corners is the mean of both diagonals: here within 0.1 %; cells within 0.5 %."""
    tin, z = surface(), garden()[:, 2].reshape(WIDE, WIDE)
    low = float(z.min())
    exact = volumes_to_level(tin, low).cut_m3
    corners = (z[:-1, :-1] + z[1:, :-1] + z[:-1, 1:] + z[1:, 1:]) / 4 - low
    assert corners.sum() * CELL_M**2 == pytest.approx(exact, rel=1e-3)
    assert raster(tin, cell_m=0.1).volume_above_m3(low) == pytest.approx(exact, rel=5e-3)


@pytest.mark.parametrize("shots", [40, 150, 600])
def test_bands_hold_on_real_ground(shots: int) -> None:
    """Some of the places shot, the others not: nine in ten of those inside lie in bands that say 95 in 100."""
    points = np.random.default_rng(shots).permutation(garden())
    tin = tin_of(data(points[:shots]))
    left = points[shots:][:800]
    found = spots(tin, [(float(x), float(y)) for x, y, _ in left])
    held = [s.low_m <= z <= s.high_m for s, z in zip(found, left[:, 2], strict=True) if not s.guessed]
    assert len(held) > 400
    assert 0.9 <= np.mean(held) < 1.0
