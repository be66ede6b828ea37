"""Sweeps along a channel: calm water upstream, shooting water downstream, and where they meet."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from msgspec import Struct

from rillwright.errors import NoAnswer
from rillwright.hydraulics._roots import bracketed_root
from rillwright.hydraulics.steady_channel import Local, Reading, SteadyChannel

_TINY = 1e-3  # shooting water is sought down to so much of its critical depth
_DOWN = 0.7  # from depth to depth in that search
_CLOSE = 1e-12  # energy left over, over the depth
_MOST_STEPS = 200


class ProfileJump(Struct, frozen=True, kw_only=True):
    """Where the force before and after are equal: station, depths on both sides, energy lost there [m]."""

    station_m: float
    before_m: float
    after_m: float
    loss_m: float


def calm(channel: SteadyChannel, locals_: Sequence[Local], level_m: float | None) -> tuple[list[float], str]:
    """Depths [m] of calm water from the lower end up; critical depth where calm water cannot stand."""
    beds, last = channel.beds_m, locals_[-1]
    stands = -math.inf if level_m is None else level_m - beds[-1]
    free = stands <= last.whole_m and stands <= last.critical_m
    depth = last.critical_m if free else stands
    depth = max(depth, channel.held_m[-1] - beds[-1]) if channel.held_m else depth
    depths = [depth]
    read = last.at(depth)
    for index in range(len(beds) - 2, -1, -1):
        depth, read = _step_up(channel, locals_, index, depth, read)
        if channel.held_m and channel.held_m[index] - beds[index] > depth:
            depth = channel.held_m[index] - beds[index]
            read = locals_[index].at(depth)
        depths.append(depth)
    return depths[::-1], "critical depth at the lower end" if free else "level at the lower end"


def _step_up(
    channel: SteadyChannel, locals_: Sequence[Local], index: int, below_m: float, below: Reading
) -> tuple[float, Reading]:
    """Depth [m] and reading at a station from the one below it."""
    local, beds, stations = locals_[index], channel.beds_m, channel.stations_m
    step = stations[index + 1] - stations[index]
    wanted = beds[index + 1] + below_m + below.velocity_head_m - beds[index]

    def excess(depth_m: float) -> float:
        read = local.at(depth_m)
        lost = step * mean_slope(read.slope, below.slope)
        lost += _change(channel, read.velocity_head_m, below.velocity_head_m)
        return depth_m + read.velocity_head_m - lost - wanted

    least = _least_depth(channel, local, index)
    guess = beds[index + 1] + below_m + step * below.slope - beds[index]
    where = f"station {stations[index]:g} m"
    depth = _rising_near(excess, guess, max(local.whole_m, least), where=where)
    if depth <= local.whole_m and local.gravel > 0.0:  # over gravel thinner water than that may still be calm
        depth = _rising_near(excess, guess, max(local.critical_m, least), where=where)
    if least > 0.0 and depth <= least:
        raise _too_shallow(channel, index)
    return depth, local.at(depth)


def _rising_near(excess: Callable[[float], float], guess: float, low: float, *, where: str) -> float:
    """Where a rising function crosses zero, sought from a guess [m]; `low` [m] where it is above zero there already.

    By secants; by halving where they leave the bracket, and at every fourth step, so that they cannot creep.
    """
    x, last, f_last = max(guess, low), math.nan, math.nan
    under, over = -math.inf, math.inf
    for count in range(_MOST_STEPS):
        f = excess(x)
        if abs(f) <= _CLOSE * x or (f >= 0.0 and x <= low):
            return x
        under, over = (x, over) if f < 0.0 else (under, x)
        slope = (f - f_last) / (x - last) if math.isfinite(last) and x != last else 1.0
        step = x - f / slope if slope > 0.0 and math.isfinite(f) else math.nan
        last, f_last = x, f
        if under < step < over and (count % 4 != 3 or math.isinf(over - under)):
            x = max(step, low)
        elif math.isinf(over):
            x = 2 * x - low + abs(f)
        else:
            x = 0.5 * (max(under, low) + over) if x > low and math.isfinite(under) else low
        if x == last:
            return x
    raise NoAnswer(f"profile: stopped at {where}: no depth after {_MOST_STEPS} steps, between {under:g} and {over:g} m")


def shooting(
    channel: SteadyChannel, locals_: Sequence[Local], starts: Sequence[bool], inflow_m: float | None
) -> list[float | None]:
    """Depths [m] of shooting water from where it begins down; None where there is none."""
    depth = inflow_m if inflow_m is not None else (locals_[0].critical_m if starts[0] else None)
    depths = [depth]
    for index in range(1, len(starts)):
        if depth is not None:
            depth = _step_down(channel, locals_, index, depth)
        if depth is None and starts[index]:
            depth = locals_[index].critical_m
        depths.append(depth)
    return depths


def _step_down(channel: SteadyChannel, locals_: Sequence[Local], index: int, above_m: float) -> float | None:
    """Depth [m] of shooting water from the station above; None where its energy does not carry it so far."""
    local, beds, stations = locals_[index], channel.beds_m, channel.stations_m
    above = locals_[index - 1].at(above_m)
    step = stations[index] - stations[index - 1]
    there = beds[index - 1] + above_m + above.velocity_head_m - beds[index]

    def excess(depth_m: float) -> float:
        read = local.at(depth_m)
        lost = step * mean_slope(read.slope, above.slope)
        lost += _change(channel, above.velocity_head_m, read.velocity_head_m)
        return depth_m + read.velocity_head_m + lost - there

    high, least = local.critical_m, max(_TINY * local.critical_m, _least_depth(channel, local, index))
    if high <= least or excess(high) >= 0.0:
        return None
    low = high
    while excess(low) <= 0.0:  # from critical depth down: over gravel thin water has less energy again
        if low <= least:
            return None
        high, low = low, max(_DOWN * low, least)
    return bracketed_root(excess, low, high, what=f"depth at station {stations[index]:g} m", relative=_CLOSE)


def mean_slope(one: float, other: float) -> float:
    """Energy slope between two sections [-], from the mean of their conveyances: where the water thins fast, the mean
    of the two slopes would be far too steep."""
    if one <= 0.0 or other <= 0.0:
        return 0.0
    return 4 * one * other / (math.sqrt(one) + math.sqrt(other)) ** 2


def _change(channel: SteadyChannel, above_m: float, below_m: float) -> float:
    """Lost [m] where V^2/2g [m] changes: in a contraction it grows along the flow, in an expansion it falls."""
    if channel.contraction_k == 0.0 == channel.expansion_k:
        return 0.0
    return channel.contraction_k * max(below_m - above_m, 0.0) + channel.expansion_k * max(above_m - below_m, 0.0)


def _least_depth(channel: SteadyChannel, local: Local, index: int) -> float:
    """Depth [m] from which the law can be asked."""
    if channel.law is None or channel.law.least_radius_m == 0.0:
        return 0.0
    least = channel.law.least_radius_m * (1 + 1e-9)

    def short(depth_m: float) -> float:
        area = (local.bottom + local.run * depth_m) * depth_m
        return (
            min(area / (local.bottom + 2 * depth_m * local.slant), area / (local.bottom + 2 * local.run * depth_m))
            - least
        )

    high = least
    for _ in range(60):
        if short(high) > 0.0:
            return bracketed_root(short, least, high, what=f"least depth at station {channel.stations_m[index]:g} m")
        high *= 2
    raise _too_shallow(channel, index)


def _too_shallow(channel: SteadyChannel, index: int) -> NoAnswer:
    method = channel.law.method if channel.law is not None else ""
    return NoAnswer(
        f"profile: stopped at station {channel.stations_m[index]:g} m: {method}: the water there would be shallower "
        "than its stones; take the Ferguson form"
    )


def prevailing(
    locals_: Sequence[Local], calm: Sequence[float], shooting: Sequence[float | None]
) -> tuple[list[float], list[bool]]:
    """Depths [m] that stand, and where they are of shooting water: of the two the one with the greater force."""
    depths, shoots = [], []
    for local, still_m, fast in zip(locals_, calm, shooting, strict=True):
        wins = fast is not None and (still_m <= local.critical_m or local.force(fast) > local.force(still_m))
        depths.append(fast if wins and fast is not None else still_m)
        shoots.append(wins)
    return depths, shoots


def jumps(
    channel: SteadyChannel,
    locals_: Sequence[Local],
    calm: Sequence[float],
    shooting: Sequence[float | None],
    shoots: Sequence[bool],
) -> tuple[ProfileJump, ...]:
    """Every change from shooting to calm, at the station where the forces are equal, straight between two stations."""
    found = []
    for index in range(len(shoots) - 1):
        before, on = shooting[index], shooting[index + 1]
        if not shoots[index] or shoots[index + 1] or before is None:
            continue
        here, there = locals_[index], locals_[index + 1]
        step = channel.stations_m[index + 1] - channel.stations_m[index]
        if on is None:  # its energy is spent before the next station
            share, after = 1.0, calm[index + 1]
            loss = channel.beds_m[index] + before + here.at(before).velocity_head_m
            loss -= channel.beds_m[index + 1] + after + there.at(after).velocity_head_m
        else:
            gain = here.force(before) - here.force(calm[index])
            spare = there.force(calm[index + 1]) - there.force(on)
            share = gain / (gain + spare) if gain + spare > 0.0 else 0.5
            before, after = before + share * (on - before), calm[index] + share * (calm[index + 1] - calm[index])
            near = there if share > 0.5 else here
            loss = before + near.at(before).velocity_head_m - after - near.at(after).velocity_head_m
        station = channel.stations_m[index] + share * step
        found.append(ProfileJump(station_m=station, before_m=before, after_m=after, loss_m=loss))
    return tuple(found)
