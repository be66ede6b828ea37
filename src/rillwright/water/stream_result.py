"""What is told of a stream: its water station by station, the gravel that it moves, where it lands, how it reads."""

from __future__ import annotations

from msgspec import Struct

from rillwright.units import Band


class StreamProfile(Struct, frozen=True, kw_only=True):
    """Water along one reach, one value at each station. Stations [m] along the stream from its head, levels [m].

    Energy is the level that V^2/2g adds to the water's. `roughness` is the factor [-] by which the speeds of the law
    may be off either way; outside its data, told in `out_of_range`, it is wider.
    """

    stations_m: tuple[float, ...]
    beds_m: tuple[float, ...]
    levels_m: tuple[Band, ...]
    depths_m: tuple[Band, ...]
    speeds_ms: tuple[Band, ...]
    froudes: tuple[float, ...]
    energies_m: tuple[float, ...]
    hidden: tuple[float, ...]
    jumps_m: tuple[float, ...]  # stations at which shooting water turns calm
    control: str
    roughness: float
    out_of_range: str


class MovingGravel(Struct, frozen=True, kw_only=True):
    """Where the water of a reach pulls hardest on its bed, and the gravel that just stays there."""

    station_m: float
    shear_pa: Band
    grain_m: float  # median of the gravel that is laid
    stays_m: Band  # median that just stays
    share: Band  # of that over what is laid [-]
    notes: tuple[str, ...] = ()  # what of it lies outside what was measured


class Impact(Struct, frozen=True, kw_only=True):
    """Where a free sheet lands: its speed, what the water there leaves of it, the stone that stays."""

    fall: str
    path: str
    speed_ms: float
    pool_m: Band  # running water there
    left_ms: Band  # of the speed, at the bed
    stone_m: Band  # that stays, set among others to lying loose
    grain_m: float | None  # median of the gravel that is laid there; None: a body's floor
    length_m: float | None = None  # from the crest's face to the end of what lies there
    wanted_depth_m: Band | None = None  # of the pool that it wants
    wanted_length_m: Band | None = None
    at: str = ""  # the stone or the end of the crest whose sheet it is; nothing where all are the same
    notes: tuple[str, ...] = ()  # what of it lies outside what was measured


class Splash(Struct, frozen=True, kw_only=True):
    """How far a fall splashes beside its sheet or its stack, and how far it is lined there [m]."""

    fall: str
    path: str
    reach_m: Band
    lined_m: float  # from the edge of its water to that of the liner, on the side with less
    pool_m: Band  # running water where it lands
    lands_on: str  # water | cover | stack


class CrestLook(Struct, frozen=True, kw_only=True):
    """How a crest reads, and the flow of its stream over which it would read as wished [m3/s]."""

    path: str
    reads: str  # dribble | quiet | lively | loud | flood
    unit_flow_m2s: Band
    from_m3s: float
    to_m3s: float
    at: str = ""  # the stone that carries most, by which it reads; nothing where there is one


class StreamLook(Struct, frozen=True, kw_only=True):
    """How a stream reads, and over which part of what runs now all its crests read as wished: the valve's range."""

    stream: str
    path: str
    wished: str
    crests: tuple[CrestLook, ...]
    flow_m3s: Band
    from_m3s: float
    to_m3s: float  # below `from_m3s` where no one flow suits all crests
    runs: tuple[str, ...]  # that feed it
