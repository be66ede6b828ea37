"""What the water does at this depth: circuit, crests, reaches, pond and balance, highest water."""

from __future__ import annotations

from msgspec import Struct

from rillwright.shape import MeterDoubt
from rillwright.units import Band
from rillwright.water.run_result import (
    CaseFlow,
    MainValve,
    MeasuredFlow,
    PumpShare,
    PumpTried,
    Siphon,
    SizeTried,
    SummitWater,
)
from rillwright.water.stream_result import Impact, MovingGravel, Splash, StreamLook, StreamProfile


class PumpPoint(Struct, frozen=True, kw_only=True):
    """One pipe run at its operating point, or at its duty where the pump is only proposed."""

    run: str
    pump: str
    proposed: bool
    wanted_m3s: float
    flow_m3s: Band
    head_m: Band
    static_m: float  # of several ends, the highest that gets water
    friction_m: float  # pipe and fittings at the flow
    power_w: Band  # electrical
    speed_ms: float  # in the pipe
    pipe: str
    pipe_inside_m: float
    pipe_length_m: float
    duty_flow_m3s: float  # wished flow with its spare
    duty_head_m: float  # lift and losses at that flow: the point of the pump's own curve to look for
    spare: float  # flow at the point over the flow wanted, less one [-]
    pump_curve: tuple[tuple[float, float], ...]  # (flow, head) for drawing [m3/s, m]
    system_curve: tuple[tuple[float, float], ...]
    pump_band: tuple[tuple[tuple[float, float], ...], ...] = ()  # lowest and highest curve, each as `pump_curve`
    system_band: tuple[tuple[tuple[float, float], ...], ...] = ()
    arrangement: str = "parallel"  # of several pumps; or 'series'
    pumps: tuple[PumpShare, ...] = ()
    main_valve: MainValve | None = None  # None: the flow wanted is not reached
    settings_share: float | None = None  # of the flows wanted that all outlets can have together [-]
    settings_note: str = ""
    cases: tuple[CaseFlow, ...] = ()
    sizes: tuple[SizeTried, ...] = ()
    tried: tuple[PumpTried, ...] = ()
    suction_speed_ms: Band | None = None
    suction_pipe: str = ""
    summit: SummitWater | None = None
    measured: MeasuredFlow | None = None


class OutletFlow(Struct, frozen=True, kw_only=True):
    """What comes out of one end of a run. With its valve at `valve_k` more it gets its share of the flows wanted."""

    run: str
    outlet: str
    level_m: float
    flow_m3s: Band
    id: str = ""  # of an outlet of a branching run
    wanted_m3s: float = 0.0
    speed_ms: float = 0.0  # in its own pipe
    pipe: str = ""
    valve_k: float = 0.0  # to be added by its valve, on the speed in its pipe [-]
    valve_loss_m: float = 0.0  # what that takes away
    keep_open: bool = False  # the valve that stays open: the others are turned
    set_m3s: float = 0.0  # what it gets with all valves so set
    summit: SummitWater | None = None  # at the highest point of its own pipe, where that is said


class SetCrest(Struct, frozen=True, kw_only=True):
    """A crest with the valves set as told."""

    fall: str
    path: str
    flow_m3s: float  # brought up to it
    depth_m: Band


class SetReach(Struct, frozen=True, kw_only=True):
    """A bed with the valves set as told."""

    reach: str
    path: str
    flow_m3s: float
    depth_m: Band  # on the average of its length


class SetWater(Struct, frozen=True, kw_only=True):
    """The water of crests and beds once every valve is set so that its outlet gets what is wanted there."""

    crests: tuple[SetCrest, ...]
    reaches: tuple[SetReach, ...]


class Circuit(Struct, frozen=True, kw_only=True):
    """Flow and electrical power are sums over the runs; head is that of the largest flow."""

    flow_m3s: Band
    head_m: Band
    power_w: Band
    pumps: tuple[PumpPoint, ...]
    outlets: tuple[OutletFlow, ...]


class StoneShare(Struct, frozen=True, kw_only=True):
    """What one of several spill stones carries, from the left looking downstream."""

    width_m: float
    above_m: float  # its top above the crest, the lowest of them
    depth_m: Band  # water on it
    share: Band  # of what runs over the crest [-]


class SheetWater(Struct, frozen=True, kw_only=True):
    """How the water of one stone of a crest, or of one end of a stone out of level, comes down. Lengths [m]."""

    at: str  # which of them; nothing where it is all the same
    unit_flow_m2s: Band
    height_m: Band  # its top less the water, or the cover, below
    throw_m: Band | None = None  # where the upper side of a free sheet lands
    throw_low_m: Band | None = None  # its underside
    impact_ms: float | None = None
    pool_depth_m: Band | None = None  # wanted below a free sheet
    pool_length_m: Band | None = None  # wanted, from the crest's face
    drop_number: float | None = None  # of a free sheet, q^2/(g h^3) [-]
    cling_radius_m: Band | None = None  # of the lips of a stack round which water follows the stone
    tread_m: Band | None = None
    foot_depth_m: Band | None = None  # at the foot of a slide
    foot_speed_ms: Band | None = None
    notes: tuple[str, ...] = ()  # what of it lies outside what was measured


class CrestWater(Struct, frozen=True, kw_only=True):
    """Water on one crest [m], how it comes down, and what lies outside its formulas' range.

    Of several stones, or of one out of level, each wet one comes down by its own flow: `sheets`. What is told of the
    whole crest is that of the one `at` which most comes down to the width, from the least to the most of them all.
    """

    fall: str
    path: str
    kind: str
    flow_m3s: Band
    width_m: float
    depth_m: Band  # water on the crest
    fall_height_m: Band  # crest less the running water below it
    throw_m: Band | None  # where a free sheet lands, from the crest; None for stacked falls and slides
    impact_ms: float | None  # where a free sheet lands
    in_range: bool
    range_note: str
    tilt_ratio: float | None  # flow at the low end over flow at the high end, by the shot tilt [-]
    weber: float = 0.0  # weight over surface tension of the water on the crest [-]
    stones: tuple[StoneShare, ...] = ()  # several side by side
    dry_share: float = 0.0  # of a stone out of level, the width that runs dry [-]
    drowned: float = 1.0  # flow over what it would be with no water standing against it [-]
    under: Band | None = None  # share of the water that goes under a stone that nothing seals [-]
    throw_low_m: Band | None = None  # where the underside of a free sheet lands
    pool_depth_m: Band | None = None  # wanted below a free sheet
    pool_length_m: Band | None = None  # wanted, from the crest's face
    cling_radius_m: Band | None = None  # of the lips of a stacked fall round which water follows the stone
    tread_m: Band | None = None  # by which a course must stand out to catch the sheet off a sharp lip above it
    foot_depth_m: Band | None = None  # at the foot of a slide
    foot_speed_ms: Band | None = None
    at: str = ""  # the stone or the end at which most comes down to the width; nothing where it is all the same
    sheets: tuple[SheetWater, ...] = ()  # of each wet stone; none where it does not fall
    lip: str = "rough"
    method: str = ""  # by which the water on it was found
    coefficient: Band | None = None  # C on it as it runs [m^0.5/s]
    notes: tuple[str, ...] = ()  # all that lies outside what was measured, `range_note` too


class ReachWater(Struct, frozen=True, kw_only=True):
    """Water in one reach, at rest and running."""

    reach: str
    path: str
    pool_like: bool
    flow_m3s: Band
    rest_level_m: float | None  # None: it drains dry
    running_start_m: Band  # level at its upper end
    running_end_m: Band  # level at its lower end
    depth_m: Band  # mean, running
    speed_ms: Band
    hidden: Band  # share of the flow inside the gravel [-]
    above_rest_m3: float  # open water that comes and goes with the pump
    gravel_m3: float  # water in the gravel that comes and goes with the pump
    method: str
    profile: StreamProfile | None = None  # None: at rest, or all of it in the gravel
    moving: MovingGravel | None = None
    notes: tuple[str, ...] = ()  # what of it lies outside what was measured
    pool_m3: float = 0.0  # that its plunge pool keeps below the bed with the pump off


class PondWater(Struct, frozen=True, kw_only=True):
    body: str
    volume_m3: float  # at the waterline, net of stone and gravel
    area_m2: float
    turnover_h: float | None  # volume over flow
    by_meter: bool = False  # whether the volume is the fill meter's, not the drawing's


class Balance(Struct, frozen=True, kw_only=True):
    """What the stream holds comes from the body at start and back at stop. Levels [m] for the declared holding."""

    body: str
    holding: str
    held_m: float
    transit_m3: Band
    drop_at_start_m: Band
    running_level_m: Band
    stop_level_m: Band
    topped_up_stop_level_m: Band  # after stopping, had it been topped up while running
    left_if_stream_leaks_m: float | None  # level at which the intake runs dry
    intake_low_m: float
    intake_high_m: float


class MonthLoss(Struct, frozen=True, kw_only=True):
    month: int  # 1 is January
    day_m: Band  # open water lost to the air on a mean day of it


class Losses(Struct, frozen=True, kw_only=True):
    """What a body loses to air and splash, and what makes it up."""

    body: str
    open_m2: float  # its own open water and that of the streams that run into it
    months: tuple[MonthLoss, ...]
    dry_day_m: Band  # of the worst month, or as is usual on a dry summer day
    dry_month: int | None  # None: nobody gave a climate
    splash_m3: Band  # in a day
    day_m3: Band  # in a dry day, both
    week_drop_m: Band  # of the level in a dry week that nothing makes up
    hose_share: Band | None  # part of a day in which the supply makes up a dry day; None: no supply is said
    fill_s: float | None  # by that supply, from empty


class Rain(Struct, frozen=True, kw_only=True):
    """The heaviest rain that a body is to take."""

    body: str
    rain_m: float
    caught_m3: float
    inflow_m3s: float  # its mean over the time that it lasts
    rise_m: float  # over the level at which it was held, with nothing let out
    overflow_head_m: Band | None  # water over the sill of its overflow, the rain at its heaviest; None: none is said


class WayOut(Struct, frozen=True, kw_only=True):
    """What lets out of a body what rain or a stuck top-up brings, and how high it stands if that fails. Levels [m]."""

    body: str
    sill_m: float | None  # of its overflow; None: it has none
    supply_m3s: float | None  # of its top-up; None: nobody said how much
    stuck_m: Band | None  # the top-up stuck open, all of it leaving by the overflow; None: no flow or no overflow
    blocked_m: Band | None  # the heaviest rain, the overflow blocked; None: no rain is given, or no overflow


class Clearing(Struct, frozen=True, kw_only=True):
    """Until one part in twenty of the silt of a build is left, the pump on [s]."""

    body: str
    time_s: Band


class Metered(Struct, frozen=True, kw_only=True):
    """A reading of the fill meter beside what was worked out for that level."""

    body: str
    level_m: float
    meter_m3: float
    worked_out_m3: float  # by the drawing
    used: bool = False  # whether the volumes of this body go by it
    doubt: MeterDoubt | None = None  # why it is not to be believed, if so


class HighWater(Struct, frozen=True, kw_only=True):
    """Highest water of one body or reach in one case and one way of holding the level."""

    path: str
    case: str  # rest | running | stopped | half blocked ...
    holding: str
    level_m: Band
    method: str


class Water(Struct, frozen=True, kw_only=True):
    """`pond` and `balance` are those of the sink; `ponds` and `balances` list every body."""

    circuit: Circuit
    crests: tuple[CrestWater, ...]
    reaches: tuple[ReachWater, ...]
    pond: PondWater
    balance: Balance
    ponds: tuple[PondWater, ...]
    balances: tuple[Balance, ...]
    highest: tuple[HighWater, ...]
    cases_not_run: tuple[str, ...]
    out_of_range: tuple[str, ...]  # 'path: what is outside which range'
    losses: tuple[Losses, ...] = ()
    ways_out: tuple[WayOut, ...] = ()
    rains: tuple[Rain, ...] = ()  # none where nobody said how much
    clearings: tuple[Clearing, ...] = ()
    metered: tuple[Metered, ...] = ()
    looks: tuple[StreamLook, ...] = ()
    impacts: tuple[Impact, ...] = ()
    splashes: tuple[Splash, ...] = ()
    siphons: tuple[Siphon, ...] = ()  # none where every pipe that ends under water is shut at stop
    unfed: tuple[str, ...] = ()  # paths of reaches and falls above which no run ends
    as_set: SetWater | None = None  # None: there is no valve to set

    def wet(self, reach: str) -> ReachWater | None:
        """The water in that reach; None where there is none, or no run brings any."""
        if f"reaches/{reach}" in self.unfed:
            return None
        return next((each for each in self.reaches if each.reach == reach), None)

    def worst(self, path: str) -> HighWater:
        """The highest of all cases for that path. Raises ValueError if there is none."""
        return max((high for high in self.highest if high.path == path), key=lambda high: high.level_m.value)
