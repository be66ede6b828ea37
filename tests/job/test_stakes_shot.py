"""A shot at a stake counts there: by the path of its point, against what was planned, whatever was built since."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import NotRun, Stake, Surface
from rillwright.build import STAKED, ToGo
from rillwright.feature import places
from rillwright.job.kitting import kit_of
from rillwright.job.staking import found_levels, stakes_to_go

NAMES = sorted(job.examples())


@cache
def worked(name: str) -> tuple[job.Job, job.Judged]:
    opened = job.open(job.examples()[name])
    return opened, job.judge(opened)


def stakes(judged: job.Judged) -> tuple[Stake, ...]:
    build = judged.assessment.build
    assert not isinstance(build, NotRun)
    return build.stakes


@pytest.mark.parametrize("name", NAMES)
def test_every_surface_of_every_stake_is_a_place_with_the_same_level(name: str) -> None:
    opened, judged = worked(name)
    planned = {(str(place.path), place.surface): place.planned_m for place in places(opened.planned)}
    for stake in stakes(judged):
        for surface in STAKED:
            wanted = stake.level_m(surface)
            if wanted is None:
                continue
            assert (stake.shot_at, surface) in planned, stake.text
            level = planned[stake.shot_at, surface]
            assert level is None or level == pytest.approx(wanted, abs=1e-9), stake.text


@pytest.fixture
def taken(tmp_path: Path) -> job.Shooting:
    """The benchmark on a rod in metres reads 1.5 m."""
    folder = Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))
    opened = job.open(folder)
    return job.shoot(opened, at="marks/bolt", surface="mark", reading="1.500", rod="metric")


def shot_at(done: job.Shooting, at: str, surface: Surface, level_m: float) -> job.Shooting:
    instrument = done.job.shots.setups[0].height_of_instrument_m
    reading = f"{instrument - level_m:.4f}"
    return job.shoot(done.job, at=at, surface=str(surface), reading=reading, earlier=done.after)


def row(done: job.Shooting, at: str, surface: Surface) -> ToGo:
    return next(one for one in stakes_to_go(done.after) if (one.stake.shot_at, one.surface) == (at, surface))


def test_a_dig_shot_at_the_number_of_a_stake_is_kept_under_its_path(taken: job.Shooting) -> None:
    stake = next(one for one in stakes(taken.before) if one.shot_at == "ponds/pond.floor_stream")
    assert stake.dig_m is not None
    assert job.surfaces_at(taken.job, stake.id) == ("bed", "liner", "dig")
    done = shot_at(taken, stake.id, Surface.DIG, stake.dig_m + 0.02)
    assert done.row.path == "ponds/pond.floor_stream"
    found = row(done, "ponds/pond.floor_stream", Surface.DIG)
    assert found.to_go_m == pytest.approx(0.02, abs=1e-4)
    assert found.met is True  # within the inch that a dig is allowed (common practice, no source)


def test_a_stake_that_is_none_is_asked_about_as_it_was_typed(taken: job.Shooting) -> None:
    done = job.shoot(taken.job, at="s99", surface="dig", reading="1.2")
    assert done.row.path == "s99"
    assert [question.code for question in done.questions] == ["element"]


def test_a_stone_that_was_built_high_is_not_at_plan_because_it_is_built(taken: job.Shooting) -> None:
    planned = row(taken, "falls/r3.crest", Surface.STONE_TOP).wanted_m
    done = shot_at(taken, "falls/r3.crest", Surface.STONE_TOP, planned + 0.010)
    found = row(done, "falls/r3.crest", Surface.STONE_TOP)
    assert found.wanted_m == pytest.approx(planned, abs=1e-9)
    assert found.to_go_m == pytest.approx(0.010, abs=1e-4)
    assert found.met is False  # an eighth of an inch is allowed (common practice, no source)


def test_a_stone_with_one_end_off_is_off(taken: job.Shooting) -> None:
    planned = row(taken, "falls/r3.crest", Surface.STONE_TOP).wanted_m
    done = shot_at(taken, "falls/r3.crest@left", Surface.STONE_TOP, planned + 0.008)
    done = shot_at(done, "falls/r3.crest@right", Surface.STONE_TOP, planned)
    assert row(done, "falls/r3.crest", Surface.STONE_TOP).met is False
    assert [one.at for one in found_levels(done.after.assessment) if "r3" in one.at] == ["falls/r3.crest"]
    again = shot_at(done, "falls/r3.crest", Surface.STONE_TOP, planned + 0.001)  # set anew: its ends count no more
    assert row(again, "falls/r3.crest", Surface.STONE_TOP).met is True


def test_what_a_shot_changed_is_what_the_two_states_differ_by_and_nothing_where_nothing_did(
    taken: job.Shooting,
) -> None:
    planned = row(taken, "falls/r3.crest", Surface.STONE_TOP).wanted_m
    low = shot_at(taken, "falls/r3.crest", Surface.STONE_TOP, planned - 0.019)
    assert low.changes == job.compare(low.before, low.after)
    worse = [
        change.element for change in low.changes.worse
    ]  # less water behind the stone for the sheet above to fall on
    assert worse == ["falls/r2", "falls/r3.crest", "marks/bolt"]
    again = shot_at(low, "falls/r3.crest", Surface.STONE_TOP, planned - 0.019)
    assert again.changes.sentences == ()


def test_a_dig_shot_on_one_part_of_a_floor_says_nothing_of_the_other(tmp_path: Path) -> None:
    """The press's pond drawn as two basins, with a narrow place between them too tight for the floor's sides."""
    folder = Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))
    corners = [(-9, -6), (-2, -6), (-0.7, -0.5), (0.7, -0.5), (2, -6), (9, -6)]
    points = [(20 + x, 8 + y) for x, y in (*corners, *((-x, -y) for x, y in corners))]
    outline = "{points: [" + ", ".join(f"[{x:g} ft, {y:g} ft]" for x, y in points) + "]}"
    file = folder / "feature.yaml"
    text = file.read_text(encoding="utf-8")
    text = text.replace("{oval: [18 ft, 12 ft], centre: [20 ft, 8 ft], turn: 10 deg}", outline)
    text = text.replace("shelf: {width: 12 in, depth: 10 in}", "shelf: none")
    file.write_text(text, encoding="utf-8")
    done = job.shoot(job.open(folder), at="marks/bolt", surface="mark", reading="1.500", rod="metric")
    floor = [one for one in stakes(done.after) if "edge of the floor, part" in one.text]
    one = next(each for each in floor if each.shot_at.endswith("@part-1"))
    other = next(each for each in floor if each.shot_at == one.shot_at.replace("@part-1", "@part-2"))
    assert one.dig_m is not None
    done = shot_at(done, one.id, Surface.DIG, one.dig_m)
    assert done.row.path == one.shot_at
    assert done.reduced is not None
    assert not done.reduced.questions
    assert row(done, one.shot_at, Surface.DIG).met
    assert row(done, other.shot_at, Surface.DIG).found_of is not Surface.DIG
    kit = kit_of(done.job, done.after, day="2026-05-04")
    keys = [(each.path, each.surface) for each in kit.places]
    assert len(keys) == len(set(keys))
    assert {(each.shot_at, "dig") for each in floor} <= set(keys)
