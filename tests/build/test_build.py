"""Stakes, rod readings, lifts, access."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.examples.folders import NAMES, worked
from tests.shape import sample

from rillwright.build import Build, SiteDay, Stake, day_table, plan_build
from rillwright.feature import Access, Feature, LimitOverride, Machine, Overflow, Surface
from rillwright.liner import size_liner
from rillwright.shape import shape
from rillwright.stone import place_stone
from rillwright.water import water

LB = 0.45359237


def planned(feature: Feature) -> Build:
    drawn = shape(feature)
    wet = water(feature, drawn)
    return plan_build(feature, drawn, wet, liner=size_liner(feature, drawn), stone=place_stone(feature, drawn))


def stake(build: Build, text: str) -> Stake:
    return next(one for one in build.stakes if one.text == text)


def with_access(*accesses: Access) -> Feature:
    feature = sample.four_drops()
    return replace(feature, site=replace(feature.site, accesses=accesses))


def machine(lift_kg: float, width_m: float = 1.0) -> Machine:
    return Machine(name="invented", width_m=width_m, reach_m=4.0, lift_kg=lift_kg, lift_radius_m=2.0, invented=True)


@pytest.mark.parametrize("name", NAMES)
def test_every_place_has_its_stake_and_surfaces_lie_in_order(name: str) -> None:
    done = worked(name)
    feature = done.feature
    stone = place_stone(feature, done.shape)
    found = plan_build(feature, done.shape, done.water, liner=size_liner(feature, done.shape), stone=stone)
    assert [one.id for one in found.stakes] == [f"s{i + 1}" for i in range(len(found.stakes))]
    paths = [one.path for one in found.stakes]
    for reach in feature.reaches:
        assert paths.count(f"reaches/{reach.id}") == 2
    for path in [f"falls/{fall.id}" for fall in feature.falls]:
        assert paths.count(path) == 1
    for rim in [rim for body in feature.bodies for rim in body.rims]:
        assert paths.count(f"rims/{rim.id}") == 1
    under = feature.liner.thickness_m + feature.liner.underlay_m
    for one in found.stakes:
        if one.dig_m is not None and one.liner_m is not None:
            assert one.liner_m - one.dig_m == pytest.approx(under)
        if one.stone_top_m is not None and one.water_m is not None:
            assert one.water_m > one.stone_top_m


def test_crest_stake_by_hand() -> None:
    """First bed at 0.80 m, stone 5 cm above it, 7.5 cm of gravel on the liner, 6.1 mm of liner and felt under it."""
    feature = sample.four_drops()
    found = stake(planned(feature), f"crest of {feature.falls[0].id}")
    bed = feature.streams[0].head.m
    assert found.stone_top_m == pytest.approx(bed + 0.05)
    assert found.liner_m == pytest.approx(bed - 0.075)
    assert found.dig_m == pytest.approx(bed - 0.075 - 0.0061)
    assert found.at == pytest.approx((-2.0 - 6.0, 0.0))
    assert found.station_m == pytest.approx(2.0)


def test_quarter_points_are_met_by_the_compass() -> None:
    """Oval 4 by 3 m: its long end is east where north is up, and north where north points to the right."""
    feature = sample.four_drops()
    plain = planned(feature)
    assert stake(plain, "pond, waterline, east").at == pytest.approx((2.0, 0.0), abs=1e-6)
    assert stake(plain, "pond, waterline, north").at == pytest.approx((0.0, 1.5), abs=1e-6)
    turned = planned(replace(feature, site=replace(feature.site, north_rad=math.pi / 2)))
    assert stake(turned, "pond, waterline, north").at == pytest.approx((2.0, 0.0), abs=1e-6)
    assert stake(turned, "pond, waterline, east").at == pytest.approx((0.0, -1.5), abs=1e-6)


def test_without_a_north_stakes_are_told_by_the_stream() -> None:
    """It comes in from the left of the sheet: a crew that looks downstream, to the right, has its left hand up."""
    feature = sample.four_drops()
    found = planned(replace(feature, site=replace(feature.site, north_rad=None)))
    places = {
        "side of the stream": (-2.0, 0.0),
        "left looking downstream": (0.0, 1.5),
        "far from the stream": (2.0, 0.0),
        "right looking downstream": (0.0, -1.5),
    }
    for words, at in places.items():
        assert stake(found, f"pond, waterline, {words}").at == pytest.approx(at, abs=1e-6)
    assert not any(word in one.text for one in found.stakes for word in ("north", "east", "south", "west"))


def test_shelf_and_floor_have_their_own_levels() -> None:
    """Waterline -0.10: shelf 0.30 below it, floor 0.60 below it with 5 cm of gravel on the liner."""
    found = planned(sample.four_drops())
    assert stake(found, "pond, outer edge of the shelf, west").liner_m == pytest.approx(-0.40)
    assert stake(found, "pond, inner edge of the shelf, west").liner_m == pytest.approx(-0.40)
    assert stake(found, "pond, edge of the floor, west").liner_m == pytest.approx(-0.70 - 0.05)


def test_a_floor_in_two_parts_has_its_stakes_on_each() -> None:
    """A pond that is narrow in its middle: 0.4 m wide there, while the sides go in by 0.3 m on each side of it."""
    half = ((-2.0, -1.0), (-0.6, -1.0), (-0.2, -0.2), (0.2, -0.2), (0.6, -1.0), (2.0, -1.0))
    feature = sample.four_drops()
    (pond,) = (replace(one, outline=(*half, *((-x, -y) for x, y in half)), shelf_width_m=0.0) for one in feature.bodies)
    found = planned(replace(feature, bodies=(pond,)))
    floor = [one for one in found.stakes if "edge of the floor" in one.text]
    assert len(floor) == len({one.shot_at for one in floor}) == len({one.text for one in floor}) == 8
    assert stake(found, "pond, edge of the floor, part 1 (east), east").at == pytest.approx((1.7, 0.0), abs=0.05)
    assert stake(found, "pond, edge of the floor, part 2 (west), west").at == pytest.approx((-1.7, 0.0), abs=0.05)
    assert {one.shot_at.partition("@")[2] for one in floor} == {"part-1", "part-2"}
    assert all(one.at is not None and (one.at[0] > 0.0) is ("part 1" in one.text) for one in floor)
    water = [one for one in found.stakes if ", waterline," in one.text]
    assert [one.shot_at.partition("@")[1] for one in water] == [""] * 4


def test_rim_is_staked_as_it_is_built() -> None:
    """Ground -0.06, 10 cm built up; it will settle by a tenth of that, later."""
    assert stake(planned(sample.four_drops()), "rim pond-low, before it settles").liner_m == pytest.approx(0.04)


def test_the_sill_of_an_overflow_is_staked_last_and_shot_before_filling() -> None:
    """Where it has a place; the stakes before it keep their numbers."""
    drawn = sample.four_drops()
    sill = sample.level(0.05, Surface.MARK)
    without = planned(drawn)

    def with_overflow(at: tuple[float, float] | None) -> Build:
        overflow = Overflow(level=sill, width_m=0.3, pipe_m=None, at=at)
        return planned(replace(drawn, bodies=(replace(drawn.bodies[0], overflow=overflow),)))

    found = with_overflow((2.2, 0.0))
    last = found.stakes[-1]
    assert [one.id for one in found.stakes[:-1]] == [one.id for one in without.stakes]
    assert (last.shot_at, last.at, last.liner_m) == ("ponds/pond.overflow", (2.2, 0.0), 0.05)
    assert last.peg is not None
    for build in (found, with_overflow(None)):
        (fill,) = (hold for hold in build.holds if hold.id == "fill.pond")
        assert [shot.wanted_m for shot in fill.shoot if shot.path == "ponds/pond.overflow"] == [0.05]
    assert len(with_overflow(None).stakes) == len(without.stakes)


def test_rod_readings_are_height_of_instrument_less_level() -> None:
    """HI = RL + BS; reading = HI - RL, as in any surveying text. Back again it is the level."""
    found = planned(sample.four_drops())
    day = SiteDay(date="12 May", height_of_instrument_m=1.432, rod="metric")
    table = day_table(found.stakes, day)
    assert [one.stake for one in table] == list(found.stakes)
    for one in table:
        for surface in ("dig_m", "liner_m", "stone_top_m", "water_m"):
            level, reading = getattr(one.stake, surface), getattr(one, surface)
            assert (level is None) == (reading is None)
            if level is not None:
                assert reading + level == pytest.approx(1.432)


def test_a_stone_by_hand_and_by_machine() -> None:
    """No machine: three people carry 3 x 50 lb (common practice, no source). A machine takes what it was given for,
    derated once."""
    by_hand = planned(sample.four_drops())
    assert {one.machine for one in by_hand.lifts} == {None}
    assert by_hand.lifts[0].allowed_kg == pytest.approx(150 * LB)
    lifted = planned(with_access(Access(id="gate", width_m=1.2, at=None, machine=machine(300.0))))
    assert {(one.machine, one.allowed_kg) for one in lifted.lifts} == {("invented", 300.0)}


def test_what_a_person_carries_can_be_set_with_a_reason() -> None:
    feature = replace(
        sample.four_drops(), overrides=(LimitOverride(limit="liner.hand_mass", value=18.0, reason="steep steps"),)
    )
    assert planned(feature).lifts[0].allowed_kg == pytest.approx(3 * 18.0)


def test_a_machine_too_wide_for_its_gate_lifts_nothing() -> None:
    found = planned(with_access(Access(id="gate", width_m=0.9, at=None, machine=machine(300.0))))
    assert not found.accesses[0].fits
    assert {one.machine for one in found.lifts} == {None}
    wide = planned(with_access(Access(id="gate", width_m=1.0, at=None, machine=machine(300.0))))
    assert wide.accesses[0].fits


def test_loads_are_the_heaviest_that_they_may_be() -> None:
    feature = sample.four_drops()
    drawn = shape(feature)
    wet = water(feature, drawn)
    stone = place_stone(feature, drawn)
    found = plan_build(feature, drawn, wet, liner=size_liner(feature, drawn), stone=stone)
    loads = [one.load_kg for one in found.lifts]
    assert loads[:-1] == [one.heaviest_kg for one in stone.spill_stones]
    assert found.lifts[-1].what.startswith("liner piece")
