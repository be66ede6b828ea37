"""Many steady streams at once in NumPy: the twin of the compiled kernel, step for step the same."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rillwright.hydraulics.roughness import FERGUSON_A1, FERGUSON_A2

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

MOST_ROUNDS = 40
CLOSE = 1e-9  # energy left over, over the depth
DEEP, SHALLOW = 1e30, 1e-3  # m, deeper than any answer; of critical depth, thinner than any
BEYOND = 1 + 1e-9  # of critical depth, once calm water there has too little energy
RUBBED = 0.1  # of the depth: friction between two stations that takes more is taken by its logarithm
MOST_RISE = 2.0  # critical depths by which friction raises the first guess at most
CRITICAL = 1 - 1e-9  # of critical depth: below it the water shoots
_A1, _A2 = FERGUSON_A1**2, FERGUSON_A2**2


class _Station:
    """All designs at one station."""

    def __init__(self, flow: Floats, width: Floats, grain: Floats, gravity: float) -> None:
        self.width, self.over_grain = width, 1.0 / grain
        self.lift = 0.5 * (flow / width) ** 2 / gravity
        self.head = 2.0 * self.lift * grain * grain / (_A1 * _A2)
        self.critical = np.cbrt(2.0 * self.lift)

    def friction(self, y: Floats) -> tuple[Floats, Floats]:
        """Energy slope after Ferguson and its derivative by the depth."""
        over = 1.0 / y
        over_radius = (self.width + 2.0 * y) / self.width * over
        ratio = self.over_grain / over_radius
        power = _A2 * ratio * ratio / np.cbrt(ratio)
        bracket = _A1 + power
        slope = self.head * over * over * over_radius * over_radius * over_radius * bracket
        rate = (5.0 / 3.0 * power / bracket - 3.0) * (over * over / over_radius) - 2.0 * over
        return slope, slope * rate

    def energy(self, y: Floats) -> Floats:
        return y + self.lift / (y * y)

    def force(self, y: Floats) -> Floats:
        return 0.5 * y * y + 2.0 * self.lift / y


def streams(
    flow: Floats,
    beds: Floats,
    stations: Floats,
    widths: Floats,
    grain: Floats,
    level: Floats,
    held: Floats,
    gravity: float,
    even: bool,
    depth: Floats,
    shooting: Flags,
    settled: Flags,
) -> None:
    """Depths [m] and where the water shoots, into `depth` and `shooting` (stations, designs); `even` as there."""
    first = _Station(flow, widths[0], grain, gravity)
    at = [first if even else _Station(flow, width, grain, gravity) for width in widths]
    starts = _calm(at, beds, stations, level, held, depth, settled)
    if any(start.any() for start in starts[:-1]):
        _shoot(at, beds, stations, depth, shooting, settled, starts)


def _calm(
    at: list[_Station], beds: Floats, stations: Floats, level: Floats, held: Floats, depth: Floats, settled: Flags
) -> list[Flags]:
    last = len(at) - 1
    y = np.maximum(at[last].critical, np.maximum(level, held[last]) - beds[last])
    depth[last] = y
    slope, _ = at[last].friction(y)
    starts = [y <= at[last].critical]
    for i in range(last - 1, -1, -1):
        step = stations[i + 1] - stations[i]
        wanted = beds[i + 1] + at[i + 1].energy(y) - beds[i]
        guess = _guess(y + beds[i + 1] - beds[i], step * slope, at[i].critical)
        y, slope, good = _calm_root(at[i], guess, step, slope, wanted)
        settled &= good
        hold = held[i] - beds[i]
        if (hold > y).any():
            y = np.maximum(y, hold)
            slope, _ = at[i].friction(y)
        depth[i] = y
        starts.append(y <= at[i].critical)
    return starts[::-1]


def _guess(y: Floats, rise: Floats, least: Floats) -> Floats:
    most = MOST_RISE * least
    return np.where(rise > most, np.maximum(y, least) + most, y + rise)


def _calm_root(
    at: _Station, guess: Floats, step: Floats, below: Floats, wanted: Floats
) -> tuple[Floats, Floats, Flags]:
    y = np.maximum(at.critical, guess)
    good = np.zeros(y.shape, bool)
    root, slope = np.sqrt(below), below
    low, high = at.critical, np.full(y.shape, DEEP)
    for _ in range(MOST_ROUNDS):
        slope, rate = at.friction(y)
        lifted = at.lift / (y * y)
        share = root / (root + np.sqrt(slope))
        lost = 4.0 * step * share * share
        spare, taken = y + lifted - wanted, lost * slope
        excess = spare - taken
        good = (np.abs(excess) <= CLOSE * y) | ((y <= at.critical) & (excess >= 0.0))
        low = np.where(excess < 0.0, np.maximum(y, at.critical * BEYOND), low)
        high = np.where(excess >= 0.0, y, high)
        change, eased = 1.0 - 2.0 * lifted / y, lost * share * rate
        rubbed = (spare > 0.0) & (taken > RUBBED * y)
        above = np.where(rubbed, 2.0 * excess * spare * taken, excess)
        y = y - above / np.where(rubbed, (spare + taken) * (change * taken - eased * spare), change - eased)
        middle = np.where(high < DEEP, 0.5 * (low + high), 2.0 * low)
        middle = np.where((y < low) & (low <= at.critical), at.critical, middle)
        y = np.where((y >= low) & (y <= high), y, middle)
        if good.all():
            break
    return y, slope, good


def _shoot(
    at: list[_Station],
    beds: Floats,
    stations: Floats,
    depth: Floats,
    shooting: Flags,
    settled: Flags,
    starts: list[Flags],
) -> None:
    fast = np.where(starts[0], at[0].critical, -1.0)
    for i in range(1, len(at)):
        here, above = at[i], at[i - 1]
        from_ = np.where(fast > 0.0, fast, above.critical)
        step = stations[i] - stations[i - 1]
        wanted = beds[i - 1] + above.energy(from_) - beds[i]
        root, least = np.sqrt(above.friction(from_)[0]), here.critical
        slope, _ = here.friction(least)
        lost = 4.0 * step * slope * (root / (root + np.sqrt(slope))) ** 2
        runs = (fast > 0.0) & (here.energy(least) + lost < wanted)
        y, good = _fast_root(here, 0.9 * np.minimum(from_, least), step, root, wanted, runs)
        settled &= good
        fast = np.where(runs, y, np.where(starts[i], least, -1.0))
        held_to = np.where(fast > 0.0, fast, least)
        wins = (fast > 0.0) & ((depth[i] <= least) | (here.force(held_to) > here.force(depth[i])))
        shooting[i] = wins & (held_to < CRITICAL * least)
        depth[i] = np.where(wins, held_to, depth[i])


def _fast_root(
    at: _Station, guess: Floats, step: Floats, root: Floats, wanted: Floats, runs: Flags
) -> tuple[Floats, Flags]:
    y, good = guess, ~runs
    low, high = SHALLOW * at.critical, at.critical
    for _ in range(MOST_ROUNDS):
        slope, rate = at.friction(y)
        lifted = at.lift / (y * y)
        share = root / (root + np.sqrt(slope))
        lost = 4.0 * step * share * share
        excess = y + lifted + lost * slope - wanted
        good = (np.abs(excess) <= CLOSE * (y + lifted)) | ~runs
        low, high = np.where(excess > 0.0, y, low), np.where(excess <= 0.0, y, high)
        y = y - excess / (1.0 - 2.0 * lifted / y + lost * share * rate)
        y = np.where((y >= low) & (y <= high), y, 0.5 * (low + high))
        if good.all():
            break
    return y, good
