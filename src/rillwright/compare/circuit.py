"""Pump and pond: the point at which the pump works, the drop at start, the volume."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Balance, Judged, NotRun, PondWater, PumpPoint, Severity
from rillwright.compare.result import Change, Direction
from rillwright.compare.telling import change, named, severity_of, tells, way

PUMP_CODES = ("pump.lift", "pump.short", "pump.much", "pipe.fast")
_BAND_CODES = ("intake.dry", "intake.drowned")


def water_changes(before: Judged, after: Judged) -> Iterator[Change]:
    """Each pipe run's flow and head, each body's drop at start and volume."""
    then, now = before.assessment.water, after.assessment.water
    if isinstance(then, NotRun) or isinstance(now, NotRun):
        return
    points = {point.run: point for point in then.circuit.pumps}
    for point in now.circuit.pumps:
        if point.run in points:
            yield from _pump(after, points[point.run], point)
    balances = {balance.body: balance for balance in then.balances}
    for balance in now.balances:
        if balance.body in balances:
            yield from _drop(after, balances[balance.body], balance)
    ponds = {pond.body: pond for pond in then.ponds}
    for pond in now.ponds:
        if pond.body in ponds:
            yield from _volume(after, ponds[pond.body], pond)


def _pump(after: Judged, was: PumpPoint, point: PumpPoint) -> Iterator[Change]:
    path = f"runs/{point.run}"
    duty = point.proposed
    flows = (was.duty_flow_m3s, point.duty_flow_m3s) if duty else (was.flow_m3s.value, point.flow_m3s.value)
    heads = (was.duty_head_m, point.duty_head_m) if duty else (was.head_m.value, point.head_m.value)
    by_flow = tells(*flows, "m3/s")
    if not by_flow and not (tells(*heads, "m") and tells(*heads, "")):
        return
    severity = severity_of(after, PUMP_CODES, path) or Severity.OK
    yield change(
        "pump.point",
        path,
        (
            "The pump of {name} must give {after} at {head} now, it was {before} at {head_before}."
            if duty
            else "The pump of {name} gives {after} at {head} now, it gave {before} at {head_before}; that is "
            "{within} of what is wanted."
        ),
        direction=way(*flows, more_is=Direction.BETTER) if by_flow and not duty else Direction.CHANGED,
        severity=severity,
        before=flows[0],
        after=flows[1],
        unit="m3/s",
        parameters=(
            ("name", named(after.assessment.feature, path), ""),
            ("head", heads[1], "m"),
            ("head_before", heads[0], "m"),
            ("within", 1.0 + point.spare, "-"),
        ),
    )


def _drop(after: Judged, was: Balance, balance: Balance) -> Iterator[Change]:
    values = was.drop_at_start_m.value, balance.drop_at_start_m.value
    if not tells(*values, "m"):
        return
    path = f"ponds/{balance.body}"
    severity = severity_of(after, _BAND_CODES, path) or Severity.OK
    yield change(
        "drop.start",
        path,
        "The water of {name} falls {after} when the pump starts, it fell {before}.",
        direction=way(*values, more_is=Direction.WORSE),
        severity=severity,
        before=values[0],
        after=values[1],
        unit="m",
        parameters=(("name", named(after.assessment.feature, path), ""),),
    )


def _volume(after: Judged, was: PondWater, pond: PondWater) -> Iterator[Change]:
    if tells(was.volume_m3, pond.volume_m3, "m3"):
        path = f"ponds/{pond.body}"
        yield change(
            "pond.volume",
            path,
            "{name} holds {after}, it held {before}.",
            direction=Direction.CHANGED,
            before=was.volume_m3,
            after=pond.volume_m3,
            unit="m3",
            parameters=(("name", named(after.assessment.feature, path), ""),),
        )
