"""Water of streams that join: by continuity and closed forms, and against the same bed fed by a pipe. Invented.

Crests by h = (Q/(C b))^(2/3), C the middle of the band of docs/method/water.md; no source for the site.
"""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.feature.joining import SITE, joined

from rillwright.feature import Feature
from rillwright.shape import rest_level_m, shape
from rillwright.sources import default
from rillwright.water import Water, water

WANTED_MAIN, WANTED_SIDE = 3.0 / 3600.0, 2.0 / 3600.0
PUMP = SITE[SITE.index("  pump: {id: pump") : SITE.index("  pipe: {inside")]
NO_PUMP = SITE.replace(PUMP, "")  # the flows wanted are then the flows


def at(text: str = NO_PUMP) -> tuple[Feature, Water]:
    feature = joined(text)
    return feature, water(feature, shape(feature))


def flow(found: Water, fall: str) -> float:
    return next(crest.flow_m3s.value for crest in found.crests if crest.fall == fall)


def test_below_the_joint_the_flow_of_both_runs() -> None:
    _, found = at()
    flows = {reach.reach: reach.flow_m3s.value for reach in found.reaches}
    assert flows["upper"] == pytest.approx(WANTED_MAIN)
    assert flows["side-upper"] == flows["side-lower"] == pytest.approx(WANTED_SIDE)
    assert flows["meeting"] == pytest.approx(WANTED_MAIN + WANTED_SIDE)
    assert flow(found, "last") == pytest.approx(WANTED_MAIN + WANTED_SIDE)
    assert flow(found, "mouth") == pytest.approx(WANTED_SIDE)
    assert found.unfed == ()


def test_with_a_pump_what_its_outlets_bring_runs_over_the_last_crest() -> None:
    feature, found = at(SITE)
    drawn = sum(out.flow_m3s.value for out in found.circuit.outlets)
    assert flow(found, "last") == pytest.approx(drawn, rel=1e-9)
    assert len(feature.runs[0].ends) == 2


def test_the_last_crest_by_hand() -> None:
    """C half way between 1.435 and 1.84, crest 0.7 m wide."""
    _, found = at()
    crest = next(crest for crest in found.crests if crest.fall == "last")
    by_hand = ((WANTED_MAIN + WANTED_SIDE) / (default("crest.c").number * 0.7)) ** (2.0 / 3.0)
    assert crest.depth_m.value == pytest.approx(by_hand, rel=1e-6)


def test_each_place_of_the_bed_carries_what_passes_it() -> None:
    """Q = V b y, but for what the gravel hides: above the joint the one flow, below it both."""
    feature, found = at()
    bed = next(reach for reach in feature.reaches if reach.id == "meeting")
    profile = next(reach.profile for reach in found.reaches if reach.reach == "meeting")
    assert profile is not None
    for station, depth, speed, hidden in zip(
        profile.stations_m, profile.depths_m, profile.speeds_ms, profile.hidden, strict=True
    ):
        passing = WANTED_MAIN if station < 3.6 - bed.length_m / 16 else WANTED_MAIN + WANTED_SIDE
        assert depth.value * speed.value * bed.width_m == pytest.approx(passing * (1.0 - hidden), rel=1e-3)


def test_below_the_joint_it_is_as_if_a_pipe_brought_all_of_it() -> None:
    """The same bed without the side stream, its flow let in there by an outlet: alike from the joint down."""
    feature, found = at()
    alone = replace(feature, streams=feature.streams[:1])
    main = next(stream for stream in alone.streams if stream.id == "main")
    run = alone.runs[0]
    outlets = (run.outlets[0], replace(run.outlets[1], outlet="meeting"))
    alone = replace(alone, streams=(main,), runs=(replace(run, outlets=outlets),), laps=feature.laps[:1])
    other = water(alone, shape(alone))
    one, two = (next(reach for reach in each.reaches if reach.reach == "meeting").profile for each in (found, other))
    assert one is not None
    assert two is not None
    first = next(i for i, station in enumerate(one.stations_m) if station >= 3.6 - 0.23)
    assert [level.value for level in one.levels_m[first:]] == pytest.approx(
        [level.value for level in two.levels_m[first:]], abs=1e-12
    )
    assert one.levels_m[0].value <= two.levels_m[0].value


def test_the_mouth_falls_to_the_running_water_of_the_bed() -> None:
    feature, found = at()
    crest = next(crest for crest in found.crests if crest.fall == "mouth")
    bed = next(reach for reach in found.reaches if reach.reach == "meeting")
    level = feature.stream("side").falls[-1].crest.m - crest.fall_height_m.value
    ends = sorted((bed.running_start_m.value, bed.running_end_m.value))
    assert ends[0] - 1e-9 <= level <= ends[1] + 1e-9
    assert level > max(rest_level_m(feature.stream("main"), feature.stream("main").reaches[1]) or 0.0, 0.0)


def test_all_of_it_comes_from_the_one_pond() -> None:
    """What both streams hold, open water of both, and the pond falls by it: closed forms on the quick tier's parts."""
    feature, found = at()
    held = sum(reach.above_rest_m3 + reach.gravel_m3 for reach in found.reaches)
    assert found.balance.transit_m3.value == pytest.approx(held, rel=1e-12)
    open_ = sum(reach.open_width_m * reach.length_m for reach in feature.reaches)
    assert found.losses[0].open_m2 == pytest.approx(found.ponds[0].area_m2 + open_, rel=1e-12)
    caught = 0.040 * (found.ponds[0].area_m2 + open_)
    assert found.rains[0].caught_m3 == pytest.approx(caught, rel=1e-9)
    assert not [note for note in found.out_of_range if "does not come back" in note]


def test_more_from_the_side_never_lowers_the_bed_that_it_joins() -> None:
    levels = []
    for wanted in ("1 m3/h", "2 m3/h", "4 m3/h"):
        _, found = at(NO_PUMP.replace("wanted: 2 m3/h", f"wanted: {wanted}"))
        bed = next(reach for reach in found.reaches if reach.reach == "meeting")
        levels.append((bed.running_start_m.value, bed.running_end_m.value))
    assert levels == sorted(levels)
    assert levels[0] < levels[-1]


def test_a_main_stream_that_nothing_feeds_stays_dry_down_to_the_joint() -> None:
    outlets = SITE[SITE.index("  outlets:") : SITE.index("climate:")]
    _, found = at(NO_PUMP.replace(outlets, "  to: side\n  wanted: 2 m3/h\n"))
    assert found.unfed == ("reaches/upper", "falls/over")
    assert flow(found, "over") == 0.0
    assert flow(found, "last") == pytest.approx(WANTED_SIDE)


def test_turned_and_moved_it_is_the_same_water() -> None:
    feature, found = at()
    turn, by = 0.7, (310.0, -45.0)

    def there(place: tuple[float, float]) -> tuple[float, float]:
        x, y = place
        return (
            x * math.cos(turn) - y * math.sin(turn) + by[0],
            x * math.sin(turn) + y * math.cos(turn) + by[1],
        )

    far = replace(
        feature,
        bodies=tuple(replace(body, outline=tuple(map(there, body.outline))) for body in feature.bodies),
        streams=tuple(replace(stream, path=tuple(map(there, stream.path))) for stream in feature.streams),
    )
    other = water(far, shape(far))
    for one, two in zip(found.reaches, other.reaches, strict=True):
        assert two.running_end_m.value == pytest.approx(one.running_end_m.value, abs=1e-9)
    assert other.balance.transit_m3.value == pytest.approx(found.balance.transit_m3.value, rel=1e-9)


def test_what_stands_in_the_bed_stands_in_the_stream_that_joins_it_too() -> None:
    """A mouth set 20 mm under the crest that holds the bed: its own water would stand lower than that bed's."""
    feature, found = at(NO_PUMP.replace("    head: 0.80 m", "    head: 0.62 m"))
    crests = {fall.id: fall.crest.m for fall in feature.falls}
    assert crests["mouth"] == pytest.approx(crests["last"] - 0.02)
    highest = {(high.path, high.case): high for high in found.highest}
    for case in ("running", "half blocked", "leaf dam", "rest"):
        bed, side = (highest[f"reaches/{id}", case].level_m for id in ("meeting", "side-lower"))
        assert side.value >= bed.value
    assert highest["reaches/side-lower", "running"].method.endswith("backed up from bed meeting")
    assert "backed up" not in highest["reaches/side-upper", "running"].method
