"""A surveyor's levels: kept as levels, once, above our datum or asked about."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import NotRun, Surface
from rillwright.errors import InputError
from rillwright.job.staking import stakes_csv, stakes_to_go

HEAD = "point,northing,easting,level,description,surface"
BOLT = "bolt,0,0,0.002,,mark"


@pytest.fixture
def opened(tmp_path: Path) -> job.Job:
    return job.open(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def digs(opened: job.Job) -> list[str]:
    return [line for line in stakes_csv(job.judge(opened)).splitlines() if line.endswith(",dig")]


def text(*lines: str) -> str:
    return "\n".join([HEAD, *lines]) + "\n"


def test_stakes_that_were_handed_out_come_back_as_dug_to_plan(opened: job.Job) -> None:
    lines = digs(opened)
    done = job.take_points(opened, text(BOLT, *lines), file="day.csv")
    assert len(done.new) == len(lines) + 1
    assert done.questions == ()
    assert done.new[0].note == "from day.csv line 2"
    rows = [row for row in stakes_to_go(done.after) if row.surface is Surface.DIG]
    assert [row.met for row in rows] == [True] * len(lines)


def test_a_second_run_adds_nothing(opened: job.Job) -> None:
    once = job.take_points(opened, text(BOLT, *digs(opened)), file="day.csv")
    before = (opened.path.parent / "shots.csv").read_bytes()
    again = job.take_points(once.job, text(BOLT, *digs(opened)), file="day.csv")
    assert (len(again.new), again.known) == (0, len(once.new))
    assert (opened.path.parent / "shots.csv").read_bytes() == before


@pytest.mark.parametrize(
    ("mark", "doubted"),
    [(["bolt,0,0,0.003,,mark"], 0), (["bolt,0,0,0.004,,mark"], 3), (["bolt,0,0,-30.5,,mark"], 3), ([], 2)],
    ids=["agrees", "an eighth out", "another datum", "no mark"],
)
def test_only_levels_above_our_datum_are_built_upon(opened: job.Job, mark: list[str], doubted: int) -> None:
    """An eighth of an inch, 3.175 mm, is what a mark read again is allowed (common practice, no source)."""
    done = job.take_points(opened, text(*digs(opened)[:2], *mark), file="day.csv")
    assert [question.code for question in done.questions] == ["datum"] * doubted
    assert sum(shot.state == "doubted" for shot in done.job.shots.shots) == doubted
    if doubted:
        held = job.confirm(done.job, done.new[0].uuid)
        assert held.job.shots.shot(done.new[0].uuid).state == "kept"


def test_feet_are_feet(opened: job.Job) -> None:
    done = job.take_points(opened, text("bolt,0,0,0,,mark", "oak,1,1,2.5,,ground"), file="day.csv", unit="ft")
    oak = done.job.shots.shots[1]
    assert (oak.shot.path, oak.level_nm) == ("points/oak", 762_000_000)  # 2.5 ft of 0.3048 m


def test_a_point_far_from_the_stake_whose_number_it_bears_is_doubted(opened: job.Job) -> None:
    build = job.judge(opened).assessment.build
    assert not isinstance(build, NotRun)
    stake = next(one for one in build.stakes if one.dig_m is not None and one.at is not None)
    assert stake.at is not None
    moved = f"{stake.id},{stake.at[1] + 1.0},{stake.at[0]},{stake.dig_m},,dig"
    done = job.take_points(opened, text(BOLT, moved), file="day.csv")
    assert done.job.shots.shots[1].state == "doubted"
    assert "1.00 m away" in done.new[1].note


def test_all_that_is_wrong_is_said_and_nothing_is_written(opened: job.Job) -> None:
    with pytest.raises(InputError) as caught:
        job.take_points(opened, text("s77,0,0,1,,dig", "s1,0,0,1,,", "oak,0,0,,,ground"), file="day.csv")
    assert [(problem.line, problem.field) for problem in caught.value.problems] == [
        (2, "point"), (3, "surface"), (4, "level"),
    ]  # fmt: skip
    assert not (opened.path.parent / "shots.csv").exists()
