"""The tops that stand against water, and the highest water that each of them meets."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from rillwright.feature import Level, Reach
from rillwright.units import Band
from rillwright.water import HighWater, ReachWater

SIGMAS = 1.96  # 95 in 100 of a normal error lie within so many standard errors
LEVEL_CASES = ("rest", "stopped")  # water stands: one level from end to end


def top_band(top_m: float, level: Level) -> Band:
    """A top [m] with the band of the level that it hangs from."""
    spread = SIGMAS * level.sigma_m
    return Band(top_m, top_m - spread, top_m + spread)


def at_end(high: HighWater, reach: ReachWater, *, upper: bool) -> HighWater:
    """The same highest water at one end of its reach.

    A case gives one level, that of the higher end; running water slopes. What a case adds to the running level is
    added at both ends.
    """
    if high.case in LEVEL_CASES:
        return high
    ends = (reach.running_start_m, reach.running_end_m)
    here = ends[0] if upper else ends[1]
    offset = here.value - max(end.value for end in ends)
    if offset == 0.0:
        return high
    end = "upper" if upper else "lower"
    return replace(high, level_m=high.level_m.shift(offset), method=f"{high.method}, at the {end} end")


def worst(waters: Iterable[HighWater]) -> HighWater:
    """The highest of them; of equals, the first. Raises ValueError if there is none."""
    return max(waters, key=lambda high: high.level_m.value)


def ends_of(reach: Reach) -> tuple[tuple[bool, Level], ...]:
    """(whether it is the upper end, bed there) for both ends of a reach."""
    return ((True, reach.bed_start), (False, reach.bed_end))
