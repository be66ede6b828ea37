"""Spill stones, one by one."""

from __future__ import annotations

from rillwright.feature import CrestStone, Fall
from rillwright.sources import default
from rillwright.stone.mass import block_mass_kg
from rillwright.stone.result import SpillStone
from rillwright.units import Term


def ends_of(name: str) -> tuple[float, float]:
    """Low and high end of a default's band, in its SI unit; its value where it has none."""
    band = default(name).band
    return band.low, band.high


def spill_stones(fall: Fall) -> tuple[SpillStone, ...]:
    """The stones that make a crest: its width and what bears on each side, as deep along the flow as the fall says.

    Several side by side are listed from the left, looking downstream. As thick as the file says, give or take what a
    quarry's stones differ by; two to four inches as is usual where it says nothing. Mass from the box of each by the
    share that a blocky stone fills, and by density.
    """
    bearing = default("stone.spill_bearing").number
    if not fall.stones:
        return (_stone(fall, f"spill-{fall.id}", fall.crest_width_m + 2.0 * bearing),)
    last = len(fall.stones) - 1
    return tuple(
        _stone(fall, f"spill-{fall.id}-{i + 1}", stone.width_m + bearing * (i in (0, last)), above=stone)
        for i, stone in enumerate(fall.stones)
    )


def _stone(fall: Fall, id: str, across: float, *, above: CrestStone | None = None) -> SpillStone:
    thick = _thickness_m(fall)
    density = ends_of("stone.density")
    box = default("stone.box_low").number, default("stone.box_high").number
    low, high = (
        block_mass_kg(across * fall.stone_depth_m * thick[i], share=box[i], density_kgm3=density[i]) for i in (0, 1)
    )
    slab = default("stone.box_slab").number
    return SpillStone(
        id=id,
        fall=fall.id,
        above_m=above.above_m if above is not None else 0.0,
        across_m=across,
        along_m=fall.stone_depth_m,
        thick_low_m=thick[0],
        thick_high_m=thick[1],
        mass_low_kg=low,
        mass_high_kg=high,
        heaviest_kg=block_mass_kg(across * fall.stone_depth_m * thick[1], share=slab, density_kgm3=density[1]),
        because=(
            Term(name="across the flow", value=across, unit="m"),
            Term(name="along the flow", value=fall.stone_depth_m, unit="m"),
            Term(name="thickness, low", value=thick[0], unit="m"),
            Term(name="thickness, high", value=thick[1], unit="m"),
            Term(name="share of its box, low", value=box[0], unit="-"),
            Term(name="share of its box, high", value=box[1], unit="-"),
            Term(name="density of stone, low", value=density[0], unit="kg/m3"),
            Term(name="density of stone, high", value=density[1], unit="kg/m3"),
        ),
    )


def _thickness_m(fall: Fall) -> tuple[float, float]:
    """Least and greatest thickness [m] that the order asks for."""
    if fall.stone_m <= 0.0 or not fall.stone_said:
        return default("stone.spill_low").number, default("stone.spill_high").number
    off = min(default("stone.spill_tolerance").number, 0.5 * fall.stone_m)
    return fall.stone_m - off, fall.stone_m + off
