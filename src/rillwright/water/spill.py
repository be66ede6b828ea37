"""A fall's spill stones as the water meets them: what runs over each, and what goes under where nothing seals them."""

from __future__ import annotations

import math
from functools import lru_cache

from msgspec import Struct

from rillwright.feature import Fall, Feature, Reach, Stream
from rillwright.feature import Lip as LipKind
from rillwright.hydraulics import (
    Coefficient,
    Lip,
    SharedCrest,
    SpillStone,
    rough_lip,
    seep_under,
    shared_crest,
    sharp_lip,
    slab_lip,
)
from rillwright.sources import default
from rillwright.units import Band


class Joint(Struct, frozen=True, kw_only=True):
    """The joint under an unsealed stone: its height [m], and whether gravel fills it."""

    height_m: float
    packed: bool


def stone_lip() -> Lip:
    """The lip of natural stone: C by the water on it, with its band [m^0.5/s]."""
    return _lip(LipKind.ROUGH, 0.0, 0.0, default("crest.c").band, default("crest.thin").number)


def lip_of(fall: Fall, over_bed_m: float) -> Lip:
    """What the water of a fall leaves, its crest standing `over_bed_m` [m] over the bed above it."""
    c, power = default("crest.c").band, default("crest.thin").number
    breadth = fall.stone_depth_m if fall.lip is LipKind.SLAB else 0.0
    return _lip(fall.lip, breadth, over_bed_m if fall.lip is LipKind.SHARP else 0.0, c, power)


@lru_cache(maxsize=256)
def _lip(kind: LipKind, breadth_m: float, over_bed_m: float, c: Band, power: float) -> Lip:
    if kind is LipKind.SLAB:
        return slab_lip(breadth_m, power=power)
    if kind is LipKind.SHARP:
        return sharp_lip(over_bed_m, power=power)
    return rough_lip(c, power=power)


def over_bed_m(feature: Feature, fall: Fall) -> float:
    """How far a crest stands over the bed above it [m]: over that of the stream head, where no bed comes before."""
    stream = feature.stream(fall.stream)
    return fall.crest.m - _bed_above_m(stream, fall)


def _bed_above_m(stream: Stream, fall: Fall) -> float:
    above = stream.links[: stream.links.index(fall)]
    return next((link.bed_end.m for link in reversed(above) if isinstance(link, Reach)), stream.head.m)


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
    coefficient: Coefficient,
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
