"""Runs of several pumps and outlets on a whole feature: shares, valves, cases, suction, a measured flow. Invented."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape.sample import four_drops, level, pump

from rillwright.feature import Climate, Feature, Fitting, Pipe, Pump, Run, RunOutlet, Suction, ValveSet
from rillwright.hydraulics import greatest_suction_lift, pipe_speed, throttle
from rillwright.shape import shape
from rillwright.water import Circuit, PumpPoint, Water, water

NARROW = Pipe(name="32 mm", inside_m=0.0276, length_m=5.0, roughness_m=1.5e-6, source="invented")
TEE = (Fitting(kind="tee branch", count=1, k=1.8, source="EPANET 2.2 manual, table 3.3"),)
STRONG = pump((0.0, 5.0), (0.006, 0.0), two_numbers=True)


def outlet(id: str, to: str, wanted: float, at: float, **more: object) -> RunOutlet:
    made = RunOutlet(
        id=id,
        outlet=to,
        pipe=None,
        pipe_length_m=5.0,
        fittings=TEE,
        wanted_m3s=wanted,
        level=level(at),
        under_water=False,
    )
    return replace(made, **more)


def branching(*outlets: RunOutlet, drawn: Feature | None = None, **more: object) -> Feature:
    drawn = four_drops(pump=STRONG) if drawn is None else drawn
    total = sum(each.wanted_m3s for each in outlets)
    run: Run = replace(
        drawn.runs[0],
        outlets=outlets,
        outlet=outlets[0].outlet,
        outlet_level=outlets[0].level,
        wanted_m3s=total,
        **more,
    )
    return replace(drawn, runs=(run,))


def single(**more: object) -> Feature:
    drawn = four_drops(pump=STRONG)
    run: Run = replace(drawn.runs[0], **more)
    return replace(drawn, runs=(run,))


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


def circuit(drawn: Feature) -> Circuit:
    return solved(drawn).circuit


def point(drawn: Feature) -> PumpPoint:
    return circuit(drawn).pumps[0]


HEAD = outlet("head", "stream", 0.0015, 0.90)
STONE = outlet("stone", "pond", 0.0004, 0.35, pipe=NARROW)


def test_what_leaves_the_pond_comes_out_and_runs_down() -> None:
    """The stream carries what its own outlet gets; what goes to the stone goes back to the pond."""
    found = solved(branching(HEAD, STONE))
    head, stone = found.circuit.outlets
    assert (head.id, stone.id) == ("head", "stone")
    assert head.flow_m3s.value + stone.flow_m3s.value == pytest.approx(found.circuit.flow_m3s.value, rel=1e-9)
    for crest in found.crests:
        assert crest.flow_m3s.value == pytest.approx(head.flow_m3s.value)
    assert found.out_of_range == () or not any("come back" in note for note in found.out_of_range)
    for out in (head, stone):
        assert out.flow_m3s.low < out.flow_m3s.value < out.flow_m3s.high


def test_an_outlet_that_is_all_is_the_plain_run() -> None:
    """A second outlet that lies above everything gives nothing; the first gets what a plain run would."""
    pipe = replace(NARROW, inside_m=5.0, length_m=1e-3, roughness_m=0.0)
    first = outlet("head", "stream", 0.002, 0.95, pipe=pipe, fittings=())
    found = circuit(branching(first, outlet("high", "pond", 0.001, 9.0)))
    alone = point(single(outlet_level=level(0.95), outlet_under_water=False))
    assert found.outlets[0].flow_m3s.value == pytest.approx(alone.flow_m3s.value, rel=1e-5)
    assert found.outlets[1].flow_m3s.high == 0.0
    assert found.pumps[0].settings_share == 0.0
    assert "high" in found.pumps[0].settings_note


@given(st.floats(0.0005, 0.002), st.floats(0.0001, 0.0006), st.floats(0.5, 1.6), st.floats(0.0, 1.0))
@settings(max_examples=15)
def test_valves_set_as_told_give_the_flows_wanted(head: float, stone: float, at: float, low: float) -> None:
    """The K that is told put into the file as valves: every outlet brings the share promised of what is wanted."""
    outlets = (outlet("head", "stream", head, at), outlet("stone", "pond", stone, low, pipe=NARROW))
    told = circuit(branching(*outlets))
    ran = told.pumps[0]
    assert ran.settings_share is not None
    turned = tuple(
        replace(each, valve=ValveSet(k=out.valve_k)) for each, out in zip(outlets, told.outlets, strict=True)
    )
    main = None if ran.main_valve is None else ValveSet(k=ran.main_valve.valve_k)
    found = circuit(branching(*turned, valve=main))
    for out in found.outlets:
        assert out.flow_m3s.value == pytest.approx(ran.settings_share * out.wanted_m3s, rel=2e-3)


def test_raising_one_outlet_gives_to_the_other() -> None:
    low = circuit(branching(HEAD, STONE)).outlets
    high = circuit(branching(HEAD, replace(STONE, level=level(0.8)))).outlets
    assert high[1].flow_m3s.value < low[1].flow_m3s.value
    assert high[0].flow_m3s.value > low[0].flow_m3s.value


def test_two_unlike_pumps_bring_more_and_a_weak_one_is_held_shut() -> None:
    weak, weaker = pump((0.0, 3.4), (0.003, 0.0), two_numbers=True), pump((0.0, 1.5), (0.002, 0.0), two_numbers=True)
    one = point(single())
    both = point(single(more_pumps=(replace(weak, id="weak"),)))
    assert one.flow_m3s.value < both.flow_m3s.value < one.flow_m3s.value + weak.curve[-1][0]
    assert [share.shut for share in both.pumps] == [False, False]
    assert sum(share.flow_m3s.value for share in both.pumps) == pytest.approx(both.flow_m3s.value, rel=1e-9)
    shut = point(single(more_pumps=(replace(weaker, id="weaker"),)))
    assert [share.shut for share in shut.pumps] == [False, True]
    assert shut.flow_m3s.value == pytest.approx(one.flow_m3s.value, rel=1e-6)


def test_in_a_row_heads_add() -> None:
    row = point(single(more_pumps=(replace(STRONG, id="twin"),), arrangement="series"))
    assert row.flow_m3s.value > point(single()).flow_m3s.value
    heads = [share.head_m.value for share in row.pumps]
    assert sum(heads) == pytest.approx(row.head_m.value, rel=1e-6)
    assert heads[0] == pytest.approx(heads[1], rel=1e-6)


def test_speed_by_affinity_and_the_makers_spread() -> None:
    def run(**more: object) -> PumpPoint:
        changed: Pump = replace(STRONG, **more)
        return point(single(pump=changed))

    slow = run(speed=0.8)
    assert slow.flow_m3s.value < run().flow_m3s.value
    assert slow.pump_curve[0][1] == pytest.approx(0.64 * 5.0)
    assert slow.pump_curve[-1][0] == pytest.approx(0.8 * 0.006)
    wide = run(spread=0.07)
    assert wide.flow_m3s.low < run().flow_m3s.low < run().flow_m3s.high < wide.flow_m3s.high
    assert wide.flow_m3s.value == run().flow_m3s.value


def test_cases_take_flow_away_and_the_clean_one_is_the_run() -> None:
    found = point(single())
    flows = {case.case: case.flow_m3s for case in found.cases}
    assert list(flows) == ["clean", "worn", "dirty intake", "cold water", "pond low"]
    assert flows["clean"] == pytest.approx(found.flow_m3s.value, rel=1e-9)
    assert all(flow < flows["clean"] for case, flow in flows.items() if case != "clean")


def test_wider_pipes_bring_more_and_slower() -> None:
    tried = point(single()).sizes
    assert len(tried) == 5
    assert [size.flow_m3s for size in tried] == sorted(size.flow_m3s for size in tried)
    assert [size.speed_ms for size in tried] == sorted((size.speed_ms for size in tried), reverse=True)
    for size in tried:
        assert size.speed_ms == pytest.approx(pipe_speed(size.flow_m3s, size.inside_m))


def test_pumps_of_the_own_list_as_if_they_were_built_in() -> None:
    small = replace(pump((0.0, 2.5), (0.003, 0.0), two_numbers=True), id="small", preferred_m3s=(0.001, 0.002))
    found = point(single(candidates=(small, STRONG)))
    assert [tried.pump for tried in found.tried] == ["small", STRONG.id]
    built = point(single(pump=small))
    assert found.tried[0].flow_m3s.value == pytest.approx(built.flow_m3s.value, rel=1e-2)  # the pond stands elsewhere
    assert found.tried[1].flow_m3s.value == pytest.approx(found.flow_m3s.value, rel=1e-9)
    assert found.tried[0].in_preferred == (0.001 <= found.tried[0].flow_m3s.value <= 0.002)
    assert found.tried[1].in_preferred is None


SUCTION = Suction(
    pipe=Pipe(name="50 mm", inside_m=0.044, length_m=3.0, roughness_m=1.5e-6, source="invented"),
    fittings=(Fitting(kind="entrance", count=1, k=0.5, source="EPANET 2.2 manual, table 3.3"),),
    pump_at=level(0.4),
)


def test_a_suction_pipe_takes_flow_and_suction_head() -> None:
    """0.5 m over the water at -0.10: what is left is 10.1 m of air less lift and loss; less again 1,500 m up."""
    asks = replace(STRONG, npsh_m=4.0)
    found = point(single(pump=asks, suction=SUCTION))
    assert found.flow_m3s.value < point(single()).flow_m3s.value
    assert found.suction_speed_ms is not None
    assert found.suction_speed_ms.value == pytest.approx(pipe_speed(found.flow_m3s.value, 0.044))
    available = found.pumps[0].npsh_available_m
    assert available is not None
    lost = greatest_suction_lift(available, loss_m=0.0) - 0.5
    assert 0.0 < lost < 1.5
    high = point(replace(single(pump=asks, suction=SUCTION), climate=Climate(elevation_m=1500.0)))
    assert high.pumps[0].npsh_available_m == pytest.approx(available - 1.71, abs=0.03)


def test_the_highest_point_of_a_pipe() -> None:
    low = point(single(summit=level(1.5)))
    assert low.summit is not None
    assert low.summit.prime_m == pytest.approx(5.0 - 1.6)
    assert low.summit.pressure_m.value < 0.0
    high = point(single(summit=level(5.5)))
    assert high.summit is not None
    assert high.summit.prime_m == pytest.approx(5.0 - 5.6)
    assert high.summit.spare_m.value == pytest.approx(low.summit.spare_m.value - 4.0, abs=1e-6)


def test_cold_water_gives_less() -> None:
    warm, cold = point(single(temperature_c=25.0)), point(single(temperature_c=4.0))
    assert cold.flow_m3s.value < point(single()).flow_m3s.value < warm.flow_m3s.value


def test_a_valve_by_k_kv_or_cv_is_the_same() -> None:
    inside = 0.057
    area = 3.141592653589793 * inside**2 / 4
    kv = area * 3600 * (200 / 12.0) ** 0.5
    flows = [
        point(single(valve=ValveSet(**said))).flow_m3s.value
        for said in ({"k": 12.0}, {"kv_m3h": kv}, {"cv": kv / 0.8649776})
    ]
    assert flows[0] == pytest.approx(flows[1], rel=1e-9)
    assert flows[0] == pytest.approx(flows[2], rel=1e-5)


def test_a_throttled_run_is_told_by_its_measured_flow() -> None:
    """A valve shut by K 40 that the file does not know of, found again from the flow alone."""
    throttled = point(single(valve=ValveSet(k=40.0))).flow_m3s.value
    found = point(single(measured_m3s=throttled)).measured
    assert found is not None
    assert found.verdict == "less"
    assert found.extra_k == pytest.approx(40.0, rel=0.1)  # the water on the crest stands a little lower
    as_drawn = point(single(measured_m3s=point(single()).flow_m3s.value)).measured
    assert as_drawn is not None
    assert as_drawn.verdict == "as drawn"


def test_a_measured_flow_of_a_branching_run() -> None:
    """All valves open, what it brings is as drawn; half of it is not."""
    brings = point(branching(HEAD, STONE)).flow_m3s.value
    drawn, half = (point(branching(HEAD, STONE, measured_m3s=share * brings)).measured for share in (1.0, 0.5))
    assert drawn is not None
    assert half is not None
    assert (drawn.verdict, half.verdict) == ("as drawn", "less")
    assert drawn.gap_m.value == pytest.approx(0.0, abs=1e-3)


def test_an_outlet_under_water_that_would_feed_the_others_says_so() -> None:
    weak = pump((0.0, 0.7), (0.004, 0.0), two_numbers=True)
    high, low = outlet("high", "pond", 0.001, 2.0, under_water=True), outlet("low", "pond", 0.001, 0.2)
    found = solved(branching(high, low, drawn=four_drops(pump=weak)))
    assert found.circuit.outlets[0].flow_m3s.value == 0.0
    assert found.circuit.outlets[1].flow_m3s.value == pytest.approx(found.circuit.flow_m3s.value)
    assert any("outlet high would run back" in note for note in found.out_of_range)


def test_the_main_valve_takes_the_run_back_to_what_is_wanted() -> None:
    found = point(single(wanted_m3s=0.0025))
    assert found.main_valve is not None
    assert found.main_valve.valve_k == pytest.approx(
        throttle(found.main_valve.spare_m, flow_m3s=0.0025, inside_m=0.057), rel=1e-9
    )
    turned = point(single(wanted_m3s=0.0025, valve=ValveSet(k=found.main_valve.valve_k)))
    assert turned.flow_m3s.value == pytest.approx(0.0025, rel=2e-2)
    assert point(single(wanted_m3s=0.02)).main_valve is None


def test_a_duty_of_a_branching_run_without_a_pump() -> None:
    found = circuit(branching(HEAD, STONE, drawn=four_drops(pump=None)))
    ran = found.pumps[0]
    assert ran.proposed
    assert ran.duty_flow_m3s == pytest.approx(1.25 * 0.0019)
    assert ran.duty_head_m > 1.0
    assert [out.flow_m3s.value for out in found.outlets] == pytest.approx([0.0015, 0.0004])


def test_the_highest_point_of_one_outlets_pipe() -> None:
    """The stone's pipe goes over a wall at 1.5 m: a siphon to 0.35 m, primed by the head where the outlets part."""
    flat = circuit(branching(HEAD, STONE)).outlets[1]
    over, high = (circuit(branching(HEAD, replace(STONE, summit=level(top)))).outlets[1] for top in (1.5, 4.0))
    assert flat.summit is None
    assert over.summit is not None
    assert high.summit is not None
    assert over.flow_m3s == flat.flow_m3s  # a full siphon gives back what it lifts
    speed = over.flow_m3s.value / (math.pi * NARROW.inside_m**2 / 4)
    assert over.summit.pressure_m.value == pytest.approx(0.35 - 1.5 - speed**2 / (2 * 9.80665), abs=1e-6)
    assert high.summit.spare_m.value == pytest.approx(over.summit.spare_m.value - 2.5, abs=1e-6)
    assert over.summit.prime_m is not None
    assert high.summit.prime_m is not None
    assert high.summit.prime_m == pytest.approx(over.summit.prime_m - 2.5, abs=1e-6)
    assert over.summit.prime_m < 5.0 - 1.6  # less than with the other outlet shut
    alone = circuit(branching(replace(HEAD, level=level(4.8)), replace(STONE, summit=level(1.5)))).outlets[1].summit
    assert alone is not None
    assert alone.prime_m is not None
    assert alone.prime_m > over.summit.prime_m
