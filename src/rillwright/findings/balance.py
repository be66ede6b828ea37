"""Rules on what the stream takes from its pond at start and gives back at stop."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from rillwright.assessment import Assessment, BodyKind, IntakeKind, NotRun, PondShape
from rillwright.findings.rule import Check, Rule
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
                element=f"ponds/{balance.body}", value=room, facts=facts, text="" if room.value >= 0.0 else _OVER
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


def stored_below(shape: PondShape, level_m: float) -> float:
    """Water of a body below a level [m], straight between the levels that were worked out [m3]."""
    rows = shape.storage
    if not rows or level_m <= rows[0][0]:
        return 0.0
    for (low, _, below), (high, _, above) in pairwise(rows):
        if level_m <= high:
            return below + (above - below) * (level_m - low) / (high - low)
    return rows[-1][2]


_UNDER = (
    "Running, and topped up {holding}, the water of {name} falls {under} below the lowest level "
    "at which its intake works."
)
_OVER = "Stopped, and topped up {holding}, the water of {name} rises {over} above the highest level for its skimmer."
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
