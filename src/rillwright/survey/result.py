"""What a level book comes to."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature import XY, Level, Surface

READ_ONCE = "read once"


class SetUp(Struct, frozen=True, kw_only=True):
    """One standing of the instrument: height of instrument above the datum [m]."""

    id: str
    book: str
    rod: str
    height_of_instrument_m: float
    benchmark: str  # point on which it was taken
    backsight_text: str  # as typed


class SurveyedPoint(Struct, frozen=True, kw_only=True):
    """A point with its level, and why it is in its `state`, where there is more to say.

    `state`: held (its level was given, or is the datum), confirmed (a second reading agrees, or a loop through it
    closes), read once (nothing shows that the rod was read right), unconfirmed (a benchmark read again disagrees),
    doubted.
    """

    id: str
    level: Level
    at: XY | None
    setup: str
    reading_text: str
    state: str
    why: str = ""


class Loop(Struct, frozen=True, kw_only=True):
    """A run that comes back to a known level: misclosure and its tolerance [m]."""

    name: str
    book: str
    setups: int
    length_m: float | None
    misclosure_m: float
    tolerance_m: float
    tolerance_name: str
    closes: bool


class PageCheck(Struct, frozen=True, kw_only=True):
    """Sum of backsights less sum of foresights against last less first level, in exact decimals of the book's unit."""

    book: str
    backsights: str
    foresights: str
    rise: str
    agrees: bool
    sights: int = 2  # that were summed; none in a book of one set-up without a foresight: nothing to add up


class Doubt(Struct, frozen=True, kw_only=True):
    """Something in a book that a person should look at: a mistyped foot, a moved benchmark, a mixed rod."""

    code: str  # mistyped_foot | benchmark_moved | collimation | shot_outlier | rod_changed | stray
    book: str
    line: int | None
    point: str
    size_m: float
    text: str


class LookBack(Struct, frozen=True, kw_only=True):
    """Sights of one book beside its first on each mark, and those on a mark that was known by then.

    `again` were from the same set-up, `closed` from another one; `due` where there is none and one is asked for.
    """

    book: str
    shots: int
    setups: int
    again: int
    closed: int
    due: bool


class Survey(Struct, frozen=True, kw_only=True):
    """Everything reduced from the books. `misclosure_m` [m] is the worst of the loops, by size; None without a loop."""

    books: tuple[str, ...]
    datum: str
    setups: tuple[SetUp, ...]
    points: tuple[SurveyedPoint, ...]
    loops: tuple[Loop, ...]
    page_checks: tuple[PageCheck, ...]
    doubts: tuple[Doubt, ...]
    looks: tuple[LookBack, ...]  # one a book
    misclosure_m: float | None
    adjusted: str  # none | by set-ups | by distance | least squares

    def level(self, point: str, surface: Surface | None = None) -> Level:
        """Level of a point by id, on one surface where it was read on several; else the first. Raises KeyError."""
        for p in self.points:
            if p.id == point and surface in (None, p.level.surface):
                return p.level
        raise KeyError(point)
