"""One water level over several spill stones: each at its own level, out of level end to end, drowned, leaking below."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.hydraulics._checks import refuse_outside, refuse_unusable
from rillwright.hydraulics._constants import GRAVITY_MS2, WATER_VISCOSITY_M2S
from rillwright.hydraulics._roots import bracketed_root
from rillwright.hydraulics.friction import friction_factor
from rillwright.hydraulics.gravel import ergun_speed
from rillwright.hydraulics.lips import CREST_C, Coefficient, coefficient_at, head_on_lip
from rillwright.hydraulics.weirs import submerged_share

SLOT_K = 1.5  # entry and exit of a slot: 0.5 + 1.0 (EPANET manual, table 3.3)
_MOST_DOUBLINGS = 60
_LEVEL_TILT = 1e-6  # of the water above the low end: below it a stone counts as level


class SpillStone(Struct, frozen=True, kw_only=True):
    """A stone that makes part of a crest: its low end's level [m], and how much higher its other end is [m]."""

    width_m: float
    level_m: float
    tilt_m: float = 0.0


class StoneWater(Struct, frozen=True, kw_only=True):
    """Water on one stone: flow [m3/s], depth at its low and high end [m], share of its width that is dry [-]."""

    flow_m3s: float
    low_end_m: float
    high_end_m: float
    dry_share: float
    drowned: float  # flow over what it would be with nothing standing below it [-]; 1 is free


class SharedCrest(Struct, frozen=True, kw_only=True):
    """The level [m] at which stones side by side carry a flow together, and what each of them carries."""

    level_m: float
    stones: tuple[StoneWater, ...]
    under_m3s: float = 0.0  # what goes under them

    @property
    def over_m3s(self) -> float:
        return sum(stone.flow_m3s for stone in self.stones)


def shared_crest(
    stones: Sequence[SpillStone],
    flow_m3s: float,
    *,
    coefficient: Coefficient = CREST_C.value,
    below_m: float = -math.inf,
    under: Callable[[float], float] | None = None,
) -> SharedCrest:
    """Where the water stands behind stones side by side, and how they share its flow.

    Every bit of width carries C h^1.5 of its own depth; one level is found that carries the flow. A stone below which
    water stands higher than its middle carries the less for it, by Villemonte. Where C goes by the water, it is that of
    the deepest water on the stone.

    Parameters
    ----------
    stones : sequence of SpillStone
        One at least.
    flow_m3s : float
        [m3/s].
    coefficient : Coefficient
        C [m^0.5/s], or C by the water on a stone [m].
    below_m : float
        Level of the water below the crest [m].
    under : callable
        Level behind the stones [m] -> what goes under them [m3/s], not falling with it; None where they are sealed.

    Returns
    -------
    SharedCrest
        Level [m], and flow [m3/s], depths [m] and dry share [-] of each stone. Where nothing runs over, because there
        is no flow or all of it goes under, the highest level at which none does: that of the lowest stone, or of the
        water below if that is higher.

    Raises
    ------
    InputError
        Without a stone, or if a number cannot be used.
    NoAnswer
        If the solver does not settle.

    References
    ----------
    Closed form for the free crest: the integral of C h^1.5 along each stone. Drowned: villemonte-1947.
    """
    if not stones:
        raise InputError(Problem(message="a crest has a stone at least", field="stones", found="none"))
    for i, stone in enumerate(stones):
        refuse_unusable(
            positive={f"stones[{i}].width_m": stone.width_m}, not_negative={f"stones[{i}].tilt_m": stone.tilt_m}
        )
        refuse_outside(f"stones[{i}].level_m", stone.level_m, -math.inf, math.inf)
    refuse_unusable(not_negative={"flow_m3s": flow_m3s})
    if not callable(coefficient):
        refuse_unusable(positive={"coefficient": coefficient})

    def lost(level_m: float) -> float:
        return under(level_m) if under is not None else 0.0

    def at(level_m: float) -> SharedCrest:
        found = tuple(_on_stone(stone, level_m, below_m, coefficient) for stone in stones)
        return SharedCrest(level_m=level_m, stones=found, under_m3s=min(lost(level_m), flow_m3s))

    lowest = max(min(stone.level_m for stone in stones), below_m)
    if lost(lowest) >= flow_m3s:
        return at(lowest)
    width = sum(stone.width_m for stone in stones)
    first = stones[0]
    if len(stones) == 1 and first.tilt_m == 0.0 and below_m <= first.level_m and under is None:
        return at(first.level_m + head_on_lip(flow_m3s, width, coefficient))
    highest = max(max(stone.level_m + stone.tilt_m for stone in stones), lowest)
    most = highest + 2.0 * head_on_lip(flow_m3s, width, coefficient)

    def spare(level_m: float) -> float:
        found = at(level_m)
        return found.over_m3s + lost(level_m) - flow_m3s

    for _ in range(_MOST_DOUBLINGS):  # deeply drowned, it takes more than twice the free head
        if spare(most) >= 0.0:
            break
        most += most - lowest
    return at(bracketed_root(spare, lowest, most, what="water on the crest", absolute=1e-12))


def _on_stone(stone: SpillStone, level_m: float, below_m: float, coefficient: Coefficient) -> StoneWater:
    low_end = max(level_m - stone.level_m, 0.0)
    high_end = max(low_end - stone.tilt_m, 0.0)
    c = coefficient_at(coefficient, low_end)
    if stone.tilt_m <= _LEVEL_TILT * low_end:
        free, wet = c * stone.width_m * low_end**1.5, 1.0 if low_end > 0.0 else 0.0
    else:
        free = c * stone.width_m * 2.0 / (5.0 * stone.tilt_m) * (low_end**2.5 - high_end**2.5)
        wet = min(low_end / stone.tilt_m, 1.0)
    middle = stone.level_m + 0.5 * stone.tilt_m * wet
    share = submerged_share(below_m - middle, level_m - middle) if low_end > 0.0 and level_m > middle else 1.0
    return StoneWater(flow_m3s=free * share, low_end_m=low_end, high_end_m=high_end, dry_share=1.0 - wet, drowned=share)


class Seep(Struct, frozen=True, kw_only=True):
    """Flow under a stone that nothing seals [m3/s]: its joint packed with gravel, and open."""

    packed_m3s: float
    open_m3s: float


def seep_under(
    width_m: float,
    joint_m: float,
    *,
    along_m: float,
    head_m: float,
    grain_m: float,
    porosity: float,
    roughness_m: float,
    viscosity_m2s: float = WATER_VISCOSITY_M2S,
    gravity_ms2: float = GRAVITY_MS2,
) -> Seep:
    """Water that runs through the joint under a stone instead of over it, between two ends: gravel in it, or nothing.

    Parameters
    ----------
    width_m, joint_m, along_m : float
        Width across the flow, height of the joint, length along the flow [m].
    head_m : float
        Water above the stone less the water, or the joint's exit, below it [m].
    grain_m, porosity : float
        Gravel in the joint [m], [-].
    roughness_m : float
        Of stone and liner beside the open slot [m].
    viscosity_m2s, gravity_ms2 : float
        [m2/s], [m/s2].

    Returns
    -------
    Seep
        [m3/s], packed at most as much as open.

    Raises
    ------
    InputError
        If a number cannot be used.

    References
    ----------
    Packed: ergun-1952 at the slope head over length. Open: a slot of hydraulic diameter twice its height with
    Darcy-Weisbach, entry and exit (epanet-manual, table 3.3).
    """
    refuse_unusable(
        positive={"width_m": width_m, "joint_m": joint_m, "along_m": along_m, "roughness_m": roughness_m},
        not_negative={"head_m": head_m},
    )
    if head_m == 0.0:
        return Seep(packed_m3s=0.0, open_m3s=0.0)
    area = width_m * joint_m
    diameter = 2.0 * joint_m

    def lost(speed: float) -> float:
        friction = friction_factor(max(speed, 1e-9) * diameter / viscosity_m2s, min(roughness_m / diameter, 0.05))
        return speed**2 / (2.0 * gravity_ms2) * (SLOT_K + friction * along_m / diameter) - head_m

    speed = bracketed_root(lost, 0.0, math.sqrt(2.0 * gravity_ms2 * head_m / SLOT_K), what="water under a stone")
    gravel = ergun_speed(
        head_m / along_m, grain_m=grain_m, porosity=porosity, viscosity_m2s=viscosity_m2s, gravity_ms2=gravity_ms2
    ).speed_ms
    open_m3s = area * speed
    return Seep(packed_m3s=min(area * gravel, open_m3s), open_m3s=open_m3s)
