"""Levels: how high, of which surface, how well known, and from where."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

XY = tuple[float, float]  # [m], x to the right of the sheet, y up it


class Surface(StrEnum):
    """The surface of which a level is taken. A level without one does not exist."""

    MARK = "mark"
    GROUND = "ground"
    DIG = "dig"
    LINER = "liner"
    BED = "bed"  # top of gravel
    STONE_TOP = "stone top"
    WATER = "water"


class Origin(StrEnum):
    """Where a level comes from, weakest last in trust: what is built outranks what is planned."""

    BUILT = "built"
    MEASURED = "measured"
    PLANNED = "planned"
    DEFAULT = "default"


class Level(Struct, frozen=True):
    """A level above the datum [m] with its standard error [m], surface, origin, and source in words."""

    m: float
    surface: Surface
    origin: Origin
    source: str
    sigma_m: float = 0.0
    setup: str = ""  # set-up from which it was read; levels of one set-up share an error

    def moved(self, by_m: float, *, surface: Surface | None = None, source: str | None = None) -> Level:
        """The level `by_m` [m] higher, of another surface or source where one is given."""
        return replace(self, m=self.m + by_m, surface=surface or self.surface, source=source or self.source)
