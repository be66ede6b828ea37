"""Stones side by side, out of level, drowned, leaking: closed forms, sums over narrow strips, invariants."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import (
    SpillStone,
    flow_on_crest,
    head_on_crest,
    seep_under,
    shared_crest,
    submerged_share,
    tilted_crest,
)

C = 1.6
stones = st.builds(
    SpillStone,
    width_m=st.floats(0.1, 1.0),
    level_m=st.floats(-0.02, 0.02),
    tilt_m=st.sampled_from([0.0, 0.002, 0.01, 0.03]),
)
crests = st.lists(stones, min_size=1, max_size=5)
flows = st.floats(1e-5, 0.02)


@given(crest=crests, flow=flows)
def test_the_stones_together_carry_the_flow(crest: list[SpillStone], flow: float) -> None:
    found = shared_crest(crest, flow, coefficient=C)
    assert found.over_m3s == pytest.approx(flow, rel=1e-8)
    assert found.under_m3s == 0.0


@given(crest=crests, flow=flows)
def test_each_stone_carries_the_sum_of_its_strips(crest: list[SpillStone], flow: float) -> None:
    """C h^1.5 summed over 20,000 strips of each stone; closed form by midpoints."""
    found = shared_crest(crest, flow, coefficient=C)
    across = (np.arange(20_000) + 0.5) / 20_000
    for stone, water in zip(crest, found.stones, strict=True):
        depth = np.maximum(found.level_m - stone.level_m - stone.tilt_m * across, 0.0)
        assert water.flow_m3s == pytest.approx(float(np.mean(C * depth**1.5)) * stone.width_m, rel=1e-4, abs=1e-9)
        assert water.dry_share == pytest.approx(float(np.mean(depth <= 0.0)), abs=1e-4)


def test_level_stones_at_one_level_are_one_crest() -> None:
    pair = [SpillStone(width_m=0.25, level_m=1.0), SpillStone(width_m=0.35, level_m=1.0)]
    assert shared_crest(pair, 0.003, coefficient=C).level_m == pytest.approx(1.0 + head_on_crest(0.003, 0.6, C))


def test_two_stones_a_quarter_inch_apart() -> None:
    """By hand: 12 in each, water 1 in over the low one, 3/4 in over the high one: 1.5196 times the flow (h^1.5)."""
    low, high = SpillStone(width_m=0.3048, level_m=0.0), SpillStone(width_m=0.3048, level_m=0.00635)
    flow = flow_on_crest(0.0254, 0.3048, C) + flow_on_crest(0.01905, 0.3048, C)
    found = shared_crest([low, high], flow, coefficient=C)
    assert found.level_m == pytest.approx(0.0254, abs=1e-9)
    assert found.stones[0].flow_m3s / found.stones[1].flow_m3s == pytest.approx((4 / 3) ** 1.5, rel=1e-6)


@pytest.mark.parametrize("tilt", [0.001, 0.006, 0.02, 0.08])
def test_one_stone_out_of_level_is_the_tilted_crest(tilt: float) -> None:
    told = tilted_crest(0.0015, 0.3, tilt_m=tilt, coefficient=C)
    found = shared_crest([SpillStone(width_m=0.3, level_m=0.0, tilt_m=tilt)], 0.0015, coefficient=C)
    assert found.stones[0].low_end_m == pytest.approx(told.low_end_m, rel=1e-9)
    assert found.stones[0].dry_share == pytest.approx(told.dry_share, abs=1e-9)


@pytest.mark.parametrize("below", [0.005, 0.02, 0.1, 1.0])
def test_a_drowned_crest_follows_villemonte(below: float) -> None:
    """Villemonte 1947, in the SWMM reference manual II as eq. 6-26, turned round: the level that carries the flow."""
    found = shared_crest([SpillStone(width_m=0.5, level_m=0.0)], 0.002, coefficient=C, below_m=below)
    assert found.level_m > below
    share = submerged_share(below, found.level_m)
    assert flow_on_crest(found.level_m, 0.5, C) * share == pytest.approx(0.002, rel=1e-6)
    assert found.stones[0].drowned == pytest.approx(share)


@given(crest=crests, flow=flows, below=st.floats(-0.1, 0.1))
def test_more_flow_and_more_water_below_never_lower_the_level(
    crest: list[SpillStone], flow: float, below: float
) -> None:
    level = shared_crest(crest, flow, coefficient=C, below_m=below).level_m
    assert shared_crest(crest, 1.1 * flow, coefficient=C, below_m=below).level_m >= level - 1e-9
    assert shared_crest(crest, flow, coefficient=C, below_m=below + 0.01).level_m >= level - 1e-9


def test_what_goes_under_is_missing_above() -> None:
    stone = [SpillStone(width_m=0.4, level_m=0.0)]
    found = shared_crest(stone, 0.002, coefficient=C, under=lambda level: 0.0005)
    assert found.over_m3s == pytest.approx(0.0015)
    assert found.under_m3s == pytest.approx(0.0005)
    starved = shared_crest(stone, 0.002, coefficient=C, under=lambda level: 0.003)
    assert (starved.over_m3s, starved.under_m3s, starved.level_m) == (0.0, 0.002, 0.0)


def test_no_stone_is_refused_and_so_is_one_of_no_width() -> None:
    with pytest.raises(InputError, match="a stone at least"):
        shared_crest([], 0.001)
    with pytest.raises(InputError, match=r"stones\[1\].width_m"):
        shared_crest([SpillStone(width_m=0.3, level_m=0.0), SpillStone(width_m=0.0, level_m=0.0)], 0.001)


def _seep(joint: float = 0.01, head: float = 0.2) -> tuple[float, float]:
    found = seep_under(0.4, joint, along_m=0.45, head_m=head, grain_m=0.0127, porosity=0.4, roughness_m=0.003)
    return found.packed_m3s, found.open_m3s


def test_under_a_stone_an_open_joint_lets_more_through_than_a_packed_one() -> None:
    """Between them lie a packed joint by Ergun 1952 and an open slot; a smooth slot without friction is the most."""
    for joint in (0.003, 0.006, 0.01, 0.02):
        packed, open_ = _seep(joint)
        assert 0.0 < packed < open_ < 0.4 * joint * math.sqrt(2 * 9.80665 * 0.2 / 1.5)


def test_under_a_stone_more_with_the_joint_and_with_the_head() -> None:
    for rising in ([_seep(joint) for joint in (0.003, 0.006, 0.012)], [_seep(head=h) for h in (0.0, 0.05, 0.2, 0.4)]):
        for less, more in pairwise(rising):
            assert less[0] < more[0]
            assert less[1] < more[1]
