"""Spill stones, one by one."""

from __future__ import annotations

from rillwright.feature import Fall
from rillwright.sources import Default, default
from rillwright.stone.mass import block_mass_kg
from rillwright.stone.result import SpillStone


def ends_of(name: str) -> tuple[float, float]:
    """Low and high end of a default's band, in its SI unit; its value where it has none."""
    found: Default = default(name)
    low = found.number if found.low is None else found.low
    return low, found.number if found.high is None else found.high


def spill_stone(fall: Fall) -> SpillStone:
    """The stone that makes a crest: the crest and what bears on each side, as deep along the flow as the fall says.

    Two to four inches thick as is usual, or as thick as the fall says where that lies outside. Mass from its box by the
    share that a blocky stone fills, and by density.
    """
    across = fall.crest_width_m + 2.0 * default("stone.spill_bearing").number
    usual = default("stone.spill_low").number, default("stone.spill_high").number
    thick = usual if usual[0] <= fall.stone_m <= usual[1] or fall.stone_m <= 0.0 else (fall.stone_m, fall.stone_m)
    density = ends_of("stone.density")
    box = default("stone.box_low").number, default("stone.box_high").number
    low, high = (
        block_mass_kg(across * fall.stone_depth_m * thick[i], share=box[i], density_kgm3=density[i]) for i in (0, 1)
    )
    return SpillStone(
        id=f"spill-{fall.id}",
        fall=fall.id,
        across_m=across,
        along_m=fall.stone_depth_m,
        thick_low_m=thick[0],
        thick_high_m=thick[1],
        mass_low_kg=low,
        mass_high_kg=high,
    )
