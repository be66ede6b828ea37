"""Friction, pump curves, operating points: sweeps against fluids, inverses, bounds."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from fluids.friction import Colebrook
from fluids.friction import friction_factor as fluids_friction
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError, NoAnswer
from rillwright.hydraulics import (
    PumpCurve,
    at_speed,
    box_curve,
    box_operating_band,
    colebrook,
    darcy_weisbach,
    electrical_power,
    friction_factor,
    hazen_williams,
    minor_loss,
    operating_point,
    power_curve,
    pump_curve,
    segment_curve,
    suction_head_available,
    swamee_jain,
    water_power,
)
from rillwright.hydraulics._roots import bracketed_root, rising_root

FT = 0.3048


def test_colebrook_to_machine_precision() -> None:
    """It solves its own equation, and fluids' analytic solution agrees, over the whole chart."""
    for i in range(60):
        reynolds = 2000 * 1.2**i
        for e in (0.0, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.05):
            f = colebrook(reynolds, e)
            right = -2 * math.log10(e / 3.7 + 2.51 / (reynolds * math.sqrt(f)))
            assert 1 / math.sqrt(f) == pytest.approx(right, rel=3e-15)
            assert f == pytest.approx(Colebrook(reynolds, e), rel=1e-11)


def test_swamee_jain_is_near_colebrook_in_its_range() -> None:
    """Within 3 % for e/D 1e-6 to 1e-2 and Re 5e3 to 1e8, as its authors say (from memory: 1 to 3 %)."""
    for i in range(25):
        reynolds = 5000 * 1.5**i
        for e in (1e-6, 1e-5, 1e-4, 1e-3, 1e-2):
            assert swamee_jain(reynolds, e) == pytest.approx(colebrook(reynolds, e), rel=0.035)


@pytest.mark.parametrize("method", ["Colebrook", "Swamee-Jain"])
def test_more_flow_loses_more_head(method: str) -> None:
    """Across laminar, between and turbulent, and never a step down."""
    losses = [
        darcy_weisbach(1e-6 * 1.05**i, inside_m=0.05, length_m=20, roughness_m=1.5e-6, loss_k=4, method=method).loss_m
        for i in range(180)
    ]
    assert all(a < b for a, b in pairwise(losses))


def test_laminar_and_turbulent_against_fluids() -> None:
    for reynolds in (10.0, 500.0, 1999.0, 5000.0, 1e5):
        assert friction_factor(reynolds, 1e-4) == pytest.approx(fluids_friction(reynolds, 1e-4), rel=1e-9)


def test_hazen_williams_agrees_with_darcy_weisbach() -> None:
    """C 150 against plastic pipe, 0.5 to 2.5 m/s in 40 to 100 mm: within 10 %."""
    for inside in (0.0404, 0.052, 0.0773, 0.1016):
        for speed in (0.5, 1.0, 1.5, 2.5):
            flow = speed * math.pi / 4 * inside**2
            darcy = darcy_weisbach(flow, inside_m=inside, length_m=100, roughness_m=1.5e-6).friction_m
            assert hazen_williams(flow, inside_m=inside, length_m=100, coefficient=150) == pytest.approx(
                darcy, rel=0.10
            )


@given(st.floats(1e-5, 0.03), st.floats(0.02, 0.2), st.floats(0.0, 1e-4))
def test_losses_are_never_negative(flow: float, inside: float, roughness: float) -> None:
    ours = darcy_weisbach(flow, inside_m=inside, length_m=10, roughness_m=roughness, loss_k=2)
    assert ours.friction_m > 0
    assert ours.minor_m == pytest.approx(2 * ours.speed_ms**2 / (2 * 9.80665), rel=1e-12)
    assert ours.loss_m == ours.friction_m + ours.minor_m


def test_still_water_loses_nothing() -> None:
    assert darcy_weisbach(0.0, inside_m=0.05, length_m=10, roughness_m=0.0).loss_m == 0.0
    assert hazen_williams(0.0, inside_m=0.05, length_m=10, coefficient=150) == 0.0


def test_every_unusable_number_of_a_pipe_is_named() -> None:
    with pytest.raises(InputError) as caught:
        darcy_weisbach(0.001, inside_m=0.0, length_m=-1.0, roughness_m=math.nan)
    assert {problem.field for problem in caught.value.problems} == {"inside_m", "length_m", "roughness_m"}
    with pytest.raises(InputError, match="Colebrook or Swamee-Jain"):
        friction_factor(1e5, 0, method="Haaland")


CURVES: dict[str, PumpCurve] = {
    "power": power_curve([(0, 8), (0.005, 6), (0.010, 1)]),
    "table": segment_curve([(0, 8), (0.002, 7.6), (0.005, 6), (0.008, 3), (0.010, 0)]),
    "short table": segment_curve([(0, 8), (0.004, 6.5)]),
    "box": box_curve(8, 0.010, exponent=1.8),
}
curves = pytest.mark.parametrize("curve", CURVES.values(), ids=CURVES.keys())


@curves
def test_head_and_flow_turn_into_each_other(curve: PumpCurve) -> None:
    for i in range(1, 40):
        flow = curve.greatest_flow_m3s * i / 40
        assert curve.flow(curve.head(flow)) == pytest.approx(flow, rel=1e-9)
    assert curve.head(0.0) == curve.shut_off_m
    assert curve.head(curve.greatest_flow_m3s) == pytest.approx(0.0, abs=1e-12)
    assert curve.flow(curve.shut_off_m + 1) == 0.0


@curves
def test_affinity(curve: PumpCurve) -> None:
    """Q goes with the speed and H with its square, whatever the form of the curve."""
    for ratio in (0.5, 0.8, 1.0, 1.2):
        slower = at_speed(curve, ratio)
        for i in range(20):
            flow = curve.greatest_flow_m3s * i / 19
            assert slower.head(flow * ratio) == pytest.approx(curve.head(flow) * ratio**2, rel=1e-9, abs=1e-12)


def test_three_points_are_met() -> None:
    points = [(0.0, 9.0), (0.003, 7.1), (0.0065, 2.2)]
    ours = pump_curve(points)
    assert [ours.head(q) for q, _ in points] == pytest.approx([h for _, h in points], rel=1e-12)
    assert pump_curve(points[::-1]) == ours


@given(st.floats(2.0, 15.0), st.floats(5e-4, 0.02), st.floats(-0.5, 1.1), st.floats(0.1, 30.0))
def test_operating_point_balances(shut_off: float, most: float, lift_share: float, steepness: float) -> None:
    curve, lift = box_curve(shut_off, most), shut_off * lift_share
    ours = operating_point(curve, lift, lambda q: steepness * (q / most) ** 2)
    if lift >= shut_off:
        assert (ours.flow_m3s, ours.runs) == (0.0, False)
        return
    exact = most * math.sqrt((shut_off - lift) / (shut_off + steepness))
    if exact >= most:
        assert ours.flow_m3s == pytest.approx(most, rel=1e-14)  # to the last bit or two
        assert "end of the pump's curve" in ours.outside
        return
    assert ours.flow_m3s == pytest.approx(exact, rel=1e-9)
    assert ours.head_m == pytest.approx(lift + steepness * (ours.flow_m3s / most) ** 2, rel=1e-9, abs=1e-9)


def test_more_lift_more_roughness_less_flow() -> None:
    curve = box_curve(8, 0.008)

    def flow(lift: float, k: float, roughness: float) -> float:
        return operating_point(
            curve, lift, lambda q: darcy_weisbach(q, inside_m=0.05, length_m=15, roughness_m=roughness, loss_k=k).loss_m
        ).flow_m3s

    base = flow(2.0, 4, 1.5e-6)
    assert base > flow(2.2, 4, 1.5e-6)
    assert base > flow(2.0, 6, 1.5e-6)
    assert base > flow(2.0, 4, 1e-4)


def test_box_band() -> None:
    """Two numbers on a box: the true curve is not known, a rounder one gives more of both."""
    ours = box_operating_band(8.0, 0.010, static_m=3.0, loss=lambda q: 3e4 * q * q)
    assert ours.flow_m3s.low < ours.flow_m3s.value < ours.flow_m3s.high
    assert ours.head_m.low < ours.head_m.value < ours.head_m.high
    exact = operating_point(box_curve(8.0, 0.010, exponent=2.5), 3.0, lambda q: 3e4 * q * q)
    assert ours.flow_m3s.high == exact.flow_m3s
    assert ours.runs
    still = box_operating_band(8.0, 0.010, static_m=8.5, loss=lambda q: 3e4 * q * q)
    assert (still.runs, still.flow_m3s.high) == (False, 0.0)
    assert "shut-off" in still.outside


def test_power_goes_with_both() -> None:
    assert water_power(0.002, 3.0) == pytest.approx(2 * water_power(0.001, 3.0), rel=1e-15)
    assert electrical_power(0.002, 3.0, efficiency=0.5) == pytest.approx(2 * water_power(0.002, 3.0), rel=1e-15)
    for share in (0.0, -0.1, 1.5, math.nan):
        with pytest.raises(InputError, match="efficiency"):
            electrical_power(0.002, 3.0, efficiency=share)


def test_suction_falls_with_loss_and_heat() -> None:
    base = suction_head_available(flooded_m=0.5, loss_m=0.2)
    assert suction_head_available(flooded_m=0.5, loss_m=0.4) == pytest.approx(base - 0.2, rel=1e-12)
    assert suction_head_available(flooded_m=0.5, loss_m=0.2, vapour_pa=7384.9) < base


def test_root_finder_on_hard_cases() -> None:
    assert bracketed_root(lambda x: x**3 - 2, 0, 2, what="x") == pytest.approx(2 ** (1 / 3), rel=1e-15)
    assert bracketed_root(lambda x: math.exp(-x) - 1e-9, 0, 100, what="x") == pytest.approx(math.log(1e9), rel=1e-14)
    assert bracketed_root(lambda x: (x - 0.3) ** 9, 0, 1, what="x") == pytest.approx(0.3, rel=1e-2)
    assert bracketed_root(lambda x: -1.0 if x < 0.7 else 1.0, 0, 1, what="x") == pytest.approx(0.7, rel=1e-14)
    assert rising_root(lambda x: x - 1e-7, 1.0, what="x") == pytest.approx(1e-7, rel=1e-12)
    for bad in (lambda x: 1.0, lambda x: math.nan):
        with pytest.raises(NoAnswer, match="no crossing"):
            bracketed_root(bad, 0, 1, what="x")


def test_energy_in_feet_and_metres() -> None:
    """Fittings: 0.02517 K q^2/d^4 in feet and cfs is K V^2/2g."""
    q, d = 0.2, 0.25
    speed = q / (math.pi / 4 * d**2)
    assert 0.02517 * 3 * q**2 / d**4 * FT == pytest.approx(minor_loss(speed * FT, 3), rel=1e-3)
