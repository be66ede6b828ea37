"""Surfaces on a grid, by level, and along a line, against planes and rings whose answers are known."""

from __future__ import annotations

import numpy as np
import pytest

from rillwright.drawings.on_mesh import cut_along, grid_lines, level_lines, levels
from tests.drawings import meshes

SLOPE = meshes.mesh_of(
    "ground", [(0.0, 0.0, 0.0), (10.0, 0.0, 1.0), (10.0, 6.0, 1.0), (0.0, 6.0, 0.0)], [(0, 1, 2), (0, 2, 3)]
)


def test_levels_of_a_plane_are_its_own() -> None:
    grid = levels(SLOPE, (0.0, 0.0), (12.0, 6.0), step_m=0.5)
    assert grid.values.shape == (13, 25)
    assert grid.values[:, :21] == pytest.approx(np.tile(np.arange(21) * 0.05, (13, 1)))
    assert np.isnan(grid.values[:, 21:]).all()
    assert grid.at(np.array([[3.0, 2.0], [11.0, 2.0], [-9.0, 0.0]])) == pytest.approx(
        [0.3, np.nan, np.nan], nan_ok=True
    )


def test_a_line_of_one_level_lies_where_the_plane_has_it() -> None:
    for lines in (level_lines(SLOPE, 0.4), grid_lines(levels(SLOPE, (0.0, 0.0), (10.0, 6.0), step_m=0.5), 0.4)):
        assert lines[..., 0] == pytest.approx(np.full(lines.shape[:2], 4.0))
        assert np.abs(lines[:, 0] - lines[:, 1]).sum() == pytest.approx(6.0)
    assert len(level_lines(SLOPE, 2.0)) == 0


def test_flat_ground_has_no_contour_of_its_own_level() -> None:
    flat = meshes.mesh_of(
        "ground", [(0.0, 0.0, -0.1524), (4.0, 0.0, -0.1524 + 1e-12), (0.0, 4.0, -0.1524 - 1e-12)], [(0, 1, 2)]
    )
    assert len(level_lines(flat, -0.1524)) == 0


def test_a_cone_has_round_contours() -> None:
    """Rim 2 m out at 0, floor 1 m out at -1: half way up, 1.5 m out; a 48-sided ring is shorter by pi^2/6/48^2."""
    cone = meshes.rings("dug", (0.0, 0.0), [(1.0, 1.0, -1.0), (2.0, 2.0, 0.0)])
    lines = level_lines(cone, -0.5)
    assert np.hypot(*lines.reshape(-1, 2).T) == pytest.approx(np.full(2 * len(lines), 1.5), rel=3e-3)
    assert np.hypot(*(lines[:, 1] - lines[:, 0]).T).sum() == pytest.approx(2 * np.pi * 1.5, rel=2e-3)


def test_a_cut_through_a_cone_has_its_profile() -> None:
    cone = meshes.rings("dug", (0.0, 0.0), [(1.0, 1.0, -1.0), (2.0, 2.0, 0.0)])
    line = cut_along(cone, (-3.0, 0.0), (3.0, 0.0))
    assert line[0] == pytest.approx((1.0, 0.0), abs=1e-6)
    assert line[-1] == pytest.approx((5.0, 0.0), abs=1e-6)
    xs, zs = zip(*line, strict=True)
    assert list(xs) == sorted(xs)
    assert np.interp([1.5, 2.0, 3.0, 4.5], xs, zs) == pytest.approx([-0.5, -1.0, -1.0, -0.5], abs=1e-6)


def test_a_cut_ends_where_it_is_to_end() -> None:
    line = cut_along(SLOPE, (2.0, 1.0), (5.0, 1.0))
    assert (*line[0], *line[-1]) == pytest.approx((0.0, 0.2, 3.0, 0.5))
