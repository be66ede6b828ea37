"""Where a stream runs in plan: its centre line by stations, how wide it is there, and the ground that it takes up."""

from __future__ import annotations

import itertools
import math
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct

from rillwright.feature import Reach, Stream
from rillwright.sources import default

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

SAME_M = 1e-9
FEW_PIECES = 100  # of a path: of more only those about a place are looked at
GRAIN_M = 1e-7  # places nearer to each other are one
_FAN_RAD = math.pi / 12.0  # of a rounded bend, from corner to corner
STRAIGHT_RAD = 1e-5  # a bend that is none
_SHARP_RAD = math.pi / 2.0  # a bend beyond it is rounded, not mitred


class Course(Struct, frozen=True, kw_only=True, eq=False):
    """A stream in plan. Lengths [m]; the way `ways` of the path's pieces (k, 2) are unit vectors.

    `path` (k + 1, 2) are its corners at `marks` (k + 1,), stations of the stream. At `knots` (n,) its half widths are
    known, straight between them: `bed_half` (n,) of the bed, `edge_half` (n,) out to the liner's edge.
    """

    stream: Stream
    path: Floats
    marks: Floats
    ways: Floats
    knots: Floats
    bed_half: Floats
    edge_half: Floats
    head_run_m: float  # from the head of the bed back to the liner's edge behind it

    @property
    def length_m(self) -> float:
        """Length by its stations [m]."""
        return float(self.marks[-1])

    def places(self, stations: Floats) -> Floats:
        """Places (s, 2) [m] on the centre line at stations (s,) [m]; before its head and past its end straight on."""
        within = np.clip(stations, 0.0, self.length_m)
        piece = self._piece(within)
        on = (within - self.marks[piece]) * self._stretch[piece] + stations - within
        found: Floats = self.path[piece] + on[:, None] * self.ways[piece]
        return found

    @property
    def _stretch(self) -> Floats:
        """Drawn length of the path's pieces over their stations [-]."""
        found: Floats = np.hypot(*np.diff(self.path, axis=0).T) / np.diff(self.marks)
        return found

    def half_m(self, stations: Floats, *, edge: bool = True) -> Floats:
        """Half the width [m] at stations (s,) [m], out to the liner's edge or of the bed alone."""
        found: Floats = np.interp(stations, self.knots, self.edge_half if edge else self.bed_half)
        return found

    def across(self, stations: Floats) -> Floats:
        """Vectors (s, 2) to the left looking downstream: times a half width they end on the left edge, mitred at bends.

        At a bend sharper than a right angle the mitre is no longer than at a right one.
        """
        piece = self._piece(stations)
        left = self.ways[piece][:, ::-1] * (-1.0, 1.0)
        at = np.flatnonzero((piece > 0) & (np.abs(stations - self.marks[piece]) < SAME_M))
        before, after = left[at], left[at].copy()
        before = self.ways[piece[at] - 1][:, ::-1] * (-1.0, 1.0)
        middle = before + after
        size = np.maximum((middle**2).sum(axis=1) / 2.0, 0.5)
        left[at] = np.where((middle**2).sum(axis=1)[:, None] > SAME_M, middle / size[:, None], after)
        return left

    def locate(self, points: Floats, *, past_m: float = 0.0) -> tuple[Floats, Floats, Floats]:
        """Of places (p, 2) [m]: the station [m] beside which they lie, how far to the left of the line [m], and how far
        outside the liner's edge [m], all by the limb of the stream to which they are nearest. Stations run from the
        liner's edge behind the head, below nought, to `past_m` [m] past the end.
        """
        if not len(points):
            return np.zeros(0), np.zeros(0), np.zeros(0)
        row, piece = self._near(points)
        long = np.hypot(*np.diff(self.path, axis=0).T)
        least, most = np.zeros(len(long)), long.copy()
        least[0] -= self.head_run_m
        most[-1] += past_m
        way, off = self.ways[piece], points[row] - self.path[piece]
        on = np.clip((off * way).sum(axis=1), least[piece], most[piece])
        aside = way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0]
        away = np.hypot(*(off - on[:, None] * way).T)
        within = np.clip(on, 0.0, long[piece])
        stations = self.marks[piece] + within / self._stretch[piece] + on - within
        outside = away - self.half_m(stations)
        order = np.lexsort((away, np.maximum(outside, 0.0), row))
        best = order[np.searchsorted(row[order], np.arange(len(points)))]
        return stations[best], aside[best], outside[best]

    def _near(self, points: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Rows of places and pieces of the path that may be nearest: all with all, or of a long path those about."""
        count = len(self.ways)
        if count <= FEW_PIECES:
            return np.repeat(np.arange(len(points)), count), np.tile(np.arange(count), len(points))
        import shapely

        pieces: Any = shapely.linestrings(np.stack((self.path[:-1], self.path[1:]), axis=1))
        places: Any = shapely.points(points)
        tree = shapely.STRtree(pieces)
        reach = 2.0 * float(self.edge_half.max()) + self.head_run_m
        row, piece = tree.query(places, predicate="dwithin", distance=reach)
        lone = np.setdiff1d(np.arange(len(points)), row)
        if len(lone):
            far, nearest = tree.query_nearest(places[lone], all_matches=False)
            row, piece = np.concatenate((row, lone[far])), np.concatenate((piece, nearest))
        return row, piece

    def area(self, *, edge: bool = True, past_m: float = 0.0) -> Any:
        """The ground that the stream takes up as a polygon, out to the liner's edge or of the bed alone.

        Piece by piece with a square end, bends mitred, sharp ones rounded: however it bends, no part is counted twice.
        The liner's edge goes round behind the head; the end reaches `past_m` [m] further.
        """
        import shapely

        apart = np.abs(self.knots[:, None] - self.marks[None, :]).min(axis=1) > SAME_M
        cuts = np.unique(np.concatenate((self.marks, self.knots[apart])))
        behind = [-self.head_run_m] if edge and self.head_run_m > 0.0 else []
        after = [self.length_m + past_m] if past_m > 0.0 else []
        cuts = np.concatenate((behind, cuts, after))
        half = self.half_m(cuts, edge=edge)
        middle = self._piece(0.5 * (cuts[1:] + cuts[:-1]))
        at, way = self.places(cuts), self.ways[middle]
        left = way[:, ::-1] * (-1.0, 1.0)
        one, other = left * half[:-1, None], left * half[1:, None]
        quads = np.stack((at[:-1] - one, at[1:] - other, at[1:] + other, at[:-1] + one), axis=1)
        on = np.flatnonzero((way[1:] * way[:-1]).sum(axis=1) > 1.0 - STRAIGHT_RAD**2)
        quads[on, 1:3] = quads[on + 1][:, (0, 3)]  # the very same corners, or rounding leaves cracks between the pieces
        made: Any = shapely.polygons(quads)
        bends = [self._bend(k, edge=edge) for k in range(1, len(self.ways))]
        parts = [*made, *(shapely.Polygon(bend) for bend in bends if len(bend) > 2)]
        try:
            return shapely.union_all(parts, grid_size=GRAIN_M)
        except shapely.errors.GEOSException:  # where pieces meet all but straight its rounding may not close
            return shapely.set_precision(shapely.union_all(shapely.make_valid(parts)), GRAIN_M)

    def _piece(self, stations: Floats) -> NDArray[np.int64]:
        found: NDArray[np.int64] = np.clip(
            np.searchsorted(self.marks, stations + SAME_M, side="right") - 1, 0, len(self.ways) - 1
        )
        return found

    def _bend(self, corner: int, *, edge: bool) -> list[Any]:
        """What a bend adds on its outer side, at a corner of the path."""
        before, after, at = self.ways[corner - 1], self.ways[corner], self.path[corner]
        turn = math.atan2(float(before[0] * after[1] - before[1] * after[0]), float(before @ after))
        if abs(turn) < STRAIGHT_RAD:
            return []
        half = float(self.half_m(self.marks[corner : corner + 1], edge=edge)[0])
        outer = -math.copysign(half, turn)
        first, last = (outer * np.array((-way[1], way[0])) for way in (before, after))
        if abs(turn) <= _SHARP_RAD:
            tips = [(first + last) / (1.0 + math.cos(turn))]
        else:
            count = max(math.ceil(abs(turn) / _FAN_RAD), 2)
            angles = [turn * i / count for i in range(1, count)]
            tips = [
                np.array((first[0] * c - first[1] * s, first[0] * s + first[1] * c)) for c, s in map(_cos_sin, angles)
            ]
        root = at - 0.25 * (first + last)  # inside both pieces, so that no edge is shared but for its end
        return [root, at + first, *(at + tip for tip in tips), at + last]


def _cos_sin(angle: float) -> tuple[float, float]:
    return math.cos(angle), math.sin(angle)


def course_of(stream: Stream) -> Course:
    """The course of a stream: stations stretched evenly over the drawn path, width by reach.

    Half the width out to the liner's edge is half the bed's and the run of the bank, its height by its side, or by
    `earth.bank_side` where none is said.
    From a narrower reach to a wider one, or back, the edges run over twice as much length as they go aside, or half the
    reach where that is short.
    """
    return _course(stream, default("earth.bank_side").number)


@lru_cache(maxsize=32)
def _course(stream: Stream, up_per_across: float) -> Course:
    path = [stream.path[0]]
    path += [place for place in stream.path[1:] if math.dist(place, path[-1]) > SAME_M]
    corners = np.array(path if len(path) > 1 else (*path, (path[0][0], path[0][1] - stream.length_m)))
    drawn = np.hypot(*np.diff(corners, axis=0).T)
    marks = np.concatenate(([0.0], np.cumsum(drawn)))
    knots, bed, edge = _widths(stream.reaches, up_per_across)
    return Course(
        stream=stream,
        path=corners,
        marks=marks * (stream.length_m / marks[-1]),
        ways=np.diff(corners, axis=0) / drawn[:, None],
        knots=np.array(knots),
        bed_half=np.array(bed),
        edge_half=np.array(edge),
        head_run_m=_run_m(stream.reaches[0], up_per_across),
    )


def bank_run_m(reach: Reach) -> float:
    """How far the liner's edge lies outside the bed [m]: up the bank by its side, or by the default slope of a dig."""
    return _run_m(reach, default("earth.bank_side").number)


def _run_m(reach: Reach, up_per_across: float) -> float:
    high = reach.bank_m - reach.dish_m  # from the edge of the bed
    return high / (up_per_across if reach.side_up_per_across is None else reach.side_up_per_across)


def _widths(reaches: tuple[Reach, ...], up_per_across: float) -> tuple[list[float], list[float], list[float]]:
    """Stations, half widths of the bed and out to the liner's edge there [m]."""
    own = [(0.5 * reach.width_m, 0.5 * reach.width_m + _run_m(reach, up_per_across)) for reach in reaches]
    knots, bed, edge = [0.0], [own[0][0]], [own[0][1]]
    for reach, (before, after) in zip(reaches[1:], itertools.pairwise(own), strict=True):
        aside = max(abs(after[0] - before[0]), abs(after[1] - before[1]))
        if aside > SAME_M:
            over = min(2.0 * aside, 0.5 * reach.length_m)
            knots += [reach.station_m, reach.station_m + over]
            bed += [before[0], after[0]]
            edge += [before[1], after[1]]
    end = reaches[-1].station_m + reaches[-1].length_m
    return [*knots, end], [*bed, own[-1][0]], [*edge, own[-1][1]]
