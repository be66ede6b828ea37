"""Rules on the readings of the fill meter: how far from the drawing, and whether they can all be right."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rillwright.assessment import Assessment, MeterDoubt, Metered, NotRun, Severity
from rillwright.findings.rule import Check, Fact, Rule
from rillwright.units import Band


def _metered(assessment: Assessment) -> Iterator[Check]:
    """The reading of each body that is furthest from its drawing, and whether its volumes go by the meter."""
    if isinstance(assessment.water, NotRun):
        return
    worst: dict[str, tuple[float, Metered]] = {}
    for row in assessment.water.metered:
        share = abs(row.meter_m3 / row.worked_out_m3 - 1.0) if row.worked_out_m3 > 0.0 else math.inf
        if row.meter_m3 > 0.0 and (row.body not in worst or share > worst[row.body][0]):
            worst[row.body] = share, row
    for body, (share, row) in worst.items():
        used = [each.level_m for each in assessment.water.metered if each.body == body and each.used]
        facts: tuple[Fact, ...] = (("meter", row.meter_m3, "m3"), ("computed", row.worked_out_m3, "m3"))
        if used:
            facts = (*facts, ("span", max(used) - min(used), "m"))
        value = Band.exact(min(share, _MOST_SHARE))
        yield Check(
            element=f"ponds/{body}",
            value=value,
            facts=facts,
            text=_BY_METER if used else "",
            remedy=_DRAWING if used else "",
        )


def _readings(assessment: Assessment) -> Iterator[Check]:
    """Bodies of whose readings one is not believed, and those of which all are."""
    if isinstance(assessment.water, NotRun) or isinstance(assessment.shape, NotRun):
        return
    for body in dict.fromkeys(row.body for row in assessment.water.metered):
        rows = [row for row in assessment.water.metered if row.body == body]
        doubted = sorted((row for row in rows if row.doubt), key=lambda row: (row.level_m, row.meter_m3))
        if doubted:
            yield _doubted(doubted, assessment.shape.pond(body).floor_m)
        elif len(rows) > 1:
            yield Check(element=f"ponds/{body}", severity=Severity.OK)


def _doubted(rows: list[Metered], floor_m: float) -> Check:
    """The doubt for which no reading of a body is taken, else the first."""
    told = next((row for row in rows if row.doubt in _NONE_TAKEN), rows[0])
    beside = next((row for row in rows if row is not told and row.doubt == told.doubt), told)
    facts = (
        ("meter", told.meter_m3, "m3"),
        ("deep", abs(told.level_m - floor_m), "m"),
        ("other", beside.meter_m3, "m3"),
        ("higher", abs(beside.level_m - floor_m), "m"),
        ("computed", told.worked_out_m3, "m3"),
    )
    text = _APART if told.doubt is MeterDoubt.BEYOND and beside is told else _TEXTS[told.doubt or MeterDoubt.UNDER]
    return Check(element=f"ponds/{told.body}", severity=Severity.WATCH, facts=facts, text=text)


_MOST_SHARE = 10.0  # what a drawing without any water there is off
_NONE_TAKEN = (MeterDoubt.NOT_RISING, MeterDoubt.BEYOND)
_DRAWN = " No reading is taken: its volumes are those of its drawing."
_BY_METER = (
    "The volumes of {name} go by the fill meter, read over {span} of level; beyond that its drawing is joined on. "
    "Where the two are furthest apart the meter has {meter} and the drawing {computed}, {value} off."
)
_DRAWING = "Tape the pond again, or look for stone and gravel that nobody counted: liner and hole are by its drawing."
_APART = (
    "The fill meter of {name} reads {meter} with {deep} of water over its floor, where its drawing has {computed}: too "
    "far apart." + _DRAWN
)
_TEXTS = {
    MeterDoubt.NOT_RISING: "Two readings of the fill meter of {name} contradict each other: {meter} with {deep} of "
    "water over its floor, {other} with {higher}." + _DRAWN,
    MeterDoubt.BEYOND: "The fill meter of {name} reads {meter} with {deep} of water over its floor and {other} with "
    "{higher}: there is not that much room between." + _DRAWN,
    MeterDoubt.UNDER: "The fill meter reads {meter} with the water {deep} below the floor of {name} as drawn; that "
    "reading is left out.",
    MeterDoubt.EMPTY: "The fill meter reads nothing with {deep} of water over the floor of {name} as drawn; that "
    "reading is left out.",
}
METERED = Rule(
    code="volume.metered",
    area="balance",
    title="The fill meter agrees with the volume worked out",
    well="By the meter {name} holds {meter}, within {good} of the {computed} worked out for that level.",
    ill="By the meter {name} holds {meter}; worked out for that level are {computed}, {value} off.",
    remedy="Go by the meter for doses, and read it every inch of the fill: two readings or more stand for the volumes "
    "of the drawing. Tape the pond again, or look for stone and gravel that nobody counted.",
    find=_metered,
    limits=("filled.share",),
)
READINGS = Rule(
    code="volume.readings",
    area="balance",
    title="Readings of the fill meter rise with the water",
    well="Every reading of the fill meter of {name} rises with the water.",
    ill="Readings of the fill meter of {name} cannot all be right.",
    remedy="Look at the note again: a slipped figure, another unit, a level of another set-up. Correct the reading or "
    "take it out.",
    find=_readings,
)
