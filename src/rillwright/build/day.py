"""What the rod must read today."""

from __future__ import annotations

from collections.abc import Iterable

from rillwright.build.result import SiteDay, Stake, StakeReading


def day_table(stakes: Iterable[Stake], site_day: SiteDay) -> tuple[StakeReading, ...]:
    """Rod readings wanted at every stake: today's height of instrument less the level of each surface.

    A reading below nought is of a surface above the line of sight, and cannot be read from this set-up.
    """
    high = site_day.height_of_instrument_m
    return tuple(
        StakeReading(
            stake=stake,
            dig_m=_reading(high, stake.dig_m),
            liner_m=_reading(high, stake.liner_m),
            stone_top_m=_reading(high, stake.stone_top_m),
            water_m=_reading(high, stake.water_m),
        )
        for stake in stakes
    )


def _reading(height_of_instrument_m: float, level_m: float | None) -> float | None:
    return None if level_m is None else height_of_instrument_m - level_m
