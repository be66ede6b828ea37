"""What is to be said of a liner's edge along its whole length: height to spare, where it spills, what to raise."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature import XY
from rillwright.units import Band


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


class RimProfile(Struct, frozen=True, kw_only=True):
    """Height to spare along one rim, point by point as it runs; `lowest` is the index of the least."""

    path: str
    kind: str
    closed: bool
    length_m: float
    points: tuple[SparePoint, ...]
    lowest: int


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


class Raise(Struct, frozen=True, kw_only=True):
    """A stretch of rim worth raising: from and to along it [m], by how much [m], and what the first inch on it gains at
    the lowest place of its body's rim [m]."""

    rim: str
    path: str  # of what gives the top there
    from_m: float
    to_m: float
    by_m: float
    inch_gains_m: float
