"""Shallow water against closed forms, its own invariants, and its twin."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from numpy.typing import NDArray
from tests.hydraulics.closed_forms import (
    DAM_M,
    MACDONALD_M,
    MACDONALD_N,
    MACDONALD_Q,
    PARABOLA_LENGTH_M,
    THACKER_M,
    G,
    bump_fast,
    bump_jump,
    bump_jump_at,
    bump_slow,
    inclined,
    macdonald_bed,
    macdonald_fast,
    macdonald_jump,
    parabola,
    ritter,
    stoker,
    thacker,
    thacker_bed,
    thacker_period,
)

from rillwright.errors import InputError, NoAnswer
from rillwright.hydraulics import Section, by_ferguson, normal_depth
from rillwright.hydraulics.shallow_water import (
    Channel,
    ChannelRun,
    ChannelState,
    Joint,
    JointKind,
    engine_of,
    ferguson_drag,
    held_m3,
    manning_drag,
    run_channel,
    still_water,
    straight_channel,
)

Floats = NDArray[np.float64]
NUMBA = pytest.mark.skipif(engine_of() != "numba", reason="numba is not installed on this Python")


def cells(n: int, length_m: float) -> Floats:
    return np.asarray((np.arange(n) + 0.5) * (length_m / n), np.float64)


def inflow(q: float) -> Joint:
    return Joint(face=0, kind=JointKind.INFLOW, first=q)


def held_at(depth_m: float) -> Joint:
    return Joint(face=0, kind=JointKind.DEPTH, first=depth_m)


OPEN = Joint(face=0, kind=JointKind.OPEN)


def l1(ours: Floats, closed: Floats) -> float:
    return float(np.mean(np.abs(ours - closed)) / np.mean(np.abs(closed)))


def order(errors: list[float]) -> float:
    """Of the first to the last, each on twice as many cells."""
    return math.log2(errors[0] / errors[-1]) / (len(errors) - 1)


# At rest


@pytest.mark.parametrize("surface_m", [0.5, 0.1], ids=["bump drowned", "bump dry"])
@pytest.mark.parametrize("banks_wet", [False, True])
def test_a_lake_stays_at_rest(surface_m: float, banks_wet: bool) -> None:
    """1 1 4 and 1 1 5, on a width that varies too: nothing moves, nothing is made."""
    n = 200
    bed = parabola(cells(n, PARABOLA_LENGTH_M))
    width = 1.0 + 0.3 * np.sin(np.linspace(0.0, 9.0, n + 1))
    channel = straight_channel(
        bed, PARABOLA_LENGTH_M / n, width_m=width, drag=ferguson_drag(0.02), banks_wet=banks_wet, gravity_ms2=G
    )
    start = still_water(channel, np.maximum(surface_m - bed, 0.0))
    run = run_channel(channel, start, 100.0)
    assert np.max(np.abs(run.state.speed)) < 1e-12
    np.testing.assert_allclose(run.state.depth, start.depth, rtol=0.0, atol=1e-13)
    assert abs(held_m3(channel, run.state) - held_m3(channel, start)) <= 1e-13 * held_m3(channel, start)


# Dam breaks


def dam(n: int, low_m: float) -> tuple[Floats, ChannelRun]:
    x = cells(n, 10.0)
    channel = straight_channel(np.zeros(n), 10.0 / n, gravity_ms2=G)
    return x, run_channel(channel, still_water(channel, np.where(x < 5.0, DAM_M, low_m)), 6.0)


@pytest.mark.parametrize(("closed", "low_m"), [(ritter, 0.0), (stoker, 0.001)], ids=["Ritter", "Stoker"])
def test_dam_break(closed: Callable[[Floats], tuple[Floats, Floats]], low_m: float) -> None:
    errors = []
    for n in (100, 200, 400):
        x, run = dam(n, low_m)
        errors.append(l1(run.state.depth[1:-1], closed(x)[0]))
    assert errors[1] < 0.01
    assert order(errors) >= 0.6  # a shock, or a front on dry ground


def test_the_dam_site_stands_still() -> None:
    """Ritter: at the dam 4/9 of the depth and 8/27 of h c, at any time; of what went through by the faces."""
    n = 800
    _, run = dam(n, 0.0)
    c = math.sqrt(G * DAM_M)
    assert run.through_m3[n // 2] / 6.0 == pytest.approx(8 / 27 * DAM_M * c, rel=5e-3)
    assert run.state.depth[n // 2] == pytest.approx(4 / 9 * DAM_M, rel=2e-2)


# Swinging


def swung(n: int, periods: float) -> tuple[Floats, Channel, ChannelState, ChannelRun]:
    x = cells(n, THACKER_M)
    channel = straight_channel(thacker_bed(x), THACKER_M / n, gravity_ms2=G)
    start = still_water(channel, thacker(x, time_s=0.0)[0])
    return x, channel, start, run_channel(channel, start, periods * thacker_period())


@pytest.mark.parametrize("periods", [1.0, 1.75, 5.0])
def test_water_that_swings_in_a_bowl(periods: float) -> None:
    """4 1 1: both shores run up and dry again, the surface stays a plane; at 1.75 the water is at its fastest."""
    depths, flows = [], []
    for n in (100, 200, 400):
        x, channel, start, run = swung(n, periods)
        h, u = thacker(x, time_s=periods * thacker_period())
        ours = run.state.depth[1:-1]
        fastest = float(np.mean(h)) * 0.5 * math.sqrt(G)
        depths.append(l1(ours, h))
        flows.append(float(np.mean(np.abs(ours * run.state.speed[1:-1] - h * u))) / fastest)
        assert held_m3(channel, run.state) == pytest.approx(held_m3(channel, start), rel=1e-12)
    assert depths[1] < 0.01
    assert flows[1] < 0.02
    assert order(depths) >= 0.9
    assert order(flows) >= 0.9


def test_the_surface_of_the_swinging_water_is_a_plane() -> None:
    """After five periods the plane it began with, a fall of 0.5 m a metre, where the water is deeper than 5 cm."""
    x, _, _, run = swung(400, 5.0)
    wet = run.state.depth[1:-1] > 0.05
    surface = run.state.depth[1:-1][wet] + thacker_bed(x[wet])
    closed = thacker(x[wet], time_s=0.0)[0] + thacker_bed(x[wet])
    np.testing.assert_allclose(surface, closed, rtol=0.0, atol=5e-3)
    assert np.polyfit(x[wet], surface, 1)[0] == pytest.approx(-0.5, rel=0.01)


# Steady


def settled(
    bed: Floats, length_m: float, start_m: Floats, *, q: float, down: Joint, time_s: float, n: float = 0.0
) -> ChannelRun:
    channel = straight_channel(
        bed,
        length_m / len(bed),
        drag=manning_drag(n, gravity_ms2=G),
        upstream=inflow(q),
        downstream=down,
        gravity_ms2=G,
    )
    first = run_channel(channel, still_water(channel, start_m), time_s)
    last = run_channel(channel, first.state, 10.0)
    np.testing.assert_allclose(last.through_m3 / 10.0, q, rtol=2e-4)  # by the faces: steady
    return last


def bump_errors(closed: Callable[[Floats], Floats], q: float, down: Joint, start: float) -> list[float]:
    errors = []
    for n in (100, 200, 400):
        x = cells(n, PARABOLA_LENGTH_M)
        bed = parabola(x)
        first = np.where((x > 10.0) & (down is OPEN), 0.1, np.maximum(start - bed, 0.1))
        run = settled(bed, PARABOLA_LENGTH_M, first, q=q, down=down, time_s=600.0)
        away = np.abs(x - bump_jump_at()) > 2.5 * PARABOLA_LENGTH_M / n if closed is bump_jump else x > 0.0
        errors.append(l1(run.state.depth[1:-1][away], closed(x)[away]))
    return errors


def test_slow_water_over_a_bump() -> None:
    errors = bump_errors(bump_slow, 4.42, held_at(2.0), 2.0)
    assert errors[1] < 0.005
    assert order(errors) >= 0.9


def test_water_that_turns_fast_on_a_bump() -> None:
    errors = bump_errors(bump_fast, 1.53, OPEN, 0.66)
    assert errors[1] < 0.005
    assert order(errors) >= 0.9


def test_a_jump_behind_a_bump() -> None:
    errors = bump_errors(bump_jump, 0.18, held_at(0.33), 0.33)
    assert errors[1] < 0.005
    assert order(errors) >= 0.6


@pytest.mark.parametrize(
    ("closed", "least"), [(macdonald_fast, 0.9), (macdonald_jump, 0.6)], ids=["slow to fast", "with a jump"]
)
def test_macdonald(closed: Callable[[Floats], tuple[Floats, Floats]], least: float) -> None:
    errors = []
    down = OPEN if closed is macdonald_fast else held_at(float(macdonald_jump(np.array([MACDONALD_M]))[0][0]))
    for n in (100, 200, 400):
        x = cells(n, MACDONALD_M)
        bed = macdonald_bed(closed, x)
        start = np.maximum(closed(x)[0], 0.7)
        run = settled(bed, MACDONALD_M, start, q=MACDONALD_Q, down=down, time_s=1500.0, n=MACDONALD_N)
        away = np.abs(x - 200 / 3) > 2.5 * MACDONALD_M / n if closed is macdonald_jump else x > 0.0
        errors.append(l1(run.state.depth[1:-1][away], closed(x)[0][away]))
    assert errors[1] < 0.005
    assert order(errors) >= least


def test_fast_water_down_a_plane() -> None:
    errors = []
    for n in (100, 200, 400):
        x = cells(n, 10.0)
        given = Joint(face=0, kind=JointKind.GIVEN, first=0.02, second=0.5)
        channel = straight_channel(-0.15 * x, 10.0 / n, upstream=given, downstream=OPEN, gravity_ms2=G)
        run = run_channel(channel, still_water(channel, np.full(n, 0.005)), 60.0)
        errors.append(l1(run.state.depth[1:-1], inclined(x)))
    assert errors[1] < 0.005
    assert order(errors) >= 0.9


@pytest.mark.parametrize("slope", [0.01, 0.05, 0.15])
def test_normal_depth_on_a_rough_bed(slope: float) -> None:
    """The variable-power law with wet banks, against the root of the steady form in `open_channel`."""
    n, q, width = 200, 0.005, 0.6
    channel = straight_channel(
        -slope * cells(n, 20.0),
        0.1,
        width_m=width,
        drag=ferguson_drag(0.05),
        banks_wet=True,
        upstream=inflow(q),
        downstream=OPEN,
    )
    run = run_channel(channel, still_water(channel, np.zeros(n)), 600.0)
    steady = normal_depth(q, Section(bottom_m=width), slope, law=by_ferguson(0.05)).depth_m
    assert run.state.depth[n // 2] == pytest.approx(steady, rel=1e-3)


def test_energy_is_kept_through_a_narrow_place() -> None:
    """No closed form of a depth at hand; slow water without friction keeps its energy and its flow."""
    errors = []
    for n in (100, 200, 400):
        width = 1.0 - 0.3 * np.exp(-((np.linspace(-5.0, 5.0, n + 1)) ** 2))
        channel = straight_channel(
            np.zeros(n), 10.0 / n, width_m=width, upstream=inflow(0.2), downstream=held_at(0.5), gravity_ms2=G
        )
        run = run_channel(channel, still_water(channel, np.full(n, 0.5)), 400.0)
        depth = run.state.depth[1:-1]
        speed = 0.2 / (channel.width[1:-1] * depth)
        errors.append(float(np.mean(np.abs(depth + speed**2 / (2 * G) - (0.5 + 0.4**2 / (2 * G))))))
    assert errors[1] < 1e-3
    assert order(errors) >= 0.9


# Invariants


@st.composite
def basins(draw: st.DrawFn) -> tuple[Channel, ChannelState]:
    """A closed basin of any bed and width, water in it, a crest across it, level or not, of one stone or two."""
    n = draw(st.integers(8, 40))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    bed = draw(st.sampled_from([0.01, 0.3, 2.0])) * rng.random(n)
    channel = straight_channel(
        bed,
        draw(st.sampled_from([0.05, 0.5])),
        width_m=0.2 + rng.random(n + 1),
        drag=draw(st.sampled_from([None, ferguson_drag(0.02), manning_drag(0.03)])),
        banks_wet=draw(st.booleans()),
    )
    top, tilt = float(bed.max()), draw(st.sampled_from([0.0, 0.005, 0.2]))
    crest = Joint(face=n // 2, kind=JointKind.CREST, first=top, second=0.3, third=1.7, tilt=tilt)
    beside = replace(crest, kind=JointKind.STONE, first=top + 0.01, second=0.2)
    depth = np.maximum(draw(st.sampled_from([0.05, 1.0])) * (rng.random(n) - 0.3), 0.0)
    stones = (beside, crest) if draw(st.booleans()) else (crest,)
    channel = replace(channel, joints=(*channel.joints, *stones))
    return channel, still_water(channel, depth)


@given(basins())
@settings(max_examples=60, deadline=None)
def test_nothing_is_lost_and_no_depth_is_negative(basin: tuple[Channel, ChannelState]) -> None:
    channel, start = basin
    run = run_channel(channel, start, 5.0)
    assert np.min(run.state.depth) >= 0.0
    before = held_m3(channel, start)
    assert abs(held_m3(channel, run.state) - before) <= 1e-12 * before
    still = run.state.depth <= 1e-6
    assert not run.state.speed[still].any()


@NUMBA
@given(basins())
@settings(max_examples=40, deadline=None)
def test_the_twin_takes_the_same_steps(basin: tuple[Channel, ChannelState]) -> None:
    channel, start = basin
    ours, twin = (run_channel(channel, start, 2.0, engine=engine) for engine in ("numba", "numpy"))
    assert ours.steps == twin.steps
    np.testing.assert_allclose(ours.state.depth, twin.state.depth, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(ours.through_m3, twin.through_m3, rtol=1e-9, atol=1e-12)


def test_what_runs_in_and_out_is_what_is_held() -> None:
    n = 100
    beds = 0.5 - 0.03 * cells(n, 5.0)
    crest = Joint(face=0, kind=JointKind.CREST, first=float(beds[-1]) + 0.05, second=0.4, third=1.64)
    channel = straight_channel(
        beds, 0.05, width_m=0.8, drag=ferguson_drag(0.02), banks_wet=True, upstream=inflow(0.0025), downstream=crest
    )
    run = run_channel(channel, still_water(channel, np.zeros(n)), 300.0)
    held = held_m3(channel, run.state)
    assert abs(run.through_m3[0] - run.through_m3[-1] - held) <= 1e-12 * held
    assert run.through_m3[0] == pytest.approx(0.75, rel=1e-12)


def test_a_weir_carries_its_own_flow() -> None:
    """Steady over the crest: Q = C b h^1.5 of the water before it."""
    n, c, width = 60, 1.64, 0.4
    crest = Joint(face=0, kind=JointKind.CREST, first=0.10, second=width, third=c)
    channel = straight_channel(
        np.zeros(n), 0.05, width_m=0.8, drag=ferguson_drag(0.02), upstream=inflow(0.0025), downstream=crest
    )
    run = run_channel(channel, still_water(channel, np.full(n, 0.1)), 300.0)
    assert run.state.depth[n] - 0.10 == pytest.approx((0.0025 / (c * width)) ** (2 / 3), rel=1e-3)


# What cannot be used


def test_the_bound_on_steps_says_where_it_stopped() -> None:
    channel = straight_channel(np.zeros(20), 0.05)
    start = still_water(channel, np.where(np.arange(20) < 10, 0.3, 0.0))
    with pytest.raises(NoAnswer, match=r"stopped .* s into 60 s after 50 steps at cell \d+, .* more than 50 steps"):
        run_channel(channel, start, 60.0, most_steps=50)


@pytest.mark.parametrize("engine", ["", "numpy"])
def test_water_without_bound_is_given_up(engine: str) -> None:
    channel = straight_channel(np.zeros(20), 0.05)
    start = still_water(channel, np.full(20, 0.1))
    mad = ChannelState(
        depth=start.depth, speed=np.full(22, 1e200), friction=start.friction, rest=start.rest, step_s=math.inf
    )
    with pytest.raises(NoAnswer, match="no time step is small enough"):
        run_channel(channel, mad, 1.0, engine=engine)


@pytest.mark.parametrize(
    "made",
    [
        lambda: straight_channel([], 0.1),
        lambda: straight_channel([0.0, math.nan], 0.1),
        lambda: straight_channel([0.0], 0.0),
        lambda: straight_channel([0.0], 0.1, width_m=0.0),
        lambda: straight_channel([0.0, 0.0], 0.1, width_m=[1.0, 1.0]),
        lambda: still_water(straight_channel([0.0], 0.1), [-0.1]),
        lambda: still_water(straight_channel([0.0], 0.1), [0.1, 0.1, 0.1, 0.1]),
        lambda: ferguson_drag(0.0),
        lambda: manning_drag(-0.1),
        lambda: engine_of("gpu"),
    ],
)
def test_what_cannot_be_used_is_refused(made: Callable[[], object]) -> None:
    with pytest.raises(InputError):
        made()


def test_sources_only_bring_water() -> None:
    channel = straight_channel([0.0, 0.0], 0.1)
    with pytest.raises(InputError):
        run_channel(channel, still_water(channel, [0.1, 0.1]), 1.0, sources_m3s=np.array([0.0, -1.0, 0.0, 0.0]))
