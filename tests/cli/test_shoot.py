"""`rillwright shoot` as typed: what it says, what it asks, what it never writes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rillwright import job
from rillwright.cli.program import program

BENCH = ("--benchmark", "bolt", "--reading", "4' 10 3/4\"", "--rod", "ft-in", "--who", "kit")
CREST = ("--at", "falls/last.crest", "--surface", "stone top")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def shoot(folder: Path, *words: str, typed: str = "") -> Result:
    return CliRunner().invoke(program, ["shoot", str(folder), *words], input=typed)


def test_level_plan_and_what_is_to_go(folder: Path) -> None:
    """By hand: 58 3/4 in above the bolt less 52 3/4 on the rod is 6 in; the stone was planned at 4 1/2."""
    assert shoot(folder, *BENCH).exit_code == 0
    said = shoot(folder, *CREST, "--reading", "4' 4 3/4\"").output
    assert "level    6 in above bolt" in said
    assert "planned  4 1/2 in" in said
    assert "lower it 1 1/2 in" in said


def test_dig_is_cut_or_filled(folder: Path) -> None:
    """By hand: floor planned 37.74 in below the bolt, read at 58 3/4 - 94 3/4 = -36: 1 3/4 in still to cut."""
    shoot(folder, *BENCH)
    said = shoot(folder, "--at", "ponds/pond.floor", "--surface", "dig", "--reading", "7' 10 3/4\"").output
    assert "cut 1 3/4 in" in said


def test_what_is_missing_is_asked_for(folder: Path) -> None:
    shoot(folder, *BENCH)
    said = shoot(folder, typed="falls/last.crest\nstone top\n4' 6 1/4\"\n")
    assert said.exit_code == 0
    assert "Where" in said.output
    assert "at plan" in said.output
    assert len((folder / "shots.csv").read_text(encoding="utf-8").splitlines()) == 3


def test_the_rod_is_asked_for_once(folder: Path) -> None:
    said = shoot(folder, "--benchmark", "bolt", "--reading", "4' 10 3/4\"", typed="ft-in\n")
    assert "Which rod" in said.output
    assert "Which rod" not in shoot(folder, *CREST, "--reading", "4' 6 1/4\"").output


def test_nothing_is_written_where_the_answer_is_missing(folder: Path) -> None:
    assert shoot(folder, *CREST, "--rod", "ft-in").exit_code != 0
    assert not (folder / "shots.csv").exists()


def test_an_odd_reading_says_how_to_settle_it(folder: Path) -> None:
    shoot(folder, *BENCH)
    said = shoot(folder, *CREST, "--reading", "3' 6 1/4\"").output
    assert "one foot" in said
    assert "--withdraw" in said
    short = said.split("--confirm ")[1].split(";")[0]
    kept = shoot(folder, "--confirm", short)
    assert ": kept" in kept.output
    gone = shoot(folder, "--withdraw", short, "--note", "read anew")
    assert ": withdrawn" in gone.output


@pytest.mark.parametrize(
    "words",
    [
        ("--benchmark", "bolt", "--at", "falls/last.crest"),
        ("--withdraw", "x", "--confirm", "y"),
        ("--confirm", "nobody"),
    ],
    ids=["two places", "two words", "nobody"],
)
def test_what_cannot_be_meant_is_refused(words: tuple[str, ...], folder: Path) -> None:
    assert shoot(folder, *words).exit_code != 0
    assert not (folder / "shots.csv").exists()


def test_a_change_of_findings_is_told(folder: Path) -> None:
    shoot(folder, *BENCH)
    shoot(folder, "--at", "falls/last.crest@left", "--surface", "stone top", "--reading", "4' 6 1/4\"")
    said = shoot(folder, "--at", "falls/last.crest@right", "--surface", "stone top", "--reading", "4' 6 1/2\"").output
    assert "falls/last" in said
    assert "Shim its right end" in " ".join(said.split())
