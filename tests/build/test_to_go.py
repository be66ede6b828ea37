"""What is to go at a stake, within which tolerance; and where the work waits."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace
from tests.build.test_pegs import planned, stake
from tests.examples.folders import NAMES, worked
from tests.shape import sample

from rillwright.build import Build, FoundLevel, HoldPoint, HoldWhen, SiteDay, ToGo, plan_build, to_go, tolerance_m
from rillwright.feature import Feature, LimitOverride, Surface
from rillwright.liner import size_liner
from rillwright.stone import place_stone

IN = 0.0254


@cache
def build() -> Build:
    return planned(sample.four_drops())


def row(text: str, surface: Surface, *found: FoundLevel, day: SiteDay | None = None) -> ToGo:
    rows = to_go(sample.four_drops(), build().stakes, found, site_day=day)
    return next(one for one in rows if one.stake.text == text and one.surface is surface)


def test_a_dig_is_cut_from_the_ground_that_was_read_there() -> None:
    """The ground at the head lies with its bed at +0.80 m; the dig 75 mm of gravel and 6.1 mm of liner lower."""
    feature = sample.four_drops()
    head = stake(build().stakes, "stream head, stream-r1 begins")
    known = replace(head, ground_m=0.80)
    (found, *_) = to_go(feature, (known,))
    assert found.surface is Surface.DIG
    assert found.to_go_m == pytest.approx(0.0811)
    assert found.found_of is Surface.GROUND
    assert found.met is None


@pytest.mark.parametrize(
    ("off_m", "met"),
    [(0.0, True), (0.9 * IN, True), (-0.9 * IN, True), (1.1 * IN, False), (-1.1 * IN, False)],
    ids=str,
)
def test_a_dig_is_met_within_an_inch(off_m: float, met: bool) -> None:
    """1 in (common practice, no source): too high is to be cut, too low to be filled."""
    wanted = row("stream-r2 ends", Surface.DIG).wanted_m
    shot = FoundLevel(at="reaches/stream-r2.end", surface=Surface.DIG, level_m=wanted + off_m)
    found = row("stream-r2 ends", Surface.DIG, shot)
    assert found.met is met
    assert found.to_go_m == pytest.approx(off_m, abs=1e-12)


def test_a_spill_stone_is_met_within_an_eighth_at_its_crest() -> None:
    """1/8 in (common practice, no source)."""
    wanted = row("crest of stream-f2", Surface.STONE_TOP).wanted_m
    for off, met in ((0.12, True), (0.2, False)):
        shot = FoundLevel(at="falls/stream-f2.crest", surface=Surface.STONE_TOP, level_m=wanted + off * IN)
        assert row("crest of stream-f2", Surface.STONE_TOP, shot).met is met


def test_a_shot_tells_of_its_own_surface_alone_and_the_last_one_counts() -> None:
    wanted = row("stream-r2 ends", Surface.DIG).wanted_m
    first = FoundLevel(at="reaches/stream-r2.end", surface=Surface.DIG, level_m=wanted + 0.1)
    last = FoundLevel(at="reaches/stream-r2.end", surface=Surface.DIG, level_m=wanted)
    assert row("stream-r2 ends", Surface.DIG, first, last).met is True
    assert row("stream-r2 ends", Surface.LINER, first, last).met is None
    assert row("stream-r3 begins", Surface.DIG, first, last).met is None


def test_a_stake_is_known_by_its_number_too() -> None:
    one = stake(build().stakes, "pond, edge of the floor, west")
    found = row(one.text, Surface.DIG, FoundLevel(at=one.id, surface=Surface.DIG, level_m=one.dig_m or 0.0))
    assert found.met is True


def test_a_rim_on_fill_is_built_above_its_finished_height() -> None:
    """Ground -0.06 m, 0.10 m built, a tenth of it settles: +0.04 m now, +0.03 m finished. The top of its fill may be
    shot as ground."""
    text = "rim pond-low, before it settles"
    found = row(text, Surface.LINER, FoundLevel(at="rims/pond-low.top", surface=Surface.GROUND, level_m=0.04))
    assert found.wanted_m == pytest.approx(0.04)
    assert found.stake.settles_m == pytest.approx(0.01)
    assert found.met is True


def test_reading_is_height_of_instrument_less_level() -> None:
    """Reading = HI - level, as in any surveying text."""
    day = SiteDay(date="12 May", height_of_instrument_m=1.432, rod="metric")
    found = row("stream-r2 ends", Surface.DIG, day=day)
    assert found.reading_m == pytest.approx(1.432 - found.wanted_m)


def test_a_feature_sets_its_own_tolerance() -> None:
    feature = sample.four_drops()
    own = replace(feature, overrides=(LimitOverride(limit="stake.dig", value=0.05, reason="raked gravel on it"),))
    assert tolerance_m(feature, Surface.DIG) == pytest.approx(IN)
    assert tolerance_m(own, Surface.DIG) == 0.05
    assert tolerance_m(feature, Surface.LINER, "laps/l1") == pytest.approx(0.25 * IN)
    assert tolerance_m(feature, Surface.LINER, "rims/r1") == pytest.approx(0.5 * IN)


def holds(name: str) -> tuple[Feature, tuple[HoldPoint, ...]]:
    done = worked(name)
    liner, stone = size_liner(done.feature, done.shape), place_stone(done.feature, done.shape)
    return done.feature, plan_build(done.feature, done.shape, done.water, liner=liner, stone=stone).holds


@pytest.mark.parametrize("name", NAMES)
def test_the_work_waits_in_the_order_of_the_work(name: str) -> None:
    """Common practice, no source: the dig is looked at before underlay lies on it, liner before stone, laps and pipes
    before they are covered, the benchmark at start, noon and end."""
    feature, found = holds(name)
    ids = [one.id for one in found]
    assert len(set(ids)) == len(ids)
    assert [one.when for one in found if one.id.startswith("benchmark")] == [
        HoldWhen.START, HoldWhen.NOON, HoldWhen.END,
    ]  # fmt: skip
    for body in feature.bodies:
        assert ids.index("services") < ids.index(f"dig.{body.id}") < ids.index(f"cut.l-{body.id}")
        assert ids.index(f"cut.l-{body.id}") < ids.index(f"liner.{body.id}") < ids.index(f"fill.{body.id}")
        assert ids.index(f"fill.{body.id}") < ids.index(f"run.{body.id}")
    assert {f"lap.{lap.id}" for lap in feature.laps} <= set(ids)
    assert {f"pipe.{run.id}" for run in feature.runs} <= set(ids)
    assert {f"spill.{fall.id}" for fall in feature.falls} <= set(ids)
    lower, upper = ids.index(f"spill.{feature.falls[-1].id}"), ids.index(f"spill.{feature.falls[0].id}")
    assert lower < upper


@pytest.mark.parametrize("name", NAMES)
def test_what_is_cut_is_taped_both_ways_and_laps_are_shot_to_a_quarter_inch(name: str) -> None:
    feature, found = holds(name)
    by_id = {one.id: one for one in found}
    cuts = [one for one in found if one.when is HoldWhen.CUT]
    assert cuts
    for cut in cuts:
        assert len(cut.tape) == 2
        assert all((tape.wanted_m or 0.0) > 0.0 for tape in cut.tape)
    for lap in feature.laps:
        (shot,) = by_id[f"lap.{lap.id}"].shoot
        assert shot.wanted_m == lap.upturn.m
        assert shot.tolerance_m == pytest.approx(0.25 * IN)
        assert shot.path == f"laps/{lap.id}.upturn"
    for fall in feature.falls:
        ends = by_id[f"spill.{fall.id}"].shoot
        assert [shot.wanted_m for shot in ends] == [fall.crest.m] * 2
        assert all(shot.tolerance_m == pytest.approx(0.125 * IN) for shot in ends)
    for one in found:
        assert one.initials
        assert one.shoot or one.tape or one.look
