"""Rules on what lets water out of a body, and on how high it stands where that fails."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, Severity, WayOut
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.findings.spills import out_facts, right_up_to, towards_facts, way_facts
from rillwright.units import Band


def _ways(assessment: Assessment) -> tuple[WayOut, ...]:
    return () if isinstance(assessment.water, NotRun) else assessment.water.ways_out


def _lowest_m(assessment: Assessment, body: str) -> Band | None:
    """The lowest place of a body's rim as it runs, or of its rims as they were read [m]."""
    found = assessment.containment
    if isinstance(found, NotRun):
        return None
    low = next((each.top_m for each in found.lows if each.water == f"ponds/{body}"), None)
    rims = {f"rims/{rim.id}" for rim in assessment.feature.body(body).rims}
    tops = [top.top_m for top in found.tops if top.path in rims]
    tops += [low] if low is not None else []
    return min(tops, key=lambda top: top.value, default=None)


def _none(assessment: Assessment) -> Iterator[Check]:
    for way in _ways(assessment):
        element, held = f"ponds/{way.body}", assessment.feature.body(way.body).waterline.m
        if way.sill_m is None:
            yield Check(element=element, severity=Severity.WATCH)
        elif way.sill_m < held:
            yield Check(element=element, severity=Severity.WATCH, text=_AT_REST, remedy=_RAISE_SILL)
        else:
            yield Check(element=element, severity=Severity.OK, facts=(("sill", way.sill_m - held, "m"),))


def _placed(assessment: Assessment) -> Iterator[Check]:
    for way in _ways(assessment):
        overflow = assessment.feature.body(way.body).overflow
        if overflow is not None:
            severity = Severity.WATCH if overflow.at is None else Severity.OK
            yield Check(element=f"ponds/{way.body}", severity=severity)


def _blocked(assessment: Assessment) -> Iterator[Check]:
    for way in _ways(assessment):
        if way.blocked_m is not None:
            yield from _spare(assessment, way, way.blocked_m)


def _stuck(assessment: Assessment) -> Iterator[Check]:
    for way in _ways(assessment):
        if way.stuck_m is not None:
            flow: tuple[Fact, ...] = (("brings", way.supply_m3s or 0.0, "m3/s"),)
            yield from _spare(assessment, way, way.stuck_m, flow)


def _spare(assessment: Assessment, way: WayOut, level_m: Band, facts: tuple[Fact, ...] = ()) -> Iterator[Check]:
    """What is left below the lowest place of the rim, or by how much the water stands above it."""
    top = _lowest_m(assessment, way.body)
    if top is None:
        return
    held = assessment.feature.body(way.body).waterline.m
    rise: Fact = ("stood", level_m.value - held, "m")
    over: Fact = ("beyond", max(level_m.value - top.value, 0.0), "m")
    spare = top - level_m
    text = "" if spare.value >= 0.0 else _STUCK_OVER if facts else _BLOCKED_OVER
    yield Check(element=f"ponds/{way.body}", value=spare, facts=(*facts, rise, over), text=text)


def _order(assessment: Assessment) -> Iterator[Check]:
    """Whether each overflow lets water out before the rim goes, and as much as the heaviest rain brings."""
    found = assessment.containment
    for out in () if isinstance(found, NotRun) else found.outs:
        facts, peak = out_facts(assessment, out), out.peak_m3s
        if out.room_m.low <= 0.0:
            late = _NO_USE if out.room_m.value <= 0.0 else ""
            yield Check(element=out.water, severity=Severity.WATCH, facts=facts, text=late)
        elif peak is not None and out.carries_m3s.low < peak.high:
            yield Check(element=out.water, severity=Severity.WATCH, facts=facts, text=_TOO_SMALL, remedy=_WIDER)
        else:
            yield Check(element=out.water, severity=Severity.OK, facts=facts, text="" if peak is None else _TAKES)


def _led(assessment: Assessment) -> Iterator[Check]:
    """Where the water of each overflow goes."""
    ways = assessment.ways
    for way in () if ways is None else ways.led:
        if way.way:
            yield Check(
                element=way.water,
                severity=Severity.WATCH if way.towards else Severity.OK,
                facts=(*way_facts(assessment, way), *towards_facts(way)),
                text=right_up_to(_RUNS_TOWARDS, way) if way.towards else "",
            )


_AT_REST = "The sill of the overflow of {name} lies below the waterline: it lets out water that is to stay."
_RAISE_SILL = "Raise the sill over the waterline, or lower the waterline."
_BLOCKED_OVER = (
    "With its overflow blocked, the heaviest rain after a stop brings {name} {stood} above its waterline, {beyond} "
    "over the lowest place of its rim: it runs over there."
)
_STUCK_OVER = (
    "With its top-up stuck open at {brings}, {name} stands {stood} above its waterline, {beyond} over the lowest place "
    "of its rim: it runs over there, not by its overflow."
)
_NO_USE = (
    "The overflow of {name} lets nothing out before its rim runs over: its sill, {sill} above the waterline, lies no "
    "lower than the lowest place of that."
)
_TAKES = (
    "As it rises, {name} leaves first by its overflow, whose sill lies {sill} above the waterline, and by the lowest "
    "place of its rim only {room} higher: until then the overflow lets out {carries}; the heaviest rain brings {peak}."
)
_TOO_SMALL = (
    "Until {name} runs over the lowest place of its rim, {room} above the sill of its overflow, that may let out no "
    "more than {carries}; the heaviest rain may bring {peak}."
)
_WIDER = "Make the overflow wider, or lower its sill."
_RUNS_TOWARDS = (
    "What leaves {name} by its overflow runs {way} downhill {over}, within {near} of {towards}, and ends {ends}."
)
ORDER = Rule(
    code="overflow.order",
    area="containment",
    title="The overflow lets water out before the rim does",
    well="As it rises, {name} leaves first by its overflow, whose sill lies {sill} above the waterline, and by the "
    "lowest place of its rim only {room} higher: until then the overflow lets out {carries}.",
    ill="The sill of the overflow of {name}, {sill} above the waterline, is to lie {room} below the lowest place of "
    "its rim, but by the bands of both levels may lie {too_high} too high.",
    remedy="Lower the sill, or raise the lowest place of the rim; shoot both before the pond is filled.",
    find=_order,
)
LED = Rule(
    code="overflow.way",
    area="containment",
    title="Water from the overflow does not run towards a building",
    well="What leaves {name} by its overflow runs {way} downhill {over} and ends {ends}.",
    ill=_RUNS_TOWARDS,
    remedy="Lay the overflow elsewhere, or lead its water past in a swale or a pipe, to where it may go by local code.",
    find=_led,
)
NONE = Rule(
    code="overflow.none",
    area="containment",
    title="Something lets out what rain or a stuck float valve brings",
    well="An overflow lets out of {name} what stands more than {sill} above its waterline.",
    ill="Nothing lets out of {name} what rain or a stuck float valve brings: it rises until it runs over its rim, "
    "wherever that is lowest.",
    remedy="Make an overflow, a notch or a pipe with a screen, below the lowest rim, led to where water may go by "
    "local code; put it in the file with its level and its place.",
    find=_none,
    weight=Weight.UNSAID,
)
PLACE = Rule(
    code="overflow.place",
    area="containment",
    title="It is said where the overflow lies",
    well="It is said where the overflow of {name} lies: its sill is staked.",
    ill="Nobody said where the overflow of {name} lies: its sill cannot be staked, nor its water followed.",
    remedy="Put its place in the file (at), where water runs off without harm.",
    find=_placed,
    weight=Weight.UNSAID,
)
BLOCKED = Rule(
    code="overflow.blocked",
    area="containment",
    title="With its overflow blocked, the heaviest rain runs over no rim",
    well="With its overflow blocked, the heaviest rain after a stop leaves {range} below the lowest place of the rim "
    "of {name}.",
    ill="With its overflow blocked, the heaviest rain after a stop brings {name} {stood} above its waterline and "
    "leaves only {range} below the lowest place of its rim; {good} is wanted.",
    remedy="Make a second way out, raise the lowest rim, or lower the waterline; keep the overflow screened, and look "
    "at it before rain.",
    find=_blocked,
    likely="too low",
    limits=("rim.blocked",),
)
STUCK = Rule(
    code="overflow.stuck",
    area="containment",
    title="The overflow carries a top-up that is stuck open",
    well="With its top-up stuck open at {brings}, the water of {name} leaves by its overflow, {range} below the lowest "
    "place of its rim.",
    ill="With its top-up stuck open at {brings}, {name} stands {stood} above its waterline, only {range} below the "
    "lowest place of its rim; {good} is wanted.",
    remedy="Make the overflow wider or lower, or the supply smaller; a float valve wants a stop valve that is shut "
    "while nobody is there.",
    find=_stuck,
    likely="too low",
    limits=("rim.blocked",),
)
