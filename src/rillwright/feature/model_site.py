"""The site of a feature: soil, ways in, what stands and lies about that digging can harm."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature.levels import XY, Level


class Machine(Struct, frozen=True, kw_only=True):
    name: str
    width_m: float
    reach_m: float
    lift_kg: float  # at lift_radius_m
    lift_radius_m: float
    invented: bool


class Access(Struct, frozen=True, kw_only=True):
    id: str
    width_m: float
    at: XY | None
    machine: Machine | None  # None: by hand


class Footing(Struct, frozen=True, kw_only=True):
    """A footing: nothing is dug below a 1:1 line from its foot."""

    id: str
    line: tuple[XY, ...]
    base: Level


class Paving(Struct, frozen=True, kw_only=True):
    """A paved area, by its edge and the foot of its base; nothing is dug below a 1:1 line from that."""

    id: str
    outline: tuple[XY, ...]  # not closed
    base: Level


class Building(Struct, frozen=True, kw_only=True):
    """A building, by its edge; None: nobody knows how deep its footings go."""

    id: str
    outline: tuple[XY, ...]  # not closed
    base: Level | None


class Tree(Struct, frozen=True, kw_only=True):
    """A tree that stays, by the diameter of its trunk at breast height [m]."""

    id: str
    at: XY
    trunk_m: float
    note: str = ""


class ServiceLine(Struct, frozen=True, kw_only=True):
    """A buried service as it was marked: its top by depth [m] under the ground, or by level; neither: not known."""

    id: str
    kind: str  # water | gas | power | drain | telephone | other
    line: tuple[XY, ...]
    depth_m: float | None
    top: Level | None


class Services(Struct, frozen=True, kw_only=True):
    """What is said of buried services; `note` alone is text that says neither whether nor when they were located."""

    located: bool | None = None  # None: not said
    on: str | None = None  # the day they were marked, year-month-day
    ticket: str | None = None
    note: str = ""


class Barrier(Struct, frozen=True, kw_only=True):
    """What is said of a barrier against drowning; `note` alone is text that says neither whether one is wanted."""

    asked: str | None = None  # who was asked, and when
    wanted: bool | None = None
    planned: bool | None = None
    note: str = ""


class Site(Struct, frozen=True, kw_only=True):
    north_rad: float | None  # from the sheet's y axis, clockwise; None: nobody has said
    soil: str  # key of the soils table
    groundwater: Level | None
    accesses: tuple[Access, ...]
    footings: tuple[Footing, ...]
    services: Services | None  # None: nothing said
    crew_people: int
    power_distance_m: float | None
    residual_current_device: bool | None
    barrier: Barrier | None  # None: nothing said
    stake_offset_m: float = 1.0  # from the work to a peg
    note: str = ""  # what was seen there, as typed; nothing is judged by it
    spoil: str | None = None  # where soil that is left goes, as said
    paving: tuple[Paving, ...] = ()
    buildings: tuple[Building, ...] = ()
    trees: tuple[Tree, ...] = ()
    service_lines: tuple[ServiceLine, ...] = ()

    @property
    def structures(self) -> tuple[tuple[str, tuple[XY, ...]], ...]:
        """What stands there that water or digging can harm: path and line; the line of an area ends where it begins."""
        areas = [(f"buildings/{each.id}", each.outline) for each in self.buildings]
        areas += [(f"paving/{each.id}", each.outline) for each in self.paving]
        return (
            *((f"footings/{each.id}", each.line) for each in self.footings),
            *((path, (*outline, outline[0])) for path, outline in areas),
        )
