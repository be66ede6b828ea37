"""The compiled kernel of many steady streams at once: lanes of designs side by side, station after station.

Loaded by the function that runs it: it costs half a second, and the first time on a machine some more.

All that a lane needs lies in one flat array, each quantity `LANES` apart: then the compiler sees that nothing overlaps
and works on several lanes at once. Lanes left over in the last round repeat its last design.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from rillwright.hydraulics._stream_twin import (
    BEYOND,
    CLOSE,
    CRITICAL,
    DEEP,
    MOST_RISE,
    MOST_ROUNDS,
    RUBBED,
    SHALLOW,
)
from rillwright.hydraulics.roughness import FERGUSON_A1, FERGUSON_A2

LANES = 64
_TOGETHER = 4  # rounds of all lanes; the few that are not settled then go on by themselves
_A1, _A2 = FERGUSON_A1**2, FERGUSON_A2**2
_QUANTITIES = 21
Y, SLOPE, ENERGY, LIFT, HEAD, LEAST, STEP, WANTED, OVER_WIDTH, OVER_GRAIN, LEFT, FAST, ROOT, LOW, HIGH = (
    k * LANES for k in range(15)
)
FLOW, WIDTH, GRAIN, BED, STATION, HELD = (k * LANES for k in range(15, _QUANTITIES))
_HIGH, _THIRD, _MAGIC = np.uint64(32), np.uint64(0x55555556), np.uint64(0x553EF0FF)
_FLAGS = {"nnan", "ninf", "nsz", "contract", "arcp"}


@njit(inline="always", fastmath=_FLAGS, error_model="numpy")
def _inverse_cube_root(x):  # type: ignore[no-untyped-def]
    """x^(-1/3) to 1e-10, without a power: a guess from the exponent, then Newton."""
    high = np.float64(x).view(np.uint64) >> _HIGH
    y = np.uint64((_MAGIC - ((high * _THIRD) >> _HIGH)) << _HIGH).view(np.float64)
    third = x * 0.3333333333333333
    y = y * (1.3333333333333333 - third * y * y * y)
    y = y * (1.3333333333333333 - third * y * y * y)
    return y * (1.3333333333333333 - third * y * y * y)


@njit(inline="always", fastmath=_FLAGS, error_model="numpy")
def _friction(y, width, over_width, over_grain, head):  # type: ignore[no-untyped-def]
    """1/depth, energy slope after Ferguson and its derivative by the depth; `head` is q^2 D84^2 / (a1^2 a2^2 g)."""
    edge = width + 2.0 * y
    both = 1.0 / (y * edge)  # one division for the two that are needed
    over = edge * both
    spread = width * both  # R'/R
    over_radius = edge * over_width * over
    ratio = over_grain * y * y * spread
    power = _A2 * ratio * ratio * _inverse_cube_root(ratio)
    bracket = _A1 + power
    scale = head * over * over * over_radius * over_radius * over_radius
    slope = scale * bracket
    change = scale * ((1.6666666666666667 * power - 3.0 * bracket) * spread - 2.0 * over * bracket)
    return over, slope, change


@njit(inline="always", fastmath=_FLAGS, error_model="numpy")
def _copied(row, n, w, to):  # type: ignore[no-untyped-def]
    """A row of designs into the lanes, the last one repeated."""
    for d in range(n):
        w[to + d] = row[d]
    for d in range(n, LANES):
        w[to + d] = row[n - 1]


@njit(inline="always", fastmath=_FLAGS, error_model="numpy")
def _constants(w, gravity):  # type: ignore[no-untyped-def]
    """What a station's width makes of each lane's flow: q^2/2g, what friction needs, critical depth."""
    for d in range(LANES):
        over = 1.0 / w[WIDTH + d]
        unit = w[FLOW + d] * over
        lift = 0.5 * unit * unit / gravity
        root = _inverse_cube_root(2.0 * lift)
        w[LIFT + d] = lift
        w[HEAD + d] = 2.0 * lift * w[GRAIN + d] * w[GRAIN + d] / (_A1 * _A2)
        w[LEAST + d] = 2.0 * lift * root * root
        w[OVER_WIDTH + d] = over


@njit(inline="always", fastmath=_FLAGS, error_model="numpy")
def _read(w):  # type: ignore[no-untyped-def]
    """Energy slope [-] and energy over the bed [m] at the depths."""
    for d in range(LANES):
        y = w[Y + d]
        over, w[SLOPE + d], _ = _friction(y, w[WIDTH + d], w[OVER_WIDTH + d], w[OVER_GRAIN + d], w[HEAD + d])
        w[ENERGY + d] = y + w[LIFT + d] * over * over


@njit(fastmath=_FLAGS, error_model="numpy", nogil=True, cache=True)
def streams(flow, beds, stations, widths, grain, level, held, gravity, even, depth, shooting, settled):  # type: ignore[no-untyped-def]
    """Depths [m] and where the water shoots, into `depth` and `shooting` of shape (stations, designs).

    `even`: no design changes its width along the flow, which saves working out anew what hangs on it.
    """
    count, designs = beds.shape
    start = np.zeros((count, LANES + 1))  # the last of a row: how many start there
    w = np.empty(_QUANTITIES * LANES)
    for first in range(0, designs, LANES):
        last = min(first + LANES, designs)
        _copied(flow[first:last], last - first, w, FLOW)
        _copied(grain[first:last], last - first, w, GRAIN)
        for d in range(LANES):
            w[OVER_GRAIN + d] = 1.0 / w[GRAIN + d]
        well = settled[first:last]
        if _calm(beds, stations, widths, level, held, gravity, even, depth, well, first, last, start, w):
            _shoot(beds, stations, widths, gravity, even, depth, shooting, well, first, last, start, w)


@njit(inline="always", fastmath=_FLAGS, error_model="numpy")
def _calm_round(y, low, high, least, step, wanted, root, lift, width, over_width, over_grain, head):  # type: ignore[no-untyped-def]
    """One round of one lane of calm water: Newton, or halving where it leaves what is known of the root.

    Where friction takes much, Newton for the logarithms of what is to spare and what it takes, which are nearly
    straight, with 2 (a - b) / (a + b) for ln a/b. Slope, energy and what is left over at the depth that came in; the
    next depth and the bracket.
    """
    over, slope, rate = _friction(y, width, over_width, over_grain, head)
    lifted = lift * over * over
    share = root / (root + np.sqrt(slope))
    lost = 4.0 * step * share * share
    spare, taken = y + lifted - wanted, lost * slope
    excess = spare - taken
    left = abs(excess) - CLOSE * y
    # calm water cannot stand at critical depth with energy to spare: that is an answer too
    left = left if (excess < 0.0) | (y > least) else -1.0
    low = max(y, least * BEYOND) if excess < 0.0 else low
    high = y if excess >= 0.0 else high
    change, eased = 1.0 - 2.0 * lifted * over, lost * share * rate
    rubbed = (spare > 0.0) & (taken > RUBBED * y)
    above = 2.0 * excess * spare * taken if rubbed else excess
    below = (spare + taken) * (change * taken - eased * spare) if rubbed else change - eased
    following = y - above / below
    middle = 0.5 * (low + high) if high < DEEP else 2.0 * low
    middle = least if (following < low) & (low <= least) else middle
    inside = (following >= low) & (following <= high)
    return slope, y + lifted, left, following if inside else middle, low, high


@njit(fastmath=_FLAGS, error_model="numpy", nogil=True, cache=True)
def _calm(beds, stations, widths, level, held, gravity, even, depth, well, first, last, start, w):  # type: ignore[no-untyped-def]
    """Calm water from the lower end up; whether it falls to critical depth anywhere but there."""
    n, end = last - first, len(beds) - 1
    _copied(widths[end, first:last], n, w, WIDTH)
    _copied(beds[end, first:last], n, w, BED)
    _copied(stations[end, first:last], n, w, STATION)
    _copied(held[end, first:last], n, w, HELD)
    _copied(level[first:last], n, w, Y)
    _constants(w, gravity)
    for d in range(LANES):
        standing = w[Y + d] if w[Y + d] > w[HELD + d] else w[HELD + d]
        y = standing - w[BED + d]
        w[Y + d] = y if y > w[LEAST + d] else w[LEAST + d]
    _read(w)
    row = depth[end, first:last]
    for d in range(n):
        row[d] = w[Y + d]
    begun = 0
    for i in range(end - 1, -1, -1):
        for d in range(LANES):  # what is below, before the bed and station there are written over
            w[WANTED + d] = w[ENERGY + d] + w[BED + d]
            w[STEP + d] = w[STATION + d]
            w[Y + d] += w[BED + d]
        _copied(beds[i, first:last], n, w, BED)
        _copied(stations[i, first:last], n, w, STATION)
        _copied(held[i, first:last], n, w, HELD)
        if not even:
            _copied(widths[i, first:last], n, w, WIDTH)
            _constants(w, gravity)
        for d in range(LANES):
            w[STEP + d] -= w[STATION + d]
            w[ROOT + d] = np.sqrt(w[SLOPE + d])
            w[WANTED + d] -= w[BED + d]
            least, rise = w[LEAST + d], w[STEP + d] * w[SLOPE + d]
            y = w[Y + d] - w[BED + d]
            y = (y if y > least else least) + MOST_RISE * least if rise > MOST_RISE * least else y + rise
            w[Y + d] = y if y > least else least
            w[LOW + d], w[HIGH + d] = w[LEAST + d], DEEP
        for _ in range(_TOGETHER):
            open_ = 0
            for d in range(LANES):
                w[SLOPE + d], w[ENERGY + d], left, w[Y + d], w[LOW + d], w[HIGH + d] = _calm_round(
                    w[Y + d], w[LOW + d], w[HIGH + d], w[LEAST + d], w[STEP + d], w[WANTED + d],
                    w[ROOT + d], w[LIFT + d], w[WIDTH + d], w[OVER_WIDTH + d], w[OVER_GRAIN + d], w[HEAD + d],
                )  # fmt: skip
                w[LEFT + d] = left
                open_ += 1 if left > 0.0 else 0
            if open_ == 0:
                break
        if open_ > 0:
            for d in range(n):
                rounds = _TOGETHER
                while w[LEFT + d] > 0.0 and rounds < MOST_ROUNDS:
                    w[SLOPE + d], w[ENERGY + d], left, w[Y + d], w[LOW + d], w[HIGH + d] = _calm_round(
                        w[Y + d], w[LOW + d], w[HIGH + d], w[LEAST + d], w[STEP + d], w[WANTED + d],
                        w[ROOT + d], w[LIFT + d], w[WIDTH + d], w[OVER_WIDTH + d], w[OVER_GRAIN + d], w[HEAD + d],
                    )  # fmt: skip
                    w[LEFT + d] = left
                    rounds += 1
                if w[LEFT + d] > 0.0:
                    well[d] = False
        raised, starts = 0, 0
        for d in range(LANES):
            over_it = w[HELD + d] - w[BED + d]
            raised += 1 if over_it > w[Y + d] else 0
            w[Y + d] = over_it if over_it > w[Y + d] else w[Y + d]
            starts += 1 if w[Y + d] <= w[LEAST + d] else 0
        begun += starts
        row, from_here = depth[i, first:last], start[i]
        from_here[LANES] = starts
        for d in range(n):
            row[d] = w[Y + d]
        for d in range(LANES):
            from_here[d] = 1.0 if w[Y + d] <= w[LEAST + d] else 0.0
        if raised > 0:
            _read(w)
    return begun > 0


@njit(fastmath=_FLAGS, error_model="numpy", nogil=True, cache=True)
def _shoot(beds, stations, widths, gravity, even, depth, shooting, well, first, last, start, w):  # type: ignore[no-untyped-def]
    """Shooting water from every critical depth down, and which of the two stands: that of the greater force.

    A lane without shooting water is worked through at critical depth and then left out; a station at which no lane has
    any is passed over.
    """
    n = last - first
    _copied(widths[0, first:last], n, w, WIDTH)
    _constants(w, gravity)
    for d in range(LANES):
        w[FAST + d] = w[LEAST + d] if start[0, d] > 0.0 else -1.0
    for i in range(1, len(beds)):
        going = 0
        for d in range(LANES):
            going += 1 if w[FAST + d] > 0.0 else 0
        if going == 0 and start[i, LANES] == 0.0:
            continue
        if going > 0:
            _go_down(beds, stations, widths, gravity, even, well, i, first, last, w)
        elif not even:
            _copied(widths[i, first:last], n, w, WIDTH)
            _constants(w, gravity)
        for d in range(n):
            at = first + d
            least, lift = w[LEAST + d], w[LIFT + d]
            if w[FAST + d] <= 0.0 and start[i, d] > 0.0:
                w[FAST + d] = least
            if w[FAST + d] <= 0.0:
                continue
            y, still = w[FAST + d], depth[i, at]
            if still <= least or 0.5 * y * y + 2.0 * lift / y > 0.5 * still * still + 2.0 * lift / still:
                depth[i, at] = y
                shooting[i, at] = y < CRITICAL * least


@njit(inline="always", fastmath=_FLAGS, error_model="numpy")
def _fast_round(y, low, high, step, wanted, root, lift, width, over_width, over_grain, head):  # type: ignore[no-untyped-def]
    """One round of one lane of shooting water: what is left over, the next depth and the bracket."""
    over, slope, rate = _friction(y, width, over_width, over_grain, head)
    lifted = lift * over * over
    share = root / (root + np.sqrt(slope))
    lost = 4.0 * step * share * share
    excess = y + lifted + lost * slope - wanted
    left = abs(excess) - CLOSE * (y + lifted)
    low = y if excess > 0.0 else low
    high = y if excess <= 0.0 else high
    following = y - excess / (1.0 - 2.0 * lifted * over + lost * share * rate)
    inside = (following >= low) & (following <= high)
    return left, following if inside else 0.5 * (low + high), low, high


@njit(fastmath=_FLAGS, error_model="numpy", nogil=True, cache=True)
def _go_down(beds, stations, widths, gravity, even, well, i, first, last, w):  # type: ignore[no-untyped-def]
    """Shooting water one station farther; -1 where its energy does not carry it."""
    n = last - first
    for d in range(LANES):
        w[Y + d] = w[FAST + d] if w[FAST + d] > 0.0 else w[LEAST + d]
    _read(w)
    _copied(beds[i - 1, first:last], n, w, WANTED)
    _copied(stations[i - 1, first:last], n, w, STEP)
    _copied(beds[i, first:last], n, w, BED)
    _copied(stations[i, first:last], n, w, STATION)
    if not even:
        _copied(widths[i, first:last], n, w, WIDTH)
        _constants(w, gravity)
    for d in range(LANES):
        w[STEP + d] = w[STATION + d] - w[STEP + d]
        w[ROOT + d] = np.sqrt(w[SLOPE + d])
        w[WANTED + d] += w[ENERGY + d] - w[BED + d]
        least = w[LEAST + d]
        over, slope, _ = _friction(least, w[WIDTH + d], w[OVER_WIDTH + d], w[OVER_GRAIN + d], w[HEAD + d])
        share = w[ROOT + d] / (w[ROOT + d] + np.sqrt(slope))
        lost = 4.0 * w[STEP + d] * share * share * slope
        spare = w[WANTED + d] - least - w[LIFT + d] * over * over - lost
        guess = 0.9 * (w[Y + d] if w[Y + d] < least else least)
        w[FAST + d] = guess if (w[FAST + d] > 0.0) & (spare > 0.0) else -1.0
        w[LOW + d], w[HIGH + d] = SHALLOW * least, least
    for _ in range(_TOGETHER):
        open_ = 0
        for d in range(LANES):
            fast = w[FAST + d]
            left, y, w[LOW + d], w[HIGH + d] = _fast_round(
                fast if fast > 0.0 else w[LEAST + d], w[LOW + d], w[HIGH + d], w[STEP + d], w[WANTED + d],
                w[ROOT + d], w[LIFT + d], w[WIDTH + d], w[OVER_WIDTH + d], w[OVER_GRAIN + d], w[HEAD + d],
            )  # fmt: skip
            w[LEFT + d] = left if fast > 0.0 else -1.0
            w[FAST + d] = y if fast > 0.0 else -1.0
            open_ += 1 if (fast > 0.0) & (left > 0.0) else 0
        if open_ == 0:
            return
    for d in range(n):
        rounds = _TOGETHER
        while w[LEFT + d] > 0.0 and rounds < MOST_ROUNDS:
            fast = w[FAST + d]
            left, y, w[LOW + d], w[HIGH + d] = _fast_round(
                fast if fast > 0.0 else w[LEAST + d], w[LOW + d], w[HIGH + d], w[STEP + d], w[WANTED + d],
                w[ROOT + d], w[LIFT + d], w[WIDTH + d], w[OVER_WIDTH + d], w[OVER_GRAIN + d], w[HEAD + d],
            )  # fmt: skip
            w[LEFT + d] = left if fast > 0.0 else -1.0
            w[FAST + d] = y if fast > 0.0 else -1.0
            rounds += 1
        if w[LEFT + d] > 0.0:
            well[d] = False
