"""The circuit: exact cases, what must only rise or fall, pipes, sums, a pump that cannot lift."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape.sample import TWO_NUMBERS, buried, four_drops, level, pump, two_streams

from rillwright.errors import InputError
from rillwright.feature import Fall, Feature, Holding, LimitOverride, Pipe, Pump, Run, ValveSet
from rillwright.shape import shape
from rillwright.sources import default
from rillwright.water import Water, water

WIDE = Pipe(name="no loss", inside_m=5.0, length_m=1e-3, roughness_m=0.0, source="invented")


def with_run(drawn: Feature, **more: object) -> Feature:
    changed: Run = replace(drawn.runs[0], **more)
    return replace(drawn, runs=(changed,))


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


@given(shut_off=st.floats(1.4, 9.0), most=st.floats(1e-4, 2e-2))
def test_two_numbers_without_loss_are_exact(shut_off: float, most: float) -> None:
    """H0 (1 - (Q/Qmax)^2) = lift, so Q = Qmax sqrt(1 - lift/H0); the pipe ends in air at 1.10, over any water that runs
    there; water is held at -0.10."""
    drawn = with_run(
        four_drops(pump=pump((0.0, shut_off), (most, 0.0), two_numbers=True)),
        pipe=WIDE,
        fittings=(),
        outlet_level=level(1.10),
        outlet_under_water=False,
    )
    circuit = solved(drawn).circuit
    assert circuit.flow_m3s.value == pytest.approx(most * math.sqrt(1.0 - 1.2 / shut_off), rel=1e-6)
    assert circuit.flow_m3s.low == pytest.approx(most * (1.0 - 1.2 / shut_off) ** (1 / 1.5), rel=1e-6)
    assert circuit.flow_m3s.high == pytest.approx(most * (1.0 - 1.2 / shut_off) ** (1 / 2.5), rel=1e-6)
    assert circuit.head_m.value == pytest.approx(1.2, rel=1e-6)


def test_three_points_are_a_power_law_and_four_are_segments() -> None:
    """EPANET 2.2: 0, 8; 5, 6; 10, 0 is 8 - 0.08 Q^2, 6.0 m and 5 L/s; with a fourth point straight between its own."""
    three = pump((0.0, 8.0), (0.005, 6.0), (0.010, 0.0))
    four = pump((0.0, 8.0), (0.004, 7.0), (0.006, 5.0), (0.010, 0.0))
    for given_pump, flow in ((three, 0.005), (four, 0.005)):
        drawn = with_run(
            four_drops(pump=given_pump), pipe=WIDE, fittings=(), outlet_level=level(5.9), outlet_under_water=False
        )
        assert solved(drawn).circuit.flow_m3s.value == pytest.approx(flow, rel=1e-6)


def test_more_lift_less_flow() -> None:
    flows = [
        solved(with_run(four_drops(), outlet_level=level(0.85 + lift))).circuit.flow_m3s.value
        for lift in (0.0, 0.5, 1.0, 2.0, 3.0, 3.9)
    ]
    assert flows == sorted(flows, reverse=True)
    assert len(set(flows)) == len(flows)


def test_a_longer_pipe_gives_less() -> None:
    pipe = four_drops().runs[0].pipe
    assert pipe is not None
    flows = [
        solved(with_run(four_drops(), pipe=replace(pipe, length_m=length))).circuit.flow_m3s.value
        for length in (1.0, 10.0, 50.0)
    ]
    assert flows[0] > flows[1] > flows[2]


@pytest.mark.parametrize("holding", list(Holding))
def test_a_pump_that_cannot_lift_is_told_and_not_refused(holding: Holding) -> None:
    found = solved(four_drops(pump=pump((0.0, 0.9), (0.006, 0.0), two_numbers=True), holding=holding))
    assert found.circuit.flow_m3s.value == 0.0
    assert found.circuit.head_m.value == 0.9
    assert found.balance.transit_m3.value == 0.0
    assert found.pond.turnover_h is None
    assert any(note.startswith("runs/run:") and "shut-off" in note for note in found.out_of_range)
    assert all(crest.depth_m.value == 0.0 and crest.throw_m is None for crest in found.crests)


@given(shut_off=st.floats(0.90, 1.10), most=st.floats(1e-3, 3e-2), holding=st.sampled_from(Holding))
def test_settles_where_the_pump_can_barely_lift(shut_off: float, most: float, holding: Holding) -> None:
    found = solved(four_drops(pump=pump((0.0, shut_off), (most, 0.0), two_numbers=True), holding=holding))
    point = found.circuit.pumps[0]
    if point.flow_m3s.value > 0.0:
        assert point.head_m.value == pytest.approx(point.static_m + point.friction_m, abs=1e-6)


def test_smallest_pipe_that_keeps_five_feet_a_second() -> None:
    """3 L/s of duty, 2.4 wanted: 1.524 m/s asks for 50.1 mm inside.
    Schedule 40 of 2 in has 51.99 mm (ASTM D1785, average); of the metric
    ones 63 mm SDR 17 is the first above it."""
    wanted = with_run(four_drops(pump=None), pipe=None, wanted_m3s=0.0024)
    inch, metric = solved(replace(wanted, system="us")).circuit, solved(wanted).circuit
    assert inch.pumps[0].pipe.startswith("2 in")
    assert inch.pumps[0].pipe_inside_m == pytest.approx(0.05199, abs=5e-6)
    assert metric.pumps[0].pipe.startswith("63 mm")
    assert metric.pumps[0].speed_ms < 1.524
    slower = replace(wanted, system="us", overrides=(LimitOverride(limit="pipe.speed", value=1.0, reason="quiet"),))
    assert solved(slower).circuit.pumps[0].pipe.startswith("3 in")


def test_a_given_pump_gets_a_pipe_for_what_it_pumps() -> None:
    strong = solved(with_run(four_drops(pump=pump((0.0, 9.0), (0.02, 0.0), two_numbers=True)), pipe=None))
    assert strong.circuit.pumps[0].speed_ms <= 1.524


@given(
    wanted=st.floats(3e-4, 8e-3),
    lift=st.floats(0.0, 4.0),
    length=st.floats(3.0, 40.0),
    steep=st.floats(0.05, 3.0),
    drawn=st.sampled_from([four_drops(pump=None), buried()]),
)
def test_a_pump_through_the_duty_that_was_advised_passes(
    wanted: float, lift: float, length: float, steep: float, drawn: Feature
) -> None:
    """What the papers advise, done to the letter, brings a quarter more than wanted, however the curve falls."""
    first = drawn.runs[0]
    outlet = level(first.outlet_level.m + lift)
    asked = with_run(drawn, pipe=None, wanted_m3s=wanted, outlet_level=outlet, pipe_length_m=length)
    found = solved(asked).circuit.pumps[0]
    flow, head = found.duty_flow_m3s, found.duty_head_m
    curve = ((0.0, head * (1.0 + steep)), (flow, head), (2.0 * flow, head * 0.5 / (1.0 + steep)))
    points = (*curve, (2.5 * flow, 0.0))  # four points: straight from one to the next, so just through the duty
    chosen = with_run(asked, pump=pump(*points), pipe=Pipe(
        name=found.pipe, inside_m=found.pipe_inside_m, length_m=length, roughness_m=default("pipe.roughness").number,
        source="invented",
    ))  # fmt: skip
    got = solved(chosen)
    assert got.circuit.pumps[0].flow_m3s.value == pytest.approx(flow, rel=1e-4)
    assert got.circuit.pumps[0].flow_m3s.low > wanted
    assert solved(with_run(asked, pump=pump(*points))).circuit.pumps[0].pipe == found.pipe


def test_watts_on_the_box_are_taken() -> None:
    told = solved(four_drops(pump=pump((0.0, 5.0), (0.006, 0.0), two_numbers=True, watts=180.0)))
    assert (told.circuit.power_w.low, told.circuit.power_w.high) == (180.0, 180.0)


def test_two_pumps_are_sums_and_the_head_of_the_larger() -> None:
    circuit = solved(two_streams()).circuit
    assert circuit.flow_m3s.value == pytest.approx(sum(pump.flow_m3s.value for pump in circuit.pumps))
    assert circuit.power_w.value == pytest.approx(sum(pump.power_w.value for pump in circuit.pumps))
    assert circuit.head_m == max(circuit.pumps, key=lambda pump: pump.flow_m3s.value).head_m
    assert [outlet.run for outlet in circuit.outlets] == ["run1", "run2", "run3"]


@pytest.mark.parametrize("drawn", [four_drops(), buried(), two_streams()], ids=["four drops", "buried", "two streams"])
def test_every_point_balances_and_lies_in_its_band(drawn: Feature) -> None:
    for point in solved(drawn).circuit.pumps:
        assert point.head_m.value == pytest.approx(point.static_m + point.friction_m, abs=1e-5)
        assert point.flow_m3s.low <= point.flow_m3s.value <= point.flow_m3s.high
        assert point.system_curve[0][1] == pytest.approx(point.static_m)
        heads = [head for _, head in point.pump_curve]
        assert heads == sorted(heads, reverse=True)


def test_a_curve_that_rises_is_refused() -> None:
    rising: Pump = replace(TWO_NUMBERS, two_numbers=False, curve=((0.0, 5.0), (0.003, 5.5)))
    with pytest.raises(InputError, match="fall"):
        solved(four_drops(pump=rising))


@pytest.mark.parametrize("under", [True, False], ids=["under water", "in air"])
def test_the_lift_is_to_the_water_that_runs_there(under: bool) -> None:
    """A pipe that ends at the level of the crest lifts to the water over it, in air or not: Q = C b h^1.5 by the flow
    that is found, C 1.6375, b 0.40 m, and about a millimetre of slope along the bed."""
    found = solved(with_run(four_drops(), outlet_under_water=under))
    flow = found.circuit.flow_m3s.value
    depth = (flow / (1.6375 * 0.40)) ** (2 / 3)
    lift = found.circuit.pumps[0].static_m - (0.85 - found.balance.running_level_m.value)
    assert depth < lift < depth + 1.5e-3
    assert depth > 0.015


@given(end=st.floats(0.70, 1.6))
@settings(max_examples=25, deadline=None)
def test_a_pipe_end_over_the_water_is_lifted_to_and_one_under_it_is_not(end: float) -> None:
    """Wherever below the water its end lies, the pump lifts to that water; over it, to the end."""
    at_crest = solved(with_run(four_drops(), outlet_level=level(0.85))).circuit.pumps[0]
    point = solved(with_run(four_drops(), outlet_level=level(end))).circuit.pumps[0]
    water_m = at_crest.static_m - 0.10
    if end <= water_m:
        assert point.static_m == pytest.approx(at_crest.static_m, abs=1e-5)
        assert point.flow_m3s.value == pytest.approx(at_crest.flow_m3s.value, rel=1e-5)
    else:
        assert point.flow_m3s.value < at_crest.flow_m3s.value
        assert point.static_m == pytest.approx(end + 0.10, abs=0.02)  # the pond falls a little as it starts


def test_more_over_the_crest_for_a_narrower_one_and_so_less_flow() -> None:
    drawn = four_drops()
    found = []
    for width in (0.8, 0.4, 0.2, 0.1):
        narrow = tuple(
            replace(link, crest_width_m=width) if isinstance(link, Fall) else link for link in drawn.streams[0].links
        )
        stream = replace(drawn.streams[0], links=narrow)
        found.append(solved(replace(drawn, streams=(stream,))))
    flows = [each.circuit.flow_m3s.value for each in found]
    depths = [each.crests[0].depth_m.value for each in found]
    assert flows == sorted(flows, reverse=True)
    assert flows[-1] < flows[0]
    assert depths == sorted(depths)


def test_water_with_the_valves_set_is_that_of_a_file_in_which_they_are() -> None:
    """By another way: the K told for the main is put into the file, and all is solved anew."""
    drawn = with_run(four_drops(), wanted_m3s=0.0015)
    told = solved(drawn)
    valve = told.circuit.pumps[0].main_valve
    assert valve is not None
    assert told.as_set is not None
    assert valve.valve_k > 1.0
    turned = solved(with_run(drawn, valve=ValveSet(k=valve.valve_k)))
    assert turned.circuit.flow_m3s.value == pytest.approx(0.0015, rel=1e-4)
    for so, found in zip(told.as_set.crests, turned.crests, strict=True):
        assert so.fall == found.fall
        assert so.depth_m.value == pytest.approx(found.depth_m.value, rel=2e-4)
        assert so.depth_m.value == pytest.approx((so.flow_m3s / (1.6375 * 0.40)) ** (2 / 3), rel=1e-9)
        assert found.depth_m.low - 1e-5 <= so.depth_m.low <= so.depth_m.high <= found.depth_m.high + 1e-5
    for so_reach, reach in zip(told.as_set.reaches, turned.reaches, strict=True):
        assert so_reach.depth_m.value == pytest.approx(reach.depth_m.value, rel=1e-3)
        assert so_reach.depth_m.low <= so_reach.depth_m.value <= so_reach.depth_m.high


def test_no_valve_is_set_where_no_pump_is_chosen() -> None:
    assert solved(four_drops(pump=None)).as_set is None
