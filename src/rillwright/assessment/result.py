"""The one result: a branch a layer, and the findings that judge it."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from rillwright.build import Build
from rillwright.containment import Containment, Odds, SpiltWays
from rillwright.earth import Earth
from rillwright.feature import DefaultUsed, Feature
from rillwright.liner import Liner
from rillwright.price import Price
from rillwright.shape import Finished, Shape
from rillwright.shape import Surface as FinishedRims
from rillwright.stone import Stone
from rillwright.survey import NO_SHOTS, SiteShots, Survey, Tick
from rillwright.takeoff import Takeoff
from rillwright.water import OverTime, Water

FOR_THE_BUILDER = ("rim.odds",)  # codes of findings that stand on no paper


class NotRun(Struct, frozen=True):
    """A branch that was not computed, and why."""

    reason: str


class LimitUsed(Struct, frozen=True, kw_only=True):
    """A limit as applied to this feature: SI value or pair, unit, source id, and the reason where it was overridden."""

    name: str
    good: float
    bad: float
    unit: str
    source: str
    reason: str


class Assessment(Struct, frozen=True, kw_only=True):
    feature: Feature
    survey: Survey | NotRun
    shape: Shape | NotRun
    water: Water | NotRun
    liner: Liner | NotRun
    containment: Containment | NotRun
    stone: Stone | NotRun
    earth: Earth | NotRun
    takeoff: Takeoff | NotRun
    build: Build | NotRun
    price: Price | NotRun
    defaults_used: tuple[DefaultUsed, ...]
    limits_used: tuple[LimitUsed, ...]
    out_of_range: tuple[str, ...]
    digest: str  # of all inputs; the same inputs give the same digest
    steps: tuple[tuple[str, str], ...]  # (step, digest of what it read), for reuse
    surface: FinishedRims | NotRun = NotRun("not asked for")  # edges of liner as they run
    finished: Finished | NotRun = NotRun("not asked for")  # from the tier `surface` on: the finished work as surfaces
    over_time: OverTime | NotRun = NotRun("not asked for")  # the full tier: starts, stops and faults followed
    shots: SiteShots = NO_SHOTS  # what was read on built work
    ticks: tuple[Tick, ...] = ()  # what was checked at hold points
    odds: Odds | NotRun = NotRun("not asked for")  # the full tier: how often a rim spills; for the builder alone
    spilt: SpiltWays | NotRun = NotRun("not asked for")  # tier `surface`: spilt water over the finished work

    @property
    def ways(self) -> SpiltWays | None:
        """The ways of spilt water over the finished surface where that was made, else over the ground before work; None
        where no edge of liner was followed.
        """
        found = self.containment
        if isinstance(self.spilt, SpiltWays) or isinstance(found, NotRun):
            return self.spilt if isinstance(self.spilt, SpiltWays) else None
        return SpiltWays(over="ground before work", spills=found.spills, may=found.may, led=found.led)


class Severity(StrEnum):
    STOP = "stop"
    WATCH = "watch"
    OK = "ok"


class Finding(Struct, frozen=True, kw_only=True):
    """What was checked, on which element, value against limit in SI `unit`, and what to do.

    `margin` is positive on the good side. `remedy` is a template; `parameters` are (name, SI value, unit) to be
    rendered in the reader's units at the edge. `people` marks findings about people getting hurt: they come first.
    """

    code: str
    severity: Severity
    element: str  # path
    title: str  # what was checked, in words
    value: float | None
    value_low: float | None
    value_high: float | None
    limit: float | None
    limit_low: float | None
    limit_high: float | None
    margin: float | None
    unit: str
    limit_origin: str  # default | override | computed
    source: str
    text: str  # template: what was found
    remedy: str  # template: what to do
    parameters: tuple[tuple[str, float | str, str], ...]
    people: bool = False
    limit_sense: str = ""  # at_least | at_most; nothing where there is no limit
    standing: str = ""  # always: a caution that always holds | unchecked | outside: a formula outside its range


class Judged(Struct, frozen=True, kw_only=True):
    assessment: Assessment
    findings: tuple[Finding, ...]  # worst first
