"""The Feature: the whole water feature in SI, levels resolved, every default filled in. Frozen; made by `complete()`.

Topology is a directed graph. Nodes are bodies (`Body.id`) and stream nodes (`Reach.upstream`, `Fall.downstream`, ...);
links are reaches, falls and pipe runs. `Stream` is the ordered view that a builder has of one watercourse.
"""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from rillwright.feature.levels import Level
from rillwright.units import Band

XY = tuple[float, float]  # [m], x to the right of the sheet, y up it


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


class Catchment(Struct, frozen=True, kw_only=True):
    """Ground or a roof of an area [m2] from which a share [-] of the rain runs into a body."""

    area_m2: float
    share: float


class Overflow(Struct, frozen=True, kw_only=True):
    """Where a body that is too full lets water go: a notch `width_m` [m] wide, or a pipe `pipe_m` [m] across inside."""

    level: Level  # the notch's crest, or the pipe's invert
    width_m: float | None
    pipe_m: float | None


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
    axis: XY | None = None  # unit vector along the length of an oval or a rectangle; None: drawn by points


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


class CrestStone(Struct, frozen=True, kw_only=True):
    """One of several stones that make a crest side by side: its top lies `above_m` [m] over the crest's lowest."""

    width_m: float
    above_m: float


class Fall(Struct, frozen=True, kw_only=True):
    """A drop in the stream and the spill stone that makes its crest."""

    id: str
    stream: str
    upstream: str
    downstream: str
    kind: FallKind
    station_m: float
    drop_m: float  # bed above to bed below; for the last one, bed above to the waterline
    crest: Level  # top of the spill stone
    foot: Level  # bed below; for the last one, the body's waterline
    crest_width_m: float
    stone_m: float  # thickness of the spill stone
    stone_depth_m: float  # of the spill stone along the flow
    sealed: bool  # water cannot pass under the stone
    wished_ripple: bool  # meant as a small drop
    tilt_m: float | None  # end to end, if shot
    low_end: str = ""  # left or right, looking downstream, if shot
    stone_said: bool = False  # whether the file gives the stone's thickness
    stones: tuple[CrestStone, ...] = ()  # from the left looking downstream; none: one stone, all the width


class Stream(Struct, frozen=True, kw_only=True):
    """One watercourse from its head to the body that it runs into, in the order of flow."""

    id: str
    into: str
    path: tuple[XY, ...]  # centre line from head to body
    head: Level  # bed at the stream head
    head_ground: Level | None  # ground there before work
    width_m: float
    links: tuple[Reach | Fall, ...]
    look: Look
    splash_m: float  # lined on each side beyond the banks for splash

    @property
    def reaches(self) -> tuple[Reach, ...]:
        return tuple(link for link in self.links if isinstance(link, Reach))

    @property
    def falls(self) -> tuple[Fall, ...]:
        return tuple(link for link in self.links if isinstance(link, Fall))

    @property
    def length_m(self) -> float:
        """Length along the stream [m]."""
        return sum(reach.length_m for reach in self.reaches)


class Fitting(Struct, frozen=True, kw_only=True):
    """A loss in a pipe run: `count` pieces of loss coefficient `k` [-]."""

    kind: str
    count: int
    k: float
    source: str


class Pipe(Struct, frozen=True, kw_only=True):
    name: str  # as ordered
    inside_m: float
    length_m: float
    roughness_m: float
    source: str


class Pump(Struct, frozen=True, kw_only=True):
    """A pump by its curve, flow [m3/s] against head [m], falling. Two points are shut-off head and greatest flow."""

    id: str
    curve: tuple[tuple[float, float], ...]
    two_numbers: bool
    watts: float | None  # electrical, if said
    efficiency: Band  # overall, wire to water [-], for where watts are not said
    proposed: bool  # not the person's pump, but the duty that is asked for
    speed: float = 1.0  # of the speed for which the curve is given [-]
    spread: float = 0.0  # of the maker's curve, either way, as a share of its head [-]
    preferred_m3s: tuple[float, float] | None = None  # flows in which the maker wants it to work, at that speed
    npsh_m: float | None = None  # net positive suction head that it asks for


class ValveSet(Struct, frozen=True, kw_only=True):
    """A valve's setting, by one of these: K on the speed in its pipe [-], Kv [m3/h at 1 bar], Cv [gal/min at 1 psi]."""

    k: float | None = None
    kv_m3h: float | None = None
    cv: float | None = None


class Suction(Struct, frozen=True, kw_only=True):
    """The pipe from the water to a pump that stands beside it."""

    pipe: Pipe
    fittings: tuple[Fitting, ...]
    pump_at: Level


class RunOutlet(Struct, frozen=True, kw_only=True):
    """One way out of a branching run, from the point where they part."""

    id: str
    outlet: str  # stream, reach or body in which it ends
    pipe: Pipe | None  # None: of the run's own size
    pipe_length_m: float
    fittings: tuple[Fitting, ...]
    wanted_m3s: float
    level: Level  # as `Run.outlet_level`
    under_water: bool
    valve: ValveSet | None = None  # as it is set, beside the fittings


class RunEnd(Struct, frozen=True, kw_only=True):
    """Where water leaves a run: `key` is the run's id, of a branching one with the outlet's after a stroke."""

    key: str
    outlet: str
    level: Level
    under_water: bool
    wanted_m3s: float


class Run(Struct, frozen=True, kw_only=True):
    """A pipe run from a body through a pump, or several, to an outlet, or several.

    Of a branching run `outlet`, `outlet_level` and `outlet_under_water` are those of its first outlet, `wanted_m3s` is
    the sum, and pipe and fittings are those of its main.
    """

    id: str
    source: str  # body id
    outlet: str  # stream id, or the id of a reach in which it ends
    pump: Pump | None  # None: only the duty is asked for
    pipe: Pipe | None  # None: the smallest listed one that keeps the speed is proposed
    pipe_length_m: float
    fittings: tuple[Fitting, ...]
    wanted_m3s: float  # flow wished for
    outlet_level: Level  # water or pipe end against which it lifts, before the water on the crest
    outlet_under_water: bool
    check_valve: bool
    more_pumps: tuple[Pump, ...] = ()  # beside `pump`
    arrangement: str = "parallel"  # or 'series'
    outlets: tuple[RunOutlet, ...] = ()  # of a branching run
    suction: Suction | None = None  # None: the pump stands in the water
    summit: Level | None = None  # highest point of the pipe, where it is above its end
    valve: ValveSet | None = None  # as it is set, beside the fittings
    temperature_c: float | None = None  # None: that of the default
    measured_m3s: float | None = None
    candidates: tuple[Pump, ...] = ()  # the person's own list, to be tried

    @property
    def pumps(self) -> tuple[Pump, ...]:
        """All its pumps, in the order of flow where they stand in a row."""
        return () if self.pump is None else (self.pump, *self.more_pumps)

    @property
    def ends(self) -> tuple[RunEnd, ...]:
        """Where its water leaves it, one or several."""
        if not self.outlets:
            return (
                RunEnd(
                    key=self.id,
                    outlet=self.outlet,
                    level=self.outlet_level,
                    under_water=self.outlet_under_water,
                    wanted_m3s=self.wanted_m3s,
                ),
            )
        return tuple(
            RunEnd(
                key=f"{self.id}/{each.id}",
                outlet=each.outlet,
                level=each.level,
                under_water=each.under_water,
                wanted_m3s=each.wanted_m3s,
            )
            for each in self.outlets
        )


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


class Machine(Struct, frozen=True, kw_only=True):
    name: str
    width_m: float
    reach_m: float
    lift_kg: float  # at lift_radius_m
    lift_radius_m: float
    invented: bool


class Access(Struct, frozen=True, kw_only=True):
    id: str
    width_m: float
    at: XY | None
    machine: Machine | None  # None: by hand


class Footing(Struct, frozen=True, kw_only=True):
    """A footing or a paving base: nothing is dug below a 1:1 line from its foot."""

    id: str
    line: tuple[XY, ...]
    base: Level


class Site(Struct, frozen=True, kw_only=True):
    north_rad: float | None  # from the sheet's y axis, clockwise; None: nobody has said
    soil: str  # key of the soils table
    groundwater: Level | None
    accesses: tuple[Access, ...]
    footings: tuple[Footing, ...]
    services_located: str | None  # date and ticket as given; None = not said
    crew_people: int
    power_distance_m: float | None
    residual_current_device: bool | None
    barrier: str | None  # as said
    stake_offset_m: float = 1.0  # from the work to a peg
    note: str = ""  # what was seen there, as typed; nothing is judged by it


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


class Supply(Struct, frozen=True, kw_only=True):
    hose_m3s: float | None = None
    float_valve: bool | None = None


class Filled(Struct, frozen=True, kw_only=True):
    """What the fill meter read, from empty [m3], with the water of a body at a level."""

    body: str
    meter_m3: float
    level: Level


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

    @property
    def reaches(self) -> tuple[Reach, ...]:
        return tuple(reach for stream in self.streams for reach in stream.reaches)

    @property
    def falls(self) -> tuple[Fall, ...]:
        return tuple(fall for stream in self.streams for fall in stream.falls)
