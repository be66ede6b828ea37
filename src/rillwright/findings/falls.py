"""Rules on how the height is spent."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rillwright.assessment import Assessment, Fall, NotRun, Severity, Stream
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.sources import default
from rillwright.units import Band


def fall_height(assessment: Assessment, fall: Fall) -> Band | None:
    """Crest less the water below it [m], running where that was worked out, else at rest; None where neither was."""
    if not isinstance(assessment.water, NotRun):
        return next((crest.fall_height_m for crest in assessment.water.crests if crest.fall == fall.id), None)
    if isinstance(assessment.shape, NotRun):
        return None
    for budget in assessment.shape.budgets:
        for step in budget.steps:
            if step.path == f"falls/{fall.id}" and step.fall_height_m is not None:
                return Band.exact(step.fall_height_m)
    return None


def _last(assessment: Assessment) -> Iterator[Check]:
    for stream in assessment.feature.streams:
        last = stream.falls[-1] if stream.falls else None
        if last is None or last.wished_ripple or stream.joins is not None:
            continue  # no fall was wished for, or it is not the one that all look at
        height = fall_height(assessment, last)
        if height is not None:
            covered = assessment.feature.body(stream.into).cover_m is not None and last is stream.links[-1]
            onto = "the cover of its reservoir" if covered else "the running water"
            facts = (("stream", stream.id, ""), ("under", max(-height.value, 0.0), "m"), ("onto", onto, ""))
            yield Check(
                element=f"falls/{last.id}", value=height, facts=facts, text=_NO_FALL if height.value < 0.0 else ""
            )


def _ripples(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.shape, NotRun):
        return
    streams = [stream for stream in assessment.feature.streams if stream.falls and stream.joins is None]
    lasts = {f"falls/{stream.falls[-1].id}": stream.falls[-1] for stream in streams}
    for budget in assessment.shape.budgets:
        for step in budget.steps:
            if step.kind == "ripple":
                last = lasts.get(step.path)
                seen = fall_height(assessment, last) if last is not None else None
                height_m = step.spent_m if seen is None else seen.value  # the last one as it is seen over the pond
                yield Check(element=step.path, value=Band.exact(height_m))


def _descend(assessment: Assessment) -> Iterator[Check]:
    for stream in assessment.feature.streams:
        for above, below in pairwise(stream.falls):
            yield _above(above, above.crest.m - below.crest.m, f"the crest of fall {below.id}")
        if stream.falls:
            yield _into(assessment, stream, stream.falls[-1])


def _into(assessment: Assessment, stream: Stream, last: Fall) -> Check:
    bed = assessment.feature.joined(stream)
    next_down = next((fall for fall in assessment.feature.falls if bed and fall.upstream == bed.downstream), None)
    if next_down is not None:
        return _above(last, last.crest.m - next_down.crest.m, f"the crest of fall {next_down.id}")
    water = assessment.feature.body(stream.into).waterline.m
    return _above(last, last.crest.m - water, f"the waterline of {stream.into}")


def _above(fall: Fall, high_m: float, below: str) -> Check:
    facts = (("below", below, ""), ("under", max(-high_m, 0.0), "m"))
    text = _UPHILL if high_m < 0.0 else ""
    return Check(element=f"falls/{fall.id}", value=Band.exact(high_m), facts=facts, text=text)


def _spent(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.shape, NotRun):
        return
    for budget in assessment.shape.budgets:
        uphill = min((step.spent_m for step in budget.steps[-1:] if step.kind != "bed"), default=0.0)
        left = budget.left_over_m + min(uphill, 0.0)  # a last fall that takes what is left may take less than nothing
        none = budget.height_m <= 0.0
        left = min(left, budget.height_m) if none else left
        facts = (
            ("height", budget.height_m, "m"),
            ("short", max(-left, 0.0), "m"),
            ("under", max(-budget.height_m, 0.0), "m"),
        )
        text = _NO_HEIGHT if none else "" if round(left, 9) else _ALL_SPENT
        yield Check(
            element=f"streams/{budget.stream}",
            value=Band.exact(left if round(left, 9) or not none else -_LEAST_M),
            facts=facts,
            text=text,
            remedy=_RAISE if none else "",
        )


def _berms(assessment: Assessment) -> Iterator[Check]:
    for body in assessment.feature.bodies:
        for rim in body.rims:
            yield Check(element=f"rims/{rim.id}", value=Band.exact(rim.berm_m), facts=(("pond", body.id, ""),))


def _head(assessment: Assessment) -> Iterator[Check]:
    for stream in assessment.feature.streams:
        if stream.head_ground is not None:
            built = max(stream.head.m - stream.head_ground.m, 0.0)
            yield Check(element=f"streams/{stream.id}", value=Band.exact(built))


def _bed_fill(assessment: Assessment) -> Iterator[Check]:
    """Only over ground that is known: of a guess nothing is judged."""
    if isinstance(assessment.earth, NotRun):
        return
    share = default("pond.settlement").number
    for fill in assessment.earth.fills:
        facts = (("station", fill.station_m, "m"), ("settles", share * fill.high_m, "m"))
        yield Check(element=fill.path, value=Band.exact(fill.high_m), facts=facts)


def _bed_ground(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.earth, NotRun):
        return
    for gap in assessment.earth.gaps:
        whole = gap.from_m == 0.0 and gap.to_m >= assessment.feature.stream(gap.stream).length_m
        text = (_AT_HEAD if gap.head_known else _NOWHERE) if whole else ""
        facts = (("from", gap.from_m, "m"), ("to", gap.to_m, "m"))
        yield Check(element=f"streams/{gap.stream}", severity=Severity.WATCH, facts=facts, text=text)


_AT_HEAD = (
    "The ground under {name} is known at its head alone: whether its beds lie on fill, and how high, is not known."
)
_NOWHERE = "The ground under {name} is known nowhere: whether its beds lie on fill, and how high, is not known."
_LEAST_M = 1e-6  # a head just at the water has no height either
_NO_FALL = "The last fall of stream {stream}, {name}, cannot fall: its crest lies {under} below {onto}."
_UPHILL = "The crest of {name} lies {under} below {below}: the stream runs uphill there."
_ALL_SPENT = "The falls and beds of {name} spend the height there is, {height}, to nothing left over."
_NO_HEIGHT = "There is no height: the head of {name} lies {under} below the held water."
_RAISE = "Begin the stream on higher ground, build its head up, or hold the water lower: water runs downhill alone."
LAST = Rule(
    code="fall.last",
    area="falls",
    title="The last fall is high enough",
    well="The last fall of stream {stream}, {name}, drops {range} to {onto}; {good} is wanted.",
    ill="The last fall of stream {stream}, {name}, drops {range} to {onto}; {good} is wanted, {bad} is the least.",
    remedy="Spend less height above it: fewer or lower ripples, flatter beds, or a higher stream head.",
    find=_last,
    likely="too low",
    limits=("falls.last",),
)
RIPPLE_LOW = Rule(
    code="ripple.low",
    area="falls",
    title="A ripple is high enough to be seen",
    well="Ripple {name} drops {value}, enough to be seen and heard.",
    ill="Ripple {name} drops {value}; below {good} it is hardly seen or heard.",
    remedy="Make it {good}, or leave it out and give its height to the last fall.",
    find=_ripples,
    limits=("falls.ripple_low",),
)
RIPPLE_HIGH = Rule(
    code="ripple.high",
    area="falls",
    title="A ripple is low enough to save height",
    well="Ripple {name} drops {value}, no more than a ripple needs.",
    ill="Ripple {name} drops {value}; above {good} it reads as a fall and spends height that the last fall wants.",
    remedy="Lower it to {good}, or call it a fall.",
    find=_ripples,
    limits=("falls.ripple_high",),
)
DESCEND = Rule(
    code="falls.uphill",
    area="falls",
    title="Each crest lies below the one before it",
    well="The crest of {name} stands {value} above {below}.",
    ill="The crest of {name} stands {value} above {below}: the stream runs uphill there.",
    remedy="Lower the next crest or raise this one, until water can only go on downwards.",
    find=_descend,
    limits=("falls.descend",),
)
SPENT = Rule(
    code="height.short",
    area="falls",
    title="Falls and beds spend no more height than there is",
    well="The falls and beds of {name} fit the height there is, {height}; {value} is left over.",
    ill="The falls and beds of {name} spend {short} more than the height there is, {height}.",
    remedy="Give up {short}: a lower or fewer drops, flatter beds, a higher stream head or a lower waterline.",
    find=_spent,
    limits=("height.left_over",),
)
BERM = Rule(
    code="berm.high",
    area="falls",
    title="A berm is no higher than can be built",
    well="The berm at {name} is {value} high, within the {good} that is easily built.",
    ill="The berm at {name} is {value} high; {good} is easily built, {bad} is much.",
    remedy="Lower the waterline, move the pond away from the low side, or have the berm built in "
    "rolled layers as a bank.",
    find=_berms,
    limits=("falls.berm_height",),
)
HEAD = Rule(
    code="head.high",
    area="falls",
    title="The stream head is not built up too high",
    well="The head of {name} is built up {value} above the ground, within {good}.",
    ill="The head of {name} is built up {value} above the ground; {good} is easily built, {bad} is much.",
    remedy="Begin the stream lower, or on higher ground; built ground settles and looks heaped.",
    find=_head,
    limits=("falls.berm_height",),
)
BED_GROUND = Rule(
    code="bed.unread",
    area="falls",
    title="The ground under a stream is known",
    well="",
    ill="The ground under {name} is not known from {from} to {to} along it: whether its beds lie on fill there, and "
    "how high, is not known.",
    remedy="Read the ground along the stream's line, at each fall and at the pond, with its place.",
    find=_bed_ground,
    weight=Weight.UNSAID,
)
BED_FILL = Rule(
    code="bed.fill",
    area="falls",
    title="A bed lies on no more fill than can be built",
    well="Under {name} the ground is built up {value}, {station} along the stream, within {good}.",
    ill="Under {name} the ground is built up {value}, {station} along the stream; it settles about {settles}, and "
    "crests on it tilt. {good} is easily built, {bad} is much.",
    remedy="Lead the stream where the ground is higher, begin it lower or spend more height above; else build the fill "
    "in layers of a hand's breadth, each trodden hard, wider than the banks, and let it settle before stone is set.",
    find=_bed_fill,
    limits=("falls.bed_fill",),
)
