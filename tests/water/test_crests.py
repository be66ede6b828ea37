"""Crests of a feature: lips by printed rows, thin water, each wet stone by its own flow, pools, splash, what lies
outside. Expected figures are closed forms of what is printed, worked out here."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace
from tests.shape.sample import four_drops

from rillwright.assess import Inputs, assess
from rillwright.assessment import NotRun
from rillwright.feature import CrestStone, Fall, FallKind, Feature, Lip
from rillwright.findings import find
from rillwright.hydraulics import JointKind, kindsvater_carter
from rillwright.judge import judge, to_json
from rillwright.shape import shape
from rillwright.sources import price_book
from rillwright.water import CrestWater, Water, water
from rillwright.water.landing import _way_m
from rillwright.water.over_time_layout import layout

FT, G = 0.3048, 9.80665


def solved(feature: Feature) -> Water:
    return water(feature, shape(feature))


def with_falls(feature: Feature, **changes: Any) -> Feature:
    stream = feature.streams[0]
    links = tuple(replace(link, **changes) if isinstance(link, Fall) else link for link in stream.links)
    return replace(feature, streams=(replace(stream, links=links),))


def running(feature: Feature, flow_m3s: float) -> Feature:
    return replace(feature, runs=tuple(replace(run, wanted_m3s=flow_m3s) for run in feature.runs))


def first(flow_m3s: float = 0.0025, **changes: Any) -> CrestWater:
    return solved(running(with_falls(four_drops(pump=None), **changes), flow_m3s)).crests[0]


def test_a_slab_by_the_printed_table() -> None:
    """Brater and King, SWMM Vol. II table 6-3: 0.4 ft of water on a crest 1.0 ft long, C 2.72 in feet and seconds."""
    flow = 2.72 * FT**0.5 * 0.40 * (0.4 * FT) ** 1.5
    crest = first(flow, lip=Lip.SLAB, stone_depth_m=1.0 * FT)
    assert crest.depth_m.value == pytest.approx(0.4 * FT, rel=1e-6)
    assert crest.coefficient is not None
    assert crest.coefficient.value == pytest.approx(2.72 * FT**0.5, abs=1e-6)
    assert (crest.lip, crest.method) == ("slab", "broad crest, Brater and King")
    assert not any("least head" in note for note in crest.notes)


def test_a_sharp_edge_by_kindsvater_and_carter() -> None:
    """The crest stands 50 mm over its bed: 60 mm of water, h/P 1.2, inside the 2.5 of ISO 1438."""
    flow = kindsvater_carter(0.06, 1.0, crest_height_m=0.05, width_correction_m=0.0).flow_m3s * 0.40
    crest = first(flow, lip=Lip.SHARP)
    assert crest.depth_m.value == pytest.approx(0.06, rel=1e-6)
    assert "the sharp crest stands less than 100 mm over its bed" in crest.notes


def test_the_lip_moves_the_depth_and_its_band() -> None:
    """At 2.5 L/s over 0.40 m: sharp edges pass most, slabs least; 61 mm is where the table of slabs begins."""
    found = {lip: first(lip=lip) for lip in Lip}
    depths = [found[lip].depth_m.value for lip in (Lip.SHARP, Lip.ROUGH, Lip.SLAB)]
    assert depths == sorted(depths)
    assert depths[0] < 0.9 * depths[2]
    assert "61 mm" in found[Lip.SLAB].range_note
    assert "30 mm" in found[Lip.SHARP].range_note


@pytest.mark.parametrize("lip", list(Lip))
def test_the_band_of_the_depth_widens_as_the_flow_falls(lip: Lip) -> None:
    bands = [first(flow, lip=lip).depth_m for flow in (0.003, 0.001, 0.0003, 0.0001)]
    # the flow's own band is 0 to 25 % without a pump, the same for all
    assert [band.high / band.low for band in bands] == sorted(band.high / band.low for band in bands)
    assert bands[-1].high / bands[-1].low > 1.15 * bands[0].high / bands[0].low


def test_the_finding_carries_the_band_and_what_lies_outside() -> None:
    drawn = with_falls(four_drops(pump=None), lip=Lip.SLAB)
    judged = assess(Inputs(feature=drawn, surveyed=NotRun("no book"), prices=price_book()))
    told = next(each for each in find(judged) if each.code == "crest.thin" and each.element == "falls/stream-f1")
    assert not isinstance(judged.water, NotRun)
    crest = judged.water.crests[0]
    assert (told.value, told.value_low, told.value_high) == (crest.depth_m.value, crest.depth_m.low, crest.depth_m.high)
    facts = {name: said for name, said, _ in told.parameters}
    assert crest.coefficient is not None
    assert (facts["lip"], facts["c_low"]) == ("slab", crest.coefficient.low)
    assert "least head" in str(facts["outside"])
    assert any(note.startswith("falls/stream-f1: the water on the crest") for note in judged.water.out_of_range)
    said = to_json(judge(judged))["water"]["crests"][0]
    assert (said["depth_m"], said["depth_m_low"], said["depth_m_high"]) == (told.value, told.value_low, told.value_high)
    assert said["coefficient_low"] == crest.coefficient.low
    assert said["notes"] == list(crest.notes)
    assert {"throw_m", "pool_depth_m_high", "unit_flow_m2s"} <= set(said["sheets"][0])


def test_other_lips_count_over_time() -> None:
    """C by the lip under lively water, 125 US gal/h to the inch: on a slab of 0.3 m C 2.69 ft^0.5/s (Brater and King,
    table 6-3)."""
    stone = [joint.third for joint in layout(four_drops()).channel.joints if joint.kind is JointKind.CREST]
    drawn = with_falls(four_drops(), lip=Lip.SLAB, stone_depth_m=1.0 * FT)
    slab = [joint.third for joint in layout(drawn).channel.joints if joint.kind is JointKind.CREST]
    assert stone[0] == pytest.approx(1.6375)
    assert slab[0] == pytest.approx(2.69 * FT**0.5, rel=1e-9)


NOTCHED = (
    CrestStone(width_m=0.20, above_m=0.050),
    CrestStone(width_m=0.15, above_m=0.0),
    CrestStone(width_m=0.25, above_m=0.012),
)


def test_each_stone_throws_by_its_own_flow() -> None:
    """Heads h and h - 12 mm on 0.15 and 0.25 m by one C; the third stays dry. Free fall after Rouse, 0.715 yc (from
    memory), each from its own top."""
    crest = first(stones=NOTCHED, crest_width_m=0.60, stone_depth_m=0.4)
    assert [sheet.at for sheet in crest.sheets] == ["stone 2", "stone 3"]
    low, high = crest.sheets
    h = crest.stones[1].depth_m.value
    assert low.unit_flow_m2s.value == pytest.approx(1.6375 * h**1.5, rel=1e-9)
    assert high.unit_flow_m2s.value == pytest.approx(1.6375 * (h - 0.012) ** 1.5, rel=1e-9)
    for sheet, above in ((low, 0.0), (high, 0.012)):
        q, drop = sheet.unit_flow_m2s.value, crest.fall_height_m.value + above
        yc = (q**2 / G) ** (1 / 3)
        brink = 0.715 * yc
        assert sheet.throw_m is not None
        assert sheet.throw_m.value == pytest.approx(
            max(q / brink * math.sqrt(2 * (drop + brink) / G), 4.30 * drop * (yc / drop) ** 0.81), rel=1e-9
        )
    assert crest.at == "stone 2"
    assert crest.throw_m is not None
    assert low.throw_m is not None
    assert high.throw_m is not None
    assert crest.throw_m.value == low.throw_m.value
    even = first(crest_width_m=0.60).throw_m
    assert even is not None
    assert crest.throw_m.value > 1.15 * even.value  # by the mean over the width it would be told too short
    assert crest.throw_m.low <= high.throw_m.low


def test_an_end_out_of_level_throws_farther() -> None:
    level, tilted = first(), first(tilt_m=0.010)
    assert tilted.at == "low end"
    assert [sheet.at for sheet in tilted.sheets] == ["low end", "high end"]
    low, high = (sheet.unit_flow_m2s.value for sheet in tilted.sheets)
    assert low / high == pytest.approx(tilted.tilt_ratio, rel=0.02)
    assert level.throw_m is not None
    assert tilted.throw_m is not None
    assert tilted.throw_m.value > level.throw_m.value
    assert first(tilt_m=0.010, low_end="left").at == "left end"


def test_gravel_and_look_go_by_the_stone_that_carries_most() -> None:
    drawn = with_falls(four_drops(pump=None), stones=NOTCHED, crest_width_m=0.60)
    notched, even = solved(drawn), solved(with_falls(four_drops(pump=None), crest_width_m=0.60))
    impact = next(each for each in notched.impacts if each.fall == "stream-f1")
    plain = next(each for each in even.impacts if each.fall == "stream-f1")
    assert impact.at == "stone 2"
    assert impact.stone_m.value > 1.2 * plain.stone_m.value
    look, mean = notched.looks[0].crests[0], even.looks[0].crests[0]
    stone = (
        notched.crests[0].stones[1] if notched.crests[0].stones[1].share.value > 0.5 else notched.crests[0].stones[2]
    )
    assert look.unit_flow_m2s.value == pytest.approx(stone.share.value * 0.0025 / stone.width_m, rel=1e-6)
    assert look.unit_flow_m2s.value > 1.2 * mean.unit_flow_m2s.value
    # at the flow told, that stone runs at the end of its look
    at_end = solved(running(drawn, look.to_m3s)).looks[0].crests[0]
    low, high = (notched.looks[0].crests[0].from_m3s, notched.looks[0].crests[0].to_m3s)
    assert low < high
    assert at_end.to_m3s == pytest.approx(look.to_m3s, rel=1e-6)


def test_notes_of_falls_and_slides() -> None:
    """Rand's drop number q^2/(g h^3) under 5.4e-4, surface tension, sheets of a few millimetres down a slab."""
    last = solved(four_drops(pump=None)).crests[-1]
    (sheet,) = last.sheets
    assert sheet.drop_number == pytest.approx(0.00625**2 / (G * 0.35**3), rel=1e-3)
    assert sheet.drop_number is not None
    assert sheet.drop_number < 5.4e-4
    assert any("drop number is below 5.4e-4" in note for note in last.notes)
    assert any("surface tension" in note for note in first(0.001).notes)
    assert not any("surface tension" in note for note in first(0.008).notes)
    slab = first(kind=FallKind.SLIDE)
    assert "no roughness was measured for a sheet so thin" in slab.notes
    deep = first(0.02, kind=FallKind.FREE)
    assert any("above 1" in note for note in deep.notes)
    found = solved(four_drops(pump=None))
    assert "falls/stream-f4: " + sheet.notes[0] in found.out_of_range


def test_notes_of_what_moves_and_of_gravel() -> None:
    drawn = four_drops(pump=None)
    found = solved(drawn)
    assert all(reach.notes == () or isinstance(reach.notes[0], str) for reach in found.reaches)
    moving = found.reaches[0].moving
    assert moving is not None
    assert any("2 mm" in note for note in moving.notes)  # next to nothing pulls in a pool
    stream = drawn.streams[0]
    loose = [
        replace(link, sealed=False) if isinstance(link, Fall) else replace(link, grain_m=0.09, gravel_m=0.3)
        for link in stream.links
    ]
    coarse = solved(replace(drawn, streams=(replace(stream, links=tuple(loose)),)))
    assert any("Ergun" in note for note in coarse.reaches[1].notes)
    assert any(note.startswith("reaches/stream-r2:") and "Ergun" in note for note in coarse.out_of_range)


def test_the_pool_that_a_fall_wants_is_held_against_what_is_there() -> None:
    found = solved(four_drops(pump=None))
    impact = found.impacts[1]
    crest = found.crests[1]
    assert (impact.wanted_depth_m, impact.wanted_length_m) == (crest.pool_depth_m, crest.pool_length_m)
    assert impact.length_m == pytest.approx(2.0)
    last = found.impacts[-1]
    assert last.length_m == pytest.approx(4.0, rel=0.02)  # straight across the oval


def test_splash_by_what_it_lands_on() -> None:
    """On stone as far as its speed is worth, half in water that takes it up: common practice, no source."""
    found = solved(four_drops(pump=None))
    by = {each.fall: each for each in found.splashes}
    last, crest = by["stream-f4"], found.crests[-1]
    assert crest.impact_ms is not None
    assert last.reach_m.value == pytest.approx(0.5 * crest.impact_ms**2 / (2 * G), rel=1e-9)
    assert last.pool_m.value == pytest.approx(0.30)  # it lands over the shelf
    beside = by["stream-f1"]
    # half of the bed 0.30, its bank 0.20 at 1:1, 0.30 for splash, less half of the crest 0.20
    assert beside.lined_m == pytest.approx(0.60)
    stacked = solved(with_falls(four_drops(pump=None), kind=FallKind.STACKED)).splashes
    assert {each.lands_on for each in stacked} == {"stack"}
    assert solved(with_falls(four_drops(pump=None), kind=FallKind.SLIDE)).splashes == ()


def test_a_way_across_an_outline() -> None:
    square = ((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0))
    assert _way_m((1.0, 1.0), (1.0, 0.0), square) == pytest.approx(3.0)
    assert _way_m((1.0, 1.0), (0.0, 1.0), square) == pytest.approx(1.0)
    assert _way_m((5.0, 1.0), (1.0, 0.0), square) == 0.0
