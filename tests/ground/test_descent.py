"""The way of water over triangles: on planes, cones and saddles, and against a walk in small steps."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.ground.sites import Height

from rillwright.ground import GroundData, Tin, bins_of, descend, levels_at, tin_of
from rillwright.ground.data import Floats


def grid(level: Height, *, half_m: float = 5.0, steps: int = 20, jitter: float = 0.0) -> Tin:
    """A surface through levels on a square grid, its places moved a little where `jitter` says so."""
    axis = np.linspace(-half_m, half_m, steps + 1)
    x, y = (each.ravel() for each in np.meshgrid(axis, axis))
    if jitter:
        moved = np.random.default_rng(4).uniform(-jitter, jitter, (2, len(x)))
        inside = (np.abs(x) < half_m) & (np.abs(y) < half_m)
        x, y = x + moved[0] * inside, y + moved[1] * inside
    return tin_of(GroundData(name="made", xyz=np.column_stack((x, y, level(x, y)))))


def walk(tin: Tin, start: tuple[float, float], *, step_m: float = 0.005) -> Floats:
    """Brute force: to the lowest of 720 places 5 mm away, again and again, until none lies lower."""
    bins = bins_of(tin)
    angle = np.linspace(0.0, 2.0 * math.pi, 720, endpoint=False)
    ring = step_m * np.column_stack((np.cos(angle), np.sin(angle)))
    here = np.array(start)
    while True:
        levels = levels_at(tin, np.concatenate((here[None, :], here + ring)), bins=bins)
        if np.isnan(levels).any() or levels[1:].min() >= levels[0]:
            return here
        here = here + ring[int(levels[1:].argmin())]


def test_on_a_plane_it_runs_straight_down_to_the_edge() -> None:
    """z = -0.3 x - 0.4 y falls 0.5 in the direction (3, 4): from (-1, -2) it meets y = 5 at x = 4.25."""
    tin = grid(lambda x, y: -0.3 * x - 0.4 * y)
    (found,) = descend(tin, [(-1.0, -2.0)])
    assert found.ends == "edge"
    assert found.way[-1] == pytest.approx((4.25, 5.0, -3.275), abs=1e-9)
    off = (found.way[:, 0] + 1.0) * 4.0 - (found.way[:, 1] + 2.0) * 3.0
    assert np.abs(off).max() < 1e-9


def test_into_a_cone_it_ends_at_its_foot_and_from_a_peak_at_the_edge() -> None:
    hollow, peak = grid(np.hypot), grid(lambda x, y: -np.hypot(x, y))
    for start in ((3.1, 1.7), (-2.0, 0.4), (0.3, -4.2)):
        (into,) = descend(hollow, [start])
        assert into.ends == "hollow"
        assert into.way[-1] == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)
        (off,) = descend(peak, [start])
        assert off.ends == "edge"
        assert max(abs(off.way[-1, :2])) == pytest.approx(5.0)


def test_from_a_saddle_it_runs_off_the_two_low_sides() -> None:
    """z = x^2 - y^2 falls along y on either side of the pass; from the pass itself the corner takes one of them."""
    tin = grid(lambda x, y: 0.1 * (x**2 - y**2))
    for start, side in (((2.0, 0.1), 5.0), ((2.0, -0.1), -5.0)):
        (found,) = descend(tin, [start])
        assert found.ends == "edge"
        assert found.way[-1, 1] == pytest.approx(side)
        assert abs(found.way[-1, 0]) < 2.0
    (pass_,) = descend(tin, [(0.0, 0.0)])
    assert abs(pass_.way[-1, 1]) == pytest.approx(5.0)


def test_in_a_gutter_it_follows_the_line_where_two_slopes_meet() -> None:
    """Two planes meet along y = 0, which itself falls to the right: off either slope it runs down the line."""
    tin = grid(lambda x, y: 0.2 * np.abs(y) - 0.05 * x)
    (found,) = descend(tin, [(-3.3, 2.2)])
    assert found.way[-1] == pytest.approx((5.0, 0.0, -0.25), abs=1e-9)
    along = found.way[found.way[:, 0] > 0.0]
    assert np.abs(along[:, 1]).max() < 1e-9


def test_a_shallow_hollow_is_filled_and_left_at_its_spill() -> None:
    """A slope of 10 in 100 with one corner 0.06 m under it, of which the slope is 0.05 a side: a hollow 10 mm deep. The
    way goes on to the foot of the slope where that is filled, and ends in it where it is not.
    """
    tin = grid(lambda x, y: -0.1 * x - 0.06 * ((np.abs(x) < 0.1) & (np.abs(y) < 0.1)))
    (bottom,) = np.flatnonzero((np.abs(tin.xyz[:, :2]) < 0.1).all(axis=1))
    start = [(-0.3, 0.02)]
    (short,) = descend(tin, start)
    assert short.ends == "hollow"
    assert short.way[-1] == pytest.approx(tin.xyz[bottom])
    (shallow,) = descend(tin, start, fills_m=0.009)
    assert shallow.ends == "hollow"
    (found,) = descend(tin, start, fills_m=0.011)
    assert found.ends == "edge"
    assert found.way[-1, 0] == pytest.approx(5.0)
    assert (np.diff(found.way[:, 2]) <= 0.0).all()
    in_hollow = found.way[(found.way[:, :2] ** 2).sum(axis=1) < 1e-12]
    assert in_hollow[:, 2] == pytest.approx(-0.05)  # its water stands at the lowest corner of its brim


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), x=st.floats(-4.5, 4.5), y=st.floats(-4.5, 4.5))
def test_with_every_hollow_filled_it_always_leaves(seed: int, x: float, y: float) -> None:
    rng = np.random.default_rng(seed)
    rough = rng.normal(0.0, 0.2, 21 * 21)
    tin = grid(lambda x, y: 0.05 * x + rough[: len(x)])
    (found,) = descend(tin, [(x, y)], fills_m=math.inf)
    assert found.ends == "edge"
    assert (np.diff(found.way[:, 2]) <= 1e-12).all()
    assert (found.way[:, 2] >= levels_at(tin, found.way[:, :2]) - 1e-9).all()


def test_on_level_ground_it_stands_and_off_the_ground_nothing_is_known() -> None:
    tin = grid(lambda x, y: 0.0 * x)
    flat, off = descend(tin, [(0.4, 0.3), (9.0, 0.0)])
    assert (flat.ends, len(flat.way)) == ("flat", 1)
    assert off.ends == "nowhere"
    assert math.isnan(off.way[0, 2])
    assert descend(tin, []) == ()


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10_000), x=st.floats(-4.5, 4.5), y=st.floats(-4.5, 4.5))
def test_on_rough_ground_it_never_rises_and_ends(seed: int, x: float, y: float) -> None:
    rng = np.random.default_rng(seed)
    rough = rng.normal(0.0, 0.2, 21 * 21)
    tin = grid(lambda x, y: 0.05 * x + rough[: len(x)])
    (found,) = descend(tin, [(x, y)])
    assert (np.diff(found.way[:, 2]) <= 0.0).all()
    assert levels_at(tin, found.way[:, :2]) == pytest.approx(found.way[:, 2], abs=1e-6)
    assert found.ends in ("hollow", "edge", "flat")
    if found.ends == "hollow":  # nothing about the place lies lower
        angle = np.linspace(0.0, 2.0 * math.pi, 32, endpoint=False)
        ring = found.way[-1, :2] + 1e-4 * np.column_stack((np.cos(angle), np.sin(angle)))
        about = levels_at(tin, ring)
        assert np.nanmin(about) >= found.way[-1, 2] - 1e-9


@pytest.mark.parametrize("start", [(-3.0, 2.0), (1.2, -3.4), (4.0, 4.1), (-4.4, -4.0)])
def test_against_a_walk_in_small_steps(start: tuple[float, float]) -> None:
    """Hills and hollows on a jittered grid: both ways end at one place."""
    tin = grid(lambda x, y: 0.3 * np.sin(x) + 0.3 * np.cos(1.3 * y) + 0.02 * x * y, jitter=0.2)
    (found,) = descend(tin, [start])
    assert found.way[-1, :2] == pytest.approx(walk(tin, start), abs=0.02)


def test_turned_and_moved_ground_turns_and_moves_the_way() -> None:
    tin = grid(lambda x, y: 0.3 * np.sin(x) + 0.3 * np.cos(1.3 * y), jitter=0.2)
    cos, sin = math.cos(0.7), math.sin(0.7)
    turn = np.array([[cos, sin], [-sin, cos]])
    moved = replace(tin, xyz=np.column_stack((tin.xyz[:, :2] @ turn + (30.0, -8.0), tin.xyz[:, 2])))
    starts = np.array([[1.1, -2.3], [-3.7, 0.2], [2.9, 4.4]])
    turned = descend(moved, [(float(x), float(y)) for x, y in starts @ turn + (30.0, -8.0)])
    for one, other in zip(descend(tin, [(float(x), float(y)) for x, y in starts]), turned, strict=True):
        assert other.way[-1, :2] == pytest.approx(one.way[-1, :2] @ turn + (30.0, -8.0), abs=1e-6)
        assert other.ends == one.ends
