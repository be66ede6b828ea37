"""Rules on what the water does over time: from dry, at start and stop, and out of its liner."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, BodyKind, BodyRun, Leak, NotRun, OverTime, Severity
from rillwright.findings.rule import Check, Fact, Rule, Weight
from rillwright.findings.words import WHOLE
from rillwright.sources import default
from rillwright.units import Band


def _followed(assessment: Assessment) -> OverTime | None:
    return None if isinstance(assessment.over_time, NotRun) else assessment.over_time


def _drawn(assessment: Assessment) -> set[str]:
    return {run.source for run in assessment.feature.runs}


def _first(assessment: Assessment) -> Iterator[Check]:
    """The first start from dry: whether what there is above the intake fills the stream and its gravel."""
    followed = _followed(assessment)
    if followed is None:
        return
    history = followed.history("first start")
    for body in (each for each in history.bodies if each.body in _drawn(assessment)):
        over = _off_by(followed, "first start", body, assessment.feature.body(body.body).intake.low.m)
        facts = (
            ("taken", history.taken_up_m3, "m3"),
            ("drop", body.begin_m - body.lowest_m, "m"),
            ("after", history.lasted_s, "s"),
            ("air", history.air_s or 0.0, "s"),
            ("under", max(-over.value, 0.0), "m"),
        )
        element = f"ponds/{body.body}"
        if history.air_s is not None:
            yield Check(element=element, severity=Severity.WATCH, facts=facts, text=_SUCKS)
        else:  # the hose that mends it is at hand
            text = _FIRST_UNDER if over.value < 0.0 else _FIRST_MAY_BE if over.low < 0.0 else ""
            yield Check(element=element, value=over, facts=facts, worst=Severity.WATCH, text=text)


def _lowest(assessment: Assessment) -> Iterator[Check]:
    """Started from rest, nothing topped up: the lowest that the intake sees, and when."""
    followed = _followed(assessment)
    if followed is None:
        return
    history = followed.history("start")
    for body in (each for each in history.bodies if each.body in _drawn(assessment)):
        low = assessment.feature.body(body.body).intake.low.m
        facts = (("drop", body.begin_m - body.lowest_m, "m"), ("after", body.lowest_s, "s"))
        over = _off_by(followed, "start", body, low)
        yield Check(element=f"ponds/{body.body}", value=over, facts=facts)


def _off_by(followed: OverTime, case: str, body: BodyRun, low_m: float) -> Band:
    """Lowest level over a level [m]; the drop may be as far off as water in transit is, and as far as it was followed
    to be at both ends of flow, crests, beds and gravel.
    """
    spread = default("transit.band").number * max(body.begin_m - body.lowest_m, 0.0)
    over = body.lowest_m - low_m
    found = followed.range_of(case, "lowest", f"ponds/{body.body}")
    ends = Band.exact(body.lowest_m) if found is None or found.level_m is None else found.level_m
    return Band(over, min(over - spread, ends.low - low_m), max(over + spread, ends.high - low_m))


def _back(assessment: Assessment) -> Iterator[Check]:
    """Stopped: what comes back, how high it stands and when."""
    followed = _followed(assessment)
    if followed is None:
        return
    for history in followed.histories:
        if history.case != "stop":
            continue
        for body in history.bodies:
            if body.highest_m - body.begin_m > _SEEN_M:
                facts: tuple[Fact, ...] = (
                    ("rise", body.highest_m - body.begin_m, "m"),
                    ("after", body.highest_s, "s"),
                    ("how", _HOW[history.holding], ""),
                )
                path = f"ponds/{body.body}"
                found = followed.range_of("stop", "highest", path, holding=history.holding)
                text = ""
                if found is not None and found.level_m is not None:
                    rises = (found.level_m.low - body.begin_m, found.level_m.high - body.begin_m)
                    facts = (*facts, ("least", rises[0], "m"), ("most", rises[1], "m"))
                    text = _BACK_RANGE if rises[1] - rises[0] > _TOLD_M else ""
                yield Check(element=path, severity=Severity.OK, facts=facts, text=text)


def _runs(assessment: Assessment) -> Iterator[Check]:
    """When each fall first runs, from dry and from rest."""
    followed = _followed(assessment)
    if followed is None:
        return
    from_rest = {fall.fall: fall.first_s for fall in followed.history("start").falls}
    unfed = () if isinstance(assessment.water, NotRun) else assessment.water.unfed
    for fall in followed.history("first start").falls:
        rest = from_rest[fall.fall]
        if fall.path in unfed:
            continue
        if rest is None:
            yield Check(element=fall.path, severity=Severity.WATCH, facts=(("after", _lasted(followed), "s"),))
        elif fall.first_s is None:
            yield Check(element=fall.path, severity=Severity.OK, facts=(("rest", rest, "s"),), text=_RUNS_FROM_REST)
        else:
            facts = (("dry", fall.first_s, "s"), ("rest", rest, "s"))
            ranges, text = _ranges(followed, fall.path)
            yield Check(element=fall.path, severity=Severity.OK, facts=(*facts, *ranges), text=text)


def _ranges(followed: OverTime, path: str) -> tuple[tuple[Fact, ...], str]:
    """Between which times a fall first runs from dry, and the text for it; nothing where that was not followed."""
    dry = followed.range_of("first start", "runs", path)
    if dry is None:
        return (), ""
    least, most = dry.time_s.low, dry.time_s.high
    if math.isinf(most):
        return (("dry_least", least, "s"),), _RUNS_OR_NEVER
    return (("dry_least", least, "s"), ("dry_most", most, "s")), _RUNS_RANGE


def _over(assessment: Assessment) -> Iterator[Check]:
    """Where water goes over a bank in what was followed: of each bed the first case in their order."""
    followed = _followed(assessment)
    if followed is None:
        return
    said: set[str] = set()
    for history in followed.histories:
        for over in history.over_banks:
            if over.path in said:
                continue
            said.add(over.path)
            then = _SUCKS_THEN if history.air_s is not None else ""
            facts = (
                ("case", _OVER_CASES.get(history.case, history.case), ""),
                ("after", over.first_s, "s"),
                ("lost", over.lost_m3, "m3"),
                ("air", history.air_s or 0.0, "s"),
            )
            severity = Severity.STOP if history.case in _ORDINARY else Severity.WATCH
            yield Check(element=over.path, severity=severity, facts=facts, text=_GOES_OVER + then)
    if not said and any(history.case == "leaf dam" for history in followed.histories):
        drop = max(body.begin_m - body.lowest_m for body in followed.history("leaf dam").bodies)
        yield Check(element=WHOLE, severity=Severity.OK, facts=(("drop", drop, "m"),))


def _lasted(followed: OverTime) -> float:
    return followed.history("start").lasted_s


def _fish(assessment: Assessment) -> Iterator[Check]:
    """If a stream leaves its liner: what depth is left in a pond, and what a cut-off would save."""
    followed = _followed(assessment)
    if followed is None:
        return
    for leak in followed.leaks:
        pond = assessment.feature.body(leak.body).kind is BodyKind.POND
        text = _LEFT + _trips(leak) + (_STILL_FILLED if leak.filled_while else "")
        if leak.air_s is None:
            text = _NEVER
        yield Check(
            element=f"ponds/{leak.body}",
            value=Band.exact(leak.depth_left_m) if pond else None,
            severity=None if pond else Severity.OK,
            facts=_of_leak(leak),
            text=text,
        )


def _trips(leak: Leak) -> str:
    """At which start the cut-off stops the pump as well, or may."""
    if leak.may_trip:
        return _ANY_START
    return _TRIPS if leak.trips_first else _MAY_TRIP if leak.may_trip_first else ""


def _of_leak(leak: Leak) -> tuple[tuple[str, float | str, str], ...]:
    return (
        ("after", leak.air_s or 0.0, "s"),
        ("depth", leak.depth_left_m, "m"),
        ("left", leak.left_m3, "m3"),
        ("lost", leak.lost_m3, "m3"),
        ("cut", leak.cut_off_s or 0.0, "s"),
        ("saved", leak.saved_m3, "m3"),
    )


def _dirty(assessment: Assessment) -> Iterator[Check]:
    """With a dirty intake: what still comes over each fall, told of the weakest."""
    followed = _followed(assessment)
    if followed is None:
        return
    usual = {fall.fall: fall.end_m3s for fall in followed.history("start").falls}
    shares = [
        (fall.end_m3s / usual[fall.fall], fall)
        for fall in followed.history("dirty intake").falls
        if usual[fall.fall] > 0.0
    ]
    if shares:
        share, fall = min(shares, key=lambda each: each[0])
        yield Check(
            element=fall.path, severity=Severity.OK, facts=(("share", share, "-"), ("flow", fall.end_m3s, "m3/s"))
        )


def _unsettled(assessment: Assessment) -> Iterator[Check]:
    """A start or a stop that was still under way when it was left."""
    followed = _followed(assessment)
    if followed is None:
        return
    for history in followed.histories:
        if not history.settled:
            facts = (("case", _CASES.get(history.case, history.case), ""), ("why", history.why, ""))
            yield Check(element=WHOLE, severity=Severity.WATCH, facts=facts)


def _unfollowed(assessment: Assessment) -> Iterator[Check]:
    """Nobody asked for it, or it is of another state of the feature."""
    made = assessment.over_time
    if isinstance(made, NotRun) and not isinstance(assessment.water, NotRun):
        yield Check(element=WHOLE, severity=Severity.WATCH, facts=(("why", made.reason.rstrip("."), ""),))


def _slow(assessment: Assessment) -> Iterator[Check]:
    followed = _followed(assessment)
    if followed is not None and followed.note:
        yield Check(element=WHOLE, severity=Severity.OK, facts=(("note", followed.note, ""),))


_HOW = {"at rest": "nothing topped up while it ran", "while running": "topped up while it ran"}
_SEEN_M = 5e-4  # less nobody sees
_TOLD_M = 5e-3  # a range no wider than that is not told
_CASES = {"leak": "a stream that leaves its liner"}
_ORDINARY = ("first start", "start", "restart", "power cut", "stop")
_OVER_CASES = {
    "half blocked": "With the stream half blocked",
    "stop, half blocked": "Stopped with the stream half blocked",
    "leaf dam": "With leaves caught on every crest",
    "dirty intake": "With a dirty intake",
    "first start": "Started dry",
    "start": "Started at rest",
    "restart": "Started again after a power cut",
    "stop": "Stopped",
    "power cut": "With the power cut",
}
_GOES_OVER = (
    "{case}, the water of {name} goes over its bank after {after} and leaves its liner, {lost} in the time followed."
)
_SUCKS_THEN = " The pump sucks air after {air}."
_BACK_RANGE = (
    "Stopped, {how}, the water of {name} rises {rise} ({least} to {most}) and stands highest {after} after the stop."
)
_RUNS_RANGE = (
    "Water first comes over {name} {dry} ({dry_least} to {dry_most}) after the first start from dry, {rest} after a "
    "start at rest."
)
_RUNS_OR_NEVER = (
    "Water first comes over {name} {dry} after the first start from dry, {dry_least} at the least, and {rest} after a "
    "start at rest; at the low end of what the pump brings it may not come from dry."
)
_RUNS_FROM_REST = "Water first comes over {name} {rest} after the pump is switched on at rest."
_LEFT = (
    "If the stream leaves its liner, the pump sucks air after {after}; {depth} of water stand in {name} then, {left}. "
    "A low-water cut-off would stop the pump after {cut} and keep {saved} more."
)
_TRIPS = " Fill the pools by hose before the first start, or that cut-off trips then."
_MAY_TRIP = " Fill the pools by hose before the first start: that cut-off may trip then."
_ANY_START = (
    " There is little room between the lowest level of a start and where the pump sucks air: that cut-off may trip at "
    "any start. Set it by eye, below the lowest level that the first starts show."
)
_SUCKS = "Started dry, the pump sucks air after {air}: stream and gravel take more than stands above {name}'s intake."
_FIRST_UNDER = (
    "In a start from dry the stream and its gravel take up {taken}; the water of {name} falls {drop}, {under} below "
    "the lowest level of its intake."
)
_FIRST_MAY_BE = (
    "In a start from dry the stream and its gravel take up {taken}; the water of {name} falls {drop}, to {value} above "
    "the lowest level of its intake. They may take up so much more that it falls below that."
)
_STILL_FILLED = " What tops it up goes on filling all that time, unless that is shut off too."
_NEVER = "If the stream leaves its liner, the pump does not suck air in the time that was followed; {lost} leave."

FIRST = Rule(
    code="start.first",
    area="over time",
    title="What stands above the intake fills the stream at its first start",
    well="Started dry, the stream and its gravel take up {taken} in {after}; the water of {name} falls {drop} by then "
    "and stays {range} above the lowest level of its intake.",
    ill="In a start from dry the stream and its gravel take up {taken}; the water of {name} falls {drop} and stays "
    "only {range} above the lowest level of its intake; {good} is wanted.",
    remedy="Fill the stream's pools by hose before the first start, and let the hose run until the last fall does.",
    find=_first,
    source="audusse-2004",
    limits=("intake.band",),
    likely="too low",
)
LOWEST = Rule(
    code="start.lowest",
    area="over time",
    title="While it starts the water stays above the lowest level of the intake",
    well="Started at rest, the water of {name} falls {drop} in {after} and stays {range} above its intake's lowest.",
    ill=(
        "In the first {after} of a start at rest the water of {name} falls {drop} and stays only {range} above the "
        "lowest level of its intake; {good} is wanted."
    ),
    remedy="Make the pond larger or the stream's pools smaller, lower the intake, or top up while it starts.",
    find=_lowest,
    limits=("intake.band",),
    likely="too low",
)
BACK = Rule(
    code="stop.back",
    area="over time",
    title="How high the water stands after a stop, and when",
    well="Stopped, {how}, the water of {name} rises {rise} and stands highest {after} after the stop.",
    ill="Stopped, {how}, the water of {name} rises {rise} and stands highest {after} after the stop.",
    remedy="Nothing is to be done.",
    find=_back,
    source="audusse-2004",
)
RUNS = Rule(
    code="start.runs",
    area="over time",
    title="When each fall first runs",
    well="Water first comes over {name} {dry} after the first start from dry, {rest} after a start at rest.",
    ill="No water came over {name} in the {after} for which a start was followed.",
    remedy="Look at the seal under the stone, at its level, and at the flow that reaches it.",
    find=_runs,
    source="audusse-2004",
)
OVER = Rule(
    code="start.over",
    area="over time",
    title="In every start, stop and fault the water stays between its banks",
    well="In every start, stop and fault that was followed the water stays on its liner; leaves caught on every crest "
    "lower the pond by {drop} more.",
    ill="The water of {name} goes over its bank.",
    remedy="Raise the bank there, widen or lower the next crest, or bring less water; keep the crests free of leaves.",
    find=_over,
    source="audusse-2004",
)
FISH = Rule(
    code="leak.depth",
    area="over time",
    title="Depth that stays for fish if the stream leaves its liner",
    well=_LEFT,
    ill=_LEFT,
    remedy="Fit a low-water cut-off just below the running level, or raise the level at which the pump sucks air.",
    find=_fish,
    limits=("pond.depth_left",),
)
DIRTY = Rule(
    code="dirty.flow",
    area="over time",
    title="What still comes over the falls when the intake is dirty",
    well="With a dirty intake {flow} still comes over {name}, {share} of what is usual.",
    ill="With a dirty intake {flow} still comes over {name}, {share} of what is usual.",
    remedy="Clean the intake.",
    find=_dirty,
)
UNSETTLED = Rule(
    code="followed.short",
    area="over time",
    title="Each start and stop was followed to its end",
    well="",
    ill="Not followed to its end: {case} ({why}).",
    remedy="Look at the history: something fills or drains very slowly there.",
    find=_unsettled,
    weight=Weight.UNCHECKED,
)
UNFOLLOWED = Rule(
    code="unchecked.time",
    area="not checked",
    title="Not checked: starts, stops and faults over time",
    well="",
    ill="Not checked: what the water does at start, at stop and when something goes wrong ({why}).",
    remedy="Ask for the full check: it takes some seconds.",
    find=_unfollowed,
    weight=Weight.UNCHECKED,
)
SLOW = Rule(
    code="followed.slowly",
    area="over time",
    title="With what the steps over time were taken",
    well="What the water does over time took long: {note}.",
    ill="What the water does over time took long: {note}.",
    remedy="Install numba.",
    find=_slow,
)
