"""Valves, wanted shares, suction, the highest point of a pipe, a measured flow: closed forms, inverses, bounds."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

import pytest
from fluids.fittings import Cv_to_K, Kv_to_Cv, Kv_to_K
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import (
    Branch,
    Link,
    PipeLink,
    PipeNetwork,
    PumpLink,
    box_curve,
    darcy_weisbach,
    greatest_suction_lift,
    kv_of_cv,
    kv_of_loss_coefficient,
    loss_coefficient_of_kv,
    measured_run,
    minor_loss,
    needed_suction_head,
    network_flow,
    operating_point,
    pipe_speed,
    suction_head_available,
    summit,
    throttle,
    valve_settings,
)
from rillwright.sources import water_vapour_pressure

G = 9.80665
INCH = 0.0254


@given(st.floats(0.5, 500.0), st.floats(0.01, 0.2))
def test_flow_coefficients_against_fluids(kv: float, inside: float) -> None:
    ours = loss_coefficient_of_kv(kv, inside_m=inside)
    assert ours == pytest.approx(Kv_to_K(kv, inside), rel=1e-3)  # it takes 999.29 kg/m3
    assert kv_of_loss_coefficient(ours, inside_m=inside) == pytest.approx(kv, rel=1e-12)
    assert kv_of_cv(Kv_to_Cv(kv)) == pytest.approx(kv, rel=1e-4)


def test_flow_coefficients_in_us_units() -> None:
    """K = 891 d^4 / Cv^2, d in inches, and Kv = 0.865 Cv: seen on a maker's page; 891 is rounded up."""
    for inside_in, cv in ((1.0, 12.0), (2.0, 50.0), (3.0, 140.0)):
        ours = loss_coefficient_of_kv(kv_of_cv(cv), inside_m=inside_in * INCH)
        assert ours == pytest.approx(891 * inside_in**4 / cv**2, rel=2e-3)
        assert ours == pytest.approx(Cv_to_K(cv, inside_in * INCH), rel=1e-3)
    assert kv_of_cv(1.0) == pytest.approx(0.865, abs=5e-4)


def test_a_valve_takes_what_it_is_asked_to() -> None:
    k = throttle(1.7, flow_m3s=0.002, inside_m=0.05)
    assert minor_loss(pipe_speed(0.002, 0.05), k) == pytest.approx(1.7, rel=1e-12)
    assert throttle(0.0, flow_m3s=0.002, inside_m=0.05) == 0.0
    for flow in (0.0, -1.0, math.nan):
        with pytest.raises(InputError, match="flow_m3s"):
            throttle(1.0, flow_m3s=flow, inside_m=0.05)


CURVE = box_curve(6.0, 0.012)


def branches(wanted: list[tuple[float, float]]) -> list[Branch]:
    return [
        Branch(
            id=f"b{n}", wanted_m3s=flow, level_m=level, inside_m=0.04,
            loss=lambda q: darcy_weisbach(q, inside_m=0.04, length_m=6, roughness_m=1.5e-6, loss_k=2).loss_m,
        )
        for n, (flow, level) in enumerate(wanted)
    ]  # fmt: skip


def main_loss(flow: float) -> float:
    return darcy_weisbach(flow, inside_m=0.077, length_m=12, roughness_m=1.5e-6, loss_k=3).loss_m


@given(st.lists(st.tuples(st.floats(2e-4, 4e-3), st.floats(-0.5, 5.0)), min_size=1, max_size=4))
def test_the_settings_give_the_flows_in_the_network(wanted: list[tuple[float, float]]) -> None:
    """The valves set as told, the network solved anew brings just the share that was promised."""
    ways = branches(wanted)
    found = valve_settings(lambda q: CURVE.head(q) - main_loss(q), ways)
    assert 0.0 < found.share <= 1.0
    assert found.branches[found.open_branch].spare_m == pytest.approx(found.common_m)
    if found.share < 1.0:
        assert found.common_m == pytest.approx(0.0, abs=1e-9)
        assert "of the flows wanted" in found.outside
    links: list[Link] = [
        PumpLink(id="pump", start="pond", end="m", curve=CURVE),
        PipeLink(id="main", start="m", end="t", inside_m=0.077, length_m=12, roughness_m=1.5e-6, loss_k=3),
        *(
            PipeLink(
                id=way.id, start="t", end=f"o{way.id}", inside_m=0.04, length_m=6, roughness_m=1.5e-6,
                loss_k=2 + found.branches[way.id].valve_k, one_way=True,
            )
            for way in ways
        ),
    ]  # fmt: skip
    levels = {"pond": 0.0} | {f"o{way.id}": way.level_m for way in ways}
    solved = network_flow(PipeNetwork(links=tuple(links), levels_m=levels))
    for way in ways:
        assert solved.links[way.id].flow_m3s == pytest.approx(found.share * way.wanted_m3s, rel=1e-5, abs=1e-9)


def test_an_outlet_above_shut_off_gets_nothing() -> None:
    found = valve_settings(lambda q: CURVE.head(q) - main_loss(q), branches([(0.001, 1.0), (0.001, 6.5)]))
    assert (found.share, found.outside) == (0.0, "no water is lifted to b1")
    with pytest.raises(InputError, match="nothing branches off"):
        valve_settings(CURVE.head, [])
    with pytest.raises(InputError, match="wanted_m3s"):
        valve_settings(CURVE.head, branches([(0.0, 1.0)]))


def test_greatest_suction_lift_is_where_nothing_is_to_spare() -> None:
    lift = greatest_suction_lift(3.0, loss_m=0.4, margin_m=0.6)
    assert suction_head_available(flooded_m=-lift, loss_m=0.4) == pytest.approx(3.6, rel=1e-12)
    assert greatest_suction_lift(3.0, loss_m=0.4, vapour_pa=water_vapour_pressure(35.0)) < lift + 0.6


def test_needed_suction_head_between_points() -> None:
    points = ((0.001, 1.0), (0.003, 2.0), (0.004, 4.0))
    assert [needed_suction_head(points, q) for q in (0.0, 0.002, 0.0035, 0.005)] == pytest.approx([1, 1.5, 3, 6])
    assert needed_suction_head(((0.002, 1.5),), 0.009) == 1.5
    for wrong in ((), ((0.002, 1.0), (0.001, 2.0))):
        with pytest.raises(InputError, match="must rise"):
            needed_suction_head(wrong, 0.001)


def test_summit_by_bernoulli() -> None:
    """Water at rest 2 m under the summit stands 2 m below the air's pressure; 10.09 m lift it to its vapour at 20 C."""
    still = summit(0.0, level_m=2.0, speed_ms=0.0)
    assert still.pressure_m == -2.0
    assert still.absolute_pa == pytest.approx(101325 - 998.21 * G * 2, rel=1e-9)
    assert still.outside == ""
    highest = (101325 - water_vapour_pressure(20.0)) / (998.21 * G)
    assert highest == pytest.approx(10.11, abs=0.01)
    assert summit(0.0, level_m=highest - 0.01, speed_ms=0.0).outside == ""
    parted = summit(0.0, level_m=highest + 0.01, speed_ms=0.0)
    assert "parts" in parted.outside
    assert parted.spare_m == pytest.approx(-0.01, abs=1e-9)
    assert summit(0.0, level_m=2.0, speed_ms=2.0).pressure_m == pytest.approx(-2.0 - 4 / (2 * G))


def losses() -> list[Callable[[float], float]]:
    return [partial(_loss, share) for share in (0.8, 1.0, 1.2)]


def _loss(share: float, flow: float) -> float:
    return share * 1e4 * flow * flow


def test_a_measured_flow_at_the_operating_point_is_as_drawn() -> None:
    """H = 6 - 6 (Q/12)^2 and 2 m + 0.01 Q^2 in L/s: 4 = (0.041667 + 0.01) Q^2."""
    flow = math.sqrt(4 / (6 / 144 + 0.01)) * 1e-3
    found = measured_run(flow, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05)
    assert found.verdict == "as drawn"
    assert found.gap_m.value == pytest.approx(0.0, abs=1e-12)
    assert found.pump_share == pytest.approx(1.0)


def test_less_than_drawn_is_a_loss_or_a_worn_pump() -> None:
    found = measured_run(0.005, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05)
    gap = CURVE.head(0.005) - 2.0 - 0.25
    assert found.verdict == "less"
    assert found.gap_m.value == pytest.approx(gap)
    assert found.extra_k is not None
    assert minor_loss(pipe_speed(0.005, 0.05), found.extra_k) == pytest.approx(gap)
    assert found.pump_share == pytest.approx(2.25 / CURVE.head(0.005))
    more = measured_run(0.0105, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05)
    assert (more.verdict, more.extra_k) == ("more", None)
    beyond = measured_run(0.013, heads=[CURVE.head] * 3, static_m=-2.0, losses=losses(), inside_m=0.05)
    assert "beyond the end" in beyond.outside
    with pytest.raises(InputError, match="flow_m3s"):
        measured_run(0.0, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05)


@given(flow=st.floats(0.002, 0.009), error=st.floats(0.0, 0.3))
def test_what_the_meter_is_off_widens_the_gap_to_that_of_either_flow(flow: float, error: float) -> None:
    """By another way: the gap at the least and at the greatest flow that it may have been, each taken as exact."""
    found = measured_run(flow, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05, flow_error=error)
    at = [
        measured_run(flow * share, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05).gap_m
        for share in (1.0 + error, 1.0 - error)
    ]
    assert found.gap_m.low == pytest.approx(at[0].low, abs=1e-9)
    assert found.gap_m.high == pytest.approx(at[1].high, abs=1e-9)
    assert found.gap_m.low <= found.gap_m.value <= found.gap_m.high


def test_a_flow_that_a_bucket_may_have_missed_is_as_drawn() -> None:
    """A tenth less than computed: by a meter to the last drop a fault, by a bucket that may be a tenth off none."""
    drawn = operating_point(CURVE, 2.0, losses()[1]).flow_m3s
    exact, bucket = (
        measured_run(
            0.92 * drawn, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05, flow_error=error
        ).verdict
        for error in (0.0, 0.10)
    )
    assert (exact, bucket) == ("less", "as drawn")
    with pytest.raises(InputError, match="flow_error"):
        measured_run(drawn, heads=[CURVE.head] * 3, static_m=2.0, losses=losses(), inside_m=0.05, flow_error=1.0)
