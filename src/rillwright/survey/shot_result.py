"""What the shots on built work come to."""

from __future__ import annotations

from msgspec import Struct

from rillwright.feature import ElementPath, Surface
from rillwright.survey.shots import Shot, Unread


class Question(Struct, frozen=True, kw_only=True):
    """Something to ask about a reading, in words. While it `doubts`, the reading is kept but not built upon.

    Codes: reading, rod, foot, far, element, surface, benchmark, datum, moved, across, duplicate, again, clock,
    time, about.
    """

    code: str
    text: str
    uuid: str
    doubts: bool = True


class ReducedShot(Struct, frozen=True, kw_only=True):
    """A reading with its level above the datum [m], or None where it has none, and what is to be thought of it.

    `state`: kept, doubted, withdrawn, or unconfirmed (no benchmark, or one that disagrees when read again).
    `planned_m` [m] is what the plan wants at that place on that surface. `settles_m` [m] is what its fill will yet go
    down. `judged`: as built it takes the plan's place.
    """

    shot: Shot
    path: ElementPath | None
    surface: Surface | None
    benchmark: bool
    level_nm: int | None
    level_m: float | None
    sigma_m: float
    state: str
    why: str
    planned_m: float | None
    settles_m: float
    judged: bool
    questions: tuple[Question, ...]

    @property
    def off_plan_m(self) -> float | None:
        """Level less the planned one [m]: above nothing there is to cut, below to fill."""
        if self.level_m is None or self.planned_m is None:
            return None
        return self.level_m - self.planned_m


class ShotSetUp(Struct, frozen=True, kw_only=True):
    """One standing of the instrument by its last benchmark reading that holds: height above the datum [m].

    `closed`: a benchmark read after the last shot agrees. `moved`: a benchmark read again did not agree.
    """

    id: str
    rod: str
    height_of_instrument_m: float
    benchmark: str
    readings: int
    closed: bool
    moved: bool


class SiteShots(Struct, frozen=True, kw_only=True):
    """Everything read on built work, in the order of the file. `about` are questions of no single reading."""

    setups: tuple[ShotSetUp, ...] = ()
    shots: tuple[ReducedShot, ...] = ()
    about: tuple[Question, ...] = ()
    unread: tuple[Unread, ...] = ()

    @property
    def questions(self) -> tuple[Question, ...]:
        """All that is to be asked, in the order of the file."""
        return (*self.about, *(question for shot in self.shots for question in shot.questions))

    def shot(self, uuid: str) -> ReducedShot:
        """The reading of that uuid. Raises KeyError."""
        return {shot.shot.uuid: shot for shot in self.shots}[uuid]


NO_SHOTS = SiteShots()
