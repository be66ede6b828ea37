"""Rules on the beds and banks of a stream."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, Feature, NotRun, StreamLook
from rillwright.findings.grading import bound_of
from rillwright.findings.rule import Bound, Check, Fact, Rule, Weight
from rillwright.findings.words import named_in, where_on
from rillwright.units import Band


def _hidden(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for reach in assessment.water.reaches:
        if reach.flow_m3s.value > 0.0:
            facts = (("outside", "; ".join(reach.notes), ""),)
            yield Check(element=reach.path, value=reach.hidden, facts=facts)


def _films(assessment: Assessment) -> Iterator[Check]:
    """The thinnest water along each bed in which any is seen."""
    if isinstance(assessment.water, NotRun):
        return
    for reach in assessment.water.reaches:
        if reach.profile is not None:
            found = reach.profile
            depth, station = min(zip(found.depths_m, found.stations_m, strict=True), key=lambda pair: pair[0].value)
            yield Check(element=reach.path, value=depth, facts=(("station", station, "m"),))


def _moves(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for reach in assessment.water.reaches:
        if reach.moving is not None:
            facts = (
                ("laid", reach.moving.grain_m, "m"),
                ("sure", reach.moving.stays_m.high, "m"),
                ("station", reach.moving.station_m, "m"),
                ("outside", "; ".join(reach.moving.notes), ""),
            )
            yield Check(element=reach.path, value=reach.moving.share, facts=facts)


def _lands(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for impact in assessment.water.impacts:
        if impact.grain_m is not None:
            facts = (
                ("laid", impact.grain_m, "m"),
                ("stone", impact.stone_m.value, "m"),
                ("sure", impact.stone_m.high, "m"),
                ("set", impact.stone_m.low, "m"),
                ("speed", impact.speed_ms, "m/s"),
                ("pool", impact.pool_m.value, "m"),
                ("at", where_on(impact.at), ""),
                ("outside", "; ".join(impact.notes), ""),
            )
            yield Check(element=impact.path, value=impact.stone_m.scale(1.0 / impact.grain_m), facts=facts)


def _looks(assessment: Assessment) -> Iterator[Check]:
    """Each stream by the crest that is farthest from the look wished for."""
    if isinstance(assessment.water, NotRun):
        return
    for look in assessment.water.looks:
        bounds = [bound_of(assessment.feature, f"look.{look.wished}_{end}") for end in ("least", "most")]
        if look.crests:
            crest, bound = max(
                ((crest, bound) for crest in look.crests for bound in bounds),
                key=lambda pair: _beyond(pair[0].unit_flow_m2s, pair[1]),
            )
            yield Check(
                element=look.path,
                value=crest.unit_flow_m2s,
                bound=bound,
                facts=_look_facts(assessment.feature, look, crest.path, reads=crest.reads),
                text=_look_text(look, crest.unit_flow_m2s, bound),
                remedy=_valve(look),
            )


def _look_text(look: StreamLook, unit_flow: Band, bound: Bound) -> str:
    """That no flow suits, or that only an end of the flow's band is beyond what was wished; else the rule's own."""
    if look.from_m3s > look.to_m3s:
        return _NONE_SUITS
    if bound.sense == "at_most":
        return _LOUDER if unit_flow.value <= bound.good < unit_flow.high else ""
    return _QUIETER if unit_flow.low < bound.good <= unit_flow.value else ""


def _beyond(value: Band, bound: Bound) -> float:
    """How far a value is beyond a bound [-]: the larger, the worse."""
    ratio = value.value / bound.good
    return 1.0 / ratio if bound.sense == "at_least" and ratio > 0.0 else (ratio if ratio > 0.0 else math.inf)


def _look_facts(feature: Feature, look: StreamLook, path: str, *, reads: str) -> tuple[Fact, ...]:
    return (
        ("wished", look.wished, ""),
        ("reads", reads, ""),
        ("crest", named_in(feature, path), ""),
        ("now", look.flow_m3s.value, "m3/s"),
        ("from", look.from_m3s, "m3/s"),
        ("to", look.to_m3s, "m3/s"),
        ("at", where_on(next((crest.at for crest in look.crests if crest.path == path), "")), ""),
        ("valves", " and ".join(look.runs) or "its run", ""),
    )


def _valve(look: StreamLook) -> str:
    """Which valve to turn, or what to change where no valve helps."""
    if look.from_m3s > look.to_m3s:
        return _UNEVEN
    if look.flow_m3s.value > look.to_m3s:
        return _CLOSE
    return _MORE if look.flow_m3s.value < look.from_m3s else _EITHER


_NONE_SUITS = "{name} is wished {wished}; {crest}{at} reads {reads}, at {range} of crest, while {now} runs."
_LOUDER = "{name} is wished {wished}; {crest}{at} may read louder than that, at {range} of crest, while {now} runs."
_QUIETER = "{name} is wished {wished}; {crest}{at} may read quieter than that, at {range} of crest, while {now} runs."
_UNEVEN = (
    "No one flow suits all crests of {name}: make their widths more alike, or wish it another look; the valve of "
    "{valves} sets only all of them together."
)
_CLOSE = "Close the valve of {valves} until {to} runs, no less than {from}; or widen the crest of {crest}."
_MORE = "Open the valve of {valves}, or take a pump that brings {from} to {to}; or narrow the crest of {crest}."
_EITHER = "Set the valve of {valves} between {from} and {to} on the first start, by eye and ear."


HIDDEN = Rule(
    code="stream.hidden",
    area="stream",
    title="The flow is seen, not hidden in the gravel",
    well="{range} of the flow runs hidden in the gravel of {name}; up to {good} is hardly missed.",
    ill="{range} of the flow runs hidden in the gravel of {name}; above {good} it is missed, above {bad} the bed looks "
    "starved.",
    remedy="Lay less or finer gravel, flatten the bed, or send more water.",
    find=_hidden,
    limits=("hidden.share",),
)
FILM = Rule(
    code="stream.film",
    area="stream",
    title="The bed reads as water, not as wet stone",
    well="The water of {name} is nowhere thinner than {range}; from {good} it reads as water.",
    ill="The water of {name} is only {range} deep at {station} from the stream head; under {good} it reads thin, under "
    "{bad} as wet stone.",
    remedy="Set the next crest higher, so that it holds water over the whole bed; or narrow the bed there.",
    find=_films,
    likely="too thin",
    limits=("look.bed_depth",),
)
LOOK = Rule(
    code="stream.look",
    area="stream",
    title="The crests read as wished",
    well="{name} is wished {wished}: its crests read so while {from} to {to} runs; {now} runs now.",
    ill="{name} is wished {wished}; {crest}{at} reads {reads}, at {range} of crest. All crests read as wished while "
    "{from} to {to} runs; {now} runs now.",
    remedy=_EITHER,
    find=_looks,
    limits=(
        "look.quiet_least",
        "look.quiet_most",
        "look.lively_least",
        "look.lively_most",
        "look.loud_least",
        "look.loud_most",
    ),
)
MOVES = Rule(
    code="gravel.moves",
    area="stream",
    title="The gravel of the bed stays where it lies",
    well="The water of {name} pulls, at its worst {station} from the stream head, with {range} of what moves gravel of "
    "{laid}.",
    ill="The water of {name} pulls, at its worst {station} from the stream head, with {range} of what moves gravel of "
    "{laid}; gravel of {sure} stays for certain.",
    remedy="Lay gravel of {sure} there, set a crest that holds water over it, or close the valve a little.",
    find=_moves,
    likely="too fine",
    limits=("gravel.moves",),
)
LANDS = Rule(
    code="gravel.impact",
    area="stream",
    title="The gravel stays where a sheet lands",
    well="The sheet of {name}{at} meets {pool} of water; stone of {stone} just stays under it, {laid} is laid.",
    ill="The sheet of {name}{at} lands at {speed} in {pool} of water, and stone of {laid} is laid there: it is washed "
    "into a hollow. Lying loose, stones of {stone} just stay there, those of {sure} if it runs as it may; set into one "
    "another, those of {set}.",
    remedy="Lay stone of {sure} where the sheet lands, set into one another, or hold more water there.",
    find=_lands,
    likely="too fine",
    limits=("gravel.impact",),
    weight=Weight.STANDING,
)
