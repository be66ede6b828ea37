"""The feature file, format 1, as it is typed. Everything that may be left out is filled in by `complete()`."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Struct, field

from rillwright.feature.fields import (
    Angle,
    AnyLength,
    Area,
    Either,
    Flow,
    FlowOrZero,
    Id,
    Length,
    LengthOrZero,
    LevelSaid,
    Many,
    Mass,
    MassPerArea,
    Number,
    Power,
    Share,
    Speed,
    Temperature,
    Time,
    Volume,
    Words,
    YesNo,
    whole,
    words,
)

FORMAT = 1
Point = Annotated[list[AnyLength], Many(2, 2)]
Points = Annotated[list[Point], Many(2, 5000)]


class MarkSaid(Struct, frozen=True, kw_only=True):
    """A fixed mark, or a point of the ground. Without `level` it is looked up in the books."""

    id: Id
    role: Literal["benchmark", "paving", "point"] = "point"
    level: LevelSaid | None = None
    surface: Literal["mark", "ground"] | None = None
    at: Point | None = None


class MachineSaid(Struct, frozen=True, kw_only=True):
    name: Words
    width: Length
    reach: Length
    lift: Mass
    lift_at: Length


class AccessSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    width: Length
    at: Point | None = None
    machine: Words | MachineSaid | None = None


class FootingSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    line: Points
    base: LevelSaid


class PowerSaid(Struct, frozen=True, kw_only=True):
    distance: LengthOrZero | None = None
    residual_current_device: YesNo | None = None


class SiteSaid(Struct, frozen=True, kw_only=True):
    north: Angle | None = None
    soil: Words | None = None
    groundwater: LevelSaid | None = None
    access: list[AccessSaid] = []
    footings: list[FootingSaid] = []
    services: Words | None = None
    note: Words | None = None
    crew: Annotated[int, whole(1, 100)] | None = None
    stake_offset: Length | None = None
    power: PowerSaid | None = None
    barrier: Words | None = None


class LinerSaid(Struct, frozen=True, kw_only=True):
    name: Words | None = None
    thickness: Length | None = None
    mass: MassPerArea | None = None
    spare: LengthOrZero | None = None
    underlay: LengthOrZero | None = None
    underlay_mass: MassPerArea | None = None


class OutlineSaid(Struct, frozen=True, kw_only=True):
    """One of `oval` (length, width), `rectangle` (length, width) or `points`."""

    oval: Annotated[list[Length], Many(2, 2)] | None = None
    rectangle: Annotated[list[Length], Many(2, 2)] | None = None
    points: Annotated[list[Point], Many(3, 5000)] | None = None
    centre: Point | None = None
    turn: Angle | None = None

    def __post_init__(self) -> None:
        if sum(form is not None for form in (self.oval, self.rectangle, self.points)) != 1:
            raise ValueError("an outline is given once: as 'oval', as 'rectangle' or as 'points'")
        if self.points is not None and (self.centre or self.turn):
            raise ValueError("'centre' and 'turn' belong to an oval or a rectangle, not to points")


class ShelfSaid(Struct, frozen=True, kw_only=True):
    width: LengthOrZero | None = None
    depth: LengthOrZero | None = None


class IntakeSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    kind: Literal["skimmer", "pit", "reservoir"] | None = None
    low: LevelSaid | None = None
    high: LevelSaid | None = None
    greatest_flow: Flow | None = None


class RimSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    ground: LevelSaid
    berm: LengthOrZero | None = None
    settlement: Share | None = None
    at: Point | None = None


class CatchmentSaid(Struct, frozen=True, kw_only=True):
    """Ground or a roof from which rain runs into the pond, and the share of it that does."""

    area: Area
    share: Share | None = None


class OverflowSaid(Struct, frozen=True, kw_only=True):
    """Where a pond that is too full lets water go: a notch of a `width`, or a `pipe` by its inside diameter."""

    level: LevelSaid
    width: Length | None = None
    pipe: Length | None = None

    def __post_init__(self) -> None:
        if (self.width is None) == (self.pipe is None):
            raise ValueError("an overflow is a notch of a 'width' or a 'pipe', one of them")


class PondSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    kind: Literal["pond", "reservoir"] | None = None
    outline: OutlineSaid
    waterline: LevelSaid | None = None
    held: Literal["at rest", "while running"] | None = None
    depth: Length | None = None
    side: Number | Literal["vertical"] | None = None
    shelf: ShelfSaid | Literal["none"] | None = None
    stone_share: Share | None = None
    water_share: Share | None = None
    gravel: LengthOrZero | None = None
    intake: IntakeSaid | None = None
    rims: list[RimSaid] = []
    catchment: list[CatchmentSaid] = []
    overflow: OverflowSaid | None = None


class BedSaid(Struct, frozen=True, kw_only=True):
    """A length of stream between crests."""

    bed: Id
    length: Length | None = None
    pitch: AnyLength | None = None
    start: LevelSaid | None = None
    width: Length | None = None
    gravel: LengthOrZero | None = None
    bank: Length | None = None


class SpillStoneSaid(Struct, frozen=True, kw_only=True):
    """One of a crest's stones, from the left looking downstream; `above` the crest, which is the lowest of them."""

    width: Length
    above: LengthOrZero | None = None


class FallSaid(Struct, frozen=True, kw_only=True):
    """A drop and the spill stone at its top. `crest`, if given, is the level of the stone's top."""

    fall: Id
    drop: AnyLength | None = None
    kind: Literal["free", "stacked", "slide"] | None = None
    crest: LevelSaid | None = None
    crest_width: Length | None = None
    spill_stone: LengthOrZero | None = None
    stones: Annotated[list[SpillStoneSaid], Many(2, 20)] | None = None
    stone_depth: Length | None = None
    sealed: YesNo | None = None
    ripple: YesNo | None = None
    tilt: LengthOrZero | None = None
    station: LengthOrZero | None = None


Row = Annotated[
    BedSaid | FallSaid,
    Either(
        ("bed", "fall"),
        message="a row of a course is either a bed or a fall",
        allowed="'bed: ID' with its length, or 'fall: ID' with its drop",
    ),
]


def course_id(row: BedSaid | FallSaid) -> str:
    """The id of a row of a course."""
    return row.bed if isinstance(row, BedSaid) else row.fall


class StreamSaid(Struct, frozen=True, kw_only=True):
    """From the head down: beds and falls by turns, the last fall into the pond."""

    id: Id | None = None
    into: Id | None = None
    head: LevelSaid
    head_ground: LevelSaid | None = None
    width: Length | None = None
    gravel: LengthOrZero | None = None
    grain: Length | None = None
    bank: Length | None = None
    look: Literal["quiet", "lively", "loud"] | None = None
    splash: LengthOrZero | None = None
    path: Points | None = None
    course: Annotated[list[Row], Many(2, 400)]


class BoxSaid(Struct, frozen=True, kw_only=True):
    """The two numbers on a pump's box."""

    shut_off: Length
    greatest_flow: Flow


CurvePoint = tuple[FlowOrZero, LengthOrZero]
Fittings = dict[str, Annotated[int, whole(0, 1000)]]


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
    """A valve as it is set: loss coefficient `k`, or flow coefficient `kv` (m3/h at 1 bar) or `cv` (gal/min at 1 psi)."""

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


class MeasuredSaid(Struct, frozen=True, kw_only=True):
    """A flow as measured: read off a meter as `flow`, or a bucket's `volume` filled in a `time`."""

    flow: Flow | None = None
    volume: Volume | None = None
    time: Time | None = None

    def __post_init__(self) -> None:
        bucket = self.volume is not None and self.time is not None
        if (self.flow is not None) == bucket or (self.volume is None) != (self.time is None):
            raise ValueError("a measured flow is given once: as 'flow', or as the 'volume' and 'time' of a bucket")
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


class SupplySaid(Struct, frozen=True, kw_only=True):
    """What fills the pond and tops it up."""

    hose: Flow | None = None
    float_valve: YesNo | None = None


class FilledSaid(Struct, frozen=True, kw_only=True):
    """A reading of the fill meter, from empty, and where the water then stood."""

    pond: Id | None = None
    meter: Volume
    level: LevelSaid


class LapSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    at: Id
    upturn: LevelSaid | None = None
    run: Length | None = None
    sealed: YesNo | None = None


class LimitSaid(Struct, frozen=True, kw_only=True):
    limit: Words
    value: Words
    reason: Annotated[str, words(least=3)]


class BuiltSaid(Struct, frozen=True, kw_only=True):
    """A level as built: what was planned there gives way."""

    at: Words
    level: LevelSaid
    note: Words | None = None


class FeatureSaid(Struct, frozen=True, kw_only=True):
    """The whole file. `pond`, `stream` and `run` are the short forms of a list of one."""

    format: Literal[1]  # the format number of this file
    name: Annotated[str, words(least=1, most=200)]
    note: Words = ""
    invented: YesNo = False
    revision: Words = "A"
    units: Literal["us", "metric"] | None = None
    step: Length | None = None
    datum: Id | None = None
    books: list[Words] = []
    photos: list[Words] = []
    marks: list[MarkSaid] = []
    site: SiteSaid | None = None
    liner: LinerSaid | None = None
    pond: PondSaid | None = None
    ponds: list[PondSaid] = []
    stream: StreamSaid | None = None
    streams: list[StreamSaid] = []
    run: RunSaid | None = None
    runs: list[RunSaid] = []
    pump_list: list[PumpSaid] = []
    laps: list[LapSaid] = []
    climate: ClimateSaid | None = None
    supply: SupplySaid | None = None
    filled: list[FilledSaid] = []
    limits: list[LimitSaid] = []
    built: list[BuiltSaid] = []

    def __post_init__(self) -> None:
        for one, many in (("pond", "ponds"), ("stream", "streams"), ("run", "runs")):
            if getattr(self, one) is not None and getattr(self, many):
                raise ValueError(f"give either '{one}' or '{many}', not both")
        if self.pond is None and not self.ponds:
            raise ValueError("a feature needs a 'pond' (kind: reservoir if it is buried) or 'ponds'")
