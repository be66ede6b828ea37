"""Rules on what the stream takes from its pond at start and gives back at stop."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rillwright.assessment import MONTHS, Assessment, BodyKind, IntakeKind, NotRun, PondShape, Severity
from rillwright.findings.rule import Check, Rule, Weight
from rillwright.units import Band


def _dry(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for balance in assessment.water.balances:
        over = balance.running_level_m.shift(-balance.intake_low_m)
        text = "" if over.value >= 0.0 else _UNDER
        facts = (
            ("drop", balance.drop_at_start_m.value, "m"),
            ("holding", balance.holding, ""),
            ("under", max(-over.value, 0.0), "m"),
        )
        yield Check(element=f"ponds/{balance.body}", value=over, facts=facts, text=text)


def _drowned(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for balance in assessment.water.balances:
        if assessment.feature.body(balance.body).intake.kind is IntakeKind.SKIMMER:
            room = Band.exact(balance.intake_high_m) - balance.stop_level_m
            facts = (("holding", balance.holding, ""), ("over", max(-room.value, 0.0), "m"))
            yield Check(
                element=f"ponds/{balance.body}",
                value=room,
                worst=Severity.WATCH,  # a drowned skimmer skims no more, and that is all
                facts=facts,
                text="" if room.value >= 0.0 else _OVER,
            )


def _left(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun) or isinstance(assessment.shape, NotRun):
        return
    for balance in assessment.water.balances:
        if assessment.feature.body(balance.body).kind is not BodyKind.POND or balance.left_if_stream_leaks_m is None:
            continue
        shape = assessment.shape.pond(balance.body)
        if shape.volume_m3 > 0.0:
            left = stored_below(shape, balance.left_if_stream_leaks_m)
            share = min(max(left / shape.volume_m3, 0.0), 1.0)
            yield Check(element=f"ponds/{balance.body}", value=Band.exact(share), facts=(("left", left, "m3"),))


def _bare(assessment: Assessment) -> Iterator[Check]:
    """By the person's own climate."""
    yield from _bared(assessment, said=True)


def _bare_unsaid(assessment: Assessment) -> Iterator[Check]:
    """By a usual dry day, where nobody gave a climate."""
    yield from _bared(assessment, said=False)


def _bared(assessment: Assessment, *, said: bool) -> Iterator[Check]:
    """Where a float valve makes up what is lost, the level does not fall and nothing is laid bare."""
    if isinstance(assessment.water, NotRun):
        return
    for loss in assessment.water.losses:
        if assessment.feature.body(loss.body).kind is not BodyKind.POND or (loss.dry_month is not None) is not said:
            continue
        when = "a dry week" if loss.dry_month is None else f"a dry week in {MONTHS[loss.dry_month - 1]}"
        facts = (("when", when, ""), ("day", loss.day_m3.value, "m3"))
        element = f"ponds/{loss.body}"
        if assessment.feature.supply.float_valve:
            yield Check(element=element, severity=Severity.OK, facts=facts, text=_KEPT_UP)
        else:
            yield Check(element=element, value=loss.week_drop_m, facts=facts)


def _supply(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for loss in assessment.water.losses:
        if loss.hose_share is not None and loss.fill_s is not None:
            soon, late = (_DAY_S * share for share in (loss.hose_share.low, loss.hose_share.high))
            facts = (
                ("day", loss.day_m3.value, "m3"),
                ("fill", loss.fill_s, "s"),
                ("soonest", soon, "s"),
                ("latest", late, "s"),
            )
            yield Check(element=f"ponds/{loss.body}", value=loss.hose_share, facts=facts)


def _rain(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for rain in assessment.water.rains:
        over = 0.0 if rain.overflow_head_m is None else rain.overflow_head_m.value
        facts = (
            ("rain", rain.rain_m, "m"),
            ("caught", rain.caught_m3, "m3"),
            ("rise", rain.rise_m, "m"),
            ("over", over, "m"),
        )
        severity = Severity.WATCH if rain.overflow_head_m is None else Severity.OK
        yield Check(element=f"ponds/{rain.body}", severity=severity, facts=facts)


def _clears(assessment: Assessment) -> Iterator[Check]:
    if isinstance(assessment.water, NotRun):
        return
    for clearing in assessment.water.clearings:
        facts = (("soonest", clearing.time_s.low, "s"), ("latest", clearing.time_s.high, "s"))
        yield Check(element=f"ponds/{clearing.body}", severity=Severity.OK, facts=facts)


def stored_below(shape: PondShape, level_m: float) -> float:
    """Water of a body below a level [m], straight between the levels that were worked out [m3]."""
    rows = shape.storage
    if not rows or level_m <= rows[0][0]:
        return 0.0
    for (low, _, below), (high, _, above) in pairwise(rows):
        if level_m <= high:
            return below + (above - below) * (level_m - low) / (high - low)
    return rows[-1][2]


_DAY_S = 86400.0
_UNDER = (
    "Running, and topped up {holding}, the water of {name} falls {under} below the lowest level "
    "at which its intake works."
)
_OVER = "Stopped, and topped up {holding}, the water of {name} rises {over} above the highest level for its skimmer."
_KEPT_UP = "A float valve makes up what {name} loses, about {day} on a dry day: no liner is laid bare."
DRY = Rule(
    code="intake.dry",
    area="balance",
    title="The running level stays above the lowest level of the intake",
    well="Running, the water of {name} stays {range} above the lowest level of its intake; it drops {drop} at start.",
    ill=(
        "Running, and topped up {holding}, the water of {name} stays only {range} above the lowest "
        "level of its intake; "
        "{good} is wanted."
    ),
    remedy="Make the pond larger or the stream's pools smaller, lower the intake, or top up while running.",
    find=_dry,
    likely="too low",
    limits=("intake.band",),
)
DROWNED = Rule(
    code="intake.drowned",
    area="balance",
    title="The stopped level stays below the highest level of the skimmer",
    well="Stopped, the water of {name} stays {range} below the highest level for its skimmer.",
    ill="Stopped, and topped up {holding}, the water of {name} stays only {range} below the highest level for its "
    "skimmer; {good} is wanted.",
    remedy="Make the pond larger or the stream's pools smaller, or set the skimmer higher.",
    find=_drowned,
    likely="too high",
    limits=("intake.band",),
)
LEFT = Rule(
    code="pond.left",
    area="balance",
    title="Enough water stays if the stream leaves its liner",
    well="If the stream leaves its liner, the pump leaves {left} in {name}, {value} of its water.",
    ill="If the stream leaves its liner, the pump leaves only {left} in {name}, {value} of its "
    "water; {good} is wanted.",
    remedy="Raise the lowest level at which the pump draws, or fit a low-water cut-off.",
    find=_left,
    limits=("pond.left_share",),
)
BARE = Rule(
    code="liner.bare",
    area="balance",
    title="A dry week lays no liner bare",
    well="In {when} that nobody tops up, {name} falls {range}; edge stone hides {good}. A dry day takes about {day}.",
    ill="In {when} that nobody tops up, {name} falls {range}; above {good} liner shows. A dry day takes about {day}.",
    remedy="Let edge stone reach lower, fit a float valve with backflow protection by local code, or top up by hose.",
    find=_bare,
    likely="too far",
    limits=("bare.liner",),
    source="mcmahon-2013",
)
BARE_UNSAID = Rule(
    code="liner.usual",
    area="balance",
    title="A usual dry week lays no liner bare",
    well="In {when} that nobody tops up, {name} falls {range}, as is usual; edge stone hides {good}.",
    ill="In {when} that nobody tops up, {name} falls {range}, as is usual; above {good} liner shows. A dry day takes "
    "about {day}.",
    remedy="Give the months of your own climate; let edge stone reach lower, or say how it is topped up.",
    find=_bare_unsaid,
    likely="too far",
    limits=("bare.liner",),
    weight=Weight.UNSAID,
)
SUPPLY = Rule(
    code="supply.small",
    area="balance",
    title="The supply makes up what is lost",
    well="The supply makes up a dry day of {name}, about {day}, in {soonest} to {latest}, and fills it in {fill}.",
    ill="The supply takes {soonest} to {latest} to make up a dry day of {name}, about {day}; it fills it in {fill}.",
    remedy="Take a larger supply; protect it against backflow by local code.",
    find=_supply,
    limits=("hose.share",),
)
RAIN = Rule(
    code="rain.overflow",
    area="balance",
    title="The heaviest rain finds its way out",
    well="{rain} of rain brings {caught} to {name}; at its heaviest it stands {over} over the sill of the overflow.",
    ill="{rain} of rain brings {caught} to {name} and raises it {rise}; no overflow lets it out.",
    remedy="Make an overflow below the lowest rim, led to where water may go by local code.",
    find=_rain,
)
CLEARS = Rule(
    code="water.cloudy",
    area="balance",
    title="Silt of the build settles",
    well="With the pump on, {name} clears of silt in {soonest} to {latest}; green water is another matter.",
    ill="Silt stays in the water of {name} for {soonest} to {latest}.",
    remedy="Run the pump, wash the stone before it goes in, clean the intake each day until it is clear.",
    find=_clears,
    source="ferguson-church-2004",
)
