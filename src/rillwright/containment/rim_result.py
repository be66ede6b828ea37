"""What is to be said of a liner's edge along its whole length: height to spare, where it spills, what to raise."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature import XY
from rillwright.units import Band
from rillwright.water import HighWater


class SparePoint(Struct, frozen=True, kw_only=True):
    """One place on a rim: its top, the highest water that stands against it, and what is to spare [m]."""

    at: XY
    along_m: float
    top_m: Band
    water_m: Band
    spare_m: Band
    path: str  # of what gives the top
    water: str  # path of the body or reach
    case: str
    holding: str
    ground_is: str = "shot"  # shot | between | guess: what is known of the ground under it
    station_m: float | None = None  # along the stream, where it is a stream's


class RimProfile(Struct, frozen=True, kw_only=True):
    """Height to spare along one rim, point by point as it runs; `lowest` is the index of the least."""

    path: str
    kind: str
    closed: bool
    length_m: float
    points: tuple[SparePoint, ...]
    lowest: int


class LowPlace(Struct, frozen=True, kw_only=True):
    """Where the rim of one body or reach has least to spare. Lengths [m].

    `nearest` is the path of the reading nearest to it, `nearest_m` how far that lies; empty where nobody read anything.
    """

    water: str  # path of the body or reach
    rim: str  # path of its rim
    at: XY
    along_m: float
    path: str  # of what gives the top
    top_m: Band
    spare_m: Band
    case: str
    holding: str
    ground_is: str  # shot | between | guess
    nearest: str
    nearest_m: float | None
    station_m: float | None = None  # along the stream, where it is a stream's


class SpillPath(Struct, frozen=True, kw_only=True):
    """Where the water of one body or reach would leave first, at which level [m], and where it would go from there.

    `way` runs downhill over the ground, (x, y, level) [m]; empty where nothing is known of the ground. `ends` says in
    words where it ends: at the edge of the known ground, in a hollow, in a body. `towards` is the path of a footing, a
    building or a paving that it comes within reach of, else empty.
    """

    water: str
    rim: str
    at: XY
    along_m: float
    level_m: Band
    spare_m: Band
    way: tuple[tuple[float, float, float], ...]
    ends: str
    towards: str
    nearest_m: float | None = None  # how near it comes to that
    station_m: float | None = None  # along the stream, where it is a stream's
    over: str = "outer"  # outer or island, the kind of rim (over an island's, water goes under the liner); or overflow


class OverflowOut(Struct, frozen=True, kw_only=True):
    """What leaves a body by its overflow before its rim goes. Levels [m], flows [m3/s].

    `rim_m` is the lowest place of its rim, `room_m` how far that lies above the sill. `carries_m3s` is what the
    overflow lets out with the water up to that place; `peak_m3s` what the heaviest rain brings at its heaviest, None
    where nobody said how much falls.
    """

    water: str
    sill_m: Band
    rim_m: Band
    room_m: Band
    carries_m3s: Band
    peak_m3s: Band | None


class SpiltWays(Struct, frozen=True, kw_only=True):
    """Ways of water that leaves, and over which surface they were followed: ground before work, finished surface.

    `spills` leave where the rim is likely lowest; `may` where it may be, by the bands of its levels, and then run up to
    a wall that the likely way does not come near; `led` leave by an overflow.
    """

    over: str
    spills: tuple[SpillPath, ...]
    may: tuple[SpillPath, ...] = ()
    led: tuple[SpillPath, ...] = ()


class Raise(Struct, frozen=True, kw_only=True):
    """A stretch of rim worth raising: from and to along it [m], by how much once settled [m].

    `inch_gains_m` is what the first inch on it gains at the lowest place of its body or reach [m], once the stretches
    named before it have been raised. A stretch that runs over the beginning of its rim goes on beyond its length.
    `likely_m` is what it lacks at most by its likeliest levels: where that is nothing, a reading there comes first. Of
    a bank, `stations_m` are its ends from the stream head, `side` is left or right as the water runs, or both.
    """

    rim: str
    path: str  # of what gives the top where it lacks most
    from_m: float
    to_m: float
    by_m: float
    inch_gains_m: float
    water: str = ""  # path of the body or reach that it holds
    at: XY = (0.0, 0.0)  # where it lacks most
    build_m: float = 0.0  # by how much before it settles
    likely_m: float | None = None  # None: as much as `by_m`
    stations_m: tuple[float, float] | None = None
    side: str = ""

    @property
    def read_first(self) -> bool:
        """Whether it lacks something by the band of its levels alone."""
        return self.likely_m is not None and self.likely_m <= 0.0


class RimFill(Struct, frozen=True, kw_only=True):
    """Fill under the edge of one body or reach. Lengths [m].

    `high_m` is its height where it is most, as built, over the lowest ground under it; `held_m` how deep the highest
    water stands over such ground where that is most. `by` is the path of what gives the top.
    """

    water: str  # path of the body or reach
    at: XY
    station_m: float | None  # along the stream, where it is a stream's
    high_m: float
    by: str
    held_m: Band
    held_at: XY
    held_station_m: float | None


class Uphill(Struct, frozen=True, kw_only=True):
    """A rim at which higher ground slopes to the water: its length [m], how much of the ground behind it drains that
    way as far as it is known [m2], and how far it stands above the rim one metre out, at most [m].
    """

    water: str  # path of the body or stream
    length_m: float
    ground_m2: float
    stands_m: float
    at: XY  # in the middle of it


class Wick(Struct, frozen=True, kw_only=True):
    """How high water may climb in what lies over an edge of liner, a ceiling [m], and what that has to spare [m]."""

    path: str  # of the rim or lap
    cover: str  # what lies over it
    rise_m: float
    spare_m: Band
    source: str


class Through(Struct, frozen=True, kw_only=True):
    """Something that goes through the liner, and how far it lies above the highest water there [m]."""

    path: str
    kind: str
    flange: bool | None
    against: HighWater
    above_m: Band


class Settles(Struct, frozen=True, kw_only=True):
    """A berm of a named kind of fill, and what it has to spare when it has settled, by the least and the most [m]."""

    path: str
    fill: str
    share: Band  # of its height by which it settles [-]
    spare_m: Band
    source: str
