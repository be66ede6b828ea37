"""Climate, rain, supply and fill meter as they are typed."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Struct

from rillwright.feature.fields import (
    Angle,
    AnyLength,
    Area,
    Flow,
    Id,
    Length,
    LengthOrZero,
    LevelSaid,
    Many,
    Share,
    Speed,
    Temperature,
    Time,
    Volume,
    YesNo,
)
from rillwright.feature.schema_site import Point

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


class MonthSaid(Struct, frozen=True, kw_only=True):
    """One month of a weather service's table: `evaporation` of open water, or what it follows from."""

    month: Literal[MONTHS]  # type: ignore[valid-type]
    evaporation: LengthOrZero | None = None
    high: Temperature | None = None
    low: Temperature | None = None
    humidity: Annotated[list[Share], Many(2, 2)] | None = None
    wind: Speed | None = None
    sun: Time | None = None

    def __post_init__(self) -> None:
        weather = (self.high, self.low, self.humidity, self.wind)
        if self.evaporation is None and None in weather:
            raise ValueError("a month needs its 'evaporation', or 'high', 'low', 'humidity' and 'wind'")


class RainSaid(Struct, frozen=True, kw_only=True):
    """The heaviest rain that the pond is to take: how much, in how long."""

    depth: Length
    lasts: Time | None = None


class ClimateSaid(Struct, frozen=True, kw_only=True):
    """What the weather takes and brings, by the person's own figures."""

    latitude: Angle | None = None
    elevation: AnyLength | None = None
    months: list[MonthSaid] = []
    design_rain: RainSaid | None = None
    frost_depth: LengthOrZero | None = None


class SupplySaid(Struct, frozen=True, kw_only=True):
    """What fills the pond and tops it up."""

    hose: Flow | None = None
    float_valve: YesNo | None = None


class FilledSaid(Struct, frozen=True, kw_only=True):
    """A reading of the fill meter, from empty, and where the water then stood."""

    pond: Id | None = None
    meter: Volume
    level: LevelSaid


class CatchmentSaid(Struct, frozen=True, kw_only=True):
    """Ground or a roof from which rain runs into the pond, and the share of it that does."""

    area: Area
    share: Share | None = None


class OverflowSaid(Struct, frozen=True, kw_only=True):
    """Where a pond that is too full lets water go: a notch of a `width`, or a `pipe` by its inside diameter."""

    level: LevelSaid
    width: Length | None = None
    pipe: Length | None = None
    at: Point | None = None
    ends: Point | None = None

    def __post_init__(self) -> None:
        if (self.width is None) == (self.pipe is None):
            raise ValueError("an overflow is a notch of a 'width' or a 'pipe', one of them")
