"""Histories of starts and stops for the rules over time; their limits are facts of the trade (common practice)."""

from __future__ import annotations

import math
from typing import Any

from msgspec.structs import replace

from rillwright.assessment import (
    BodyKind,
    BodyRun,
    FallRun,
    Film,
    FlowTrace,
    History,
    Leak,
    LevelTrace,
    NotRun,
    OverBank,
    OverTime,
    Reached,
    Severity,
    StoredTrace,
)
from rillwright.feature import Supply
from rillwright.units import Band
from tests.findings.day_cases import losses

OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP
Case = tuple[str, dict[str, Any], Severity]


def history(case: str, *, holding: str = "while running", **changes: Any) -> History:
    """A start or a stop of the sample: its pond at 0 m, an intake that works down to 4 in below it."""
    body = BodyRun(body="pond", begin_m=0.0, lowest_m=-0.02, lowest_s=120.0, highest_m=0.02, highest_s=300.0, end_m=0.0)
    falls = tuple(
        FallRun(fall=fall, path=f"falls/{fall}", first_s=first, end_m3s=0.002)
        for fall, first in (("f1", 9.0), ("f2", 20.0))
    )
    usual: dict[str, Any] = {
        "settled": True,
        "why": "nothing changes any more",
        "lasted_s": 400.0,
        "falls": falls,
        "bodies": (body,),
        "air_s": None,
        "taken_up_m3": 0.2,
        "lost_m3": 0.0,
        "drift": 0.0,
        "times_s": (1.0, 2.0),
        "levels": (LevelTrace(path="ponds/pond", level_m=(0.0, -0.01)),),
        "crests": (FlowTrace(path="falls/f1", flow_m3s=(0.0, 0.002)),),
        "pumped": (FlowTrace(path="runs/run", flow_m3s=(0.002, 0.002)),),
        "stored": (StoredTrace(what="streams", volume_m3=(0.0, 0.1)),),
        "film": Film(times_s=(), stations=(), levels_m=()),
    }
    return History(case=case, holding=holding, **(usual | changes))


def leak(**changes: Any) -> Leak:
    usual: dict[str, Any] = {
        "body": "pond",
        "air_s": 900.0,
        "level_m": -0.1,
        "depth_left_m": 0.33,
        "left_m3": 1.5,
        "lost_m3": 1.0,
        "cut_off_m": -0.05,
        "cut_off_s": 300.0,
        "saved_m3": 0.5,
        "filled_while": True,
    }
    return Leak(**(usual | changes))


def followed(*others: History, leaks: tuple[Leak, ...] | None = None, note: str = "") -> dict[str, Any]:
    """The change that gives the sample a full tier; `others` stand before the usual histories of their cases."""
    usual = [history(case) for case in ("first start", "start", "stop", "dirty intake", "leak")]
    found = OverTime(
        histories=(*others, *usual),
        highest=(),
        leaks=(leak(),) if leaks is None else leaks,
        cells=100,
        engine="numba",
        note=note,
    )
    return {"over_time": found}


def started(lowest_m: float) -> dict[str, Any]:
    """A start at which the pond falls to a level [m]."""
    body = BodyRun(
        body="pond", begin_m=0.0, lowest_m=lowest_m, lowest_s=120.0, highest_m=0.0, highest_s=0.0, end_m=lowest_m
    )
    return followed(history("start", bodies=(body,)))


def started_dry(lowest_m: float) -> dict[str, Any]:
    """A first start from dry at which the pond falls to a level [m]."""
    body = BodyRun(
        body="pond", begin_m=0.0, lowest_m=lowest_m, lowest_s=120.0, highest_m=0.0, highest_s=0.0, end_m=lowest_m
    )
    return followed(history("first start", bodies=(body,)))


def never(fall: str) -> dict[str, Any]:
    """A start at which a fall never runs."""
    falls = tuple(
        FallRun(fall=each, path=f"falls/{each}", first_s=None if each == fall else 9.0, end_m3s=0.0)
        for each in ("f1", "f2")
    )
    return followed(history("start", falls=falls))


def over_bank(case: str, *, air_s: float | None = None) -> dict[str, Any]:
    """A history of that case in which the first bed's water goes over its bank."""
    over = (OverBank(reach="b1", path="reaches/b1", first_s=240.0, lost_m3=0.4),)
    return followed(history(case, over_banks=over, air_s=air_s))


def ranged(what: str, *, case: str, path: str, time_s: Band, level_m: Band | None = None) -> dict[str, Any]:
    """Starts followed at both ends as well, where one answer comes to a range."""
    found = followed()["over_time"]
    both = {"first start", "start"} if what == "runs" else {case}
    ranges = tuple(
        Reached(case=each, holding="while running", path=path, what=what, time_s=time_s, level_m=level_m)
        for each in sorted(both)
    )
    return {"over_time": replace(found, ranges=ranges)}


OVER_TIME_CASES: tuple[Case, ...] = (
    ("intake.week", {"water.losses": losses("1 in")}, OK),  # of 4 in above the intake the start takes one
    ("intake.week", {"water.losses": losses("3 in")}, WATCH),
    ("intake.week", {"water.losses": losses("6 in")}, WATCH),
    ("intake.week", {"water.losses": losses("6 in"), "feature.supply": Supply(float_valve=True)}, OK),
    ("start.first", followed(), OK),
    ("start.first", followed(history("first start", air_s=90.0)), WATCH),
    ("start.first", started_dry(-0.05), OK),
    (
        "start.first",
        started_dry(-0.07),
        WATCH,
    ),  # 31.6 mm over the intake's lowest, and 10.6 mm if a third more is taken
    ("start.first", started_dry(-0.15), WATCH),
    ("start.lowest", started(-0.02), OK),
    ("start.lowest", started(-0.09), WATCH),
    ("start.lowest", started(-0.15), STOP),
    ("start.runs", followed(), OK),
    ("start.runs", never("f2"), WATCH),
    ("start.runs", ranged("runs", case="start", path="falls/f1", time_s=Band(9.0, 7.0, 12.0)), OK),
    ("start.runs", ranged("runs", case="start", path="falls/f1", time_s=Band(9.0, 7.0, math.inf)), OK),
    # 0.1016 m are above the intake's lowest: the start takes 0.02, and 0.11 at the high end
    (
        "start.lowest",
        ranged("lowest", case="start", path="ponds/pond", time_s=Band.exact(120.0), level_m=Band(-0.02, -0.11, -0.01)),
        WATCH,
    ),
    ("start.over", followed(history("leaf dam")), OK),
    ("start.over", over_bank("start"), STOP),
    ("start.over", over_bank("leaf dam", air_s=3000.0), WATCH),
    ("start.over", over_bank("half blocked"), WATCH),
    ("stop.back", followed(), OK),
    (
        "stop.back",
        ranged("highest", case="stop", path="ponds/pond", time_s=Band.exact(9.0), level_m=Band(0.02, 0.01, 0.03)),
        OK,
    ),
    ("dirty.flow", followed(), OK),
    ("leak.depth", followed(), OK),
    ("leak.depth", followed(leaks=(leak(trips_first=True),)), OK),
    ("leak.depth", followed(leaks=(leak(may_trip_first=True),)), OK),
    ("leak.depth", followed(leaks=(leak(may_trip=True),)), OK),
    ("leak.depth", followed(leaks=(leak(depth_left_m=0.2),)), WATCH),
    ("leak.depth", followed(leaks=(leak(depth_left_m=0.05),)), WATCH),
    ("leak.depth", followed(leaks=(leak(depth_left_m=0.05),)) | {"feature.bodies.0.kind": BodyKind.RESERVOIR}, OK),
    ("followed.short", followed(history("stop", settled=False, why="followed for 120 min")), WATCH),
    ("followed.slowly", followed(note="numba is not installed"), OK),
    ("unchecked.time", {}, WATCH),
    ("unchecked.time", {"over_time": NotRun("stale")}, WATCH),
)
