"""What the feature looks like as a shape: long section, pond by depth, height budget."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from rillwright.feature import XY, Body

Line = tuple[tuple[float, float], ...]  # (station, level) pairs [m, m]; a vertical face is two pairs at one station


class MeterDoubt(StrEnum):
    """Why a reading of the fill meter is not believed."""

    UNDER = "at or below the floor as drawn"
    EMPTY = "nothing read, though there is water"
    NOT_RISING = "does not rise with the others"
    BEYOND = "not what such an outline holds"


class StoneOutline(Struct, frozen=True, kw_only=True):
    """A spill stone or a fall face in the long section: corners (station, level) [m]."""

    fall: str
    kind: str  # spill | face
    corners: Line


class LongSection(Struct, frozen=True, kw_only=True):
    """One stream cut along its centre line, stations [m] from the stream head, through to the far side of the body."""

    stream: str
    length_m: float  # of the stream alone
    ground: Line
    ground_guessed: bool  # straight between the levels that are known
    dig: Line
    liner: Line
    bed: Line
    stones: tuple[StoneOutline, ...]
    ground_known: tuple[float, float] | None = None  # stations [m] between which it is no guess


class Step(Struct, frozen=True, kw_only=True):
    """One spending of the height: a pitch of bed or a fall [m]; `fall_height_m` is crest less the water below it."""

    path: str
    kind: str  # bed | ripple | fall
    spent_m: float  # bed to bed; for the last fall, bed to waterline
    fall_height_m: float | None


class HeightBudget(Struct, frozen=True, kw_only=True):
    """Height there is from the bed at the stream head to the held water [m], and what it is spent on."""

    stream: str
    height_m: float
    steps: tuple[Step, ...]
    left_over_m: float  # height less all that is spent; negative: short


class PondShape(Struct, frozen=True, kw_only=True):
    """A body by depth. Areas [m2] at levels [m] from the floor up to the waterline, every inch.

    Where the fill meter was read, `storage` and `volume_m3` are by the meter: its areas are those over which the water
    then rises.
    """

    body: str
    area_m2: float  # at the waterline
    perimeter_m: float
    floor_m: float  # level of the bed on the floor
    storage: tuple[tuple[float, float, float], ...]  # (level, open area, net volume below), rising
    gross_m3: float  # hole to the waterline
    volume_m3: float  # net of stone, gravel and blocks
    dig_m3: float
    rings: tuple[tuple[float, tuple[XY, ...]], ...]  # (level, outline): waterline, shelf edges and floor, for the plan
    profile_along: Line  # liner across the long way through the middle, (offset, level) [m]
    profile_across: Line
    lined_m2: float  # surface of liner below the waterline
    short_m: float = 0.0  # by how much the sides meet before the depth wished for
    as_drawn: tuple[tuple[float, float, float], ...] = ()  # the drawing's table, where readings of the meter replace it
    doubts: tuple[MeterDoubt | None, ...] = ()  # of each reading of its fill meter, as they stand in the file


class Shape(Struct, frozen=True, kw_only=True):
    sections: tuple[LongSection, ...]
    budgets: tuple[HeightBudget, ...]
    ponds: tuple[PondShape, ...]

    def pond(self, body: str) -> PondShape:
        """The shape of that body. Raises KeyError."""
        return {pond.body: pond for pond in self.ponds}[body]

    def depth_m(self, body: Body) -> float:
        """Depth [m] of a body from its waterline to its floor, as deep as its sides let it be."""
        return body.depth_m - sum(pond.short_m for pond in self.ponds if pond.body == body.id)
