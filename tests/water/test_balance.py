"""Water is neither made nor lost at start and stop, for both ways of holding the level."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape.sample import PIPE, body, buried, feature, four_drops, oval, pump, run, stream, two_streams

from rillwright.feature import Feature, Holding, IntakeKind
from rillwright.shape import Shape, shape, volume_at
from rillwright.water import Water, water

ALL = [
    pytest.param(four_drops(), id="four drops, while running"),
    pytest.param(four_drops(holding=Holding.AT_REST), id="four drops, at rest"),
    pytest.param(buried(), id="buried"),
    pytest.param(two_streams(), id="two streams"),
]


def solved(drawn: Feature) -> tuple[Shape, Water]:
    drawn_shape = shape(drawn)
    return drawn_shape, water(drawn, drawn_shape)


@pytest.mark.parametrize("drawn", ALL)
def test_what_the_pond_loses_is_in_transit(drawn: Feature) -> None:
    shaped, found = solved(drawn)
    pond = shaped.pond(found.balance.body)
    running = volume_at(pond, found.balance.running_level_m.value)
    stopped = volume_at(pond, found.balance.stop_level_m.value)
    assert stopped - running == pytest.approx(found.balance.transit_m3.value, abs=1e-9)
    topped_up = volume_at(pond, found.balance.topped_up_stop_level_m.value)
    assert topped_up - volume_at(pond, found.balance.held_m) == pytest.approx(found.balance.transit_m3.value, abs=1e-9)


@pytest.mark.parametrize("drawn", ALL)
def test_transit_is_the_sum_of_the_reaches(drawn: Feature) -> None:
    _, found = solved(drawn)
    held = sum(reach.above_rest_m3 + reach.gravel_m3 for reach in found.reaches)
    assert found.balance.transit_m3.value == pytest.approx(held, rel=1e-4)


def test_the_two_ways_of_holding_differ_by_the_water_in_transit() -> None:
    """The outlet ends in the air and the lift's own change is small, so the streams hold nearly the same."""
    shaped, resting = solved(four_drops(holding=Holding.AT_REST))
    _, running = solved(four_drops(holding=Holding.WHILE_RUNNING))
    pond = shaped.pond("pond")
    assert resting.balance.held_m == running.balance.held_m
    assert resting.balance.stop_level_m.value == resting.balance.held_m
    assert running.balance.running_level_m.value == running.balance.held_m
    for low, high, transit in (
        (resting.balance.running_level_m, running.balance.running_level_m, resting.balance.transit_m3),
        (resting.balance.stop_level_m, running.balance.stop_level_m, running.balance.transit_m3),
    ):
        assert volume_at(pond, high.value) - volume_at(pond, low.value) == pytest.approx(transit.value, abs=1e-9)
    assert resting.balance.transit_m3.value < running.balance.transit_m3.value  # it lifts from lower


@given(
    length=st.floats(1.2, 8.0),
    width=st.floats(1.0, 5.0),
    most=st.floats(5e-4, 2e-2),
    holding=st.sampled_from(Holding),
)
def test_conserved_in_any_pond(length: float, width: float, most: float, holding: Holding) -> None:
    pond = replace(body(oval(length, width)), holding=holding)
    brook = stream(into=pond)
    drawn = feature(
        bodies=(pond,),
        streams=(brook,),
        runs=(run(outlet_level=brook.falls[0].crest, pump=pump((0.0, 4.0), (most, 0.0), two_numbers=True)),),
    )
    shaped, found = solved(drawn)
    before = volume_at(shaped.pond("pond"), found.balance.stop_level_m.value)
    after = volume_at(shaped.pond("pond"), found.balance.running_level_m.value)
    assert before - after == pytest.approx(min(found.balance.transit_m3.value, before), abs=1e-9)


def test_a_pipe_without_a_check_valve_empties_too() -> None:
    drawn = four_drops(pump=None)
    plain = solved(drawn)[1].balance.transit_m3.value
    empties = replace(drawn, runs=(replace(drawn.runs[0], check_valve=False),))
    assert solved(empties)[1].balance.transit_m3.value - plain == pytest.approx(
        math.pi / 4 * PIPE.inside_m**2 * PIPE.length_m, abs=1e-9
    )


def test_a_reservoir_drops_by_its_voids() -> None:
    """2.0 x 1.2 m upright, four fifths voids: the stop level is held level + transit / (2.4 x 0.8)."""
    _, found = solved(buried())
    assert found.balance.drop_at_start_m.value == pytest.approx(found.balance.transit_m3.value / 1.92, rel=1e-9)


def test_what_is_left_if_the_stream_leaks() -> None:
    """A skimmer gives up at its lowest level; from a pit in the floor the pump empties the pond."""
    drawn = four_drops()
    pit = replace(drawn.bodies[0], intake=replace(drawn.bodies[0].intake, kind=IntakeKind.PIT))
    shaped, skimmed = solved(drawn)
    emptied = solved(replace(drawn, bodies=(pit,)))[1]
    assert skimmed.balance.left_if_stream_leaks_m == pytest.approx(-0.25)
    assert emptied.balance.left_if_stream_leaks_m == pytest.approx(-0.70)
    assert volume_at(shaped.pond("pond"), -0.70) == 0.0


def test_more_water_in_transit_drops_the_pond_further() -> None:
    drops = []
    for crest_width in (0.8, 0.4, 0.2):
        pond = body(oval(4.0, 3.0))
        brook = stream(into=pond, crest_width_m=crest_width)
        drawn = feature(bodies=(pond,), streams=(brook,), runs=(run(outlet_level=brook.falls[0].crest, pump=None),))
        drops.append(solved(drawn)[1].balance.drop_at_start_m.value)
    assert drops[0] < drops[1] < drops[2]
