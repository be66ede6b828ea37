"""A level book as it was read: readings in the order in which they were taken, exact, each with its own rod."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from msgspec import Struct

from rillwright.feature import XY, Surface

MOST_CHARACTERS = 20_000_000
MOST_ROWS = 200_000


class Sight(StrEnum):
    """What a reading is for: it gives the height of instrument, stands by itself, or carries the level on."""

    BACK = "backsight"
    BETWEEN = "intermediate"
    FORE = "foresight"


class Rod(Struct, frozen=True):
    """A rod: its division, a word that `units.rod_reading` knows; direct laser rods read upward."""

    division: str
    direct: bool = False

    def __str__(self) -> str:
        return f"laser {self.division}" if self.direct else self.division

    @property
    def sign(self) -> int:
        """How the level goes with the reading [-]: -1 on a usual rod, +1 on a direct one."""
        return 1 if self.direct else -1


class Reading(Struct, frozen=True, kw_only=True):
    """One reading on a point: `value_m` [m] is exact; `distance_m` [m] of the sight, or of a foresight's section."""

    line: int
    setup: str
    point: str
    sight: Sight
    value_m: Fraction
    text: str
    rod: Rod
    surface: Surface | None  # None: mark for benchmarks and turning points, else ground
    at: XY | None = None
    distance_m: float | None = None
    time: str = ""
    who: str = ""
    note: str = ""


class KnownLevel(Struct, frozen=True, kw_only=True):
    """The level [m] that a book gives for a mark, exact and as typed."""

    point: str
    line: int
    level_m: Fraction
    text: str


class Book(Struct, frozen=True, kw_only=True):
    """A level book: who wrote what, in reading order. Nothing in it is reduced yet."""

    file: str
    readings: tuple[Reading, ...]
    known: tuple[KnownLevel, ...]

    @property
    def divisions(self) -> tuple[str, ...]:
        """The divisions of the rods used, each once, in order of use."""
        return tuple(dict.fromkeys(reading.rod.division for reading in self.readings))
