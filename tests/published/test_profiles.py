"""Steady profiles against closed forms of shallow water; g is 9.81 as there."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from itertools import pairwise

import pytest
from scipy.integrate import quad
from tests.published.rows import Row, check

from rillwright.hydraulics import Profile, Section, SteadyChannel, by_manning, jump, steady_profile

G = 9.81
WIDE = 1e6  # so wide that R is the depth
DELESTRE = "Delestre et al. 2013, Int. J. Numer. Meth. Fluids 72(3); closed form computed outside this code"
MACDONALD = "MacDonald et al. 1997 as in Delestre et al. 2013, short channel; bed by quadrature outside this code"
Q, N = 2.0, 0.0328
K: float = (4 / G) ** (1 / 3)
JUMP_M = 200 / 3

Function = Callable[[float], float]


def line(x: float) -> float:
    """Depth of the case from calm to shooting [m]."""
    return K * (1 - (x - 50) / 200 + (x - 50) ** 2 / 30000)


def line_rate(x: float) -> float:
    return K * (-1 / 200 + (x - 50) / 15000)


_A = (0.674202, 21.7112, 14.492, 1.4305)


def jumping(x: float) -> float:
    """Depth of the case with a jump [m]."""
    d = x / 100 - 2 / 3
    if x <= JUMP_M:
        return K * (4 / 3 - x / 100) - 9 * x / 1000 * d
    return K * (_A[0] * d**4 + _A[0] * d**3 - _A[1] * d**2 + _A[2] * d + _A[3])


def jumping_rate(x: float) -> float:
    d = x / 100 - 2 / 3
    if x <= JUMP_M:
        return -K / 100 - 9 / 1000 * d - 9 * x / 1e5
    return K * (4 * _A[0] * d**3 + 3 * _A[0] * d**2 - 2 * _A[1] * d + _A[2]) / 100


def bed(depth: Function, rate: Function, x: float) -> float:
    """z by dz/dx = -(1 - q^2/(g h^3)) h' - n^2 q^2/h^(10/3), 0 at the lower end [m]."""

    def fall(s: float) -> float:
        return float((1 - Q * Q / (G * depth(s) ** 3)) * rate(s) + N * N * Q * Q / depth(s) ** (10 / 3))

    cuts = sorted({x, 100.0} | ({JUMP_M} if depth is jumping and x < JUMP_M else set()))
    return float(sum(quad(fall, a + 1e-12, b, epsabs=1e-12)[0] for a, b in pairwise(cuts)))


def solved(depth: Function, rate: Function, count: int) -> Profile:
    xs = [100 * i / count for i in range(count + 1)]
    channel = SteadyChannel(
        stations_m=tuple(xs),
        beds_m=tuple(bed(depth, rate, x) for x in xs),
        sections=(Section(bottom_m=WIDE),),
        law=by_manning(N),
    )
    return steady_profile(Q * WIDE, channel, level_m=depth(100), gravity_ms2=G)


def error(depth: Function, found: Profile, *, aside: float = 0.0) -> float:
    """Mean error of the depth [m], two cells either side of the jump left out."""
    far = [
        (x, y)
        for x, y in zip(found.stations_m, found.depths_m, strict=True)
        if not aside or abs(x - JUMP_M) > 2 * aside
    ]
    return sum(abs(y - depth(x)) for x, y in far) / len(far)


def test_the_beds_are_those_of_the_cases() -> None:
    for x, printed in ((5, "1.166058"), (25, "1.092101"), (45, "0.931394"), (75, "0.506938")):
        check(Row(partial(bed, line, line_rate, x), printed, MACDONALD))
    for x, printed in ((5, "2.578270"), (45, "2.386839"), (75, "1.004172")):
        check(Row(partial(bed, jumping, jumping_rate, x), printed, MACDONALD))
    assert bed(jumping, jumping_rate, 95) == pytest.approx(0.0507595, abs=5e-8)


def test_calm_to_shooting() -> None:
    """Second order or better, and the three printed depths at 400 cells within 2e-6 m."""
    errors = [error(line, solved(line, line_rate, count)) for count in (50, 100, 200)]
    assert math.log2(errors[0] / errors[2]) / 2 > 1.5
    found = solved(line, line_rate, 400)
    at = dict(zip(found.stations_m, found.depths_m, strict=True))
    for x, depth in ((5.0, 0.9584311), (45.0, 0.7606890), (75.0, 0.6642897)):
        assert at[x] == pytest.approx(depth, abs=2e-6)
    assert found.jumps == ()
    assert [froude < 1 for froude in found.froudes] == [x < 50 for x in found.stations_m[:-1]] + [False]
    assert error(line, found) < 1e-6


def test_a_jump_is_found_by_its_force() -> None:
    errors = [error(jumping, solved(jumping, jumping_rate, count), aside=100 / count) for count in (50, 100, 200)]
    assert math.log2(errors[0] / errors[2]) / 2 > 0.9
    found = solved(jumping, jumping_rate, 400)
    at = dict(zip(found.stations_m, found.depths_m, strict=True))
    for x, depth in ((5.0, 0.9793837), (65.0, 0.5164640), (75.0, 1.8447978), (95.0, 2.8277014)):
        assert at[x] == pytest.approx(depth, abs=3e-5)
    (one,) = found.jumps
    assert one.station_m == pytest.approx(JUMP_M, abs=2e-3)
    assert one.before_m == pytest.approx(0.494355, abs=2e-4)
    assert one.after_m == pytest.approx(1.060763, abs=5e-4)
    assert one.loss_m == pytest.approx(jump(0.494355, Q / 0.494355, gravity_ms2=G).loss_m, rel=5e-3)


def over_a_bump(flow: float, level: float | None, *, cells: int = 1000) -> Profile:
    xs = tuple(25 * i / cells for i in range(cells + 1))
    beds = tuple(max(0.0, 0.2 - 0.05 * (x - 10) ** 2) for x in xs)
    channel = SteadyChannel(stations_m=xs, beds_m=beds, sections=(Section(bottom_m=1.0),))
    return steady_profile(flow, channel, level_m=level, gravity_ms2=G)


def at(found: Profile, x: float) -> float:
    return found.depths_m[min(range(len(found.stations_m)), key=lambda i: abs(found.stations_m[i] - x))]


BUMPS = {
    "calm, 8.5": Row(lambda: at(over_a_bump(4.42, 2.0), 8.5), "1.879581", DELESTRE),
    "calm, 9": Row(lambda: at(over_a_bump(4.42, 2.0), 9.0), "1.787185", DELESTRE),
    "calm, top": Row(lambda: at(over_a_bump(4.42, 2.0), 10.0), "1.707347", DELESTRE),
    "through critical, top": Row(lambda: at(over_a_bump(1.53, 0.4), 10.0), "0.6202564", DELESTRE),
    "through critical, above": Row(lambda: at(over_a_bump(1.53, 0.4), 0.0), "1.0144468", DELESTRE),
    "through critical, below": Row(lambda: at(over_a_bump(1.53, 0.4), 20.0), "0.4057809", DELESTRE),
}


@pytest.mark.parametrize("row", BUMPS.values(), ids=BUMPS.keys())
def test_bumps(row: Row) -> None:
    check(row)


def test_a_bump_with_a_jump_loses_what_belanger_says() -> None:
    """q 0.18, level 0.33 below: where the jump stands follows from energy before it and after it, and equal force."""
    found = over_a_bump(0.18, 0.33, cells=2000)
    (one,) = found.jumps
    assert 11.0 < one.station_m < 12.0
    before = jump(one.before_m, 0.18 / one.before_m, gravity_ms2=G)
    assert one.after_m == pytest.approx(before.sequent_depth_m, rel=1e-3)
    critical = (0.18**2 / G) ** (1 / 3)
    assert found.energies_m[0] == pytest.approx(0.2 + 1.5 * critical, rel=1e-9)
    assert found.energies_m[-1] == pytest.approx(0.33 + (0.18 / 0.33) ** 2 / (2 * G), rel=1e-12)
    assert found.energies_m[0] - found.energies_m[-1] == pytest.approx(one.loss_m, rel=2e-2)


def test_shooting_down_a_plane() -> None:
    """Garden scale, 0.010 m2/s in at 0.02 m on a slope of 0.15 without friction: closed form, energy kept."""
    xs = tuple(i / 200 for i in range(2001))
    channel = SteadyChannel(stations_m=xs, beds_m=tuple(-0.15 * x for x in xs), sections=(Section(bottom_m=1.0),))
    found = steady_profile(0.010, channel, inflow_depth_m=0.02, gravity_ms2=G)
    for x, printed in ((0.5, "0.00711701"), (4.5, "0.00268868"), (9.5, "0.00187107")):
        check(Row(partial(at, found, x), printed, DELESTRE))


def test_a_gate_throat_lets_through_what_its_energy_says() -> None:
    """Closed form: a throat chokes when its width falls below b_c = Q / (sqrt(g) (2E/3)^1.5)."""
    flow, level = 1.0, 1.0
    energy = level + (flow / (2.0 * level)) ** 2 / (2 * G)
    choke = flow / (math.sqrt(G) * (2 * energy / 3) ** 1.5)
    xs = tuple(i / 10 for i in range(101))

    def through(throat: float) -> Profile:
        wide = [2.0 - (2.0 - throat) * math.exp(-((x - 5) ** 2)) for x in xs]
        channel = SteadyChannel(
            stations_m=xs, beds_m=(0.0,) * len(xs), sections=tuple(Section(bottom_m=b) for b in wide)
        )
        return steady_profile(flow, channel, level_m=level, gravity_ms2=G)

    free, choked = through(1.02 * choke), through(0.95 * choke)
    assert max(free.froudes) < 1
    assert free.energies_m[0] == pytest.approx(energy, rel=1e-9)
    assert max(choked.froudes) > 1
    assert choked.energies_m[0] == pytest.approx(1.5 * (flow / (0.95 * choke)) ** (2 / 3) / G ** (1 / 3), rel=1e-6)
    assert len(choked.jumps) == 1
