"""Water in plan and levels at odds: common practice, no source."""

from __future__ import annotations

from typing import Any

from rillwright.assessment import GroundAmiss, OneLevel, PlanFault, RimLine, RimPoint, Severity
from rillwright.feature import Join
from rillwright.shape import Surface

OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP


def point(x: float, y: float, along_m: float) -> RimPoint:
    return RimPoint(
        at=(x, y), along_m=along_m, top_m=0.1, sigma_m=0.003, ground_m=0.1, ground_is="shot", fill_m=0.0, settles_m=0.0,
        water="ponds/pond", station_m=None, by="rims/low",
    )  # fmt: skip


SQUARE = tuple(point(*at, along) for at, along in (((0, 0), 0.0), ((2, 0), 2.0), ((2, 2), 4.0), ((0, 2), 6.0)))


def plan(
    *faults: tuple[str, str, str],
    guessed_m: float = 0.0,
    at_odds: tuple[str, ...] = (),
    agreed: tuple[OneLevel, ...] = (),
    at_fault: tuple[GroundAmiss, ...] = (),
) -> dict[str, Any]:
    """A square of edge, eight metres round, with these faults: kind, path, other."""
    line = RimLine(path="ponds/pond", kind="outer", closed=True, points=SQUARE)
    found = tuple(
        PlanFault(kind=kind, path=path, other=other, at=(1.0, 2.0), size_m=0.3) for kind, path, other in faults
    )
    made = Surface(
        rims=(line,), footprints=(), guessed_m=guessed_m, ground_faults=at_odds, ground_agreed=agreed,
        ground_amiss=at_fault, plan_faults=found,
    )  # fmt: skip
    return {"surface": made}


def amiss(kind: str) -> GroundAmiss:
    return GroundAmiss(file="slope.csv", kind=kind, read_in="m", unit="ft", off_m=0.4, agree=5, known=6, most_m=1.2)


POND, RILL = "ponds/pond", "streams/rill"
JOINED = {"feature.streams.0.joins": Join(stream="rill", reach="b1", station_m=1.0)}
PLAN_CASES: tuple[tuple[str, dict[str, Any], Severity], ...] = (
    ("ground.contradicts", plan(at_odds=("marks/a and marks/b give one place two levels",)), STOP),
    (
        "ground.agrees",
        plan(
            agreed=(
                OneLevel(
                    first="break line kerb", second="point 7", at=(1.0, 2.0), levels_m=(0.1, 0.108), taken_m=0.104
                ),
            )
        ),
        WATCH,
    ),
    *(
        ("ground.amiss", plan(at_fault=(amiss(kind),)), WATCH if kind == "no pattern" else STOP)
        for kind in (
            "unit",
            "swapped",
            "unit of levels",
            "unit and swapped",
            "mark",
            "unit and mark",
            "swapped and mark",
            "elsewhere",
            "no pattern",
        )
    ),
    ("rim.guessed", plan(guessed_m=2.0), OK),
    ("rim.guessed", plan(guessed_m=2.1), WATCH),
    ("stream.itself", plan(("crosses", RILL, RILL)), STOP),
    ("stream.itself", plan(("meets itself", RILL, RILL)), WATCH),
    ("stream.ends", plan(("ends short", RILL, POND)), WATCH),
    ("stream.ends", plan(("runs on inside", RILL, POND)), WATCH),
    ("stream.joins", plan() | JOINED, OK),
    ("stream.joins", plan(("ends short of it", RILL, "reaches/b1")) | JOINED, WATCH),
    ("stream.joins", plan(("comes in at a stone", RILL, "falls/f1")) | JOINED, WATCH),
    ("stream.joins", plan(("runs on across it", RILL, "reaches/b1")) | JOINED, WATCH),
    ("plan.overlap", plan(("lies over", POND, "ponds/two")), WATCH),
    ("footing.under", plan(("crosses a footing", POND, "footings/wall")), STOP),
    ("footing.under", plan(("inside a footing", POND, "footings/wall")), STOP),
    ("footing.under", plan(("under a building", POND, "buildings/school")), STOP),
    ("island.outside", plan(("leaves the bed", "islands/rock", "reaches/b1")), WATCH),
)
