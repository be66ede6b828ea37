"""What weather and people bring to a feature's water and take from it. Frozen, in SI."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature.levels import XY, Level


class Catchment(Struct, frozen=True, kw_only=True):
    """Ground or a roof of an area [m2] from which a share [-] of the rain runs into a body."""

    area_m2: float
    share: float


class Overflow(Struct, frozen=True, kw_only=True):
    """Where a body that is too full lets water go: a notch `width_m` [m] wide, or a pipe `pipe_m` [m] across inside."""

    level: Level  # the notch's crest, or the pipe's invert
    width_m: float | None
    pipe_m: float | None
    at: XY | None = None
    ends: XY | None = None  # where its pipe or channel lets go of the water; None: where it lies


class Month(Struct, frozen=True, kw_only=True):
    """A month of the person's climate figures: evaporation of open water [m] in it, or its mean day's weather."""

    month: int  # 1 is January
    evaporation_m: float | None
    high_c: float | None = None
    low_c: float | None = None
    humidity_low: float | None = None
    humidity_high: float | None = None
    wind_ms: float | None = None
    sun_h: float | None = None


class Climate(Struct, frozen=True, kw_only=True):
    """What the weather takes and brings, as far as anybody said."""

    latitude_rad: float | None = None
    elevation_m: float = 0.0
    months: tuple[Month, ...] = ()
    rain_m: float | None = None  # the heaviest that the pond is to take
    rain_s: float = 3600.0  # in how long
    frost_m: float | None = None  # how deep frost reaches into the ground; 0 where it never freezes


class Supply(Struct, frozen=True, kw_only=True):
    hose_m3s: float | None = None
    float_valve: bool | None = None


class Filled(Struct, frozen=True, kw_only=True):
    """What the fill meter read, from empty [m3], with the water of a body at a level."""

    body: str
    meter_m3: float
    level: Level
