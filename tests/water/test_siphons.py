"""What runs back at stop out of a bed in which a pipe ends under water, by closed form."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape.sample import four_drops, level

from rillwright.feature import Feature
from rillwright.shape import shape
from rillwright.water import Water, water


def deep(*, check_valve: bool, mouth_m: float | None = None, under_water: bool = True) -> Feature:
    """Four level beds of 2.0 by 0.6 m whose crests stand 0.1 m over them; a pipe ends in the first, so far over it."""
    drawn = four_drops()
    brook = drawn.streams[0]
    raised = tuple(
        replace(link, crest=level(link.crest.m + 0.05), sealed=True) if link in brook.falls else link
        for link in brook.links
    )
    brook = replace(brook, links=raised)
    bed = brook.reaches[0].bed_start.m
    run = replace(
        drawn.runs[0],
        check_valve=check_valve,
        outlet_under_water=under_water,
        outlet_level=level(bed + (0.0 if mouth_m is None else mouth_m)),
    )
    return replace(drawn, streams=(brook,), runs=(run,))


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


def test_the_bed_runs_back_down_to_the_end_of_the_pipe() -> None:
    """A level bed of 2.0 m by 0.6 m: its water at rest less that under the pipe's end, 0.03 m over the bed."""
    drawn = deep(check_valve=False, mouth_m=0.03)
    bed, crest = drawn.streams[0].reaches[0], drawn.streams[0].falls[0].crest.m
    (siphon,) = solved(drawn).siphons
    assert siphon.back_m3 == pytest.approx(2.0 * 0.6 * (crest - bed.bed_start.m - 0.03), rel=1e-9)
    assert (siphon.bed, siphon.body) == (bed.id, "pond")


def test_it_is_counted_with_what_the_pond_gives() -> None:
    with_valve, without = solved(deep(check_valve=True)), solved(deep(check_valve=False))
    pipe = deep(check_valve=False).runs[0]
    assert pipe.pipe is not None
    held = 3.14159265 / 4 * pipe.pipe.inside_m**2 * pipe.pipe_length_m
    more = without.balance.transit_m3.value - with_valve.balance.transit_m3.value
    assert more == pytest.approx(held + without.siphons[0].back_m3, rel=1e-3)


@pytest.mark.parametrize(
    "drawn",
    [deep(check_valve=True), deep(check_valve=False, under_water=False), deep(check_valve=False, mouth_m=0.5)],
    ids=["a check valve", "in the air", "above the water"],
)
def test_nothing_runs_back(drawn: Feature) -> None:
    assert solved(drawn).siphons == ()
