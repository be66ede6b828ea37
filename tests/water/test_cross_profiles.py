"""Water between banks of a said side, and what a plunge pool keeps: by printed trapezoids and closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from msgspec.structs import replace
from tests.published.rows import Row, check
from tests.shape.sample import body, feature, four_drops, level, oval, run, stream

from rillwright.errors import NoAnswer
from rillwright.feature import Fall, Feature, Plunge, Reach
from rillwright.hydraulics import Section, by_ferguson, normal_depth
from rillwright.shape import shape
from rillwright.sources import default
from rillwright.water import Water, over_time, water
from rillwright.water.places import Place, places
from rillwright.water.reach import Setting, reach_state

FT = 0.3048
SETTING = Setting(crest="value", open_share=1.0, porosity=0.4)


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


def reworked(drawn: Feature, *, side: float | None = None, pool: Plunge | None = None, **bed: object) -> Feature:
    """The feature with all its beds changed alike, and a plunge pool under its first fall."""
    one = drawn.streams[0]
    links: list[Reach | Fall] = []
    for link in one.links:
        if isinstance(link, Reach):
            links.append(replace(link, side_up_per_across=side, **bed))
        else:
            links.append(replace(link, plunge=pool) if link == one.falls[0] else link)
    return replace(drawn, streams=(replace(one, links=tuple(links)),))


def slide(*, width_m: float, side: float | None, slope: float = 0.05, long_m: float = 10.0) -> Place:
    """One bed of a feature, straight down, with no gravel and nothing that holds the water at its lower end."""
    pond = body(oval(6.0, 4.0))
    one = stream(into=pond, drops_m=(), last_m=0.30, reach_m=long_m, width_m=width_m)
    drawn = feature(bodies=(pond,), streams=(one,), runs=(run(outlet_level=level(1.0), wanted_m3s=0.005),))
    fall = slope * long_m
    made = reworked(
        drawn, side=side, pitch_m=fall, bed_start=level(1.0), bed_end=level(1.0 - fall), gravel_m=0.0, bank_m=1.5
    )
    return replace(places(made)[0], crest=None)


def critical_m(width_m: float, side: float, flow_m3s: float) -> float:
    """Depth at the free lower end of such a bed [m], on a slope too flat for shooting water."""
    profile = reach_state(slide(width_m=width_m, side=side, slope=1e-4), flow_m3s, SETTING).profile
    assert profile is not None
    return profile.depths_m[-1]


CHOW = "chow-1959, the worked trapezoid of 20 ft, 2 to 1, 400 cfs, from memory; 2.1477 computed independently"
LEEDS = "CIVE3415 example sheet 2, Univ. of Leeds, E2.1: width 3 m, sides 1 in 2, 10 m3/s"
PRINTED = {
    "critical depth of a trapezoid, Chow": Row(
        lambda: critical_m(20 * FT, 0.5, 400 * FT**3) / FT, "2.15", CHOW
    ),
    "critical depth of a trapezoid, Leeds": Row(lambda: critical_m(3.0, 0.5, 10.0), "0.86", LEEDS, seen=True),
}  # fmt: skip


@pytest.mark.parametrize("row", PRINTED.values(), ids=PRINTED.keys())
def test_printed_trapezoids_through_a_feature(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("side", [0.5, 1.0, 3.0])
def test_normal_depth_between_leaning_banks(side: float) -> None:
    """Far above its free end a long bed has the uniform flow of the trapezoid, by the other solver."""
    place = slide(width_m=0.4, side=side, slope=0.05, long_m=20.0)
    found = reach_state(place, 0.008, SETTING).profile
    assert found is not None
    law = by_ferguson(default("gravel.d84").number * place.reach.grain_m)
    wanted = normal_depth(0.008, Section(bottom_m=0.4, side_run=1.0 / side), 0.05, law=law).depth_m
    assert found.depths_m[len(found.depths_m) // 2] == pytest.approx(wanted, rel=1e-6)


def test_flatter_banks_let_the_water_stand_lower_and_upright_ones_change_nothing() -> None:
    depths = [
        reach_state(slide(width_m=0.4, side=side), 0.008, SETTING).mean_depth_m for side in (None, math.inf, 2.0, 0.5)
    ]
    assert depths[0] == depths[1]
    assert depths[1] > depths[2] > depths[3]


def test_water_that_comes_and_goes_is_that_of_the_sections() -> None:
    """Volume by end areas along the bed, (b + y / s) y, written out here."""
    side = 1.0
    place = slide(width_m=0.5, side=side)
    state = reach_state(place, 0.010, SETTING)
    areas = [(0.5 + (high - bed) / side) * (high - bed) for high, bed in zip(state.levels_m, place.beds_m, strict=True)]
    ends = sum(0.5 * (a + b) for a, b in pairwise(areas))
    assert state.above_rest_m3 == pytest.approx(ends * place.reach.length_m / place.parts)


@pytest.mark.parametrize("depth", [0.02, 0.06, 0.15])
def test_a_dished_section_by_its_figure(depth: float) -> None:
    """Area, edge, surface and moment of the figure that the water is, by Shapely; drawn at 1 up to 1 across."""
    section = Section(bottom_m=0.6, side_run=1.0, dish_m=0.06)
    bed = shapely.Polygon([(-1.3, 1.06), (-0.3, 0.06), (0.0, 0.0), (0.3, 0.06), (1.3, 1.06)])
    water = shapely.intersection(bed, shapely.box(-2.0, 0.0, 2.0, depth))
    wet, top = section.at(depth), water.bounds[2] - water.bounds[0]
    assert wet.area_m2 == pytest.approx(water.area)
    assert wet.top_m == pytest.approx(top)
    assert wet.perimeter_m == pytest.approx(water.length - top)
    assert section.moment_m3(depth) == pytest.approx(water.area * (depth - water.centroid.y))


def test_critical_depth_in_a_v() -> None:
    """Of a triangle, sides z across to 1 up: yc = (2 Q^2 / (g z^2))^(1/5) (chow-1959, closed form, from memory)."""
    z, flow = 0.5 * 0.8 / 0.4, 0.02
    place = slide(width_m=0.8, side=math.inf, slope=1e-4)
    bed = replace(place.reach, dish_m=0.4)
    profile = reach_state(replace(place, reach=bed), flow, SETTING).profile
    assert profile is not None
    assert profile.depths_m[-1] == pytest.approx((2.0 * flow**2 / (9.80665 * z**2)) ** 0.2, rel=1e-6)
    assert profile.depths_m[-1] < 0.4


def test_water_over_a_dished_bed_comes_and_goes_by_its_sections() -> None:
    place = slide(width_m=0.5, side=1.0)
    dished = replace(place, reach=replace(place.reach, dish_m=0.03))
    state = reach_state(dished, 0.010, SETTING)
    areas = [
        0.5 * 0.5 * 0.03 + (0.5 + (high - bed - 0.03)) * (high - bed - 0.03)
        for high, bed in zip(state.levels_m, dished.beds_m, strict=True)
    ]
    assert min(state.levels_m[i] - bed for i, bed in enumerate(dished.beds_m)) > 0.03
    ends = sum(0.5 * (a + b) for a, b in pairwise(areas))
    assert state.above_rest_m3 == pytest.approx(ends * place.reach.length_m / place.parts)
    assert state.levels_m[3] > reach_state(place, 0.010, SETTING).levels_m[3]


def test_a_pool_between_leaning_banks_gives_more_to_the_pond_at_stop() -> None:
    """Over a level sealed pool of 0.05 m the water rises by dy: (b + (2 y + dy) / s) dy to each metre."""
    upright, leaning = (solved(reworked(four_drops(), side=side)) for side in (None, 1.0))
    assert leaning.balance.transit_m3.value > upright.balance.transit_m3.value
    place = places(reworked(four_drops(), side=1.0))[0]
    state = reach_state(place, upright.circuit.flow_m3s.value, SETTING)
    rise = [high - 0.05 - bed for high, bed in zip(state.levels_m, place.beds_m, strict=True)]
    over = [(0.6 + (0.1 + dy) / 1.0) * dy for dy in rise]
    mean = (0.5 * (over[0] + over[-1]) + sum(over[1:-1])) / (len(over) - 1)
    assert state.above_rest_m3 == pytest.approx(place.reach.length_m * mean)


POOL = Plunge(depth_m=0.20, length_m=0.8)


def test_a_plunge_pool_keeps_its_water_with_the_pump_off() -> None:
    """On level beds it adds nothing to what comes and goes, and keeps its prism."""
    without, with_pool = (solved(reworked(four_drops(), pool=pool)) for pool in (None, POOL))
    kept = [reach.pool_m3 for reach in with_pool.reaches]
    assert kept == pytest.approx([0.0, 0.6 * 0.8 * 0.20, 0.0, 0.0])
    before, after = ({reach.reach: reach.above_rest_m3 for reach in each.reaches} for each in (without, with_pool))
    assert after == before
    assert with_pool.balance.drop_at_start_m.value <= without.balance.drop_at_start_m.value


def test_a_plunge_pool_in_a_bed_that_drains() -> None:
    """Its lower lip holds it; the wedge above the lip goes with the pump: w (d - S L) L kept, w S L^2 / 2 going."""
    falls, long = 0.10, 2.0
    beds = {"pitch_m": falls, "gravel_m": 0.0}
    drawn = [reworked(four_drops(), pool=pool, **beds) for pool in (None, POOL)]
    for number, each in enumerate(drawn):
        links = [
            replace(link, bed_end=level(link.bed_start.m - falls)) if isinstance(link, Reach) else replace(
                link, crest=level(link.crest.m - falls - 0.05), sealed=False
            )
            for link in each.streams[0].links
        ]  # fmt: skip
        drawn[number] = replace(each, streams=(replace(each.streams[0], links=tuple(links)),))
    rows = [places(each)[1] for each in drawn]
    assert rows[1].rest_m is None
    bare, pooled = (reach_state(place, 0.003, SETTING) for place in rows)
    slope = falls / long
    assert pooled.above_rest_m3 - bare.above_rest_m3 == pytest.approx(0.6 * slope * 0.8**2 / 2)
    kept = solved(drawn[1]).reaches[1].pool_m3
    assert kept == pytest.approx(0.6 * 0.8 * (0.20 - slope * 0.8))


def test_a_sheet_that_lands_in_a_plunge_pool_comes_to_its_floor_slower() -> None:
    """By the depth that is dug there; one that jumps over the pool lands on the bed as before."""
    short = Plunge(depth_m=0.20, length_m=0.02)
    bare, pooled, jumped = (solved(reworked(four_drops(), pool=pool)).impacts[0] for pool in (None, POOL, short))
    assert pooled.pool_m.value - bare.pool_m.value == pytest.approx(0.20)
    assert pooled.left_ms.value < bare.left_ms.value
    assert jumped == bare


def test_over_time_leaning_banks_are_not_followed_and_that_is_said() -> None:
    for drawn, why in (
        (reworked(four_drops(), side=1.0), "lean back"),
        (reworked(four_drops(), dish_m=0.03), "is dished"),
    ):
        with pytest.raises(NoAnswer, match=why):
            over_time(drawn, shape(drawn), solved(drawn))
