"""The Feature: the whole water feature in SI, levels resolved, every default filled in. Frozen; made by `complete()`.

Topology is a directed graph. Nodes are bodies (`Body.id`) and stream nodes (`Reach.upstream`, `Fall.downstream`, ...);
links are reaches, falls and pipe runs. `Stream` is the ordered view that a builder has of one watercourse.
"""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from rillwright.feature.levels import XY, Level
from rillwright.feature.model_climate import Catchment, Climate, Filled, Overflow, Supply
from rillwright.feature.model_edges import Penetration
from rillwright.feature.model_islands import Island
from rillwright.feature.model_runs import Run
from rillwright.feature.model_site import Site


class BodyKind(StrEnum):
    POND = "pond"  # open water
    RESERVOIR = "reservoir"  # buried, water between blocks or stone


class Holding(StrEnum):
    """When the water level is topped up to the waterline."""

    AT_REST = "at rest"
    WHILE_RUNNING = "while running"


class FallKind(StrEnum):
    FREE = "free"
    STACKED = "stacked"
    SLIDE = "slide"


class Lip(StrEnum):
    """What the water leaves: natural stone, a sawn slab with a square edge, a thin edge of metal, glass or acrylic."""

    ROUGH = "rough"
    SLAB = "slab"
    SHARP = "sharp"


class IntakeKind(StrEnum):
    SKIMMER = "skimmer"
    PIT = "pit"
    RESERVOIR = "reservoir"


class Look(StrEnum):
    QUIET = "quiet"
    LIVELY = "lively"
    LOUD = "loud"


class Mark(Struct, frozen=True, kw_only=True):
    """A fixed point or a shot on the ground, with its level and, where known, its place [m]."""

    id: str
    role: str  # benchmark | paving | point
    level: Level
    at: XY | None = None


class Rim(Struct, frozen=True, kw_only=True):
    """One place on the outer edge of a body's liner: `berm_m` [m] is built on `ground`, settles by `settlement` [-]."""

    id: str
    body: str
    ground: Level
    berm_m: float
    settlement: float
    at: XY | None = None
    top: Level | None = None  # as shot when built, before its fill has settled
    fill: str = ""  # key of the table of fills; nothing: nobody has said
    cover: str = ""  # what lies over the liner's edge, a key of the table of covers

    @property
    def finished_m(self) -> float:
        """Level of the rim when its fill has settled [m]."""
        return self.ground.m + self.berm_m * (1.0 - self.settlement)


class Intake(Struct, frozen=True, kw_only=True):
    """Where the pump draws, and the water levels between which it works."""

    id: str
    kind: IntakeKind
    low: Level  # lowest working water level
    high: Level  # highest working water level
    greatest_flow_m3s: float | None  # what the maker allows, if said


class Body(Struct, frozen=True, kw_only=True):
    """A pond or a buried reservoir: outline at the waterline, and what lies in it."""

    id: str
    kind: BodyKind
    outline: tuple[XY, ...]  # counter-clockwise, at the waterline, not closed
    length_m: float  # along the longest direction, for papers and order sizes
    width_m: float
    depth_m: float  # waterline to bed
    side_up_per_across: float  # 2.0 = two up to one across; inf = vertical
    shelf_width_m: float
    shelf_depth_m: float
    waterline: Level
    holding: Holding
    intake: Intake
    rims: tuple[Rim, ...]
    stone_share: float  # of the volume taken by stone and gravel [-]
    water_share: float  # of the hole that water can fill before stone is counted: 1 in a pond, the voids in a reservoir
    gravel_m: float  # on the floor
    catchments: tuple[Catchment, ...] = ()
    overflow: Overflow | None = None
    penetrations: tuple[Penetration, ...] = ()
    islands: tuple[Island, ...] = ()
    cover_share: float | None = None  # of the room over a reservoir's waterline that water can fill; None: open
    cover_top: Level | None = None  # of the stone over a reservoir; None: as high as its lowest rim
    axis: XY | None = None  # unit vector along the length of an oval or a rectangle; None: drawn by points

    @property
    def cover_m(self) -> float | None:
        """Top of what covers a reservoir [m]: as said, else as high as its lowest rim; None: open water, or neither."""
        if self.kind is BodyKind.RESERVOIR and self.cover_top is not None:
            return self.cover_top.m
        if self.kind is not BodyKind.RESERVOIR or not self.rims:
            return None
        return max(self.waterline.m, min(rim.finished_m for rim in self.rims))


class Reach(Struct, frozen=True, kw_only=True):
    """A length of stream between crests. Levels are of the bed, the top of the gravel."""

    id: str
    stream: str
    upstream: str
    downstream: str
    station_m: float  # where it begins, along the stream from its head
    length_m: float
    pitch_m: float  # fall of the bed from start to end; negative is pitched back
    width_m: float
    bed_start: Level
    bed_end: Level
    gravel_m: float
    grain_m: float  # median size of the gravel
    bank_m: float  # liner's edge on both sides above the bed
    penetrations: tuple[Penetration, ...] = ()
    islands: tuple[Island, ...] = ()
    side_up_per_across: float | None = None  # of both banks; None: nobody has said
    dish_m: float = 0.0  # the middle, at which its levels are told, below its edges

    @property
    def floor_width_m(self) -> float:
        """Width of the liner's floor [m]: that of the bed, less what banks of a said side take under the gravel."""
        side = self.side_up_per_across
        if side is None:
            return self.width_m
        return self.width_m - 2.0 * self.gravel_m / (side - 2.0 * self.dish_m / self.width_m)

    @property
    def open_width_m(self) -> float:
        """Width that is left for water [m]: that of the bed less its islands, spread over its length."""
        return self.width_m - sum(island.area_m2 for island in self.islands) / self.length_m

    def bed_at_m(self, station_m: float) -> float:
        """Level of the bed [m] beside a station of its stream [m]: straight from its start to its end."""
        share = min(max((station_m - self.station_m) / self.length_m, 0.0), 1.0) if self.length_m > 0.0 else 0.0
        return self.bed_start.m + (self.bed_end.m - self.bed_start.m) * share


class CrestStone(Struct, frozen=True, kw_only=True):
    """One of several stones that make a crest side by side: its top lies `above_m` [m] over the crest's lowest."""

    width_m: float
    above_m: float


class Plunge(Struct, frozen=True, kw_only=True):
    """A pool dug at the foot of a fall, as wide as the bed, its sides upright and its floor level.

    `depth_m` [m] is the top of its gravel below the bed at the foot; `length_m` [m] runs from the face of the crest.
    """

    depth_m: float
    length_m: float


class Fall(Struct, frozen=True, kw_only=True):
    """A drop in the stream and the spill stone that makes its crest."""

    id: str
    stream: str
    upstream: str
    downstream: str
    kind: FallKind
    station_m: float
    drop_m: float  # bed above to bed below; for the last one into a body, bed above to the waterline
    crest: Level  # top of the spill stone
    foot: Level  # bed below; for the last one into a body, its waterline
    crest_width_m: float
    stone_m: float  # thickness of the spill stone
    stone_depth_m: float  # of the spill stone along the flow
    sealed: bool  # water cannot pass under the stone
    wished_ripple: bool  # meant as a small drop
    tilt_m: float | None  # end to end, if shot
    low_end: str = ""  # left or right, looking downstream, if shot
    stone_said: bool = False  # whether the file gives the stone's thickness
    stones: tuple[CrestStone, ...] = ()  # from the left looking downstream; none: one stone, all the width
    lip: Lip = Lip.ROUGH
    plunge: Plunge | None = None  # dug into the bed below


class Join(Struct, frozen=True, kw_only=True):
    """Where a stream runs into a bed of another: beside which station [m] of that one's length."""

    stream: str
    reach: str
    station_m: float


class Stream(Struct, frozen=True, kw_only=True):
    """One watercourse from its head to the body, or the bed of another, that it runs into, in the order of flow."""

    id: str
    into: str  # body in which its water ends, by itself or by the streams that it joins
    path: tuple[XY, ...]  # centre line from head to body, or to the side of the bed
    head: Level  # bed at the stream head
    head_ground: Level | None  # ground there before work
    width_m: float
    links: tuple[Reach | Fall, ...]
    look: Look
    splash_m: float  # lined on each side beyond the banks for splash
    joins: Join | None = None  # the bed of another stream that it runs into; None: it runs into its body itself

    @property
    def reaches(self) -> tuple[Reach, ...]:
        return tuple(link for link in self.links if isinstance(link, Reach))

    @property
    def falls(self) -> tuple[Fall, ...]:
        return tuple(link for link in self.links if isinstance(link, Fall))

    def plunge_in(self, reach: Reach) -> Plunge | None:
        """The plunge pool at the upper end of one of its beds, if there is one."""
        at = self.links.index(reach)
        above = self.links[at - 1] if at else None
        return above.plunge if isinstance(above, Fall) else None

    @property
    def length_m(self) -> float:
        """Length along the stream [m]."""
        return sum(reach.length_m for reach in self.reaches)


class Lap(Struct, frozen=True, kw_only=True):
    """An unsealed overlap: the upper piece lies over the lower one's upturn."""

    id: str
    at: str  # path of the fall behind whose face it lies
    body: str | None  # body whose water stands against the upturn; None where it is a stream lap
    reach: str | None  # reach below whose water stands against it
    lower: str
    upper: str
    upturn: Level  # top of the lower piece's raised edge
    run_m: float  # how far the two lie over each other
    sealed: bool
    on_top: str = "upper"  # the piece that lies over the other: upper | lower
    cover: str = ""  # what lies over the edge of the lap, a key of the table of covers


class LinerSpec(Struct, frozen=True, kw_only=True):
    name: str
    thickness_m: float
    mass_kgm2: float
    spare_m: float  # a side
    underlay_m: float
    underlay_kgm2: float

    @property
    def under_m(self) -> float:
        """From the liner's top to the dig [m]."""
        return self.thickness_m + self.underlay_m


class LimitOverride(Struct, frozen=True, kw_only=True):
    limit: str
    value: float  # SI
    reason: str


class DefaultUsed(Struct, frozen=True, kw_only=True):
    """A value that nobody typed: where it went, what was used, and on whose word."""

    path: str  # field path, e.g. 'ponds/pond.depth'
    default: str  # name in sources/defaults.toml
    value: float | str  # SI
    unit: str
    source: str


class Feature(Struct, frozen=True, kw_only=True):
    name: str
    system: str  # 'us' or 'metric': how papers print
    step_m: float  # marking step
    note: str
    scenario: bool  # invented, and said to be
    revision: str
    marks: tuple[Mark, ...]
    datum: str  # id of the mark to which levels are tied
    bodies: tuple[Body, ...]
    streams: tuple[Stream, ...]
    runs: tuple[Run, ...]
    laps: tuple[Lap, ...]
    liner: LinerSpec
    site: Site
    overrides: tuple[LimitOverride, ...]
    defaults_used: tuple[DefaultUsed, ...]
    climate: Climate = Climate()
    supply: Supply = Supply()
    filled: tuple[Filled, ...] = ()

    def body(self, id: str) -> Body:
        """The body of that id. Raises KeyError."""
        return {body.id: body for body in self.bodies}[id]

    def override_of(self, limit: str) -> LimitOverride | None:
        """The figure that the feature gives instead of the limit of that name, if it gives one."""
        return next((said for said in self.overrides if said.limit == limit), None)

    def stream(self, id: str) -> Stream:
        """The stream of that id. Raises KeyError."""
        return {stream.id: stream for stream in self.streams}[id]

    def joined(self, stream: Stream) -> Reach | None:
        """The bed of another stream that a stream runs into; None where that is its body."""
        if stream.joins is None:
            return None
        return next(reach for reach in self.stream(stream.joins.stream).reaches if reach.id == stream.joins.reach)

    def below(self, stream: Stream, fall: Fall) -> Reach | Fall | None:
        """What the water of a fall comes to next: a link of its stream, the bed that it joins, or None, its body."""
        after = stream.links[stream.links.index(fall) + 1 :]
        return after[0] if after else self.joined(stream)

    def foot_m(self, stream: Stream, fall: Fall) -> float:
        """Level of the bed [m] at the foot of a fall, or of the waterline where it falls into a body."""
        below = self.below(stream, fall)
        if not isinstance(below, Reach):
            return fall.foot.m
        joins = stream.joins if below.stream != stream.id else None
        return below.bed_start.m if joins is None else below.bed_at_m(joins.station_m)

    @property
    def downstream_first(self) -> tuple[Stream, ...]:
        """The streams, each after the one whose bed it runs into; in their own order where none does."""
        return tuple(sorted(self.streams, key=self.joints_below))

    def joints_below(self, stream: Stream) -> int:
        """How many times [-] the water of a stream joins another before it comes to its body."""
        return 0 if stream.joins is None else 1 + self.joints_below(self.stream(stream.joins.stream))

    def upstream_of(self, stream: Stream) -> tuple[Stream, ...]:
        """A stream and all that run into it, and into these."""
        found = [stream]
        for one in found:
            found += [each for each in self.streams if each.joins is not None and each.joins.stream == one.id]
        return tuple(found)

    def joining(self, reach: Reach) -> tuple[Stream, ...]:
        """The streams that run into a bed."""
        return tuple(stream for stream in self.streams if stream.joins is not None and stream.joins.reach == reach.id)

    @property
    def reaches(self) -> tuple[Reach, ...]:
        return tuple(reach for stream in self.streams for reach in stream.reaches)

    @property
    def falls(self) -> tuple[Fall, ...]:
        return tuple(fall for stream in self.streams for fall in stream.falls)
