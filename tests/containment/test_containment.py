"""Rims, banks, upturns: against levels put down by hand, and what must follow when one of them is moved."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.examples.folders import NAMES, worked
from tests.shape import sample

from rillwright.containment import Containment, Freeboard, contain
from rillwright.feature import Body, Feature, Holding, Level, Rim
from rillwright.shape import shape
from rillwright.sources import default
from rillwright.units import Band
from rillwright.water import HighWater, Water, water


def contained(feature: Feature) -> Containment:
    drawn = shape(feature)
    return contain(feature, water(feature, drawn))


def top(found: Containment, path: str) -> Freeboard:
    return next(one for one in found.tops if one.path == path)


def with_rim(feature: Feature, rim: Rim) -> Feature:
    def swap(body: Body) -> Body:
        return replace(body, rims=tuple(rim if one.id == rim.id else one for one in body.rims))

    return replace(feature, bodies=tuple(swap(body) for body in feature.bodies))


def low_rim(feature: Feature) -> Rim:
    return next(rim for body in feature.bodies for rim in body.rims if rim.id == "pond-low")


def flooded(given: Water, path: str, level_m: float) -> Water:
    """The same water with one path's highest put at a level [m]."""
    high = HighWater(path=path, case="stopped", holding="while running", level_m=Band.exact(level_m), method="by hand")
    return replace(given, highest=(*(one for one in given.highest if one.path != path), high))


@pytest.mark.parametrize("name", NAMES)
def test_every_rim_bank_and_upturn_is_looked_at(name: str) -> None:
    done = worked(name)
    found = contain(done.feature, done.water)
    wanted = {f"rims/{rim.id}" for body in done.feature.bodies for rim in body.rims}
    wanted |= {f"reaches/{reach.id}.bank" for reach in done.feature.reaches}
    wanted |= {f"laps/{lap.id}" for lap in done.feature.laps if not lap.sealed}
    assert {one.path for one in found.tops} == wanted
    for one in found.tops:
        assert one.freeboard_m.value == pytest.approx(one.top_m.value - one.against.level_m.value)
    assert top(found, found.spills_first or "").freeboard_m.value == min(one.freeboard_m.value for one in found.tops)


def test_rim_by_hand() -> None:
    """Ground 6 cm below datum, 10 cm built up that settles by a tenth: top at +3 cm. Water at -2 cm: 5 cm to spare.
    Wanted: 3 in over the water once settled, so ((-0.02 + 0.0762) + 0.06) / 0.9 on the ground."""
    feature = sample.four_drops()
    drawn = shape(feature)
    wet = flooded(water(feature, drawn), "ponds/pond", -0.02)
    found = top(contain(feature, wet), "rims/pond-low")
    assert found.top_m.value == pytest.approx(0.03)
    assert found.freeboard_m.value == pytest.approx(0.05)
    assert found.berm_needed_m == pytest.approx((-0.02 + 0.0762 + 0.06) / 0.9)


def test_what_is_needed_suffices() -> None:
    feature = sample.four_drops()
    need = top(contained(feature), "rims/pond-low").berm_needed_m
    assert need is not None
    assert need > 0.0
    built = with_rim(feature, replace(low_rim(feature), berm_m=need))
    found = top(contained(built), "rims/pond-low")
    assert found.freeboard_m.low == pytest.approx(default("rim.berm_spare").number, abs=1e-9)
    assert found.berm_needed_m == pytest.approx(need)


@pytest.mark.parametrize("by_m", [0.001, 0.02, 0.15])
def test_raise_a_rim_and_its_freeboard_rises_by_that(by_m: float) -> None:
    feature = sample.four_drops()
    rim = low_rim(feature)
    before = contained(feature)
    after = contained(with_rim(feature, replace(rim, ground=replace(rim.ground, m=rim.ground.m + by_m))))
    for one in before.tops:
        rise = by_m if one.path == "rims/pond-low" else 0.0
        assert top(after, one.path).freeboard_m.value - one.freeboard_m.value == pytest.approx(rise, abs=1e-9)


def test_the_worst_day_counts_however_the_level_is_said_to_be_held() -> None:
    """A hose forgotten once is topped up while running: the worst ordinary day for every rim.

    The pump lifts a little more where its pond stands lower, so that the two agree to half a millimetre only.
    """
    found = [contained(sample.four_drops(holding=holding)) for holding in Holding]
    for one in found[0].tops:
        if one.kind == "rim":
            assert one.against.holding == Holding.WHILE_RUNNING.value
            assert top(found[1], one.path).freeboard_m.value == pytest.approx(one.freeboard_m.value, abs=5e-4)


def test_what_is_unsure_of_a_level_is_unsure_of_its_freeboard() -> None:
    """Standard error 10 mm: 95 in 100 lie within 19.6 mm of it (normal distribution, 1.96)."""
    feature = sample.four_drops()
    rim = low_rim(feature)
    unsure = replace(rim, ground=replace(rim.ground, sigma_m=0.010))
    drawn = shape(feature)
    wet = flooded(water(feature, drawn), "ponds/pond", -0.02)
    found = top(contain(with_rim(feature, unsure), wet), "rims/pond-low").freeboard_m
    assert (found.high - found.value, found.value - found.low) == pytest.approx((0.0196, 0.0196))


def test_a_lap_above_the_highest_water_needs_neither_seam_nor_tape() -> None:
    """Fact of the trade (common practice, no source): unsealed, it holds by standing above the water, and only so."""
    feature = sample.four_drops()
    drawn = shape(feature)
    lap = feature.laps[0]
    assert not lap.sealed
    for level, holds in ((lap.upturn.m - 0.05, True), (lap.upturn.m + 0.01, False)):
        wet = flooded(water(feature, drawn), "ponds/pond", level)
        found = top(contain(feature, wet), f"laps/{lap.id}")
        assert (found.freeboard_m.low > 0.0) is holds
        assert found.run_m == lap.run_m


def test_a_sealed_lap_holds_by_its_seam() -> None:
    feature = sample.four_drops()
    sealed = replace(feature, laps=tuple(replace(lap, sealed=True) for lap in feature.laps))
    assert not [one for one in contained(sealed).tops if one.kind == "upturn"]


def test_a_bank_is_judged_at_the_end_where_it_stands_least_above_the_water() -> None:
    """A bed that falls 20 cm under standing water: the bank falls with it, and its lower end counts."""
    feature = sample.four_drops()
    stream = feature.streams[0]
    first = stream.reaches[0]
    steep = replace(first, bed_end=sample.level(first.bed_end.m - 0.20), pitch_m=0.20)
    feature = replace(feature, streams=(replace(stream, links=(steep, *stream.links[1:])),))
    drawn = shape(feature)
    standing = flooded(water(feature, drawn), f"reaches/{first.id}", first.bed_start.m + 0.05)
    found = top(contain(feature, standing), f"reaches/{first.id}.bank")
    assert found.top_m.value == pytest.approx(steep.bed_end.m + steep.bank_m)
    assert found.freeboard_m.value == pytest.approx(0.20 - 0.20 - 0.05)


def test_moving_the_datum_moves_no_freeboard() -> None:
    """All levels 10 m higher: nothing is nearer to spilling."""

    def up(level: Level) -> Level:
        return replace(level, m=level.m + 10.0)

    feature = sample.four_drops()
    body = feature.bodies[0]
    body = replace(
        body,
        waterline=up(body.waterline),
        intake=replace(body.intake, low=up(body.intake.low), high=up(body.intake.high)),
        rims=tuple(replace(rim, ground=up(rim.ground)) for rim in body.rims),
    )
    brook = sample.stream(into=body)
    moved = replace(
        feature,
        bodies=(body,),
        streams=(brook,),
        runs=tuple(replace(run, outlet_level=up(run.outlet_level)) for run in feature.runs),
        laps=tuple(replace(lap, upturn=up(lap.upturn)) for lap in feature.laps),
    )
    before, after = contained(feature), contained(moved)
    assert before.spills_first == after.spills_first
    for one in before.tops:
        assert top(after, one.path).freeboard_m.value == pytest.approx(one.freeboard_m.value, abs=1e-6)


def test_no_rims_and_nothing_but_banks() -> None:
    feature = sample.four_drops()
    bare = replace(feature, bodies=tuple(replace(body, rims=()) for body in feature.bodies), laps=())
    found = contained(bare)
    assert {one.kind for one in found.tops} == {"bank"}
    assert found.spills_first is not None
