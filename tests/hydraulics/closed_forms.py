"""Closed forms of one-dimensional shallow water: Delestre et al. 2013, Int. J. Numer. Meth. Fluids 72(3), 269-300.

The cases as that collection numbers them; g is 9.81 as there. Depths [m], speeds [m/s] at stations [m].
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
G = 9.81
DAM_M, DAM_AT_M, DAM_S = 0.005, 5.0, 6.0
PARABOLA_LENGTH_M = 25.0


def ritter(x: Floats, *, time_s: float = DAM_S) -> tuple[Floats, Floats]:
    """Dam break on a dry bed, 3 1 2."""
    c = math.sqrt(G * DAM_M)
    s = (x - DAM_AT_M) / time_s
    tail, front = ritter_ends(time_s=time_s)
    h = np.where(x < tail, DAM_M, np.where(x > front, 0.0, 4 / (9 * G) * (c - s / 2) ** 2))
    u = np.where((x < tail) | (x > front), 0.0, 2 / 3 * (s + c))
    return h, u


def ritter_ends(*, time_s: float = DAM_S) -> tuple[float, float]:
    """Stations where the water behind the dam begins to fall, and where the front is, of 3 1 2."""
    c = math.sqrt(G * DAM_M)
    return DAM_AT_M - c * time_s, DAM_AT_M + 2 * c * time_s


def stoker_middle(*, low_m: float = 0.001) -> tuple[float, float, float]:
    """Depth and speed of the plateau, and speed of the shock, of a dam break on a wet bed, 3 1 1."""
    c = math.sqrt(G * DAM_M)

    def miss(h: float) -> float:
        u = 2 * (c - math.sqrt(G * h))
        return u - (h - low_m) * math.sqrt(0.5 * G * (h + low_m) / (h * low_m))

    h = halved(miss, low_m, DAM_M)
    u = 2 * (c - math.sqrt(G * h))
    return h, u, h * u / (h - low_m)


def stoker(x: Floats, *, low_m: float = 0.001, time_s: float = DAM_S) -> tuple[Floats, Floats]:
    """Dam break on a wet bed, 3 1 1."""
    c = math.sqrt(G * DAM_M)
    middle, speed, _ = stoker_middle(low_m=low_m)
    s = (x - DAM_AT_M) / time_s
    fan = 2 / 3 * (s + c)
    parts = [x < each for each in stoker_ends(low_m=low_m, time_s=time_s)]
    h = np.select(parts, [DAM_M, 4 / (9 * G) * (c - s / 2) ** 2, middle], low_m)
    u = np.select(parts, [0.0, fan, speed], 0.0)
    return h, u


def stoker_ends(*, low_m: float = 0.001, time_s: float = DAM_S) -> tuple[float, float, float]:
    """Stations where the fan begins, where the plateau begins, and of the shock, of 3 1 1."""
    middle, speed, shock = stoker_middle(low_m=low_m)
    foot = speed - math.sqrt(G * middle)
    return DAM_AT_M - math.sqrt(G * DAM_M) * time_s, DAM_AT_M + foot * time_s, DAM_AT_M + shock * time_s


def parabola(x: Floats) -> Floats:
    """Bed with a bump, 1 1."""
    return np.maximum(0.0, 0.2 - 0.05 * (x - 10.0) ** 2)


def halved(miss: Callable[[float], float], low: float, high: float) -> float:
    """Where `miss` changes sign."""
    rising = miss(high) > 0
    for _ in range(100):
        middle = 0.5 * (low + high)
        if (miss(middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return 0.5 * (low + high)


def by_energy(energy_m: Floats, q: float, *, fast: bool) -> Floats:
    """Depth with that energy above the bed: the slow one, or the fast one."""
    critical = math.pow(q * q / G, 1 / 3)
    ends = (1e-6, critical) if fast else (critical, 100.0)

    def depth(energy: float) -> float:
        if energy <= 1.5 * critical:
            return critical
        return halved(lambda h: h + q * q / (2 * G * h * h) - energy, *ends)

    return np.array([depth(float(each)) for each in energy_m])


def bump_slow(x: Floats) -> Floats:
    """1 1 1: q 4.42, 2 m at the end."""
    return by_energy(2.0 + 4.42**2 / (2 * G * 4.0) - parabola(x), 4.42, fast=False)


def bump_fast(x: Floats) -> Floats:
    """1 1 2: q 1.53, critical on the bump, fast beyond it."""
    energy = 1.5 * (1.53**2 / G) ** (1 / 3) + 0.2 - parabola(x)
    return np.where(x < 10.0, by_energy(energy, 1.53, fast=False), by_energy(energy, 1.53, fast=True))


def bump_jump_at() -> float:
    """Station of the jump of 1 1 3: q 0.18, 0.33 m at the end (both from memory)."""
    above = 1.5 * (0.18**2 / G) ** (1 / 3) + 0.2
    below = 0.33 + 0.18**2 / (2 * G * 0.33**2)

    def miss(x: float) -> float:
        z = parabola(np.array([x]))
        fast = float(by_energy(above - z, 0.18, fast=True)[0])
        slow = float(by_energy(below - z, 0.18, fast=False)[0])
        return slow - 0.5 * fast * (math.sqrt(1 + 8 * 0.18**2 / (G * fast**3)) - 1)

    return halved(miss, 10.5, 11.99)


def bump_jump(x: Floats) -> Floats:
    """1 1 3."""
    above = 1.5 * (0.18**2 / G) ** (1 / 3) + 0.2 - parabola(x)
    below = 0.33 + 0.18**2 / (2 * G * 0.33**2) - parabola(x)
    slow, fast = by_energy(above, 0.18, fast=False), by_energy(above, 0.18, fast=True)
    return np.where(x < 10.0, slow, np.where(x < bump_jump_at(), fast, by_energy(below, 0.18, fast=False)))


MACDONALD_Q, MACDONALD_N, MACDONALD_M = 2.0, 0.0328, 100.0
_K = (4 / G) ** (1 / 3)


def macdonald_fast(x: Floats) -> tuple[Floats, Floats]:
    """Depth and its slope of 1 2 2 6: slow to fast, short channel, Manning."""
    d = x - 50.0
    return _K * (1 - d / 200 + d**2 / 30000), _K * (-1 / 200 + d / 15000)


def macdonald_jump(x: Floats) -> tuple[Floats, Floats]:
    """Depth and its slope of 1 2 2 2: slow to fast to slow through a jump at two thirds."""
    d = x / 100 - 2 / 3
    a1, a2, a3, a4 = 0.674202, 21.7112, 14.492, 1.4305
    h = np.where(
        d <= 0,
        _K * (4 / 3 - x / 100) - 9 * x / 1000 * d,
        _K * (a1 * d**4 + a1 * d**3 - a2 * d**2 + a3 * d + a4),
    )
    slope = np.where(
        d <= 0,
        -_K / 100 - 9 / 1000 * (2 * x / 100 - 2 / 3),
        _K / 100 * (4 * a1 * d**3 + 3 * a1 * d**2 - 2 * a2 * d + a3),
    )
    return h, slope


def macdonald_bed(depth: Callable[[Floats], tuple[Floats, Floats]], x: Floats, *, parts: int = 200_000) -> Floats:
    """Bed of a MacDonald case: dz/dx = -(1 - q^2/(g h^3)) h' - n^2 q^2 / h^(10/3), none at the end."""
    edges = np.linspace(0.0, MACDONALD_M, parts + 1)
    middles = 0.5 * (edges[1:] + edges[:-1])
    h, slope = depth(middles)
    q = MACDONALD_Q
    falls = -(1 - q * q / (G * h**3)) * slope - MACDONALD_N**2 * q * q / h ** (10 / 3)
    z = np.concatenate([[0.0], np.cumsum(falls) * (edges[1] - edges[0])])
    return np.asarray(np.interp(x, edges, z - z[-1]))


def inclined(x: Floats, *, q: float = 0.010, first_m: float = 0.02, slope: float = 0.15) -> Floats:
    """0 1 1 at garden scale: fast water down a plane without friction."""
    return by_energy(first_m + (q / first_m) ** 2 / (2 * G) + slope * x, q, fast=True)


THACKER_M, _BOWL_DEEP_M, _BOWL_WIDE_M = 4.0, 0.5, 1.0


def thacker_period() -> float:
    """Time [s] that the water of 4 1 1 takes to come back."""
    return 2 * math.pi * _BOWL_WIDE_M / math.sqrt(2 * G * _BOWL_DEEP_M)


def thacker_bed(x: Floats) -> Floats:
    """Parabola of 4 1 1, its rim at level 0."""
    return _BOWL_DEEP_M * (((x - THACKER_M / 2) / _BOWL_WIDE_M) ** 2 - 1)


def thacker(x: Floats, *, time_s: float) -> tuple[Floats, Floats]:
    """A plane of water that swings in a parabola without friction, 4 1 1; the form from memory."""
    turn = 2 * math.pi * time_s / thacker_period()
    away = (x - THACKER_M / 2) / _BOWL_WIDE_M + 0.5 * math.cos(turn)
    h = np.maximum(_BOWL_DEEP_M * (1 - away**2), 0.0)
    speed = 0.5 * math.sqrt(2 * G * _BOWL_DEEP_M) * math.sin(turn)
    return h, np.where(h > 0.0, speed, 0.0)
