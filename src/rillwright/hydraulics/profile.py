"""Gradually varied flow along a channel: calm and shooting water, and the jumps between them.

Calm water is worked out upstream from what controls it below, shooting water downstream from where it begins. Where
both are possible, the one with the greater force stands; where they change over, the water jumps.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2
from rillwright.hydraulics._sweeps import ProfileJump, calm, jumps, prevailing, shooting
from rillwright.hydraulics.sections import Section
from rillwright.hydraulics.steady_channel import Local, Reading, SteadyChannel

OUTSIDE_FACTOR = 1.25  # by which the band of a law widens outside its data: our own figure, no source


class Profile(Struct, frozen=True, kw_only=True):
    """Water along a channel, one value at each station. Energy is the level that V^2/2g adds to the water's.

    `outside` says what lies outside the data of the law, and
    `roughness` is the factor by which its speeds may be off either way [-].
    """

    stations_m: tuple[float, ...]
    beds_m: tuple[float, ...]
    levels_m: tuple[float, ...]
    depths_m: tuple[float, ...]
    speeds_ms: tuple[float, ...]
    froudes: tuple[float, ...]
    energies_m: tuple[float, ...]
    slopes: tuple[float, ...]
    seen_m3s: tuple[float, ...]
    hidden: tuple[float, ...]
    jumps: tuple[ProfileJump, ...]
    control: str
    method: str
    outside: str
    roughness: float


def steady_profile(
    flow_m3s: float,
    channel: SteadyChannel,
    *,
    level_m: float | None = None,
    inflow_depth_m: float | None = None,
    gravity_ms2: float = GRAVITY_MS2,
) -> Profile:
    """Depth, speed, Froude number and energy at each station under a steady flow.

    Parameters
    ----------
    flow_m3s : float
        All that comes in, above the bed and in its gravel [m3/s].
    channel : SteadyChannel
        Stations so close that the bed falls less than about half a depth from one to the next.
    level_m : float or None
        Level of the water at the lower end [m]; None, or lower than critical: it leaves freely, at critical depth.
    inflow_depth_m : float or None
        Depth [m] with which water shoots in at the upper end, below critical; None: it comes in calm.
    gravity_ms2 : float
        [m/s2].

    Returns
    -------
    Profile
        Tuples of the shape of `channel.stations_m`; m, m/s, m3/s, Froude number and shares [-].

    Raises
    ------
    InputError
        If a number cannot be used, or water comes in deeper than critical.
    NoAnswer
        If the law has no value at the depth that is found; the text says at which station it stopped.

    References
    ----------
    Closed form: energy equation step by step with the mean of both conveyances, least energy, equal force at a
    jump (chow-1959, ch. 10 and 15, from memory).
    """
    refuse_unusable(positive={"flow_m3s": flow_m3s, "gravity_ms2": gravity_ms2})
    locals_ = _locals(flow_m3s, channel, gravity_ms2)
    if inflow_depth_m is not None and not 0.0 < inflow_depth_m < locals_[0].critical_m:
        raise InputError(
            Problem(
                message="water that shoots in is shallower than critical",
                field="inflow_depth_m",
                found=f"{inflow_depth_m:g}",
                allowed=f"above 0, below {locals_[0].critical_m:.4g} m",
            )
        )
    quiet, control = calm(channel, locals_, level_m)
    starts = [_at_critical(depth, local) for depth, local in zip(quiet, locals_, strict=True)]
    fast: list[float | None] = [None] * len(quiet)
    if inflow_depth_m is not None or any(starts[:-1]):
        fast = shooting(channel, locals_, starts, inflow_depth_m)
    depths, shoots = prevailing(locals_, quiet, fast)
    return _told(channel, locals_, depths, jumps(channel, locals_, quiet, fast, shoots), control)


def _at_critical(depth_m: float, local: Local) -> bool:
    return depth_m <= local.whole_m and depth_m <= local.critical_m


def _locals(flow_m3s: float, channel: SteadyChannel, gravity_ms2: float) -> list[Local]:
    known: dict[Section, Local] = {}
    found = []
    for index in range(len(channel.stations_m)):
        section = channel.section(index)
        if section not in known:
            known[section] = Local(channel, index, flow_m3s, gravity_ms2=gravity_ms2)
        found.append(known[section])
    return found


def _told(
    channel: SteadyChannel,
    locals_: Sequence[Local],
    depths: Sequence[float],
    found: tuple[ProfileJump, ...],
    control: str,
) -> Profile:
    reads = [local.at(depth) for local, depth in zip(locals_, depths, strict=True)]
    levels = tuple(bed + depth for bed, depth in zip(channel.beds_m, depths, strict=True))
    outside, roughness = _range(channel, depths, reads)
    return Profile(
        stations_m=channel.stations_m,
        beds_m=channel.beds_m,
        levels_m=levels,
        depths_m=tuple(depths),
        speeds_ms=tuple(read.speed_ms for read in reads),
        froudes=tuple(local.froude(depth, read) for local, depth, read in zip(locals_, depths, reads, strict=True)),
        energies_m=tuple(level + read.velocity_head_m for level, read in zip(levels, reads, strict=True)),
        slopes=tuple(read.slope for read in reads),
        seen_m3s=tuple(read.seen_m3s for read in reads),
        hidden=tuple(1.0 - read.seen_m3s / local.flow for read, local in zip(reads, locals_, strict=True)),
        jumps=found,
        control=control,
        method="gradually varied flow, " + (channel.law.method if channel.law is not None else "without friction"),
        outside=outside,
        roughness=roughness,
    )


def _range(channel: SteadyChannel, depths: Sequence[float], reads: Sequence[Reading]) -> tuple[str, float]:
    """What lies outside the data of the law, at the shallowest and the deepest water; and by how much it may be off."""
    law = channel.law
    if law is None:
        return "", 1.0
    wet = [index for index, depth in enumerate(depths) if depth > 0.0 and reads[index].slope > 0.0]
    if not wet:
        return "no water is seen: the gravel carries all of it", law.scatter * OUTSIDE_FACTOR
    ends = (min(wet, key=lambda index: depths[index]), max(wet, key=lambda index: depths[index]))
    said = [law.speed(channel.section(index).at(depths[index]), reads[index].slope).outside for index in ends]
    outside = "; ".join(dict.fromkeys(note for note in said if note))
    return outside, law.scatter * (OUTSIDE_FACTOR if outside else 1.0)
