"""The streams of a feature as one row of cells: beds, crests, gravel, where pumps bring water and where it leaves."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import msgspec
import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.feature import Fall, Feature, Join, Lip, Reach, Stream
from rillwright.hydraulics import (
    IDEAL_BROAD_C,
    Channel,
    GravelStore,
    Joint,
    JointKind,
    ergun_coefficients,
    ferguson_drag,
    head_on_lip,
)
from rillwright.sources import default
from rillwright.water.places import Place, places
from rillwright.water.result import Water
from rillwright.water.spill import lip_of, stones_of

Floats = NDArray[np.float64]

MOST_CELLS = 400
LEAST_CELLS = 4  # of one reach
LANDING_M = 0.25  # water between two falls that follow each other without a bed


class Gate(Struct, frozen=True, kw_only=True):
    """A face at which water leaves a stream into a body or the bed of another stream, or enters it from a body."""

    face: int
    outside: int  # the cell beyond it, which stands for the body or for the cell of that bed
    body: str  # in which its water ends
    sign: float  # 1 into the body, -1 out of it
    cell: int | None = None  # of the bed that the stream joins; None: it is the body itself


class Layout(Struct, frozen=True, kw_only=True):
    """All streams in one row, and what is where in it."""

    channel: Channel
    gravel: GravelStore
    banks_m: Floats  # level at which each cell's water goes over its bank; no bound where it has none
    reaches: Mapping[str, tuple[int, int]]  # first cell and one beyond the last, by reach
    falls: Mapping[str, int]  # face, by fall
    gates: tuple[Gate, ...]
    entries: Mapping[str, tuple[tuple[int, float], ...]]  # cells that water enters, with their share, by end of a run
    stations: tuple[tuple[str, float], ...]  # stream and station along it [m] by cell


class _Piece(Struct, frozen=True, kw_only=True):
    """A reach as it is cut, or the water between two falls."""

    reach: Reach | None
    place: Place | None
    beds: tuple[float, float]
    length: float
    width: float
    upstream: str
    crest: Fall | None  # at its lower end


class Ways(Struct, frozen=True, kw_only=True):
    """How the streams are taken to be: what is open, what leaves dam, what is not known of crests, beds and gravel."""

    crest_c: float  # [m^0.5/s]
    porosity: float  # of the gravel [-]
    open_share: float = 1.0  # of every face and crest that lets water through [-]
    dam_m: float = 0.0  # height of the leaves caught on every crest, and at the upper end of every slide
    falls_c: Mapping[str, float] = {}  # C of a fall's own lip as it runs [m^0.5/s]; `crest_c` where not said
    smooth: Mapping[str, float] = {}  # what the speeds over a bed are multiplied by [-], by reach; 1 where not said

    @classmethod
    def usual(cls, water: Water | None = None) -> Ways:
        """Those of the defaults, every lip as it runs in `water`."""
        lips = () if water is None else water.crests
        return cls(
            crest_c=default("crest.c").number,
            porosity=default("gravel.porosity").number,
            falls_c={crest.fall: crest.coefficient.value for crest in lips if crest.coefficient is not None},
        )


def layout(feature: Feature, ways: Ways | None = None) -> Layout:
    """The row of cells of all streams. Every stone of a crest lies at its own level [m], out of level as it is."""
    row = _Row(ways or Ways.usual(), length_m=_target_m(feature))
    by_reach = {place.reach.id: place for place in places(feature)}
    bodies = {body.id for body in feature.bodies}
    for stream in feature.streams:
        row.add(stream, list(_pieces(stream, by_reach)), bodies)
    row.join()
    return row.made(feature)


def _target_m(feature: Feature) -> float:
    """Length [m] of a cell: as fine as the bound on their number allows."""
    whole = sum(reach.length_m for reach in feature.reaches)
    return max(whole / MOST_CELLS, default("over_time.cell").number)


def _pieces(stream: Stream, by_reach: Mapping[str, Place]) -> Iterator[_Piece]:
    links = list(stream.links)
    for i, link in enumerate(links):
        after = links[i + 1] if i + 1 < len(links) else None
        if isinstance(link, Reach):
            yield _Piece(
                reach=link,
                place=by_reach[link.id],
                beds=(link.bed_start.m, link.bed_end.m),
                length=link.length_m,
                width=link.open_width_m,
                upstream=link.upstream,
                crest=after if isinstance(after, Fall) else None,
            )
        elif i == 0 or isinstance(links[i - 1], Fall):
            above = links[i - 1] if i else None
            bed = above.foot.m if isinstance(above, Fall) else min(stream.head.m, link.crest.m)
            yield _Piece(
                reach=None,
                place=None,
                beds=(bed, bed),
                length=LANDING_M,
                width=link.crest_width_m,
                upstream=link.upstream,
                crest=link,
            )


def _smooth_m() -> float:
    """Grain [m] of a bed of which none is said: that of a bed with a little grit."""
    return default("over_time.grit").number


class _Cell(Struct, frozen=True, kw_only=True):
    bed: float
    length: float
    width: float
    plan: float  # none of what stands for a body
    grain: float = msgspec.field(default_factory=_smooth_m)
    gravel: float = 0.0
    smooth: float = 1.0
    bank: float = math.inf


class _Row:
    """Cells and joints as they are laid one after the other."""

    def __init__(self, ways: Ways, *, length_m: float) -> None:
        self.ways, self.target, self.stream = ways, length_m, ""
        self.cells: list[_Cell] = []
        self.plain: dict[int, float] = {}  # width of a plain face that is not the smaller of its cells
        self.joints: list[Joint] = []
        self.under: dict[int, float] = {}
        self.reaches: dict[str, tuple[int, int]] = {}
        self.falls: dict[str, int] = {}
        self.gates: list[Gate] = []
        self.joins: dict[int, Join] = {}  # by number of the gate
        self.stations: list[tuple[str, float]] = []
        self.at_m = 0.0  # how far the stream has come
        self.first_of: dict[str, list[tuple[int, float]]] = {}  # first cells below a node, with their widths

    def add(self, stream: Stream, pieces: list[_Piece], bodies: set[str]) -> None:
        if not pieces:
            return
        if self.cells:
            self._joint(Joint(face=len(self.cells) - 1, kind=JointKind.WALL))
        self.stream, self.at_m = stream.id, 0.0
        self._outside(pieces[0])
        self._head(stream, pieces[0], bodies)
        for number, piece in enumerate(pieces):
            self._lay(piece)
            if piece.crest is not None:
                self._crest(piece.crest, piece)
            elif number == len(pieces) - 1:
                self._mouth(piece)
        self._outside(pieces[-1])
        if stream.joins is not None:
            self.joins[len(self.gates)] = stream.joins
        self.gates.append(Gate(face=len(self.cells) - 2, outside=len(self.cells) - 1, body=stream.into, sign=1.0))

    def join(self) -> None:
        """Every stream that joins another ends in the cell of that bed beside which it comes in."""
        for number, joins in self.joins.items():
            first, beyond = self.reaches[joins.reach]
            cell = min(range(first, beyond), key=lambda at, joins=joins: abs(self.stations[at][1] - joins.station_m))  # type: ignore[misc]
            self.gates[number] = replace(self.gates[number], cell=cell)

    def _outside(self, piece: _Piece) -> None:
        self.cells.append(_Cell(bed=piece.beds[0], length=self.target, width=piece.width, plan=0.0))
        self.stations.append((self.stream, self.at_m))

    def _joint(self, joint: Joint, *, under: bool = True) -> None:
        """A joint stops the gravel too, unless it lies only on top of it."""
        self.joints.append(joint)
        if under:
            self.under.setdefault(joint.face, 0.0)

    def _head(self, stream: Stream, piece: _Piece, bodies: set[str]) -> None:
        """Closed, unless the stream begins at the edge of a body."""
        face = len(self.cells) - 1
        if stream.links[0].upstream not in bodies:
            self._joint(Joint(face=face, kind=JointKind.WALL))
            return
        c, width = IDEAL_BROAD_C, piece.width * self.ways.open_share
        self._joint(Joint(face=face, kind=JointKind.CREST, first=piece.beds[0], second=width, third=c))
        self.gates.append(Gate(face=face, outside=face, body=stream.links[0].upstream, sign=-1.0))

    def _lay(self, piece: _Piece) -> None:
        count = max(LEAST_CELLS, round(piece.length / self.target)) if piece.reach is not None else 1
        begin, length = len(self.cells), piece.length / count
        start, end = piece.beds
        for i in range(count):
            bed = start + (end - start) * (i + 0.5) / count
            self.cells.append(_cell(piece, bed, length, self.ways))
            self.stations.append((self.stream, self.at_m + (i + 0.5) * length))
        if piece.reach is not None:
            self.at_m += piece.length
            self.reaches[piece.reach.id] = (begin, begin + count)
            self._dam(piece, begin)
        self.first_of.setdefault(piece.upstream, []).append((begin, piece.width))

    def _dam(self, piece: _Piece, begin: int) -> None:
        """Leaves may catch anywhere on a slide: at its upper end as well."""
        if self.ways.dam_m > 0.0 and piece.place is not None and not piece.place.pool_like:
            level, width = piece.beds[0] + self.ways.dam_m, piece.width * self.ways.open_share
            self._joint(
                Joint(face=begin, kind=JointKind.CREST, first=level, second=width, third=self.ways.crest_c), under=False
            )

    def _crest(self, fall: Fall, piece: _Piece) -> None:
        """The lowest stone is the crest, those beside it stand before it in the row."""
        face, bed = len(self.cells) - 1, self.cells[-1].bed
        for number, stone in enumerate(
            sorted(stones_of(fall, open_share=self.ways.open_share), key=lambda each: -each.level_m), start=1
        ):
            last = number == max(len(fall.stones), 1)
            self._joint(
                Joint(
                    face=face,
                    kind=JointKind.CREST if last else JointKind.STONE,
                    first=max(stone.level_m + self.ways.dam_m, bed),
                    second=stone.width_m,
                    third=self._c(fall, bed),
                    tilt=stone.tilt_m,
                )
            )
        self.falls[fall.id] = face
        if not fall.sealed and piece.place is not None:
            # the first pool has no crest above it: its own fall drives the water out under its stone
            drop = max(fall.crest.m - fall.foot.m, 0.0)
            self.under[face] = piece.place.spacing_slope or drop / piece.length

    def _c(self, fall: Fall, bed_m: float) -> float:
        """C of a crest [m^0.5/s]: as it runs; else of stone, or of another lip in the proportion of both under lively
        water.
        """
        if fall.id in self.ways.falls_c:
            return self.ways.falls_c[fall.id]
        if fall.lip is Lip.ROUGH:
            return self.ways.crest_c
        lip = lip_of(fall, fall.crest.m - bed_m)
        head = head_on_lip(default("flow.lively").number, 1.0, lip.value)
        return self.ways.crest_c * lip.band(head).value / default("crest.c").number

    def _mouth(self, piece: _Piece) -> None:
        """A bed that ends at the water's edge: it runs out freely."""
        face = len(self.cells) - 1
        width = piece.width * self.ways.open_share
        self._joint(Joint(face=face, kind=JointKind.CREST, first=piece.beds[1], second=width, third=IDEAL_BROAD_C))
        if piece.place is not None:
            self.under[face] = piece.place.spacing_slope

    def made(self, feature: Feature) -> Layout:
        bed, length, width, gravel, plan, smooth, bank = (
            np.array([getattr(cell, name) for cell in self.cells], np.float64)
            for name in ("bed", "length", "width", "gravel", "plan", "smooth", "bank")
        )
        drag = [ferguson_drag(default("gravel.d84").number * cell.grain) for cell in self.cells]
        face_width = np.minimum(width[:-1], width[1:])
        coefficients = np.array([ergun_coefficients(cell.grain, self.ways.porosity) for cell in self.cells])
        under = np.full(len(bed) - 1, np.nan)
        under[list(self.under)] = list(self.under.values())
        channel = Channel(
            bed=bed,
            length=length,
            width=width,
            face_width=face_width * self.ways.open_share,
            drag_a=np.array([each.a for each in drag]) / smooth**2,
            drag_m=np.array([each.m for each in drag]) / smooth**2,
            wall=2.0 / width,
            joints=tuple(self.joints),
            still=tuple(int(i) for i in np.flatnonzero(plan == 0.0)),
        )
        store = GravelStore(
            bottom=bed - gravel,
            thickness=gravel,
            plan=plan,
            width=face_width,
            spacing=0.5 * (length[:-1] + length[1:]),
            viscous=coefficients[:, 0],
            inertial=coefficients[:, 1],
            porosity=np.full(len(bed), self.ways.porosity),
            under_slope=under,
        )
        return Layout(
            channel=channel,
            gravel=store,
            banks_m=bank,
            reaches=self.reaches,
            falls=self.falls,
            gates=tuple(self.gates),
            stations=tuple(self.stations),
            entries={end.key: self._entry(_node(feature, end.outlet)) for run in feature.runs for end in run.ends},
        )

    def _entry(self, node: str) -> tuple[tuple[int, float], ...]:
        firsts = self.first_of.get(node, [])
        whole = sum(width for _, width in firsts)
        return tuple((cell, width / whole) for cell, width in firsts)


def _node(feature: Feature, outlet: str) -> str:
    """The node at which water enters: the head of a stream, the upper end of a reach, or a body."""
    for stream in feature.streams:
        if outlet == stream.id:
            return stream.links[0].upstream
        for reach in stream.reaches:
            if outlet == reach.id:
                return reach.upstream
    return outlet


def _cell(piece: _Piece, bed: float, length: float, ways: Ways) -> _Cell:
    reach, plan = piece.reach, length * piece.width
    if reach is None:
        return _Cell(bed=bed, length=length, width=piece.width, plan=plan)
    return _Cell(
        bed=bed,
        length=length,
        width=piece.width,
        plan=plan,
        grain=max(reach.grain_m, _smooth_m()),
        gravel=reach.gravel_m,
        smooth=ways.smooth.get(reach.id, 1.0),
        bank=bed + reach.bank_m,
    )
