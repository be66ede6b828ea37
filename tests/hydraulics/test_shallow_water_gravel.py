"""Water in the gravel of a stream over time: nothing lost, at rest level, steady by Ergun."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import GravelStore, ergun_coefficients, ergun_speed, seep

GRAIN_M, POROSITY = 0.012, 0.40


def store(bottom: list[float], *, under: dict[int, float] | None = None, thickness_m: float = 0.08) -> GravelStore:
    n = len(bottom)
    a, b = ergun_coefficients(GRAIN_M, POROSITY)
    slopes = np.full(n - 1, np.nan)
    for face, slope in (under or {}).items():
        slopes[face] = slope
    return GravelStore(
        bottom=np.array(bottom),
        thickness=np.full(n, thickness_m),
        plan=np.full(n, 0.1 * 0.8),
        width=np.full(n - 1, 0.8),
        spacing=np.full(n - 1, 0.1),
        viscous=np.full(n, a),
        inertial=np.full(n, b),
        porosity=np.full(n, POROSITY),
        under_slope=slopes,
    )


@pytest.mark.parametrize("slope", [1e-4, 0.01, 0.3, 1.0])
def test_the_coefficients_are_those_of_the_speed(slope: float) -> None:
    a, b = ergun_coefficients(GRAIN_M, POROSITY)
    v = ergun_speed(slope, grain_m=GRAIN_M, porosity=POROSITY).speed_ms
    assert a * v + b * v * v == pytest.approx(slope, rel=1e-9)


@given(st.integers(3, 30), st.integers(0, 2**32 - 1), st.sampled_from([0.1, 1.0, 5.0]))
@settings(max_examples=80, deadline=None)
def test_nothing_is_lost_and_nothing_is_overfull(n: int, seed: int, time_s: float) -> None:
    rng = np.random.default_rng(seed)
    under = {int(rng.integers(0, n - 1)): float(rng.random() * 0.2)}
    gravel = store(list(rng.random(n)), under=under)
    held = gravel.capacity_m3 * rng.random(n)
    above = np.where(rng.random(n) < 0.5, 0.0, 0.01 * rng.random(n))
    found = seep(gravel, held, above, time_s=time_s)
    assert np.min(found.gravel_m3) >= 0.0
    assert np.min(found.surface_m3) >= 0.0
    assert np.all(found.gravel_m3 <= gravel.capacity_m3 * (1 + 1e-12))
    before = held.sum() + above.sum()
    assert found.gravel_m3.sum() + found.surface_m3.sum() == pytest.approx(before, rel=1e-13)


def test_level_water_stands() -> None:
    """On a bed that rises the same level in every cell: nothing moves, full or not."""
    gravel = store([0.0, 0.01, 0.03, 0.05])
    level = 0.06
    held = gravel.plan * POROSITY * (level - gravel.bottom)
    found = seep(gravel, held, np.zeros(4), time_s=60.0)
    assert np.allclose(found.gravel_m3, held, rtol=1e-9, atol=0.0)


def test_it_comes_to_rest_level() -> None:
    gravel = store([0.0, 0.01, 0.02, 0.03, 0.04, 0.05])
    held = gravel.capacity_m3 * np.array([0.0, 0.2, 0.9, 0.1, 0.8, 0.3])
    above = np.zeros(6)
    for _ in range(3000):
        found = seep(gravel, held, above, time_s=1.0)
        held, above = found.gravel_m3, found.surface_m3
    wet = held > 1e-9
    level = gravel.bottom + held / (gravel.plan * POROSITY)
    assert np.ptp(level[wet]) < 1e-3


def test_steady_flow_down_a_slope_is_that_of_ergun() -> None:
    """Gravel kept full along a plane passes width x thickness x speed at its slope."""
    slope = 0.05
    gravel = store([0.5 - slope * 0.1 * i for i in range(12)])
    full = gravel.capacity_m3.copy()
    found = seep(gravel, full, np.full(12, 1e-9), time_s=0.01)
    speed = ergun_speed(slope, grain_m=GRAIN_M, porosity=POROSITY).speed_ms
    assert found.through_m3[5] / 0.01 == pytest.approx(0.8 * 0.08 * speed, rel=1e-3)


def test_under_a_stone_that_is_not_sealed_it_passes_at_the_slope_between_crests() -> None:
    gravel = store([0.0, 0.0, -0.2, -0.2], under={1: 0.1})
    held = gravel.capacity_m3 * np.array([1.0, 1.0, 0.0, 0.0])
    found = seep(gravel, held, np.zeros(4), time_s=0.1)
    speed = ergun_speed(0.1, grain_m=GRAIN_M, porosity=POROSITY).speed_ms
    assert found.through_m3[1] / 0.1 == pytest.approx(0.8 * 0.08 * speed, rel=1e-9)
    sealed = store([0.0, 0.0, -0.2, -0.2], under={1: 0.0})
    assert seep(sealed, held, np.zeros(4), time_s=60.0).through_m3[1] == 0.0


def test_arrays_that_do_not_go_together_are_refused() -> None:
    gravel = store([0.0, 0.0])
    with pytest.raises(InputError, match="1 and 2 values for 2 cells"):
        seep(gravel, np.zeros(1), np.zeros(2), time_s=1.0)
