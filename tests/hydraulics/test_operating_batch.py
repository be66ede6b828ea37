"""Operating points in batch: kernel against twin against the single one, over all regimes of flow."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import OperatingPoints, PumpCurve, darcy_weisbach, operating_point, operating_points

Case = dict[str, Any]


def designs(seed: int, count: int, *, weak: bool = False) -> Case:
    """Invented designs of garden size; `weak` ones creep through wide pipes, below and about Re 4000."""
    chance = np.random.default_rng(seed)
    shut_off, exponent = chance.uniform(3, 14, count), chance.uniform(1.2, 2.8, count)
    most = chance.uniform(5e-6, 3e-4, count) if weak else chance.uniform(1e-3, 1.2e-2, count)
    return {
        "static_m": shut_off * chance.uniform(-0.2, 1.05, count),
        "inside_m": chance.choice([0.0404, 0.052, 0.0773, 0.1016], count),
        "length_m": chance.uniform(0.5, 60, count),
        "roughness_m": chance.choice([0.0, 1.5e-6, 1e-5, 5e-5], count),
        "loss_k": chance.uniform(0, 12, count),
        "shut_off_m": shut_off,
        "drop": shut_off / most**exponent,
        "exponent": exponent,
    }


def alone(case: Case, n: int) -> tuple[float, float]:
    at = {name: float(column[n]) for name, column in case.items()}
    curve = PumpCurve(shut_off_m=at["shut_off_m"], drop=at["drop"], exponent=at["exponent"])
    pipe: Case = {name: at[name] for name in ("inside_m", "length_m", "roughness_m", "loss_k")}
    point = operating_point(curve, at["static_m"], lambda flow: darcy_weisbach(flow, **pipe).loss_m)
    return point.flow_m3s, point.head_m if point.runs else curve.shut_off_m


@pytest.mark.parametrize("weak", [False, True], ids=["usual", "creeping"])
@pytest.mark.parametrize("compiled", [True, False], ids=["kernel", "NumPy"])
def test_batch_is_the_single_one(weak: bool, compiled: bool) -> None:
    case = designs(5, 600, weak=weak)
    found = operating_points(**case, compiled=compiled)
    for n in range(600):
        flow, head = alone(case, n)
        assert found.flow_m3s[n] == pytest.approx(flow, rel=1e-10, abs=1e-15)
        assert found.head_m[n] == pytest.approx(head, rel=1e-8, abs=1e-8)


@given(st.integers(0, 10_000), st.booleans())
def test_kernel_and_twin_agree(seed: int, weak: bool) -> None:
    case = designs(seed, 300, weak=weak)
    kernel, twin = operating_points(**case), operating_points(**case, compiled=False)
    assert kernel.flow_m3s == pytest.approx(twin.flow_m3s, rel=1e-10, abs=1e-15)
    assert np.all(kernel.flow_m3s[case["static_m"] >= case["shut_off_m"]] == 0.0)


@pytest.mark.parametrize("compiled", [True, False], ids=["kernel", "NumPy"])
def test_one_number_for_all_and_a_block_and_one(compiled: bool) -> None:
    lifts = np.linspace(0.0, 8.5, 257)
    found = operating_points(
        static_m=lifts, inside_m=0.052, length_m=20, roughness_m=1.5e-6, loss_k=4, shut_off_m=8, drop=8 / 0.01**2,
        compiled=compiled,
    )  # fmt: skip
    assert isinstance(found, OperatingPoints)
    assert found.flow_m3s.shape == (257,)
    assert np.all(np.diff(found.flow_m3s[lifts < 8.0]) < 0.0)  # more lift, less flow
    assert np.all(found.flow_m3s[lifts >= 8.0] == 0.0)
    assert np.all(found.head_m[lifts >= 8.0] == 8.0)


def test_what_cannot_be_used_is_named() -> None:
    good: Case = {"static_m": 1.0, "inside_m": 0.05, "length_m": 10.0, "roughness_m": 0.0, "loss_k": 1.0, "drop": 1e5}
    good["shut_off_m"] = 5.0
    with pytest.raises(InputError, match=r"inside_m\[1\].*0"):
        operating_points(**{**good, "inside_m": [0.05, 0.0]})
    with pytest.raises(InputError, match="static_m"):
        operating_points(**{**good, "static_m": float("nan")})
    with pytest.raises(InputError, match="go together"):
        operating_points(**{**good, "static_m": [1.0, 2.0], "inside_m": [0.05] * 3})
