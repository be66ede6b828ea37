"""What the water does over time: histories of starts and stops, and what they come to."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Band
from rillwright.water.result import HighWater


class LevelTrace(Struct, frozen=True, kw_only=True):
    """Level of a body at the times of its history."""

    path: str
    level_m: tuple[float, ...]


class FlowTrace(Struct, frozen=True, kw_only=True):
    """Flow over a fall or of a run at the times of its history."""

    path: str
    flow_m3s: tuple[float, ...]


class StoredTrace(Struct, frozen=True, kw_only=True):
    """Water in streams, gravel or pipes at the times of its history."""

    what: str
    volume_m3: tuple[float, ...]


class Station(Struct, frozen=True, kw_only=True):
    stream: str
    station_m: float
    bed_m: float


class Film(Struct, frozen=True, kw_only=True):
    """Water level along the streams, time by time, for drawing it in motion; the bed where it is dry."""

    times_s: tuple[float, ...]
    stations: tuple[Station, ...]
    levels_m: tuple[tuple[float, ...], ...]  # one row a time


class FallRun(Struct, frozen=True, kw_only=True):
    fall: str
    path: str
    first_s: float | None  # since a start; None: it never ran, or ran already
    end_m3s: float


class BodyRun(Struct, frozen=True, kw_only=True):
    """Levels of a body in a history [m] and when they were reached [s]."""

    body: str
    begin_m: float
    lowest_m: float
    lowest_s: float
    highest_m: float
    highest_s: float
    end_m: float


class OverBank(Struct, frozen=True, kw_only=True):
    """A reach whose water went over its bank, when it first did [s], and how much left its liner there [m3]."""

    reach: str
    path: str
    first_s: float
    lost_m3: float


class History(Struct, frozen=True, kw_only=True):
    """One start, stop or fault, followed until nothing changes any more. Times [s] since it began."""

    case: str  # first start | start | stop | power cut | restart | half blocked | leaf dam | dirty intake | leak ...
    holding: str
    settled: bool
    why: str  # why it ended
    lasted_s: float
    falls: tuple[FallRun, ...]
    bodies: tuple[BodyRun, ...]
    air_s: float | None  # when an intake first sucked air
    taken_up_m3: float  # by streams, gravel and pipes; negative where they gave
    lost_m3: float
    drift: float  # water that was made or lost by the method, over all there is [-]
    times_s: tuple[float, ...]
    levels: tuple[LevelTrace, ...]  # of bodies
    crests: tuple[FlowTrace, ...]
    pumped: tuple[FlowTrace, ...]
    stored: tuple[StoredTrace, ...]  # in streams, gravel, pipes
    film: Film
    over_banks: tuple[OverBank, ...] = ()


class Leak(Struct, frozen=True, kw_only=True):
    """What is left if a stream leaves its liner, and what a low-water cut-off would save."""

    body: str
    air_s: float | None  # when the pump sucks air; None: not within the time that was followed
    level_m: float  # of the body then
    depth_left_m: float  # over its floor
    left_m3: float
    lost_m3: float
    cut_off_m: float  # level at which a cut-off would stop the pump
    cut_off_s: float | None
    saved_m3: float  # by that cut-off
    filled_while: bool  # whether something tops it up all the time
    trips_first: bool = False  # whether that cut-off stops the pump at the first start from dry as well
    may_trip_first: bool = False  # whether it may, by what is not known of the water in transit
    may_trip: bool = False  # whether it may at any start: there is no room for it over where the pump sucks air


class Reached(Struct, frozen=True, kw_only=True):
    """What a history comes to between the ends of what is not known of flow, crests, beds and gravel: when a fall
    first runs, the lowest or the highest level of a body and when it is reached.
    """

    case: str
    holding: str
    path: str
    what: str  # lowest | highest | runs
    time_s: Band  # since the history began; without bound where it does not come about at one end
    level_m: Band | None = None


class OverTime(Struct, frozen=True, kw_only=True):
    """All histories of a feature, and the highest water that they reach."""

    histories: tuple[History, ...]
    highest: tuple[HighWater, ...]
    leaks: tuple[Leak, ...]
    cells: int
    engine: str  # numba | numpy
    note: str  # said where it ran slower than it might
    ranges: tuple[Reached, ...] = ()  # of starts and stops

    def history(self, case: str, *, holding: str = "") -> History:
        """The history of that case, in that way of holding the level. Raises KeyError."""
        for each in self.histories:
            if each.case == case and holding in ("", each.holding):
                return each
        raise KeyError(case)

    def range_of(self, case: str, what: str, path: str, *, holding: str = "") -> Reached | None:
        """What is reached in a case, between the ends of what is not known; None where that was not followed."""
        for each in self.ranges:
            if (each.case, each.what, each.path) == (case, what, path) and holding in ("", each.holding):
                return each
        return None
