"""Sheets: terms add up, laps part a stream, and what makes a sheet larger."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.examples.folders import NAMES, worked
from tests.shape import sample

from rillwright.feature import XY, Feature, Lap, Plunge, Reach
from rillwright.liner import Liner, Sheet, size_liner
from rillwright.shape import shape


def sized(feature: Feature) -> Liner:
    drawn = shape(feature)
    return size_liner(feature, drawn)


def sheet(liner: Liner, id: str) -> Sheet:
    return next(one for one in liner.sheets if one.id == id)


def turned(feature: Feature, angle: float) -> Feature:
    """The whole site turned about its origin [rad]."""

    def turn(point: XY) -> XY:
        x, y = point
        return (x * math.cos(angle) - y * math.sin(angle), x * math.sin(angle) + y * math.cos(angle))

    bodies = tuple(replace(body, outline=tuple(map(turn, body.outline))) for body in feature.bodies)
    streams = tuple(replace(stream, path=tuple(map(turn, stream.path))) for stream in feature.streams)
    return replace(feature, bodies=bodies, streams=streams)


def lapped_twice() -> Feature:
    """Four drops with one more lap, behind the second fall."""
    feature = sample.four_drops()
    stream = feature.streams[0]
    fall, below = stream.falls[1], stream.reaches[2]
    lap = Lap(
        id="middle",
        at=f"falls/{fall.id}",
        body=None,
        reach=below.id,
        lower="lower",
        upper="upper",
        upturn=sample.level(below.bed_start.m + 0.15),
        run_m=0.5,
        sealed=False,
    )
    return replace(feature, laps=(*feature.laps, lap))


@pytest.mark.parametrize("name", NAMES)
def test_terms_add_up_and_mass_goes_by_area(name: str) -> None:
    done = worked(name)
    liner = size_liner(done.feature, done.shape)
    assert len({one.id for one in liner.sheets}) == len(liner.sheets)
    for one in liner.sheets:
        for way, side in (("length", one.length_m), ("width", one.width_m)):
            parts = [term.value for term in one.because if term.name.startswith(way)]
            assert sum(parts) == pytest.approx(side, rel=1e-12), (one.id, way)
        by_area = next(term.value for term in one.because if term.unit == "kg/m2")
        assert one.mass_kg == pytest.approx(one.area_m2 * by_area)
    for piece in liner.pieces:
        assert sheet(liner, "u" + piece.id[1:]).area_m2 == piece.area_m2


def test_a_stream_piece_by_hand() -> None:
    """Four beds of 2 m; drops 0.15, 0.20, 0.25, 0.30; head turned up to the bank over its gravel, 0.20 + 0.075; lap run
    0.6. Across: bed 0.60, banks 2 x 0.275, splash 2 x 0.30, 2 ft to spare. Common practice, no source."""
    piece = sheet(sized(sample.four_drops()), "l-stream-1")
    assert piece.length_m == pytest.approx(8.0 + 0.90 + 0.275 + 0.60)
    assert piece.width_m == pytest.approx(0.60 + 0.55 + 0.60 + 0.6096)


def test_a_lap_parts_the_stream() -> None:
    """The upper piece runs over the lower one by the lap; the lower one is turned up to its upturn."""
    liner = sized(lapped_twice())
    upper, lower = sheet(liner, "l-stream-1"), sheet(liner, "l-stream-2")
    assert upper.length_m == pytest.approx(4.0 + 0.15 + 0.20 + 0.275 + 0.5)
    assert lower.length_m == pytest.approx(4.0 + 0.25 + 0.30 + (0.15 + 0.075) + 0.6)
    whole = sheet(sized(sample.four_drops()), "l-stream-1")
    assert upper.length_m + lower.length_m > whole.length_m


def test_a_wider_or_deeper_pond_never_needs_a_smaller_sheet() -> None:
    before = (0.0, 0.0)
    for i in range(12):
        feature = sample.four_drops()
        body = replace(feature.bodies[0], outline=sample.oval(4.0 + 0.1 * i, 3.0 + 0.1 * i), depth_m=0.60 + 0.03 * i)
        body = replace(body, length_m=4.0 + 0.1 * i, width_m=3.0 + 0.1 * i)
        found = sheet(sized(replace(feature, bodies=(body,))), "l-pond")
        assert found.length_m >= before[0] - 1e-9
        assert found.width_m >= before[1] - 1e-9
        before = found.length_m, found.width_m


def test_turning_the_site_changes_no_sheet() -> None:
    plain = sized(sample.four_drops())
    for angle in (0.4, 1.3, 2.9):
        other = sized(turned(sample.four_drops(), angle))
        for one, two in zip(plain.sheets, other.sheets, strict=True):
            assert two.length_m == pytest.approx(one.length_m, rel=2e-3)
            assert two.width_m == pytest.approx(one.width_m, rel=2e-3)


def test_liner_goes_up_to_the_berm_as_built_and_to_the_upturn() -> None:
    """Sides two up to one across: 10 cm more to rise is 2 x 10 cm x sqrt(5)/2 more to lay, each way."""
    feature = sample.four_drops()
    plain = sheet(sized(feature), "l-pond")
    body = feature.bodies[0]
    top = max(rim.ground.m + rim.berm_m for rim in body.rims)
    lap = replace(feature.laps[0], upturn=sample.level(max(top, feature.laps[0].upturn.m) + 0.10))
    assert feature.laps[0].upturn.m < top + 0.10
    higher = sheet(sized(replace(feature, laps=(lap,))), "l-pond")
    rise = lap.upturn.m - max(top, feature.laps[0].upturn.m)
    assert higher.length_m - plain.length_m == pytest.approx(2.0 * rise * math.sqrt(1.25))


def test_pads_lie_under_every_bearing_stone() -> None:
    """Thick felt under stone (common practice, no source): under each face, which carries the spill stone, a pad below
    the liner and one on it; each as wide as the crest at least and as deep as the spill stone."""
    feature = sample.four_drops()
    pads = [one for one in sized(feature).sheets if one.kind == "pad"]
    for fall in feature.falls:
        here = [pad for pad in pads if pad.path == f"falls/{fall.id}"]
        assert [pad.id.split("-")[-2] for pad in here] == ["face", "face"]
        assert all(pad.width_m >= fall.stone_depth_m for pad in here)
        assert min(pad.length_m for pad in here) >= fall.crest_width_m


def test_a_reservoir_is_lined_as_a_box() -> None:
    """Upright 2.0 x 1.2 m, 0.9 m deep, liner up to the lap's upturn 0.22 m over the water: the sides go on up."""
    feature = sample.buried()
    store, lap = feature.bodies[0], feature.laps[0]
    rise = max([lap.upturn.m, *(rim.ground.m + rim.berm_m for rim in store.rims)]) - store.waterline.m
    found = sheet(sized(feature), "l-store")
    assert found.length_m == pytest.approx(2.0 + 2.0 * (0.9 + rise) + 0.6)
    assert found.width_m == pytest.approx(1.2 + 2.0 * (0.9 + rise) + 0.6)


def test_girth_goes_up_banks_of_a_said_side_and_down_into_a_plunge_pool() -> None:
    """By hand: floor 0.6 - 2 x 0.075 / 2, banks (0.2 + 0.075) along a side of two up to one across; a pool of 0.2 m
    takes twice its depth both ways."""
    feature = sample.four_drops()
    stream = feature.streams[0]
    leaning = tuple(
        replace(link, side_up_per_across=2.0)
        if isinstance(link, Reach)
        else replace(link, plunge=Plunge(depth_m=0.2, length_m=0.8) if link == stream.falls[0] else None)
        for link in stream.links
    )
    plain = sheet(sized(feature), "l-stream-1")
    found = sheet(sized(replace(feature, streams=(replace(stream, links=leaning),))), "l-stream-1")
    girth = 0.6 - 2 * 0.075 / 2 + 2 * 0.275 * math.hypot(1.0, 0.5) + 2 * 0.2
    assert found.width_m - plain.width_m == pytest.approx(girth - (0.6 + 2 * 0.275))
    assert found.length_m - plain.length_m == pytest.approx(2 * 0.2)


def test_a_dished_bed_takes_both_its_slopes() -> None:
    """By hand: 2 x sqrt(0.3^2 + 0.06^2) across in place of 0.6 m, and banks 0.06 m lower from its edges."""
    feature = sample.four_drops()
    stream = feature.streams[0]
    links = tuple(replace(link, dish_m=0.06) if isinstance(link, Reach) else link for link in stream.links)
    plain = sheet(sized(feature), "l-stream-1")
    found = sheet(sized(replace(feature, streams=(replace(stream, links=links),))), "l-stream-1")
    assert found.width_m - plain.width_m == pytest.approx(2 * math.hypot(0.3, 0.06) - 0.6 - 2 * 0.06)
