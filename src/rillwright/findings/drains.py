"""Rules on water that a pipe keeps, or lets run back, at stop."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, Feature, Level, NotRun, Run, Severity
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.findings.words import named

_NORMAL = 1.96  # 95 in 100 of a normal error


def _drains(assessment: Assessment) -> Iterator[Check]:
    """What is said of a run is enough to judge it."""
    feature = assessment.feature
    for run in feature.runs:
        if not _unsaid(feature, run):
            yield _judged(feature, run)


def _frost(assessment: Assessment) -> Iterator[Check]:
    """Nobody has said how a run is kept from frost."""
    for run in assessment.feature.runs:
        if _unsaid(assessment.feature, run):
            text = _HELD_UNSAID if run.check_valve else ""
            yield Check(element=f"runs/{run.id}", severity=Severity.WATCH, text=text)


def _unsaid(feature: Feature, run: Run) -> bool:
    """Whether nothing in the file tells what stays in the pipe, or whether frost comes there."""
    if run.drain is not None or feature.climate.frost_m == 0.0:
        return False
    return feature.climate.frost_m is None if run.check_valve else run.lowest is None


def _judged(feature: Feature, run: Run) -> Check:
    element, frost = f"runs/{run.id}", feature.climate.frost_m
    if frost == 0.0:
        return Check(element=element, severity=Severity.OK, text=_NO_FROST)
    if run.drain:
        return Check(element=element, severity=Severity.OK, text=_COCK)
    water = feature.body(run.source).waterline
    if not run.check_valve and run.lowest is not None:
        over = run.lowest.m - water.m
        if over >= _doubt(run.lowest, water):
            return Check(element=element, severity=Severity.OK, facts=(("over", over, "m"),))
    top = _top_of_pipe(run) if run.check_valve else water
    under = _under_ground(feature, top)
    if frost is not None and under is not None and under > frost:
        facts: tuple[Fact, ...] = (("under", under, "m"), ("frost", frost, "m"))
        return Check(element=element, severity=Severity.OK, facts=facts, text=_DEEP)
    if run.check_valve:
        return Check(element=element, severity=Severity.WATCH, text=_HELD)
    if run.lowest is None:
        return Check(element=element, severity=Severity.WATCH, text=_UNKNOWN)
    under_water = ("under", max(water.m - run.lowest.m, 0.0), "m")
    return Check(element=element, severity=Severity.WATCH, facts=(under_water,), text=_DIP, remedy=_LIE_HIGHER)


def _siphons(assessment: Assessment) -> Iterator[Check]:
    """A pipe that ends under the water of a bed, and nothing that shuts it at stop."""
    if isinstance(assessment.water, NotRun):
        return
    for siphon in assessment.water.siphons:
        facts: tuple[Fact, ...] = (
            ("bed", named(f"reaches/{siphon.bed}"), ""),
            ("body", siphon.body, ""),
            ("back", siphon.back_m3, "m3"),
        )
        yield Check(element=f"runs/{siphon.run}", severity=Severity.WATCH, facts=facts)


def _top_of_pipe(run: Run) -> Level:
    """How high water stands over a check valve that holds it."""
    levels = [end.level for end in run.ends]
    levels += [top for top in (run.summit, *(each.summit for each in run.outlets)) if top is not None]
    return max(levels, key=lambda level: level.m)


def _under_ground(feature: Feature, top: Level) -> float | None:
    """How far a level lies under the lowest ground that is known, at the near end of their doubt [m]."""
    grounds = [rim.ground for body in feature.bodies for rim in body.rims]
    grounds += [stream.head_ground for stream in feature.streams if stream.head_ground is not None]
    grounds += [mark.level for mark in feature.marks if mark.role == "paving"]
    if not grounds:
        return None
    lowest = min(grounds, key=lambda level: level.m)
    return lowest.m - top.m - _doubt(lowest, top)


def _doubt(one: Level, other: Level) -> float:
    """What the difference of two levels may be out by [m]."""
    return _NORMAL * math.hypot(one.sigma_m, other.sigma_m)


_NO_FROST = "No frost reaches {name}, by what the file says of the site."
_COCK = "{name} can be emptied at its lowest point: do it before frost, pump off, and leave it open."
_DEEP = (
    "What stays in {name} lies {under} and more under the lowest ground known, below the {frost} that frost reaches."
)
_HELD = "The check valve of {name} holds its pipe full at stop, up to its outlet: what frost reaches of it bursts."
_HELD_UNSAID = (
    "The check valve of {name} holds its pipe full at stop, up to its outlet; nobody has said how it is emptied before "
    "frost."
)
_UNKNOWN = "Nothing empties {name} at its lowest point, and nobody has said how low that is: water may stay in it."
_DIP = (
    "{name} dips {under} below the water that it is drawn from, or as good as that: water stays there, and what frost "
    "reaches of it bursts."
)
_LIE_HIGHER = (
    "Lay it without a dip, falling all the way back to the pond, or fit a drain cock or a union at its lowest point; "
    "or blow it out."
)
DRAINS = Rule(
    code="pipe.drains",
    area="circuit",
    title="The lowest point of a pipe drains before frost",
    well="At stop {name} runs empty through its pump: its lowest point lies {over} above the water that it is drawn "
    "from.",
    ill="Water stays in {name} at stop: what frost reaches of it bursts.",
    remedy="Fit a drain cock or a union at the lowest point, behind the check valve and in reach, and say so in the "
    "file; or blow the pipe out. Burying it is not enough where it comes up through the frost.",
    find=_drains,
)
FROST = Rule(
    code="pipe.frost",
    area="circuit",
    title="How a pipe is emptied before frost is said",
    well="",
    ill="Nobody has said whether {name} runs empty before frost.",
    remedy="Say its 'lowest' point, whether it has a 'drain' there, and the climate's 'frost_depth' by the local "
    "code; 0 where it never freezes.",
    find=_frost,
    weight=Weight.STANDING,  # after what can drown or hurt somebody
)
SIPHONS = Rule(
    code="pipe.siphons",
    area="circuit",
    title="A pipe that ends under water is shut at stop",
    well="",
    ill="{name} ends under the water of {bed} and has no check valve: at stop {back} run back from there to {body}, "
    "with what its pipe holds, and are pumped up again at each start.",
    remedy="Fit a check valve, or let the pipe end above the water at rest; a small hole in it just under that water "
    "breaks the siphon too. Leave room for it in the pond until then: it is counted.",
    find=_siphons,
)
