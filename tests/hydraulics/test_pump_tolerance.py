"""A maker's tolerance round a pump's curve: the cross of an acceptance test, bounds, the points that follow."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import (
    PumpCurve,
    PumpLink,
    accepted,
    box_curve,
    operating_point,
    power_curve,
    pump_curve,
    scaled,
)

CURVES = (
    box_curve(5.0, 0.004, exponent=1.5),
    box_curve(5.0, 0.004, exponent=2.5),
    power_curve(((0.0, 8.0), (0.005, 6.0), (0.010, 0.0))),
    pump_curve(((0.0, 6.0), (0.001, 5.5), (0.003, 4.0), (0.005, 1.2))),
)


@given(
    curve=st.sampled_from(CURVES),
    at=st.floats(0.01, 0.9),
    head_share=st.floats(0.0, 0.3),
    flow_share=st.floats(0.0, 0.09),
)
def test_the_lowest_curve_that_passes_just_touches_one_bar_of_the_cross(
    curve: PumpCurve, at: float, head_share: float, flow_share: float
) -> None:
    """ISO 9906 (from memory): round the printed point stands a cross, tH up and down, tQ to each side; a curve that
    meets either bar passes. So the lowest one runs through the foot of the one or the end of
    the other, and over neither."""
    flow = at * curve.greatest_flow_m3s
    head = curve.head(flow)
    low = accepted(curve, head_share=head_share, flow_share=flow_share, lowest=True)
    at_foot = low.head(flow) - (1.0 - head_share) * head
    at_end = low.head((1.0 - flow_share) * flow) - head
    assert at_foot <= 1e-9
    assert at_end <= 1e-9
    by_head = scaled(curve, flow_share=1.0, head_share=1.0 - head_share)
    by_flow = scaled(curve, flow_share=1.0 - flow_share, head_share=1.0)
    assert low.head(flow) == pytest.approx(min(by_head.head(flow), by_flow.head(flow)), abs=1e-12)


@given(
    curve=st.sampled_from(CURVES),
    lift=st.floats(0.0, 6.5),
    loss=st.floats(0.0, 4e5),
    head_share=st.floats(0.0, 0.3),
    flow_share=st.floats(0.0, 0.3),
)
def test_points_at_the_ends_are_the_further_of_the_two(
    curve: PumpCurve, lift: float, loss: float, head_share: float, flow_share: float
) -> None:
    """By another way: solve with the heads off and with the flows off, and take the further flow."""

    def lost(flow_m3s: float) -> float:
        return loss * flow_m3s**2

    for lowest, way in ((True, -1.0), (False, 1.0)):
        both = [
            operating_point(scaled(curve, flow_share=1.0, head_share=1.0 + way * head_share), lift, lost),
            operating_point(scaled(curve, flow_share=1.0 + way * flow_share, head_share=1.0), lift, lost),
        ]
        end = accepted(curve, head_share=head_share, flow_share=flow_share, lowest=lowest)
        got = operating_point(end, lift, lost)
        wanted = (min if lowest else max)(each.flow_m3s for each in both)
        assert got.flow_m3s == pytest.approx(wanted, rel=1e-9, abs=1e-12)
        usual = operating_point(curve, lift, lost)
        assert (got.flow_m3s - usual.flow_m3s) * way >= -1e-12


def test_by_hand() -> None:
    """H = 8 - 0.08 Q^2 (m, L/s) against 3 m without loss: Q = sqrt(5/0.08) = 7.9057 L/s. Heads 7 % low,
    7.44 - 0.0744 Q^2: sqrt(4.44/0.0744) = 7.7251; flows 9 % low: 0.91 x 7.9057 = 7.1942, which is the further.
    Against a lift of 7.5 m it is the head's turn: 7.44 m of shut-off lift nothing at all."""
    low = accepted(CURVES[2], head_share=0.07, flow_share=0.09, lowest=True)
    high = accepted(CURVES[2], head_share=0.07, flow_share=0.09, lowest=False)
    none = lambda flow: 0.0  # noqa: E731
    assert operating_point(CURVES[2], 3.0, none).flow_m3s * 1e3 == pytest.approx(7.9057, abs=5e-5)
    assert operating_point(low, 3.0, none).flow_m3s * 1e3 == pytest.approx(7.1942, abs=5e-5)
    assert operating_point(high, 3.0, none).flow_m3s * 1e3 == pytest.approx(1.09 * 7.9057, abs=5e-5)
    assert not operating_point(low, 7.5, none).runs
    assert operating_point(CURVES[2], 7.5, none).runs


@pytest.mark.parametrize("curve", CURVES)
@pytest.mark.parametrize("lowest", [True, False])
def test_both_ways_agree_and_the_slope_is_its_own(curve: PumpCurve, lowest: bool) -> None:
    end = accepted(curve, head_share=0.07, flow_share=0.09, lowest=lowest)
    for i in range(1, 40):
        flow = end.greatest_flow_m3s * i / 40.37
        head, step = end.head(flow), 1e-7 * end.greatest_flow_m3s
        assert end.flow(head) == pytest.approx(flow, rel=1e-9)
        assert end.steepness(flow) == pytest.approx(
            (end.head(flow - step) - end.head(flow + step)) / (2 * step), rel=0.02
        )
    assert end.head(0.0) == pytest.approx(end.shut_off_m)
    assert end.head(end.greatest_flow_m3s) == pytest.approx(0.0, abs=1e-9)


def test_a_link_takes_it_and_its_loss_rises_with_the_flow() -> None:
    link = PumpLink(
        id="p", start="a", end="b", curve=accepted(CURVES[3], head_share=0.07, flow_share=0.09, lowest=True)
    )
    lost = [link.drop(0.0006 * i)[0] for i in range(-2, 10)]
    assert lost == sorted(lost)


@pytest.mark.parametrize("share", [-0.01, 1.0, 1.5, math.nan])
def test_what_is_no_tolerance_is_refused(share: float) -> None:
    with pytest.raises(InputError, match="head_share"):
        accepted(CURVES[0], head_share=share, flow_share=0.0, lowest=True)
    with pytest.raises(InputError, match="flow_share"):
        accepted(CURVES[0], head_share=0.0, flow_share=share, lowest=True)
