"""Crests of several stones, and out of level, in moving water: against the steady crest of the same stones."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from rillwright.hydraulics import SpillStone, shared_crest
from rillwright.hydraulics.shallow_water import (
    Joint,
    JointKind,
    ferguson_drag,
    run_channel,
    still_water,
    straight_channel,
)
from rillwright.hydraulics.shallow_water_twin import over

C = 1.64
ROWS = {
    "level": (SpillStone(width_m=0.4, level_m=0.10),),
    "out of level, all of it wet": (SpillStone(width_m=0.4, level_m=0.10, tilt_m=0.004),),
    "out of level, its high end dry": (SpillStone(width_m=0.4, level_m=0.10, tilt_m=0.06),),
    "three at their own levels": tuple(SpillStone(width_m=0.2, level_m=0.10 + up) for up in (0.0, 0.008, 0.012)),
    "one of them never reached": tuple(SpillStone(width_m=0.2, level_m=0.10 + up) for up in (0.0, 0.1)),
}


@pytest.mark.parametrize("engine", ["", "numpy"])
@pytest.mark.parametrize("stones", ROWS.values(), ids=ROWS)
def test_a_row_of_stones_stands_at_the_level_of_the_steady_crest(stones: tuple[SpillStone, ...], engine: str) -> None:
    """A pool of 3 m that 2.5 L/s run into: what stands over the stones once nothing changes (villemonte apart)."""
    n = 12 if engine else 60
    joints = [
        Joint(face=n, kind=JointKind.STONE, first=stone.level_m, second=stone.width_m, third=C, tilt=stone.tilt_m)
        for stone in stones
    ]
    joints = [*joints[1:], replace(joints[0], kind=JointKind.CREST)]
    channel = straight_channel(np.zeros(n), 3.0 / n, width_m=0.8, drag=ferguson_drag(0.02))
    walls = [joint for joint in channel.joints if joint.face == 0]
    channel = replace(channel, joints=(*walls, *joints))
    sources = np.zeros(n + 2)
    sources[1] = 0.0025
    start = still_water(channel, np.full(n, 0.1))
    run = run_channel(channel, start, 300.0, sources_m3s=sources, engine=engine)
    steady = shared_crest(stones, 0.0025, coefficient=C).level_m
    assert run.state.depth[n] - 0.10 == pytest.approx(steady - 0.10, rel=2e-3)


@pytest.mark.parametrize("flow_m3s", [1e-5, 1e-4, 1e-3, 1e-2])
@pytest.mark.parametrize("below_m", [-1.0, 0.011, 0.03])
@pytest.mark.parametrize("tilt_m", [0.0, 0.003, 0.02, 0.3])
def test_one_stone_free_and_drowned_is_that_of_the_steady_crest(flow_m3s: float, below_m: float, tilt_m: float) -> None:
    """What the steady solver says it carries at its level, closed form and villemonte-1947 in both."""
    stone = SpillStone(width_m=0.5, level_m=0.0, tilt_m=tilt_m)
    level = shared_crest([stone], flow_m3s, coefficient=C, below_m=below_m).level_m
    assert over(level, below_m, 0.0, 0.5, C, tilt_m) == pytest.approx(flow_m3s, rel=1e-4)


def test_more_water_before_it_goes_over_faster_and_a_tilt_changes_nothing_suddenly() -> None:
    heads = np.linspace(1e-4, 0.1, 400)
    for tilt in (0.0, 0.01, 0.05):
        flows = np.array([over(head, -1.0, 0.0, 0.5, C, tilt) for head in heads])
        assert (np.diff(flows) > 0.0).all()
    for head in (0.001, 0.02):
        level, hardly = (over(head, -1.0, 0.0, 0.5, C, tilt) for tilt in (0.0, 1.01e-6 * head))
        assert hardly == pytest.approx(level, rel=1e-5)


def test_stones_give_no_more_than_stands_before_them() -> None:
    """A film of water before two wide stones at one level: what leaves is held to what there is."""
    top = Joint(face=4, kind=JointKind.CREST, first=0.0, second=5.0, third=C)
    channel = straight_channel(np.concatenate([np.zeros(4), np.full(4, -1.0)]), 0.05, width_m=0.8)
    channel = replace(channel, joints=(*channel.joints, replace(top, kind=JointKind.STONE), top))
    start = still_water(channel, np.concatenate([np.full(4, 0.02), np.zeros(4)]))
    run = run_channel(channel, start, 5.0)
    assert run.state.depth.min() >= 0.0
    assert run.through_m3[4] == pytest.approx(4 * 0.05 * 0.8 * 0.02, rel=0.02)
