"""Every rule with what is well, what is to be watched, what stops.

The figures are facts of the trade (common practice, no source), but those of digging (4 ft, 5 ft, 20 ft), from 29 CFR
1926 Subpart P, and that of embankments (3 ft), from NRCS 378; both from memory.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from rillwright.assessment import (
    Barrier,
    Doubt,
    Intake,
    IntakeKind,
    Level,
    Look,
    LookBack,
    Machine,
    NotRun,
    Origin,
    Rim,
    Severity,
    StoneShare,
)
from rillwright.earth import BedFill
from rillwright.findings import RULES, find
from rillwright.units import Band, parse
from tests.findings.day_cases import DAY_CASES
from tests.findings.earth_cases import EARTH_CASES
from tests.findings.odds_cases import ODDS_CASES
from tests.findings.over_time_cases import OVER_TIME_CASES
from tests.findings.plan_cases import PLAN_CASES
from tests.findings.pump_cases import PUMP_CASES
from tests.findings.rim_cases import RIM_CASES
from tests.findings.sample import changed, exact, feature, findings, metres, whole, worst
from tests.findings.shot_cases import SHOT_CASES
from tests.findings.stream_cases import STREAM_CASES, look, splash

OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP
Case = tuple[str, dict[str, Any], Severity]


def one_placed() -> tuple[Rim, ...]:
    """The sample's rim without a place, beside another that has one."""
    (rim,) = feature().bodies[0].rims
    return (replace(rim, at=None), replace(rim, id="far-side", at=(metres("7 ft"), 0.0)))


def barrier(**said: Any) -> dict[str, Any]:
    """A pond that is deep enough for a barrier, and what is said of one."""
    return at("feature.bodies.0.depth_m", "3 ft") | {f"{SITE}.barrier": Barrier(**said) if said else None}


FALL = "water.crests.1"
PUMP = "water.circuit.pumps.0"
BALANCE = "water.balances.0"
SITE = "feature.site"
DIG = "earth.digs.0"


def doubt(code: str, size: str) -> dict[str, Any]:
    found = Doubt(code=code, book="ground.csv", line=4, point="knoll", size_m=metres(size), text="It reads otherwise.")
    return {"survey.doubts": (found,)}


def at(path: str, typed: str) -> dict[str, Any]:
    return {path: metres(typed)}


def band(path: str, typed: str) -> dict[str, Any]:
    return {path: exact(typed)}


def stones(*depths_m: float) -> tuple[StoneShare, ...]:
    whole = sum(depth**1.5 for depth in depths_m)
    return tuple(
        StoneShare(width_m=0.2, above_m=0.0, depth_m=Band.exact(depth), share=Band.exact(depth**1.5 / whole))
        for depth in depths_m
    )


def flow(litres_s: float) -> dict[str, Any]:
    return {f"{PUMP}.flow_m3s": Band.exact(litres_s / 1000.0)}


def freeboard(top: int, typed: str) -> dict[str, Any]:
    return band(f"containment.tops.{top}.freeboard_m", typed)


def hole(depth: str, *, up: float = 0.5, allowed: float | None = 0.67, soil: str = "clay") -> dict[str, Any]:
    return at(f"{DIG}.deepest_m", depth) | {
        f"{DIG}.side_up_per_across": up,
        f"{DIG}.soil_up_per_across": allowed,
        f"{SITE}.soil": soil,
    }


def filled(typed: str) -> dict[str, Any]:
    """Fill that high under the second bed."""
    return {"earth.fills": (BedFill(reach="b2", path="reaches/b2", high_m=metres(typed), station_m=2.0),)}


def terrace(typed: str) -> dict[str, Any]:
    """A second shot on the paving, that much higher than the first."""
    marks = feature().marks
    high = replace(marks[1], id="corner", level=replace(marks[1].level, m=marks[1].level.m + metres(typed)))
    return {"feature.marks": (*marks, high)}


def head(typed: str) -> dict[str, Any]:
    level = feature().streams[0].head
    return {"feature.streams.0.head_ground": replace(level, m=level.m - metres(typed))}


def spread(path: str, low: str, value: str, high: str) -> dict[str, Any]:
    return {path: Band(metres(value), metres(low), metres(high))}


def ground(level: Level) -> Level:
    return replace(level, origin=Origin.DEFAULT)


def against(typed: str) -> dict[str, Any]:
    """Highest water so high above the ground at the rim, which lies 3 in above the waterline."""
    return {"containment.tops.0.against.level_m": Band.exact(metres(typed) + metres("3 in"))}


def skimmer(most_m3s: float) -> Intake:
    return replace(feature().bodies[0].intake, greatest_flow_m3s=most_m3s)


CASES: tuple[Case, ...] = (
    ("survey.page", {}, OK),
    ("survey.page", {"survey.page_checks.0.agrees": False}, WATCH),
    ("survey.loop", {"survey.loops.0.misclosure_m": -0.003}, OK),
    ("survey.loop", {"survey.loops.0.misclosure_m": -0.0031}, WATCH),
    ("survey.loop", {"survey.loops.0.misclosure_m": 0.0149}, WATCH),
    ("survey.loop", {"survey.loops.0.misclosure_m": 1.0}, STOP),
    ("survey.benchmark", {}, OK),
    ("survey.benchmark", doubt("benchmark_moved", "1/8 in"), OK),
    ("survey.benchmark", doubt("benchmark_moved", "3/16 in"), WATCH),
    ("survey.benchmark", doubt("benchmark_moved", "1/2 in"), WATCH),
    ("survey.reshot", {}, OK),
    ("survey.once", {"survey.looks.0": LookBack(book="a", shots=5, setups=1, again=0, closed=0, due=False)}, WATCH),
    (
        "survey.once",
        {"survey.points.0.state": "read once", "survey.points.0.level.source": "ground.csv, line 4"},
        WATCH,
    ),
    ("survey.stray", doubt("stray", "20 in"), WATCH),
    ("rim.inside", {"feature.bodies.0.rims.0.at": (metres("5 ft"), 0.0)}, WATCH),
    ("rim.far", {"feature.bodies.0.rims.0.at": (metres("50 ft"), 0.0)}, WATCH),
    ("rim.unplaced", {"feature.bodies.0.rims": one_placed()}, WATCH),
    ("survey.stray", doubt("stray", "40 in"), STOP),
    ("survey.reshot", {"survey.looks.0.due": True}, WATCH),
    ("survey.foot", doubt("mistyped_foot", "12 in"), WATCH),
    ("survey.doubt", doubt("rod_changed", "1 in"), WATCH),
    ("survey.doubt", doubt("shot_outlier", "1 in"), WATCH),
    ("survey.unconfirmed", {}, OK),
    ("survey.unconfirmed", {"survey.points.0.state": "unconfirmed"}, WATCH),
    ("survey.none", {"survey": NotRun("no book")}, WATCH),
    ("waterline.paving", at("feature.marks.1.level.m", "4 in"), OK),
    ("waterline.paving", at("feature.marks.1.level.m", "3 in"), WATCH),
    ("paving.falls", terrace("1/2 in"), OK),
    ("paving.falls", terrace("3/4 in"), WATCH),
    ("level.guessed", {"feature.streams.0.head_ground": None}, WATCH),
    ("level.guessed", {"feature.bodies.0.rims": ()}, WATCH),
    ("level.guessed", {"feature.bodies.0.rims.0.ground": ground(feature().bodies[0].rims[0].ground)}, WATCH),
    ("fall.last", band(f"{FALL}.fall_height_m", "10 in"), OK),
    ("fall.last", band(f"{FALL}.fall_height_m", "9 in"), WATCH),
    ("fall.last", band(f"{FALL}.fall_height_m", "7 in"), WATCH),
    ("ripple.low", at("shape.budgets.0.steps.1.spent_m", "4 in"), OK),
    ("ripple.low", at("shape.budgets.0.steps.1.spent_m", "3 in"), WATCH),
    ("ripple.high", at("shape.budgets.0.steps.1.spent_m", "5 in"), OK),
    ("ripple.high", at("shape.budgets.0.steps.1.spent_m", "6 in"), WATCH),
    ("falls.uphill", {}, OK),
    ("falls.uphill", at("feature.streams.0.links.1.crest.m", "17 in"), STOP),
    ("falls.uphill", at("feature.streams.0.links.3.crest.m", "-1 in"), STOP),
    ("height.short", at("shape.budgets.0.left_over_m", "1 in"), OK),
    ("height.short", at("shape.budgets.0.left_over_m", "0 in"), OK),
    ("height.short", at("shape.budgets.0.left_over_m", "-2 in"), WATCH),
    ("berm.high", at("feature.bodies.0.rims.0.berm_m", "18 in"), OK),
    ("berm.high", at("feature.bodies.0.rims.0.berm_m", "24 in"), WATCH),
    ("head.high", head("12 in"), OK),
    ("head.high", head("2 ft"), WATCH),
    ("crest.dry", {}, OK),
    ("crest.dry", {f"{FALL}.flow_m3s": Band(0.001, 0.0, 0.002)}, WATCH),
    ("crest.dry", {f"{FALL}.flow_m3s": Band.exact(0.0)}, STOP),
    ("crest.thin", band(f"{FALL}.depth_m", "1/2 in"), OK),
    ("crest.thin", band(f"{FALL}.depth_m", "3/8 in"), WATCH),
    ("crest.thin", band(f"{FALL}.depth_m", "1/8 in"), WATCH),
    ("crest.thin", spread(f"{FALL}.depth_m", "3/8 in", "5/8 in", "3/4 in"), WATCH),
    ("crest.thin", band(f"{FALL}.depth_m", "3/8 in") | {f"{FALL}.weber": 12.0}, WATCH),
    ("crest.thick", band(f"{FALL}.depth_m", "1 1/2 in"), OK),
    ("crest.thick", band(f"{FALL}.depth_m", "3 in"), WATCH),
    ("range.outside", {"out_of_range": ("falls/f1: 20 mm is under the 30 mm of every published range",)}, WATCH),
    ("range.outside", {"water.out_of_range": ("falls/f1: too little",)}, WATCH),
    ("run.away", {"water.out_of_range": ("runs/run: the water does not come back to pond",)}, WATCH),
    ("crest.tilt", at("feature.streams.0.links.1.tilt_m", "1/8 in"), OK),
    ("crest.tilt", at("feature.streams.0.links.1.tilt_m", "3/16 in"), WATCH),
    ("crest.tilt", at("feature.streams.0.links.1.tilt_m", "-1/2 in"), WATCH),
    ("crest.throw", {}, OK),
    ("crest.throw", spread(f"{FALL}.throw_m", "7 ft", "7 1/2 ft", "9 ft"), WATCH),
    ("crest.throw", band(f"{FALL}.throw_m", "9 ft"), STOP),
    ("crest.seal", {}, OK),
    ("crest.seal", {"feature.streams.0.links.1.sealed": False}, WATCH),
    ("crest.under", {f"{FALL}.under": Band(0.05, 0.0, 0.1)}, OK),
    ("crest.under", {f"{FALL}.under": Band(0.05, 0.0, 0.6)}, WATCH),
    ("crest.stones", {f"{FALL}.stones": stones(0.020, 0.012)}, OK),
    ("crest.stones", {f"{FALL}.stones": stones(0.020, 0.0)}, WATCH),
    ("crest.drowned", {}, OK),
    ("crest.drowned", {f"{FALL}.fall_height_m": Band(0.005, -0.002, 0.01)}, WATCH),
    ("crest.drowned", {f"{FALL}.fall_height_m": Band.exact(-0.01)}, WATCH),
    ("crest.cling", {**band(f"{FALL}.cling_radius_m", "1 1/8 in"), **band(f"{FALL}.tread_m", "4 in")}, OK),
    ("crest.cling", {**band(f"{FALL}.cling_radius_m", "2 in"), **band(f"{FALL}.tread_m", "6 in")}, WATCH),
    ("crest.cling", {**band(f"{FALL}.cling_radius_m", "4 in"), **band(f"{FALL}.tread_m", "8 in")}, WATCH),
    ("stream.hidden", {"water.reaches.0.hidden": Band.exact(0.10)}, OK),
    ("stream.hidden", {"water.reaches.0.hidden": Band.exact(0.20)}, WATCH),
    ("stream.hidden", {"water.reaches.0.hidden": Band.exact(0.40)}, WATCH),
    ("pump.lift", {}, OK),
    ("pump.lift", {f"{PUMP}.flow_m3s": Band(0.001, 0.0, 0.002)}, WATCH),
    ("pump.lift", flow(0.0), STOP),
    ("pump.short", flow(2.4), OK),
    ("pump.short", flow(2.2), WATCH),
    ("pump.short", flow(1.5), WATCH),
    ("pump.much", flow(2.6), OK),
    ("pump.much", flow(3.0), WATCH),
    ("pump.choose", {f"{PUMP}.proposed": True}, WATCH),
    ("pipe.fast", {f"{PUMP}.speed_ms": 1.4}, OK),
    ("pipe.fast", {f"{PUMP}.speed_ms": 2.0}, WATCH),
    ("pipe.fast", {f"{PUMP}.speed_ms": 2.6}, WATCH),
    ("intake.flow", {"feature.bodies.0.intake": skimmer(0.003)}, OK),
    ("intake.flow", {"feature.bodies.0.intake": skimmer(0.002)}, WATCH),
    ("intake.dry", band(f"{BALANCE}.running_level_m", "-3 in"), OK),
    ("intake.dry", band(f"{BALANCE}.running_level_m", "-3 1/2 in"), WATCH),
    ("intake.dry", band(f"{BALANCE}.running_level_m", "-5 in"), STOP),
    ("intake.drowned", band(f"{BALANCE}.stop_level_m", "1 in"), OK),
    ("intake.drowned", band(f"{BALANCE}.stop_level_m", "1 1/2 in"), WATCH),
    ("intake.drowned", band(f"{BALANCE}.stop_level_m", "3 in"), WATCH),
    ("pond.left", {}, OK),
    ("pond.left", at(f"{BALANCE}.left_if_stream_leaks_m", "-16 in"), WATCH),
    ("rim.low", freeboard(0, "3 in"), OK),
    ("rim.low", freeboard(0, "2 1/2 in"), WATCH),
    ("rim.low", freeboard(0, "1 in"), STOP),
    ("rim.low", freeboard(0, "-1/2 in"), STOP),
    ("rim.low", spread("containment.tops.0.freeboard_m", "1 in", "1 1/2 in", "2 1/2 in"), WATCH),
    ("bank.low", freeboard(1, "4 in"), OK),
    ("bank.low", freeboard(1, "3 1/2 in"), WATCH),
    ("bank.low", freeboard(1, "2 in"), STOP),
    ("upturn.low", freeboard(2, "3 in"), OK),
    ("upturn.low", freeboard(2, "2 in"), WATCH),
    ("upturn.low", freeboard(2, "0 in"), STOP),
    ("lap.short", at("feature.laps.0.run_m", "24 in"), OK),
    ("lap.short", at("feature.laps.0.run_m", "18 in"), WATCH),
    ("lap.short", at("feature.laps.0.run_m", "6 in"), STOP),
    ("lap.short", at("feature.laps.0.run_m", "6 in") | {"feature.laps.0.sealed": True}, OK),
    ("rim.unsaid", {"feature.bodies.0.rims": ()}, WATCH),
    ("berm.embankment", against("1 ft"), OK),
    ("berm.embankment", against("30 in"), WATCH),
    ("berm.embankment", against("35 in"), WATCH),
    ("berm.embankment", against("3 ft"), STOP),  # NRCS 378: 3 ft or more
    ("berm.embankment", against("3 1/2 ft"), STOP),
    ("liner.heavy", {"liner.sheets.0.mass_kg": parse("150 lb", "mass").si}, OK),
    ("liner.heavy", {"liner.sheets.0.mass_kg": parse("300 lb", "mass").si}, STOP),
    ("liner.spare", at("feature.liner.spare_m", "1 ft"), OK),
    ("liner.spare", at("feature.liner.spare_m", "8 in"), WATCH),
    ("underlay.light", {"feature.liner.underlay_kgm2": parse("8 oz/sq yd", "mass_per_area").si}, OK),
    ("underlay.light", {"feature.liner.underlay_kgm2": parse("7 oz/sq yd", "mass_per_area").si}, WATCH),
    ("liner.lifted", at("earth.groundwater_above_floor_m", "-1 ft"), OK),
    ("liner.lifted", at("earth.groundwater_above_floor_m", "-6 in"), WATCH),
    ("liner.lifted", at("earth.groundwater_above_floor_m", "6 in"), WATCH),
    ("groundwater.unsaid", {f"{SITE}.groundwater": None}, WATCH),
    ("lift.heavy", {"build.lifts.0.load_kg": 288.0}, OK),
    ("lift.heavy", {"build.lifts.0.load_kg": 300.0}, WATCH),
    ("lift.heavy", {"build.lifts.0.load_kg": 330.0}, STOP),
    ("lift.heavy", {"build.lifts.0.allowed_kg": 0.0}, STOP),
    ("access.narrow", at("build.accesses.0.machine_width_m", "42 in"), OK),
    ("access.narrow", {"build.accesses.0.machine_width_m": 1.25}, WATCH),
    ("access.narrow", {"build.accesses.0.machine_width_m": 1.4}, WATCH),
    ("access.narrow", {"build.accesses.0.machine_width_m": None, "build.accesses.0.machine": None}, OK),
    ("dig.side", hole("3 ft", up=9.0), OK),
    ("dig.side", hole("4 1/2 ft", up=2.0), WATCH),
    ("dig.side", hole("6 ft", up=2.0), STOP),
    ("dig.side", hole("6 ft", up=math.inf, allowed=None, soil="unknown"), STOP),
    ("dig.side", hole("6 ft", up=math.inf, allowed=math.inf, soil="rock"), OK),
    ("dig.side", hole("6 ft", up=0.5), OK),
    ("dig.ladder", hole("3 ft"), OK),
    ("dig.ladder", hole("4 1/2 ft"), WATCH),
    ("dig.protect", hole("4 ft"), OK),
    ("dig.protect", hole("6 ft", up=0.5), WATCH),
    ("dig.protect", hole("6 ft", up=2.0), STOP),
    ("dig.protect", hole("6 ft", up=0.5, allowed=None, soil="unknown"), STOP),
    ("dig.engineer", hole("6 ft"), OK),
    ("dig.engineer", hole("21 ft"), STOP),
    ("bed.fill", filled("11 in"), OK),
    ("bed.fill", filled("20 in"), WATCH),
    ("bed.fill", filled("3 ft"), WATCH),
    ("pond.shallow", {}, OK),
    ("pond.shallow", {"shape.ponds.0.short_m": 0.1}, WATCH),
    ("dig.open", {}, WATCH),
    ("power.protection", {}, OK),
    ("power.protection", {f"{SITE}.residual_current_device": False}, STOP),
    ("power.unsaid", {f"{SITE}.residual_current_device": None}, WATCH),
    ("power.distance", {}, WATCH),
    ("power.distance", {f"{SITE}.power_distance_m": 15.0}, WATCH),
    ("people.drown", {}, WATCH),
    ("people.barrier", at("feature.bodies.0.depth_m", "17 in"), OK),
    ("people.barrier", at("feature.bodies.0.depth_m", "18 in"), WATCH),  # from there on: common practice, no source
    ("people.barrier", at("feature.bodies.0.depth_m", "20 in"), WATCH),
    ("people.barrier", at("feature.bodies.0.depth_m", "3 ft"), WATCH),
    ("people.barrier", barrier(), WATCH),
    ("people.barrier", barrier(note="to be asked"), WATCH),
    ("people.barrier", barrier(wanted=True), STOP),
    ("people.barrier", barrier(wanted=True, planned=True), OK),
    ("people.barrier", barrier(planned=True), OK),
    ("people.barrier", barrier(wanted=False), WATCH),  # nobody was asked
    ("people.barrier", barrier(wanted=False, asked="the town"), OK),
    ("people.suction", {}, WATCH),
    ("people.escape", {}, WATCH),
    ("pump.valve", {}, OK),
    ("pump.valve", {"feature.runs.0.fittings": feature().runs[0].fittings[:-1]}, WATCH),
    ("unchecked.part", {}, WATCH),
    ("unchecked.water", {"water": NotRun("flow and levels do not agree")}, WATCH),
    ("unchecked.case", {"water.cases_not_run": ("design rain: not computed yet",)}, WATCH),
    ("unchecked.matters", {}, WATCH),
    *PUMP_CASES,
    *PLAN_CASES,
    *RIM_CASES,
    *DAY_CASES,
    *EARTH_CASES,
    *ODDS_CASES,
    *OVER_TIME_CASES,
    *SHOT_CASES,
    *STREAM_CASES,
)


@pytest.mark.parametrize(
    ("code", "changes", "severity"),
    CASES,
    ids=[f"{code}-{n}-{severity}" for n, (code, _, severity) in enumerate(CASES)],
)
def test_a_rule_grades(code: str, changes: dict[str, Any], severity: Severity) -> None:
    assert worst(changed(changes), code).severity is severity


def test_every_rule_has_its_cases() -> None:
    untried = {rule.code for rule in RULES} - {code for code, _, _ in CASES}
    assert untried == {"people.loads"}  # needs a machine: below


def test_a_machine_brings_its_caution_and_carries_the_liner() -> None:
    access = feature().site.accesses[0]
    machine = Machine(name="mini excavator", width_m=1.0, reach_m=4.0, lift_kg=320.0, lift_radius_m=2.5, invented=True)
    heavy = {f"{SITE}.accesses": (replace(access, machine=machine),), "liner.sheets.0.mass_kg": 200.0}
    found = changed(heavy)
    assert worst(found, "people.loads").severity is WATCH
    assert worst(found, "liner.heavy").severity is WATCH
    assert worst(changed({"liner.sheets.0.mass_kg": 200.0}), "liner.heavy").severity is STOP


def test_seventeen_inches_leave_twelve_for_the_last_fall() -> None:
    """17 in to the held water, a 4 in ripple and an inch of bed (common practice, no source): what is left suffices."""
    steps = changed({}).shape
    assert not isinstance(steps, NotRun)
    left = metres("17 in") - metres("4 in") - metres("1 in")
    assert left == pytest.approx(metres("12 in"))
    found = worst(changed({f"{FALL}.fall_height_m": Band.exact(left)}), "fall.last")
    assert found.severity is OK
    assert found.margin == pytest.approx(metres("2 in"))


def test_a_ripple_at_the_end_is_no_last_fall() -> None:
    assert not findings(changed({"feature.streams.0.links.3.wished_ripple": True}), "fall.last")


def test_the_last_fall_of_a_quiet_stream_is_judged_as_any() -> None:
    """It is the one most looked at; who wants a ripple there says so in the file."""
    low = {"feature.streams.0.look": Look.QUIET, f"{FALL}.fall_height_m": exact("6 in")}
    assert worst(changed(low), "fall.last").severity is WATCH


def test_the_last_ripple_is_judged_as_it_is_seen() -> None:
    """By a spill stone of 3 in and 1 in that the pond runs lower, a drop of 1 in to its held water is seen as 5 in."""
    steps: dict[str, Any] = {
        "shape.budgets.0.steps.3.kind": "ripple",
        "shape.budgets.0.steps.3.spent_m": metres("1 in"),
        f"{FALL}.fall_height_m": exact("5 in"),
    }
    assert {each.severity for each in findings(changed(steps), "ripple.low")} == {OK}
    assert worst(changed(steps | {f"{FALL}.fall_height_m": exact("3 in")}), "ripple.low").severity is WATCH


def test_what_is_outside_a_range_is_one_matter_and_the_last_of_those_to_be_watched() -> None:
    thin = tuple(f"falls/f{at}: 22 mm is under the 30 mm of every published range" for at in (1, 2))
    found = find(changed({"water.out_of_range": (*thin, "runs/run: beyond its curve")}))
    (one,) = [each for each in found if each.code == "range.outside"]
    assert found[[each.severity for each in found].index(OK) - 1] is one
    said = {name: value for name, value, _ in one.parameters}["note"]
    assert (
        said
        == "22 mm is under the 30 mm of every published range (ripple f1, fall f2); beyond its curve (the pipe run)"
    )


def test_water_that_does_not_come_back_is_a_matter_of_its_own() -> None:
    found = findings(changed({"water.out_of_range": ("runs/run: the water does not come back to pond",)}), "run.away")
    assert [each.element for each in found] == ["runs/run"]


def test_splash_is_told_by_where_it_lands() -> None:
    told = {
        (lands, pool): findings(
            changed({"water.splashes": splash("12 in", lined="2 ft", pool=pool, lands=lands)}), "splash.narrow"
        )[0]
        for lands, pool in (("water", "6 in"), ("water", "0 in"), ("cover", "0 in"), ("stack", "3 in"))
    }
    words = {each: {name: said for name, said, _ in found.parameters}["on"] for each, found in told.items()}
    assert words == {
        ("water", "6 in"): "lands in water",
        ("water", "0 in"): "lands on stone",
        ("cover", "0 in"): "lands on the stone that covers its reservoir",
        ("stack", "3 in"): "comes down its courses",
    }


def test_what_lies_outside_and_by_which_lip_is_data() -> None:
    c = Band(1.6375, 1.39, 1.90)
    case = changed({f"{FALL}.notes": ("one", "two"), f"{FALL}.coefficient": c, f"{FALL}.lip": "slab"})
    for code in ("crest.thin", "crest.thick", "crest.throw"):
        (told,) = [each for each in findings(case, code) if each.element == "falls/f2"]
        facts = {name: said for name, said, _ in told.parameters}
        assert (facts["outside"], facts["lip"]) == ("one; two", "slab")
        assert (facts["c"], facts["c_low"], facts["c_high"]) == (c.value, c.low, c.high)


def test_the_stone_that_throws_farthest_is_named() -> None:
    told = worst(changed({f"{FALL}.at": "stone 2", **band(f"{FALL}.throw_m", "9 ft")}), "crest.throw")
    assert {name: said for name, said, _ in told.parameters}["at"] == ", at its stone 2 from the left,"


def test_a_skimmer_drowns_but_a_pit_does_not() -> None:
    pit = replace(feature().bodies[0].intake, kind=IntakeKind.PIT)
    assert not findings(changed({"feature.bodies.0.intake": pit}), "intake.drowned")


def test_the_share_left_is_that_of_the_stored_water() -> None:
    """Half of the volume lies below the level at which half of it lies, by the pond's own table."""
    formed = whole().shape
    assert not isinstance(formed, NotRun)
    level, _, below = formed.pond("pond").storage[8]
    found = worst(changed({f"{BALANCE}.left_if_stream_leaks_m": level}), "pond.left")
    assert found.value == pytest.approx(below / formed.pond("pond").volume_m3)


@pytest.mark.parametrize("branch", ["survey", "shape", "water", "liner", "containment", "stone", "earth", "build"])
def test_a_branch_that_was_not_run_breaks_no_rule_and_is_said_so(branch: str) -> None:
    lost = changed({branch: NotRun("nothing to go by")})
    found = findings(lost, "unchecked.part") + findings(lost, "unchecked.water")
    assert len(found) == (1 if branch == "survey" else 2)  # the sample has no price


def test_nothing_at_all_is_still_an_answer() -> None:
    branches = ("survey", "shape", "water", "liner", "containment", "stone", "earth", "takeoff", "build", "price")
    bare = changed({branch: NotRun("not there") for branch in branches})
    (told,) = findings(bare, "unchecked.water")  # one reason is told once, with all that it took
    assert told.severity is WATCH
    assert str({name: value for name, value, _ in told.parameters}["what"]).count(";") == 8
    assert not findings(bare, "unchecked.part")


def test_the_remedy_names_the_valve() -> None:
    """More than suits the crests: close that run's; no one flow for all: say so."""
    found = worst(changed({"water.looks": look(190, to=0.0025)}), "stream.look")
    assert "Close the valve of {valves} until {to} runs" in found.remedy
    assert ("valves", "run", "") in found.parameters
    uneven = worst(changed({"water.looks": look(190, to=0.001)}), "stream.look")
    assert "No one flow suits all crests" in uneven.remedy
