"""Rules on where water leaves first and where it goes from there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from msgspec.structs import replace

from rillwright.assessment import Assessment, NotRun, OverflowOut, Severity, SpillPath
from rillwright.findings.grading import bound_of
from rillwright.findings.rims import where_nearest
from rillwright.findings.rule import Bound, Check, Fact, Rule, Weight
from rillwright.findings.words import named, named_in


def _spills(assessment: Assessment) -> Iterator[Check]:
    ways = assessment.ways
    for spill in () if ways is None else ways.spills:
        yield from _spill(assessment, spill)


def _may(assessment: Assessment) -> Iterator[Check]:
    """Where each may run over first, by the bands of its levels, and then runs up to a wall."""
    ways = assessment.ways
    for spill in () if ways is None else ways.may:
        bank = spill.station_m is not None
        yield Check(
            element=spill.water,
            value=spill.spare_m,
            bound=_bound(assessment, spill),
            facts=(*_facts(assessment, spill), *towards_facts(spill)),
            worst=Severity.WATCH,
            text=right_up_to(_MAY_LEAVE if bank else _MAY, spill),
            remedy=SPILL.remedy if bank else "",
        )


def _spill(assessment: Assessment, spill: SpillPath) -> Iterator[Check]:
    if spill.over == "island":
        yield Check(element=spill.water, severity=Severity.OK, facts=(("ends", spill.ends, ""),), text=_SINKS)
        return
    if not spill.way:
        return
    facts, bank = _facts(assessment, spill), spill.station_m is not None
    if not spill.towards:
        yield Check(element=spill.water, severity=Severity.OK, facts=facts, text=_LEAVES if bank else "")
        return
    now = spill.spare_m.value < 0.0
    yield Check(
        element=spill.water,
        value=spill.spare_m,
        bound=_bound(assessment, spill),
        facts=(*facts, *towards_facts(spill)),
        worst=Severity.STOP if now else Severity.WATCH,
        text=right_up_to(_SPILLS_NOW if now else _LEAVES_TOWARDS if bank else _TOWARDS, spill),
    )


def _bound(assessment: Assessment, spill: SpillPath) -> Bound:
    return bound_of(assessment.feature, "rim.freeboard" if spill.station_m is None else "bank.freeboard")


def _facts(assessment: Assessment, spill: SpillPath) -> tuple[Fact, ...]:
    return (
        ("at", _place_of(assessment, spill), ""),
        *way_facts(assessment, spill),
        ("station", spill.station_m or 0.0, "m"),
        ("x", spill.at[0], "m"),
        ("y", spill.at[1], "m"),
    )


def way_facts(assessment: Assessment, spill: SpillPath) -> tuple[Fact, ...]:
    """How long a way is, over what it runs, where it ends."""
    over = "" if assessment.ways is None else f"over the {assessment.ways.over}"
    return ("way", long_m(spill), "m"), ("over", over, ""), ("ends", spill.ends, "")


def towards_facts(spill: SpillPath) -> tuple[Fact, ...]:
    """What a way runs towards, and how near it comes."""
    return ("towards", named(spill.towards) if spill.towards else "", ""), ("near", spill.nearest_m or 0.0, "m")


def right_up_to(text: str, spill: SpillPath) -> str:
    """A sentence on a way; one that touches what it runs towards runs up to it, not within nothing of it."""
    touches = round(spill.nearest_m or 0.0, 3) == 0.0
    return text.replace("within {near} of {towards}", "up to {towards}") if touches else text


def _after_overflow(assessment: Assessment) -> Iterator[Check]:
    """Where each would run over; of a body with an overflow it is said which of the two comes first."""
    found = assessment.containment
    outs = {} if isinstance(found, NotRun) else {out.water: out for out in found.outs}
    for check in _spills(assessment):
        out = outs.get(check.element)
        if out is None:
            yield check
            continue
        text = check.text or (SPILL.well if check.severity is Severity.OK else SPILL.ill)
        yield replace(check, facts=(*check.facts, *out_facts(assessment, out)), text=f"{text} {_which_first(out)}")


def out_facts(assessment: Assessment, out: OverflowOut) -> tuple[Fact, ...]:
    """Sill over the waterline, room up to the rim, what the overflow carries in that room, and the heaviest rain."""
    held = assessment.feature.body(out.water.partition("/")[2]).waterline.m
    peak = () if out.peak_m3s is None else (("peak", out.peak_m3s.high, "m3/s"),)
    return (
        ("sill", out.sill_m.value - held, "m"),
        ("room", max(out.room_m.value, 0.0), "m"),
        ("too_high", max(-out.room_m.low, 0.0), "m"),
        ("carries", out.carries_m3s.low, "m3/s"),
        *peak,
    )


def _which_first(out: OverflowOut) -> str:
    return _RIM_FIRST if out.room_m.value <= 0.0 else _MAY_BE_FIRST if out.room_m.low <= 0.0 else _FIRST_OUT


def _place_of(assessment: Assessment, spill: SpillPath) -> str:
    found = assessment.containment
    lows = () if isinstance(found, NotRun) else found.lows
    near = (low for low in lows if low.water == spill.water and low.at == spill.at)
    return next((f"near {where_nearest(low)}" for low in near), "its lowest rim")


def long_m(spill: SpillPath) -> float:
    """Length of a way in plan [m]."""
    return sum(math.dist(a[:2], b[:2]) for a, b in pairwise(spill.way))


def _unknown(assessment: Assessment) -> Iterator[Check]:
    """Ways of which nothing is known; and, once for each, where ways end of which it is not known how they go on."""
    ways = assessment.ways
    bodies = {f"ponds/{body.id}" for body in assessment.feature.bodies if body.rims}  # without rims all of it is unsaid
    ends: dict[str, list[str]] = {}
    for spill in () if ways is None else (*ways.spills, *ways.led):
        if not spill.way and spill.over == "outer" and spill.water in bodies:
            yield Check(element=spill.water, severity=Severity.WATCH)
        elif spill.way and spill.ends.startswith(_UNKNOWN_BEYOND) and not spill.ends.startswith(_WALL):
            whose = ends.setdefault(spill.ends, [])
            whose += [spill.water] if spill.water not in whose else []
    for end, waters in ends.items():
        facts = (("waters", _listed([named_in(assessment.feature, water) for water in waters]), ""), ("ends", end, ""))
        yield Check(
            element=waters[0],
            severity=Severity.WATCH,
            facts=facts,
            text=_GOES_ON,
            remedy=_FURTHER if end.startswith("at ") else _ROUND,
        )


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


_FIRST_OUT = (
    "Before that, it leaves by its overflow, whose sill lies {sill} above the waterline and {room} below that place."
)
_RIM_FIRST = "That comes before its overflow, whose sill lies no lower than that place: it lets nothing out before."
_MAY_BE_FIRST = (
    "Its overflow, whose sill lies {sill} above the waterline, is to come before that, but by the bands of both levels "
    "may come {too_high} too late."
)
_UNKNOWN_BEYOND = ("at the edge of the known ground", "against the ")
_WALL = "against the wall"
_GOES_ON = (
    "Water that runs over from {waters} ends {ends}: where it goes on from there, and what stands there, is not known."
)
_FURTHER = "Shoot a few points of the ground further on, with their places, to where water runs off without harm."
_ROUND = (
    "Look on site which way water that stands there would run; cut a swale that leads it off, and shoot a few points "
    "along it."
)
_READ_THERE = (
    "Shoot the rim at x {x}, y {y}, and put it in the file as a rim with that place; raise it there where it is no "
    "higher than elsewhere. Local rules say where water may go."
)
_TOWARDS = (
    "{name}, should it ever run over, does so first {at}, {range} above its highest water; the water then runs {way} "
    "downhill {over}, within {near} of {towards}, and ends {ends}."
)
_MAY = (
    "{name}, should it ever run over, may do so first at x {x}, y {y}, by the bands of its levels, {range} above its "
    "highest water; the water then runs {way} downhill {over}, within {near} of {towards}, and ends {ends}."
)
_SINKS = "If {name} ever runs over, it does so first over the rim of its island; the water ends {ends}."
_SPILLS_NOW = (
    "On its worst day {name} runs over {at}, and the water runs {way} downhill {over}, within {near} of {towards}; it "
    "ends {ends}."
)
_LEAVES = (
    "If {name} ever leaves its banks, it does so first at {station} from the stream head; the water runs {way} "
    "downhill {over} and ends {ends}."
)
_LEAVES_TOWARDS = (
    "{name}, should it ever leave its banks, does so first at {station} from the stream head, {range} above its "
    "highest water; the water then runs {way} downhill {over}, within {near} of {towards}, and ends {ends}."
)
_MAY_LEAVE = (
    "{name}, should it ever leave its banks, may do so first at {station} from the stream head, by the bands of its "
    "levels, {range} above its highest water; the water then runs {way} downhill {over}, within {near} of {towards}, "
    "and ends {ends}."
)
SPILL = Rule(
    code="spill.way",
    area="containment",
    title="Water that spills does not run towards a building",
    well="If {name} ever runs over, it does so first {at}; the water runs {way} downhill {over} and ends {ends}.",
    ill=_TOWARDS,
    remedy="Raise the rim there, and leave the lowest place of it, or an overflow, where water runs off without harm; "
    "or cut a swale that leads it past. Local rules say where it may go.",
    find=_after_overflow,
    likely="too low",
    limits=("rim.freeboard", "bank.freeboard"),
)
MAY = Rule(
    code="spill.may",
    area="containment",
    title="Water that may spill elsewhere, by the bands of its levels, does not run up to a wall",
    well=_MAY,
    ill=_MAY,
    remedy=_READ_THERE,
    find=_may,
    likely="too low",
    limits=("rim.freeboard", "bank.freeboard"),
)
UNKNOWN = Rule(
    code="spill.unknown",
    area="containment",
    title="It is known where water that spills would run",
    well="",
    ill="Nobody knows the ground outside the lowest place of {name}: where its water would run if it ever spills is "
    "not known.",
    remedy="Shoot a few points of the ground outside it, with their places, and out to the next wall.",
    find=_unknown,
    weight=Weight.UNSAID,
)
