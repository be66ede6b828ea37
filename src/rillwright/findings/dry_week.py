"""A dry week and then a start: whether the water stays above the intake when nobody tops it up."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import MONTHS, Assessment, NotRun, Severity
from rillwright.findings.rule import Check, Rule
from rillwright.units import Band


def _week(assessment: Assessment) -> Iterator[Check]:
    """What a dry week takes comes on top of what the stream takes at start; topping up mends it, so it is no `stop`."""
    if isinstance(assessment.water, NotRun):
        return
    balances = {balance.body: balance for balance in assessment.water.balances}
    for loss in assessment.water.losses:
        balance = balances.get(loss.body)
        if balance is None or loss.week_drop_m.value <= 0.0:
            continue
        element = f"ponds/{loss.body}"
        over = Band.exact(balance.held_m - balance.intake_low_m) - balance.drop_at_start_m - loss.week_drop_m
        facts = (
            ("when", "a dry week" if loss.dry_month is None else f"a dry week in {MONTHS[loss.dry_month - 1]}", ""),
            ("week", loss.week_drop_m.value, "m"),
            ("drop", balance.drop_at_start_m.value, "m"),
            ("under", max(-over.value, 0.0), "m"),
        )
        if assessment.feature.supply.float_valve:
            yield Check(element=element, severity=Severity.OK, facts=facts, text=_KEPT_UP)
        else:
            text = _UNDER if over.value < 0.0 else _MAY_BE_UNDER if over.low < 0.0 else ""
            yield Check(element=element, value=over, facts=facts, worst=Severity.WATCH, text=text)


_KEPT_UP = "A float valve makes up what {name} loses: no dry week comes on top of what the stream takes at start."
_UNDER = (
    "In {when} that nobody tops up the water of {name} falls {week}, and at the next start another {drop}: {under} "
    "below the lowest level of its intake."
)
_MAY_BE_UNDER = (
    "In {when} that nobody tops up the water of {name} falls {week}, and at the next start another {drop}: {value} are "
    "left above the lowest level of its intake, and in some weeks nothing is."
)
WEEK = Rule(
    code="intake.week",
    area="balance",
    title="After a dry week the water still stays above the lowest level of the intake at start",
    well="In {when} that nobody tops up the water of {name} falls {week}, and at the next start another {drop}: it "
    "still stays {range} above the lowest level of its intake.",
    ill="In {when} that nobody tops up the water of {name} falls {week}, and at the next start another {drop}: it "
    "stays only {range} above the lowest level of its intake; {good} is wanted.",
    remedy="Top up at least every few days in dry weather, or fit a float valve; or lower the intake.",
    find=_week,
    likely="too low",
    limits=("intake.band",),
)
