"""Water on stacks and slides: limits, closed forms, a numerical integration by another library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from rillwright.errors import InputError
from rillwright.hydraulics import cling, critical_depth, free_fall, slide_foot

flows = st.floats(0.001, 0.02)


@given(flow=flows)
def test_the_lip_that_water_follows_grows_with_the_flow(flow: float) -> None:
    assert cling(1.1 * flow, 0.15).lip_radius_m >= cling(flow, 0.15).lip_radius_m


def test_the_lip_by_hand() -> None:
    """q 0.00517 m2/s (125 US gal/h per inch): yc 13.97 mm, brink 0.715 yc = 9.99 mm, V 0.5176 m/s; V^2 = 0.2679 less
    sigma / (rho h) = 0.0727 / (998.2 x 0.00999) = 0.00729; over g: 26.6 mm."""
    found = cling(0.00517, 0.15)
    assert found.lip_radius_m == pytest.approx(0.0266, abs=1e-4)
    assert found.tread_m == pytest.approx(free_fall(0.00517, 0.15).upper_m)


def test_a_trickle_clings_to_any_lip() -> None:
    assert cling(1e-5, 0.15).lip_radius_m == 0.0


@pytest.mark.parametrize(
    ("q", "length", "drop", "n"), [(0.005, 0.9, 0.25, 0.02), (0.02, 0.6, 0.3, 0.015), (0.05, 2.0, 0.4, 0.012)]
)
def test_the_foot_of_a_slide_as_another_integrator_finds_it(q: float, length: float, drop: float, n: float) -> None:
    """Gradually varied flow with Manning's friction (Chow 1959, from memory), integrated along the slab by SciPy."""
    g, sine = 9.80665, drop / length
    cosine = math.sqrt(1 - sine**2)
    start = critical_depth(q, gravity_ms2=g) / cosine ** (1 / 3) * 0.9999

    def slope(_: float, depth: NDArray[np.float64]) -> list[float]:
        h = float(depth[0])
        return [(sine - (n * q) ** 2 / h ** (10 / 3)) / (cosine - q**2 / (g * h**3))]

    by_scipy = solve_ivp(slope, (0.0, length), [start], method="LSODA", rtol=1e-10, atol=1e-12).y[0, -1]
    assert slide_foot(q, length, drop, n=n).depth_m == pytest.approx(by_scipy, rel=2e-4)


def test_a_long_slide_ends_at_normal_depth() -> None:
    """Manning for a wide sheet: h = (n q / sqrt(S))^0.6."""
    found = slide_foot(0.005, 10.0, 3.0, n=0.03)
    assert found.depth_m == pytest.approx((0.03 * 0.005 / math.sqrt(0.3)) ** 0.6, rel=1e-5)


@given(flow=flows, drop=st.floats(0.05, 0.55), n=st.floats(0.01, 0.06))
def test_a_slide_loses_energy_and_is_rougher_when_deeper(flow: float, drop: float, n: float) -> None:
    found = slide_foot(flow, 0.6, drop, n=n)
    assert 0.0 <= found.lost < 1.0
    assert slide_foot(flow, 0.6, drop, n=1.2 * n).depth_m >= found.depth_m - 1e-9
    assert found.speed_ms**2 / (2 * 9.80665) < drop + 1.5 * critical_depth(flow) + 1e-9


def test_a_slab_as_steep_as_it_is_long_is_refused() -> None:
    with pytest.raises(InputError, match="drop_m"):
        slide_foot(0.005, 0.3, 0.3, n=0.03)
