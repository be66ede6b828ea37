"""Nets and the two-peg test beyond the printed examples: bad input, weights, closed forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError, NoAnswer
from rillwright.survey import NetObservation, adjust_net, curvature_and_refraction_m, two_peg


def obs(start: str, end: str, rise: float, **weight: float) -> NetObservation:
    return NetObservation(start=start, end=end, rise_m=rise, **weight)


def test_two_lines_of_unequal_length_give_the_weighted_mean() -> None:
    net = adjust_net([obs("A", "B", 1.0, length_m=100.0), obs("A", "B", 1.3, length_m=200.0)], fixed={"A": 10.0})
    assert net.level_m("B") == pytest.approx(10 + (2 * 1.0 + 1.3) / 3, abs=1e-12)
    assert net.redundancy == 1


def test_no_redundancy_has_no_s0() -> None:
    net = adjust_net([obs("A", "B", 1.0, sigma_m=0.002)], fixed={"A": 0.0})
    assert (net.s0, net.redundancy, net.marks[0].sigma_m) == (None, 0, None)
    assert net.marks[0].sigma_prior_m == pytest.approx(0.002)


def test_marks_in_the_air_are_named() -> None:
    with pytest.raises(InputError, match="X, Y") as caught:
        adjust_net([obs("A", "B", 1.0), obs("X", "Y", 2.0)], fixed={"A": 0.0})
    assert "A" in caught.value.problems[0].found


@pytest.mark.parametrize(
    ("observations", "fixed"),
    [
        ([], {"A": 0.0}),
        ([obs("A", "A", 1.0)], {"A": 0.0}),
        ([obs("A", "B", math.nan)], {"A": 0.0}),
        ([obs("A", "B", 1.0)], {"A": math.inf}),
        ([obs("A", "B", 1.0, sigma_m=0.0)], {"A": 0.0}),
        ([obs("A", "B", 1.0, sigma_m=-1.0)], {"A": 0.0}),
        ([obs("A", "B", 1.0, length_m=math.nan)], {"A": 0.0}),
        ([obs("A", "B", 1.0, sigma_m=1.0), obs("A", "B", 1.0)], {"A": 0.0}),
        ([obs("A", "B", 1.0, sigma_m=1.0), obs("A", "B", 1.0, length_m=1.0)], {"A": 0.0}),
    ],
    ids=["nothing", "itself", "nan", "inf", "zero", "negative", "nan length", "some", "mixed"],
)
def test_unusable_nets(observations: list[NetObservation], fixed: dict[str, float]) -> None:
    with pytest.raises(InputError):
        adjust_net(observations, fixed=fixed)


def test_net_too_large_says_so() -> None:
    with pytest.raises(NoAnswer, match="3001"):
        adjust_net([obs(f"M{i}", f"M{i + 1}", 0.0) for i in range(3001)], fixed={"M0": 0.0})


@given(st.lists(st.integers(min_value=-5000, max_value=5000), min_size=3, max_size=12))
def test_true_rises_have_no_residuals(levels: list[int]) -> None:
    n = len(levels)
    pairs = [(i, (i + 1) % n) for i in range(n)] + [(0, n // 2)]
    lines = [obs(str(a), str(b), (levels[b] - levels[a]) / 1000) for a, b in pairs]
    net = adjust_net(lines, fixed={"0": levels[0] / 1000})
    assert max(abs(v) for v in net.residuals_m) < 1e-9
    for mark in net.marks:
        assert mark.level_m == pytest.approx(levels[int(mark.id)] / 1000, abs=1e-9)


def test_residuals_of_a_ring_share_the_misclosure_by_length() -> None:
    """Closed form: in one ring with weights 1/length, v = -c length / total (Ghilani and Wolf 2006, ch. 12)."""
    lengths = (100.0, 200.0, 50.0)
    lines = [obs(a, b, rise, length_m=d) for (a, b, rise), d in zip(
        (("A", "B", 1.0), ("B", "C", 0.5), ("C", "A", -1.465)), lengths, strict=True)]  # fmt: skip
    net = adjust_net(lines, fixed={"A": 0.0})
    assert net.residuals_m == pytest.approx([-0.035 * d / 350 for d in lengths], abs=1e-12)


@given(
    st.floats(min_value=-0.01, max_value=0.01),
    st.floats(min_value=-2, max_value=2),
    st.floats(min_value=1, max_value=60),
    st.floats(min_value=61, max_value=120),
)
def test_two_peg_finds_the_tilt_it_was_made_with(tilt: float, rise: float, near: float, far: float) -> None:
    middle = (2.0 + tilt * 30, 2.0 - rise + tilt * 30)
    end = (1.5 + tilt * near, 1.5 - rise + tilt * far)
    found = two_peg(middle, end, end_sights_m=(near, far), middle_sights_m=(30.0, 30.0))
    assert found.tilt == pytest.approx(tilt, abs=1e-9)
    assert found.true_difference_m == pytest.approx(-rise, abs=1e-9)
    assert found.corrected_b_m - found.corrected_a_m == pytest.approx(-rise, abs=1e-6)


@pytest.mark.parametrize(
    ("middle", "end", "sights"),
    [
        ((1.0, 1.0), (1.0, 1.0), (30.0, 30.0)),
        ((math.nan, 1.0), (1.0, 1.0), (1.0, 30.0)),
        ((1.0, 1.0), (1.0, 1.0), (-1.0, 30.0)),
    ],
    ids=["equal sights", "nan", "negative"],
)
def test_two_peg_that_says_nothing(
    middle: tuple[float, float], end: tuple[float, float], sights: tuple[float, float]
) -> None:
    with pytest.raises(InputError):
        two_peg(middle, end, end_sights_m=sights)


def test_curvature_grows_with_the_square() -> None:
    assert curvature_and_refraction_m(200) == pytest.approx(4 * curvature_and_refraction_m(100))
    assert curvature_and_refraction_m(40) < 0.0002
