"""A fall's spill stones as the water meets them: what runs over each, and what goes under where nothing seals them."""

from __future__ import annotations

import math

from msgspec import Struct

from rillwright.feature import Fall
from rillwright.hydraulics import SharedCrest, SpillStone, seep_under, shared_crest
from rillwright.sources import default


class Joint(Struct, frozen=True, kw_only=True):
    """The joint under an unsealed stone: its height [m], and whether gravel fills it."""

    height_m: float
    packed: bool


def joints() -> tuple[Joint, Joint, Joint]:
    """The joint as it is taken, the tightest and the widest that one may meet."""
    height = default("crest.joint").band
    return (
        Joint(height_m=height.value, packed=True),
        Joint(height_m=height.low, packed=True),
        Joint(height_m=height.high, packed=False),
    )


def stones_of(fall: Fall, *, open_share: float = 1.0) -> list[SpillStone]:
    """The stones of a crest, `open_share` [-] of the width of each left open.

    One stone lies with its middle at the crest's level and may be out of level; several lie each at its own.
    """
    if fall.stones:
        return [
            SpillStone(width_m=stone.width_m * open_share, level_m=fall.crest.m + stone.above_m)
            for stone in fall.stones
        ]
    tilt = abs(fall.tilt_m or 0.0)
    width = fall.crest_width_m * open_share
    return [SpillStone(width_m=width, level_m=fall.crest.m - 0.5 * tilt, tilt_m=tilt)]


def on_crest(
    fall: Fall,
    flow_m3s: float,
    *,
    coefficient: float,
    open_share: float = 1.0,
    below_m: float = -math.inf,
    joint: Joint | None = None,
) -> SharedCrest:
    """Water on a fall's crest at a flow [m3/s], by C [m^0.5/s], above water that stands at `below_m` [m].

    A `joint` is given where the stone is not sealed: what goes under it is missing above. It leaves where the water
    below stands, or at the underside of the stone if that is higher.
    """
    stones = stones_of(fall, open_share=open_share)
    if joint is None or fall.sealed:
        return shared_crest(stones, flow_m3s, coefficient=coefficient, below_m=below_m)
    exit_m = max(below_m, fall.crest.m - max(fall.stone_m, joint.height_m))
    width = fall.crest_width_m * open_share

    def under(level_m: float) -> float:
        seep = seep_under(
            width,
            joint.height_m,
            along_m=fall.stone_depth_m,
            head_m=max(level_m - exit_m, 0.0),
            grain_m=default("stream.grain").number,
            porosity=default("gravel.porosity").number,
            roughness_m=default("crest.roughness").number,
        )
        return seep.packed_m3s if joint.packed else seep.open_m3s

    return shared_crest(stones, flow_m3s, coefficient=coefficient, below_m=below_m, under=under)
