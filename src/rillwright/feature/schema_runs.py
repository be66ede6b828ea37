"""Pipe runs as they are typed: pumps, pipes, outlets, suction, a measured flow."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Struct, field

from rillwright.feature.fields import (
    Flow,
    FlowOrZero,
    Id,
    Length,
    LengthOrZero,
    LevelSaid,
    Many,
    Number,
    Power,
    Share,
    Temperature,
    Time,
    Volume,
    Words,
    YesNo,
    whole,
)
from rillwright.feature.schema_site import Point

Fittings = dict[str, Annotated[int, whole(0, 1000)]]


class BoxSaid(Struct, frozen=True, kw_only=True):
    """The two numbers on a pump's box."""

    shut_off: Length
    greatest_flow: Flow


CurvePoint = tuple[FlowOrZero, LengthOrZero]


class PumpSaid(Struct, frozen=True, kw_only=True):
    """A pump by the two numbers on its `box` or by a `curve` of [flow, head] points, at full speed."""

    id: Id | None = None
    box: BoxSaid | None = None
    curve: Annotated[list[CurvePoint], Many(2, 200)] | None = None
    watts: Power | None = None
    speed: Share | None = None
    spread: Share | None = None
    preferred: Annotated[list[FlowOrZero], Many(2, 2)] | None = None
    npsh: LengthOrZero | None = None

    def __post_init__(self) -> None:
        if (self.box is None) == (self.curve is None):
            raise ValueError("a pump is given once: by the two numbers on its 'box' or by its 'curve'")
        if self.speed is not None and not 0.2 <= self.speed.si <= 1.5:
            raise ValueError("the 'speed' of a pump is a share of its full speed, from 20 % to 150 %")
        if self.spread is not None and self.spread.si >= 0.5:
            raise ValueError("the 'spread' of a pump's curve is a share of its head, under 50 %")
        if self.preferred is not None and self.preferred[0].si >= self.preferred[1].si:
            raise ValueError("the 'preferred' flows of a pump go from the lower to the higher")


class PipeSaid(Struct, frozen=True, kw_only=True):
    """A pipe by its listed name (such as '3 in' or '90 mm') or by its inside diameter."""

    name: Words | None = None
    inside: Length | None = None
    roughness: LengthOrZero | None = None

    def __post_init__(self) -> None:
        if self.name is None and self.inside is None:
            raise ValueError("a pipe needs its listed 'name' or its 'inside' diameter")


class ValveSaid(Struct, frozen=True, kw_only=True):
    """A valve as it is set: loss coefficient `k`, or flow coefficient `kv` (m3/h at 1 bar) or `cv` (gal/min, 1 psi)."""

    k: Number | None = None
    kv: Number | None = None
    cv: Number | None = None

    def __post_init__(self) -> None:
        if sum(said is not None for said in (self.k, self.kv, self.cv)) != 1:
            raise ValueError("a valve's setting is given once: as 'k', as 'kv' or as 'cv'")


class SuctionSaid(Struct, frozen=True, kw_only=True):
    """The pipe from the water to a pump that stands beside it, and the level at which the pump stands."""

    pipe: PipeSaid
    length: Length
    fittings: Fittings | None = None
    pump_at: LevelSaid


class OutletSaid(Struct, frozen=True, kw_only=True):
    """One way out of a branching run: to a stream's head, a bed or a pond, through a pipe of its own."""

    id: Id | None = None
    to: Id
    wanted: Flow | None = None
    pipe: PipeSaid | None = None
    length: Length
    fittings: Fittings | None = None
    outlet: LevelSaid | None = None
    outlet_under_water: YesNo | None = None
    valve: ValveSaid | None = None
    at: Point | None = None
    summit: LevelSaid | None = None


class MeasuredSaid(Struct, frozen=True, kw_only=True):
    """A flow as measured: read off a meter as `flow`, or a bucket's `volume` filled in a `time`; its `error`."""

    flow: Flow | None = None
    volume: Volume | None = None
    time: Time | None = None
    error: Share | None = None

    def __post_init__(self) -> None:
        bucket = self.volume is not None and self.time is not None
        if (self.flow is not None) == bucket or (self.volume is None) != (self.time is None):
            raise ValueError("a measured flow is given once: as 'flow', or as the 'volume' and 'time' of a bucket")
        if self.error is not None and self.error.si >= 0.5:
            raise ValueError("the 'error' of a measured flow is a share of it either way, under 50 %")
        if bucket and (self.volume.si <= 0 or self.time.si <= 0):  # type: ignore[union-attr]
            raise ValueError("a bucket's 'volume' and 'time' are more than zero")


class RunSaid(Struct, frozen=True, kw_only=True):
    """A pipe run from a pond through a pump or several to a stream's head, to one of its beds, or to `outlets`."""

    id: Id | None = None
    source: Id | None = field(default=None, name="from")
    to: Id | None = None
    wanted: Flow | None = None
    pump: PumpSaid | None = None
    pumps: Annotated[list[PumpSaid], Many(1, 8)] | None = None
    arrangement: Literal["parallel", "series"] | None = None
    pipe: PipeSaid | None = None
    length: Length | None = None
    fittings: Fittings | None = None
    outlet: LevelSaid | None = None
    outlet_under_water: YesNo | None = None
    check_valve: YesNo | None = None
    outlets: Annotated[list[OutletSaid], Many(2, 12)] | None = None
    suction: SuctionSaid | None = None
    summit: LevelSaid | None = None
    lowest: LevelSaid | None = None
    drain: YesNo | None = None
    valve: ValveSaid | None = None
    temperature: Temperature | None = None
    measured: MeasuredSaid | None = None

    def __post_init__(self) -> None:
        if self.pump is not None and self.pumps is not None:
            raise ValueError("give either 'pump' or 'pumps', not both")
        if self.arrangement is not None and (self.pumps is None or len(self.pumps) < 2):
            raise ValueError("'arrangement' says how several 'pumps' stand to one another")
        own = [key for key in ("to", "outlet", "outlet_under_water", "wanted") if getattr(self, key) is not None]
        if self.outlets is not None and own:
            raise ValueError(f"of a run with 'outlets' each outlet says its own '{own[0]}'")
        if self.temperature is not None and not 273.15 <= self.temperature.si <= 313.15:
            raise ValueError("the 'temperature' of the water is from 0 to 40 degrees C, 32 to 104 degrees F")
