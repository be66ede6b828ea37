"""The rule on streams that run into a bed of another."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, NotRun, Severity, Stream
from rillwright.findings.rule import Check, Fact, Rule
from rillwright.findings.words import named

_KINDS = ("ends short of it", "runs on across it", "comes in at a stone")


def _joins(assessment: Assessment) -> Iterator[Check]:
    """Each stream that joins another: whether its path ends at the side of that bed, and what runs on from there."""
    if isinstance(assessment.surface, NotRun):
        return
    faults = {fault.path: fault for fault in assessment.surface.plan_faults if fault.kind in _KINDS}
    for stream in assessment.feature.streams:
        if stream.joins is None:
            continue
        path = f"streams/{stream.id}"
        bed = named(f"reaches/{stream.joins.reach}")
        facts: list[Fact] = [("bed", bed, ""), ("other", named(f"streams/{stream.joins.stream}"), "")]
        facts.append(("station", stream.joins.station_m, "m"))
        fault = faults.get(path)
        if fault is None:
            flows = _flows(assessment, stream)
            text = _WELL_WITH_FLOW if flows else ""
            yield Check(element=path, severity=Severity.OK, facts=(*facts, *flows), text=text)
            continue
        place: tuple[Fact, ...] = (("size", fault.size_m, "m"), ("x", fault.at[0], "m"), ("y", fault.at[1], "m"))
        facts.append(("stone", named(fault.other), ""))
        text = _TEXTS[fault.kind]
        yield Check(element=path, severity=Severity.WATCH, facts=(*facts, *place), text=text)


def _flows(assessment: Assessment, stream: Stream) -> tuple[Fact, ...]:
    """What comes in by the stream and what runs in the bed it joins, the two together."""
    if isinstance(assessment.water, NotRun) or stream.joins is None:
        return ()
    flows = {reach.reach: reach.flow_m3s.value for reach in assessment.water.reaches}
    return (
        ("own", flows[stream.reaches[-1].id], "m3/s"),
        ("both", flows[stream.joins.reach], "m3/s"),
    )


_WELL = "{name} runs into {bed} of {other}, {station} from the head of that."
_WELL_WITH_FLOW = (
    "{name} brings {own} into {bed} of {other}, {station} from the head of that; with it {both} runs in that bed and "
    "on from there."
)
_SHORT = "{name} ends {size} short of the liner's edge of {bed}, into which it runs, at x {x}, y {y}."
_ACROSS = "{name} runs on for {size} across {bed}: its last stone would stand in the water of {other}."
_STONE = (
    "{name} comes in beside the spill stone of {stone}, where {other} has its face, not its bed: its own last stone "
    "would stand over that drop."
)
_TEXTS = dict(zip(_KINDS, (_SHORT, _ACROSS, _STONE), strict=True))
JOINS = Rule(
    code="stream.joins",
    area="stream",
    title="A stream that joins another ends at the side of its bed",
    well=_WELL,
    ill=_SHORT,
    remedy="End its path at the side of that bed, above its spill stone; or mend the path of {other}.",
    find=_joins,
)
