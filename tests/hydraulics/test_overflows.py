"""Water before the mouth of a level pipe: critical flow in a circle by another way, limits, invariants."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from scipy.optimize import brentq

from rillwright.errors import InputError
from rillwright.hydraulics import pipe_entry_flow, pipe_entry_head


@pytest.mark.parametrize("flow", [0.0002, 0.001, 0.002])
def test_part_full_as_another_solver_finds_it(flow: float) -> None:
    """Q^2 T = g A^3 in a circle of 100 mm, by depth with SciPy; energy y + V^2 / 2g. Chow 1959, from memory."""
    d, g = 0.1, 9.80665

    def circle(y: float) -> tuple[float, float]:
        half = math.acos(1 - 2 * y / d)
        return d**2 / 4 * (half - math.sin(half) * math.cos(half)), d * math.sin(half)

    def spare(y: float) -> float:
        area, width = circle(y)
        return g * area**3 - flow**2 * width

    y = brentq(spare, 1e-5, d - 1e-9, xtol=1e-13)
    area, _ = circle(y)
    assert pipe_entry_head(flow, d) == pytest.approx(y + (flow / area) ** 2 / (2 * g), rel=1e-6)


def test_under_water_it_is_an_opening() -> None:
    """Q = 0.6 A sqrt(2 g h): 20 L/s through 100 mm stand 0.92 m over its middle."""
    h = (0.020 / (0.6 * math.pi * 0.1**2 / 4)) ** 2 / (2 * 9.80665)
    assert pipe_entry_head(0.020, 0.1) == pytest.approx(0.05 + h)


def test_more_flow_stands_higher_and_a_wider_pipe_lower() -> None:
    heads = [pipe_entry_head(0.0002 * 1.3**i, 0.1) for i in range(20)]
    assert all(more > less for less, more in pairwise(heads))
    assert pipe_entry_head(0.003, 0.15) < pipe_entry_head(0.003, 0.1)
    assert pipe_entry_head(0.0, 0.1) == 0.0


def test_no_pipe_is_refused() -> None:
    with pytest.raises(InputError, match="inside_m"):
        pipe_entry_head(0.001, 0.0)


@pytest.mark.parametrize("head", [0.01, 0.03, 0.06, 0.09, 0.15, 0.5])
def test_the_most_that_runs_in_needs_that_head(head: float) -> None:
    """Turned round: a hair more stands higher. Between part full and under water head and flow leap."""
    flow = pipe_entry_flow(head, 0.1)
    assert pipe_entry_head(flow * (1.0 - 1e-6), 0.1) <= head * (1.0 + 1e-6)
    assert pipe_entry_head(flow * (1.0 + 1e-6), 0.1) >= head * (1.0 - 1e-6)


def test_no_head_lets_nothing_in() -> None:
    assert pipe_entry_flow(0.0, 0.1) == 0.0
    with pytest.raises(InputError, match="head_m"):
        pipe_entry_flow(-0.01, 0.1)
