"""The feature file, format 1, as it is typed. Everything that may be left out is filled in by `complete()`."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Struct

from rillwright.feature.fields import (
    Angle,
    AnyLength,
    Either,
    Flow,
    Id,
    Length,
    LengthOrZero,
    LevelSaid,
    Many,
    MassPerArea,
    Number,
    Share,
    Words,
    YesNo,
    words,
)
from rillwright.feature.schema_climate import CatchmentSaid, ClimateSaid, FilledSaid, OverflowSaid, SupplySaid
from rillwright.feature.schema_edges import CoverSaid, FillSaid, PenetrationSaid
from rillwright.feature.schema_runs import PumpSaid, RunSaid
from rillwright.feature.schema_site import Point, Points, SiteSaid

FORMAT = 1


class MarkSaid(Struct, frozen=True, kw_only=True):
    """A fixed mark, or a point of the ground. Without `level` it is looked up in the books."""

    id: Id
    role: Literal["benchmark", "paving", "point"] = "point"
    level: LevelSaid | None = None
    surface: Literal["mark", "ground"] | None = None
    at: Point | None = None


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


class IslandSaid(Struct, frozen=True, kw_only=True):
    """Dry ground in the water; its top above the waterline in a pond, above the bed in a stream."""

    id: Id | None = None
    outline: OutlineSaid
    top: Length | None = None


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
    fill: FillSaid | None = None
    cover: CoverSaid | None = None
    at: Point | None = None


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
    cover_share: Share | None = None
    cover_top: LevelSaid | None = None
    gravel: LengthOrZero | None = None
    intake: IntakeSaid | None = None
    rims: list[RimSaid] = []
    penetrations: list[PenetrationSaid] = []
    islands: list[IslandSaid] = []
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
    side: Number | Literal["vertical"] | None = None
    dish: LengthOrZero | None = None
    penetrations: list[PenetrationSaid] = []
    islands: list[IslandSaid] = []


class SpillStoneSaid(Struct, frozen=True, kw_only=True):
    """One of a crest's stones, from the left looking downstream; `above` the crest, which is the lowest of them."""

    width: Length
    above: LengthOrZero | None = None


class PlungeSaid(Struct, frozen=True, kw_only=True):
    """A pool dug at the foot of a fall: how deep below the bed there, and how long from the face of the crest."""

    depth: Length
    length: Length


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
    lip: Literal["rough", "slab", "sharp"] | None = None
    sealed: YesNo | None = None
    ripple: YesNo | None = None
    tilt: LengthOrZero | None = None
    station: LengthOrZero | None = None
    plunge: PlungeSaid | None = None


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
    side: Number | Literal["vertical"] | None = None
    dish: LengthOrZero | None = None
    look: Literal["quiet", "lively", "loud"] | None = None
    splash: LengthOrZero | None = None
    path: Points | None = None
    course: Annotated[list[Row], Many(2, 400)]


class LapSaid(Struct, frozen=True, kw_only=True):
    id: Id | None = None
    at: Id
    upturn: LevelSaid | None = None
    run: Length | None = None
    sealed: YesNo | None = None
    on_top: Literal["upper", "lower"] | None = None
    cover: CoverSaid | None = None


class LimitSaid(Struct, frozen=True, kw_only=True):
    limit: Words
    value: Words
    reason: Annotated[str, words(least=3)]


class BuiltSaid(Struct, frozen=True, kw_only=True):
    """A level as built: what was planned there gives way."""

    at: Words
    level: LevelSaid
    note: Words | None = None


class GroundFileSaid(Struct, frozen=True, kw_only=True):
    """A file with levels of the ground, and what it does not say itself."""

    file: Words
    unit: Literal["m", "ft", "us ft", "in", "mm"] | None = None
    surface: Words | None = None
    layers: list[Words] = []
    order: Words | None = None


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
    ground: list[GroundFileSaid] = []
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
