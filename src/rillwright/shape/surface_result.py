"""The liner's edge as it runs, and the finished work as surfaces of triangles."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.feature import XY


class RimPoint(Struct, frozen=True, kw_only=True):
    """One place on the liner's edge. Levels, heights and lengths [m].

    `top_m` is finished: as built or planned, less what its fill is expected to settle. `sigma_m` is the standard error
    of the top by its own reading and by the ground between readings; what all levels of one set-up share is not in it.
    """

    at: XY
    along_m: float  # from the beginning of its rim
    top_m: float
    sigma_m: float
    ground_m: float  # before work
    ground_is: str  # shot | between | guess
    fill_m: float  # built up on that ground before it settles; negative where the edge lies in a cut
    settles_m: float  # expected of that fill
    water: str  # path of the body or reach whose water stands against it
    station_m: float | None  # along the stream, where it is a stream's
    by: str  # path of what gives the top: rims/ID, reaches/ID.bank, falls/ID
    setup: str = ""  # set-up from which its level was read; those of one set-up share an error


class RimLine(Struct, frozen=True, kw_only=True):
    """An edge of liner as it runs: the water lies to its left. `kind` is outer or island."""

    path: str
    kind: str
    closed: bool
    points: tuple[RimPoint, ...]

    @property
    def length_m(self) -> float:
        """Length along the edge [m]; of a closed one, back to its beginning."""
        (x, y), (first_x, first_y) = self.points[-1].at, self.points[0].at
        back = float(np.hypot(first_x - x, first_y - y)) if self.closed else 0.0
        return self.points[-1].along_m + back


class PlanFault(Struct, frozen=True, kw_only=True):
    """What cannot be in plan, `size_m` [m] of it: crosses | meets itself | ends short | runs on inside | lies over |
    crosses a footing | inside a footing | leaves the bed.
    """

    kind: str
    path: str
    other: str
    at: XY
    size_m: float


class OneLevel(Struct, frozen=True, kw_only=True):
    """Two levels [m] of the ground at one place [m] for which one was taken, so near are they, and who says them."""

    first: str
    second: str
    at: XY
    levels_m: tuple[float, float]
    taken_m: float


class GroundAmiss(Struct, frozen=True, kw_only=True):
    """What a file of ground has against it by the job's own levels: unit | swapped | unit of levels | unit and swapped
    | mark | unit and mark | swapped and mark | elsewhere | no pattern.

    Read otherwise, in `unit` and `off_m` [m] above them, it agrees with them at `agree` of `known` places; as it is, it
    is up to `most_m` [m] off, or lies so far away.
    """

    file: str
    kind: str
    read_in: str
    unit: str
    off_m: float
    agree: int
    known: int
    most_m: float


class Surface(Struct, frozen=True, kw_only=True):
    """Where the work lies in plan, and the edges of its liner.

    `footprints` are (path, outline) at the liner's edge; `guessed_m` of the edges lies where nobody took a level.
    """

    rims: tuple[RimLine, ...]
    footprints: tuple[tuple[str, tuple[XY, ...]], ...]
    guessed_m: float
    remarks: tuple[str, ...] = ()
    ground_faults: tuple[str, ...] = ()  # why the levels that have a place make no surface of the ground
    ground_agreed: tuple[OneLevel, ...] = ()
    ground_amiss: tuple[GroundAmiss, ...] = ()
    plan_faults: tuple[PlanFault, ...] = ()


class Mesh(Struct, frozen=True, kw_only=True, eq=False):
    """One surface as triangles: `xyz` (n, 3) [m], `triangles` (t, 3) rows of it, seen counter-clockwise from above or
    from the water.

    `parts` names elements by path, `part_of` (t,) says to which each triangle belongs. `upright` (t,) marks the strips
    of vertical faces, which have no area in plan. `breaks` (b, 2) are rows of xyz: sides over which the surface breaks.
    """

    name: str  # ground | dug | liner | finished
    xyz: NDArray[np.float64]
    triangles: NDArray[np.int64]
    parts: tuple[str, ...]
    part_of: NDArray[np.int64]
    upright: NDArray[np.bool_]
    breaks: NDArray[np.int64]


class PartEarth(Struct, frozen=True, kw_only=True):
    """What is dug and built up within one part, in place [m3]; deepest cut and highest fill [m]."""

    path: str
    cut_m3: float
    fill_m3: float
    deepest_m: float
    highest_m: float


class SoilBalance(Struct, frozen=True, kw_only=True):
    """What is dug less what berms and banks take of it, by the surface: soil out, loose, or soil to bring in, in the
    bank [m3].
    """

    out_m3: float = 0.0
    brought_in_m3: float = 0.0
    truckloads: int = 0


class Finished(Struct, frozen=True, kw_only=True, eq=False):
    """The finished work: ground before it, dug surface, liner on its underlay, stone and gravel on top.

    Each reaches out to where it meets the ground by its batter, and beyond over all known ground.
    """

    ground: Mesh
    dug: Mesh
    liner: Mesh
    finished: Mesh
    earth: tuple[PartEarth, ...]
    digest: str  # of all that is in it
    remarks: tuple[str, ...] = ()
    soil: SoilBalance = SoilBalance()

    def __eq__(self, other: object) -> bool:
        """Two of the same digest are the same."""
        return isinstance(other, Finished) and other.digest == self.digest

    def __hash__(self) -> int:
        return hash(self.digest)
