"""Building it: stakes, and what the machine can do."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from rillwright.feature import XY, Surface


class Peg(Struct, frozen=True, kw_only=True):
    """Where a stake's peg is driven, so that the dig does not take it.

    `offset_m` [m] from the work, `away_m` [m] by level tape from the point that it marks, `way` in words. Not `clear`:
    some other part of the work lies there too.
    """

    at: XY
    offset_m: float
    away_m: float
    way: str
    clear: bool


class Stake(Struct, frozen=True, kw_only=True):
    """A set-out point with the level wanted of each surface there [m], or None where there is none.

    `shot_at` is the path under which a shot of it is kept. `ground_m` is the ground as it was read there. What is built
    on fill stands `settles_m` [m] higher than it will once the fill has settled.
    """

    id: str
    path: str
    text: str
    at: XY | None
    station_m: float | None
    dig_m: float | None
    liner_m: float | None
    stone_top_m: float | None
    water_m: float | None
    bed_m: float | None = None
    shot_at: str = ""
    ground_m: float | None = None
    settles_m: float = 0.0
    peg: Peg | None = None

    def level_m(self, surface: Surface) -> float | None:
        """The level wanted of a surface [m], None where there is none."""
        return {
            Surface.DIG: self.dig_m,
            Surface.LINER: self.liner_m,
            Surface.BED: self.bed_m,
            Surface.STONE_TOP: self.stone_top_m,
            Surface.WATER: self.water_m,
        }.get(surface)


class Lift(Struct, frozen=True, kw_only=True):
    """A load [kg] against what the machine lifts at its charted radius; None: no machine, by hand."""

    path: str
    what: str
    load_kg: float
    allowed_kg: float
    machine: str | None


class AccessCheck(Struct, frozen=True, kw_only=True):
    access: str
    width_m: float
    machine: str | None
    machine_width_m: float | None
    fits: bool


class HoldWhen(StrEnum):
    """At what moment the work waits."""

    START = "at the start of the day"
    NOON = "at noon"
    END = "at the end of the day"
    DIG = "before you dig"
    CUT = "before you cut it"
    COVER = "before you cover it"
    FILL = "before you fill it"
    RUN = "before you leave it running"


class HoldShot(Struct, frozen=True, kw_only=True):
    """A level to shoot at a hold point: wanted [m], within a tolerance [m]."""

    path: str
    surface: Surface
    text: str
    wanted_m: float
    tolerance_m: float


class HoldTape(Struct, frozen=True, kw_only=True):
    """Something to tape at a hold point: wanted [m], or None where it is only to be written down."""

    text: str
    wanted_m: float | None


class HoldPoint(Struct, frozen=True, kw_only=True):
    """A moment at which work waits until these are shot, taped, looked at, photographed, and initialled by these."""

    id: str
    when: HoldWhen
    at: str
    text: str
    shoot: tuple[HoldShot, ...] = ()
    tape: tuple[HoldTape, ...] = ()
    look: tuple[str, ...] = ()
    photograph: tuple[str, ...] = ()
    initials: tuple[str, ...] = ("lead",)


class Build(Struct, frozen=True, kw_only=True):
    stakes: tuple[Stake, ...]
    lifts: tuple[Lift, ...]
    accesses: tuple[AccessCheck, ...]
    holds: tuple[HoldPoint, ...] = ()


class SiteDay(Struct, frozen=True, kw_only=True):
    """Today's instrument: date as typed, height of instrument above the datum [m], rod: ft-in | tenths | metric."""

    date: str
    height_of_instrument_m: float
    rod: str


class StakeReading(Struct, frozen=True, kw_only=True):
    """What the rod must read at a stake today [m] for each surface; None where there is none."""

    stake: Stake
    dig_m: float | None
    liner_m: float | None
    stone_top_m: float | None
    water_m: float | None


class FoundLevel(Struct, frozen=True, kw_only=True):
    """A level found by a shot [m]: at which path or stake, of which surface. Of several the last one counts.

    `planned_m` [m] is what the plan wants there, once the level as built stands in its place; None: as the stake says.
    """

    at: str
    surface: Surface
    level_m: float
    planned_m: float | None = None


class ToGo(Struct, frozen=True, kw_only=True):
    """One surface at one stake today.

    `reading_m` is what the rod must read; `found_m` what was found there, of the surface `found_of`. `to_go_m` is found
    less wanted: to cut where it is positive, to fill where negative. `met` says whether it lies within the tolerance;
    None where this surface was not shot yet.
    """

    stake: Stake
    surface: Surface
    wanted_m: float
    tolerance_m: float
    reading_m: float | None
    found_m: float | None
    found_of: Surface | None
    to_go_m: float | None
    met: bool | None
