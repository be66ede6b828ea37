"""Reaches and crests: backwater, slides against a computed row, gravel, what the formula cannot say."""

from __future__ import annotations

from typing import NamedTuple

import pytest
from msgspec.structs import replace
from tests.published.rows import Row, check
from tests.shape.sample import body, feature, four_drops, level, oval, run, stream, two_streams

from rillwright.errors import NoAnswer
from rillwright.feature import CrestStone, Fall, FallKind, Feature, Reach
from rillwright.hydraulics import rand_drop
from rillwright.shape import shape
from rillwright.units import Band
from rillwright.water import Water, water
from rillwright.water.network import link_flows
from rillwright.water.places import places
from rillwright.water.reaches import reach_band


def solved(drawn: Feature) -> Water:
    return water(drawn, shape(drawn))


def changed(drawn: Feature, **fall: object) -> Feature:
    """The feature with all its falls changed alike."""
    streams = []
    for one in drawn.streams:
        links: list[Reach | Fall] = []
        for link in one.links:
            links.append(link if isinstance(link, Reach) else replace(link, **fall))
        streams.append(replace(one, links=tuple(links)))
    return replace(drawn, streams=tuple(streams))


def slide(grain_d84_m: float) -> Feature:
    """One bed of 10 m at 5 %, 0.6 m wide, 5 L/s, without gravel over the liner; its crest lies well below."""
    pond = body(oval(6.0, 4.0))
    one = stream(into=pond, drops_m=(), last_m=0.30, reach_m=10.0, crest_width_m=0.60)
    bed, fall = one.links
    assert isinstance(bed, Reach)
    assert isinstance(fall, Fall)
    bed = replace(bed, pitch_m=0.5, bed_start=level(1.0), bed_end=level(0.5), gravel_m=0.0, grain_m=grain_d84_m / 1.5)
    fall = replace(fall, crest=level(0.40))
    drawn = replace(one, links=(bed, fall), head=level(1.0))
    return feature(bodies=(pond,), streams=(drawn,), runs=(run(outlet_level=level(1.0), pump=None, wanted_m3s=0.005),))


FERGUSON = (
    "Ferguson 2007, Water Resources Research 43, W05427, variable power equation with a1 6.5, a2 2.5 (form seen in the "
    "abstract and public code); normal depth in a rectangle 0.6 wide, 5 L/s, slope 0.05, computed outside this code"
)


class There(NamedTuple):
    depth: float
    speed: float


def half_way(drawn: Feature) -> There:
    """Depth [m] and speed [m/s] half way down a slide, where it runs at normal depth: the brink draws its end down."""
    found = solved(drawn).reaches[0].profile
    assert found is not None
    middle = len(found.stations_m) // 2
    return There(found.depths_m[middle].value, found.speeds_ms[middle].value)


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(Row(lambda: half_way(slide(0.05)).depth, "0.0388", FERGUSON), id="d84 50 mm"),
        pytest.param(Row(lambda: half_way(slide(0.10)).depth, "0.0520", FERGUSON), id="d84 100 mm"),
        pytest.param(Row(lambda: half_way(slide(0.05)).speed, "0.215", FERGUSON), id="speed"),
        pytest.param(
            Row(lambda: solved(slide(0.10)).balance.transit_m3.value / 10.0 * 20.0, "0.62", FERGUSON + "; over 20 m"),
            id="transit d84 100 mm",
        ),
    ],
)
def test_slide(row: Row) -> None:
    check(row)


def test_a_slide_is_not_pool_like_and_drains_dry() -> None:
    found = solved(slide(0.05)).reaches[0]
    assert not found.pool_like
    assert found.rest_level_m is None
    assert "slide" in found.method
    assert found.profile is not None
    assert found.profile.control == "critical depth at the lower end"
    critical = ((0.005 / 0.6) ** 2 / 9.80665) ** (1 / 3)
    assert found.running_end_m.value == pytest.approx(0.5 + critical, rel=1e-9)
    assert found.running_start_m.value == pytest.approx(1.0 + 0.03881, abs=1e-4)


def test_a_pool_rests_at_its_crest_and_runs_above_it() -> None:
    for reach, crest in zip(solved(four_drops()).reaches, solved(four_drops()).crests, strict=True):
        assert reach.pool_like
        assert reach.rest_level_m is not None
        assert reach.running_end_m.value == pytest.approx(reach.rest_level_m + crest.depth_m.value)
        assert reach.running_start_m.value >= reach.running_end_m.value


def test_a_wider_crest_carries_less_water() -> None:
    depths = [
        solved(changed(four_drops(pump=None), crest_width_m=width)).crests[0].depth_m.value for width in (0.2, 0.4, 0.8)
    ]
    assert depths[0] > depths[1] > depths[2]
    assert depths[0] / depths[2] == pytest.approx(4 ** (2 / 3))


def test_unsealed_stones_let_the_gravel_carry_its_part() -> None:
    """20 mm gravel, 75 mm thick, 0.6 wide, 0.20 m down in 2 m between two crests. Ergun with porosity 0.40 and
    water at 20 degC: 0.1 = 0.2156 v + 83.65 v^2 gives v = 33.31 mm/s, 1.5 of the 2.5 L/s."""
    open_stones = solved(changed(four_drops(pump=None), sealed=False))
    reach = open_stones.reaches[2]
    viscous = 150 * 1.0034e-6 * 0.6**2 / (9.80665 * 0.020**2 * 0.4**3)
    inertial = 1.75 * 0.6 / (9.80665 * 0.020 * 0.4**3)
    slope = 0.20 / 2.0
    speed = (-viscous + (viscous**2 + 4 * inertial * slope) ** 0.5) / (2 * inertial)
    assert reach.hidden.value == pytest.approx(0.6 * 0.075 * speed / 0.0025, rel=1e-3)
    assert open_stones.crests[2].flow_m3s.value == pytest.approx(0.0025 - 0.6 * 0.075 * speed, rel=1e-3)
    assert reach.rest_level_m is None
    assert reach.gravel_m3 == pytest.approx(0.40 * 2.0 * 0.6 * 0.075)
    sealed = solved(four_drops(pump=None))
    assert sealed.reaches[2].hidden.value < 0.05
    assert sealed.crests[2].flow_m3s.value == pytest.approx(0.0025)


def test_all_of_a_trickle_runs_in_the_gravel() -> None:
    drawn = changed(four_drops(pump=None), sealed=False)
    found = solved(replace(drawn, runs=(replace(drawn.runs[0], wanted_m3s=0.0005),)))
    assert found.reaches[1].hidden.value == 1.0
    assert found.crests[1].depth_m.value == 0.0
    assert found.crests[1].throw_m is None
    assert any(note.startswith("reaches/stream-r2:") for note in found.out_of_range)


def test_gravel_above_a_sealed_crest_drains_to_it() -> None:
    """Stones 20 mm below their beds: that much gravel drains at stop, 0.40 of 1.2 m2 x 0.020."""
    pond = body(oval(4.0, 3.0))
    brook = stream(into=pond, stone_above_bed_m=-0.020)
    found = solved(feature(bodies=(pond,), streams=(brook,), runs=(run(outlet_level=brook.falls[0].crest, pump=None),)))
    assert found.reaches[0].gravel_m3 == pytest.approx(0.40 * 1.2 * 0.020)
    assert found.reaches[0].rest_level_m is None
    assert found.reaches[0].above_rest_m3 > 0.0


def test_the_profile_of_a_pool_stands_up_from_its_crest() -> None:
    """Levels fall along the reach, energy as well; the mean of the depths is what is told of the whole reach."""
    for reach in solved(four_drops(pump=None)).reaches:
        found = reach.profile
        assert found is not None
        assert len(found.stations_m) == len(found.depths_m) == 9
        assert found.levels_m[0] == reach.running_start_m
        assert found.levels_m[-1] == reach.running_end_m
        energies = list(found.energies_m)
        assert energies == sorted(energies, reverse=True)
        assert max(found.froudes) < 0.3
        assert found.jumps_m == ()
        depths = [depth.value for depth in found.depths_m]
        mean = (0.5 * (depths[0] + depths[-1]) + sum(depths[1:-1])) / 8
        assert reach.depth_m.value == pytest.approx(mean)
        assert all(depth.low <= depth.value <= depth.high for depth in found.depths_m)


def test_the_band_of_a_slide_carries_the_scatter_of_its_law() -> None:
    """Speeds half or twice: over a wide rough bed Q goes about with y^2.5, so the depth is off by about 2^(1/2.5) =
    1.32 either way, and by 2.5^(1/2.5) = 1.44 upwards, as the valve may let a quarter more through."""
    found = solved(slide(0.05)).reaches[0].profile
    assert found is not None
    assert found.roughness == 2.0
    middle = found.depths_m[len(found.depths_m) // 2]
    assert 1.35 < middle.high / middle.value < 1.6
    assert 1.25 < middle.value / middle.low < 1.45


def test_water_stands_over_a_bed_that_is_pitched_back() -> None:
    pond = body(oval(4.0, 3.0))
    brook = stream(into=pond)
    links = tuple(
        replace(link, bed_start=level(link.bed_end.m - 0.03), pitch_m=-0.03) if isinstance(link, Reach) else link
        for link in brook.links
    )
    drawn = feature(
        bodies=(pond,),
        streams=(replace(brook, links=links),),
        runs=(run(outlet_level=brook.falls[0].crest, pump=None),),
    )
    for reach in solved(drawn).reaches:
        assert reach.profile is not None
        assert reach.profile.depths_m[0].value > reach.profile.depths_m[-1].value
        assert reach.running_start_m.value == pytest.approx(reach.running_end_m.value, abs=1e-3)


def test_gravel_moves_on_a_slide_and_stays_in_a_pool() -> None:
    """On the slide of 5 % the pull is rho g R S: R 0.0388 x 0.6 / 0.6776 = 34.4 mm, 16.8 Pa; by Shields at 0.047
    (from memory) 22 mm just stays."""
    pool = solved(four_drops(pump=None)).reaches[1].moving
    assert pool is not None
    assert pool.share.high < 0.5
    drawn = slide(0.05)
    one = drawn.streams[0]
    bed = one.links[0]
    assert isinstance(bed, Reach)
    laid = replace(drawn, streams=(replace(one, links=(replace(bed, gravel_m=0.02), *one.links[1:])),))
    moving = solved(laid).reaches[0].moving
    assert moving is not None
    assert moving.stays_m.value > 0.020
    assert moving.stays_m.low < moving.stays_m.value < moving.stays_m.high
    assert solved(drawn).reaches[0].moving is None  # no gravel is laid


def test_stone_that_stays_where_a_sheet_lands() -> None:
    """Isbash with 0.86 for what the pool leaves of the sheet's speed, u/u0 = 2.28 (b/x)^0.5 (Albertson 1950, from
    memory): of 2.0 m/s, 3.1 mm thick in 77 mm of water, 0.92 m/s and 35 mm."""
    found = solved(four_drops(pump=None))
    impact = found.impacts[1]
    sheet = 0.0025 / 0.40 / impact.speed_ms
    left = impact.speed_ms * 2.28 * (sheet / impact.pool_m.value) ** 0.5
    assert impact.left_ms.value == pytest.approx(left)
    assert impact.stone_m.value == pytest.approx(left**2 / 0.86**2 / (2 * 9.80665 * 1.65))
    assert impact.stone_m.low < impact.stone_m.value <= impact.stone_m.high
    last = found.impacts[-1]
    assert last.grain_m is None
    assert last.left_ms.value < last.speed_ms


def test_pools_drown_the_jump_at_the_foot_of_a_fall() -> None:
    """So no shooting water runs into a pool: Rand's sequent depth (1955) lies below the water that stands there."""
    found = solved(four_drops(pump=None))
    for impact, crest in zip(found.impacts[:-1], found.crests[:-1], strict=True):
        drop = rand_drop(crest.flow_m3s.value / crest.width_m, crest.fall_height_m.value + impact.pool_m.value)
        assert drop.sequent_depth_m < impact.pool_m.value


def test_leaves_on_a_slide_dam_its_upper_end_as_well() -> None:
    place = places(slide(0.05))[0]
    flow = Band.exact(0.005)
    clean, dammed = (reach_band(place, flow, dam_m=dam) for dam in (0.0, 0.0254))
    over = (0.005 / (1.6375 * 0.6)) ** (2 / 3)
    assert dammed.usual.levels_m[0] == pytest.approx(1.0 + 0.0254 + over)
    assert dammed.usual.levels_m[0] > clean.usual.levels_m[0]
    middle = len(clean.usual.levels_m) // 2
    assert dammed.usual.levels_m[middle] == pytest.approx(clean.usual.levels_m[middle], abs=1e-4)


def test_only_free_falls_are_thrown() -> None:
    for kind in (FallKind.STACKED, FallKind.SLIDE):
        crest = solved(changed(four_drops(), kind=kind)).crests[0]
        assert (crest.kind, crest.throw_m, crest.impact_ms) == (kind.value, None, None)
    assert solved(four_drops()).crests[0].throw_m is not None


def test_a_quarter_inch_out_of_level_gives_one_end_most() -> None:
    """18.0 mm of water, 6.35 mm out: ((18 + 3.175)/(18 - 3.175))^1.5 = 1.71; common practice, no source: '1.7'."""
    flow = 1.6375 * 0.40 * 0.018**1.5
    drawn = changed(four_drops(pump=None), tilt_m=0.00635)
    found = solved(replace(drawn, runs=(replace(drawn.runs[0], wanted_m3s=flow),)))
    assert found.crests[0].tilt_ratio == pytest.approx(1.71, abs=0.005)
    dry = solved(changed(drawn, tilt_m=0.080))
    assert dry.crests[0].tilt_ratio is not None
    assert dry.crests[0].tilt_ratio > 100.0


def test_flows_join_where_runs_end() -> None:
    """Run 2 ends in the second reach of the left stream: the first carries run 1 alone, all below it carry both."""
    drawn = two_streams()
    flows = link_flows(drawn, {"run1": 0.004, "run2": 0.003, "run3": 0.002})
    assert flows["left-r1"] == flows["left-f1"] == 0.004
    assert [flows["left-r2"], flows["left-f4"]] == pytest.approx([0.007, 0.007])
    assert flows["right-r1"] == flows["right-f2"] == 0.002


def test_streams_in_a_ring_have_no_answer() -> None:
    drawn = two_streams()
    left, right = drawn.streams
    first, *rest = left.links
    ring = replace(left, links=(replace(first, upstream="pond"), *rest))
    with pytest.raises(NoAnswer, match="ring"):
        link_flows(replace(drawn, streams=(ring, right)), {"run1": 0.004, "run2": 0.003, "run3": 0.002})


def test_a_stream_that_does_not_lead_back_is_told() -> None:
    drawn = two_streams()
    upper = replace(body(oval(2.0, 1.0, centre=(9.0, 0.0)), id="upper"), rims=())
    right = drawn.streams[1]
    lost = replace(right, into="upper", links=(*right.links[:-1], replace(right.links[-1], downstream="upper")))
    found = solved(replace(drawn, bodies=(*drawn.bodies, upper), streams=(drawn.streams[0], lost)))
    assert any(note == "runs/run3: the water does not come back to pond" for note in found.out_of_range)
    assert found.pond.body == "pond"


def _stones(*above_m: float) -> Water:
    crest = tuple(CrestStone(width_m=0.40 / len(above_m), above_m=above) for above in above_m)
    return solved(changed(four_drops(pump=None), stones=crest))


def test_stones_at_one_level_are_one_stone() -> None:
    one, two = solved(four_drops(pump=None)), _stones(0.0, 0.0)
    for whole, parts in zip(one.crests, two.crests, strict=True):
        assert parts.depth_m.value == pytest.approx(whole.depth_m.value, rel=1e-6)
        assert [stone.share.value for stone in parts.stones] == [pytest.approx(0.5)] * 2


def test_a_stone_set_high_takes_little_and_a_higher_one_nothing() -> None:
    """2.5 L/s on 0.40 m by C 1.6375: 24.4 mm on level stones; a stone 10 mm up gets less, one 60 mm up none."""
    little, nothing = _stones(0.0, 0.010), _stones(0.0, 0.060)
    assert 0.1 < little.crests[1].stones[1].share.value < 0.4
    assert nothing.crests[1].stones[1].share.value == 0.0
    assert nothing.crests[1].depth_m.value == pytest.approx((0.0025 / (1.6375 * 0.20)) ** (2 / 3), rel=1e-6)


def test_without_gravel_an_unsealed_stone_leaks_by_its_joint() -> None:
    drawn = changed(four_drops(pump=None), sealed=False)
    links = [replace(link, gravel_m=0.0) if isinstance(link, Reach) else link for link in drawn.streams[0].links]
    bare = solved(replace(drawn, streams=(replace(drawn.streams[0], links=tuple(links)),)))
    for crest in bare.crests:
        assert crest.under is not None
        assert 0.0 < crest.under.low < crest.under.value < crest.under.high <= 1.0
        assert crest.flow_m3s.value == pytest.approx((1.0 - crest.under.value) * 0.0025, rel=1e-6)


def test_stacks_and_slides_say_how_the_water_comes_down() -> None:
    stack = solved(changed(four_drops(pump=None), kind=FallKind.STACKED)).crests[0]
    slab = solved(changed(four_drops(pump=None), kind=FallKind.SLIDE)).crests[0]
    assert stack.cling_radius_m is not None
    assert stack.tread_m is not None
    assert slab.foot_speed_ms is not None
    assert slab.foot_speed_ms.low < slab.foot_speed_ms.value < slab.foot_speed_ms.high
    assert (stack.throw_m, slab.throw_m) == (None, None)
