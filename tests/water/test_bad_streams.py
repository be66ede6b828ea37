"""Streams that cannot be: named errors, or water that stands; nothing hangs."""

from __future__ import annotations

import math
import time
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.shape.sample import four_drops, level
from tests.water.test_reaches import changed, slide

from rillwright.errors import InputError
from rillwright.feature import Fall, Feature, Reach
from rillwright.shape import shape
from rillwright.units import Band
from rillwright.water import Water, water
from rillwright.water.places import places
from rillwright.water.reaches import reach_band, reach_water


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


def test_a_crest_of_no_width_is_named() -> None:
    with pytest.raises(InputError) as refused:
        solved(changed(four_drops(), crest_width_m=0.0))
    assert [problem.field for problem in refused.value.problems] == [
        f"falls/{fall.id}.crest_width" for fall in four_drops().falls
    ]


def test_no_flow_leaves_every_bed_at_rest() -> None:
    drawn = four_drops(pump=None)
    found = solved(replace(drawn, runs=(replace(drawn.runs[0], wanted_m3s=0.0),)))
    for reach in found.reaches:
        assert reach.profile is None
        assert reach.moving is None
        assert reach.running_start_m.value == reach.rest_level_m
        assert reach.above_rest_m3 == 0.0
    assert all(crest.depth_m.value == 0.0 for crest in found.crests)
    assert found.impacts == ()


def test_a_bed_that_climbs_stands_full_up_to_what_it_runs_over() -> None:
    """Half a metre up in two metres: the water stands as a pool, free at its lower end or held by the crest there."""
    drawn = slide(0.05)
    one = drawn.streams[0]
    bed, fall = one.links
    assert isinstance(bed, Reach)
    assert isinstance(fall, Fall)
    links = (
        replace(bed, length_m=2.0, pitch_m=-0.5, bed_start=level(0.5), bed_end=level(1.0)),
        replace(fall, crest=level(1.05)),
    )
    reach = solved(replace(drawn, streams=(replace(one, links=links),))).reaches[0]
    assert reach.profile is not None
    assert reach.running_start_m.value == pytest.approx(reach.running_end_m.value, abs=2e-3)
    assert reach.profile.depths_m[0].value > 0.5


@given(
    st.floats(0.2, 30.0),
    st.floats(-0.5, 0.5),
    st.floats(0.05, 4.0),
    st.sampled_from([0.0, 0.02, 0.3]),
    st.floats(1e-3, 0.2),
    st.sampled_from([-0.5, -0.02, 0.0, 0.1, 0.6]),
    st.booleans(),
    st.floats(-8.0, -1.0),
)
def test_every_reach_has_an_answer_and_soon(
    length: float, slope: float, width: float, gravel: float, grain: float, stone: float, sealed: bool, power: float
) -> None:
    drawn = slide(0.05)
    one = drawn.streams[0]
    bed, fall = one.links
    assert isinstance(bed, Reach)
    assert isinstance(fall, Fall)
    end = 1.0 - slope * length
    bed = replace(
        bed, length_m=length, bed_end=level(end), width_m=width, gravel_m=gravel, grain_m=grain
    )  # the start stays at 1 m
    fall = replace(fall, crest=level(end + stone), sealed=sealed, crest_width_m=0.6 * width)
    place = places(replace(drawn, streams=(replace(one, links=(bed, fall)),)))[0]
    flow = 10.0**power
    began = time.thread_time()
    found = reach_water(reach_band(place, Band(flow, 0.7 * flow, 1.3 * flow)))
    assert time.thread_time() - began < 5.0
    assert math.isfinite(found.running_start_m.high)
    assert math.isfinite(found.speed_ms.high)
    assert 0.0 <= found.hidden.low <= found.hidden.high <= 1.0
    if found.profile is not None:
        energies = list(found.profile.energies_m)
        assert all(below <= above + 1e-9 for above, below in pairwise(energies))
