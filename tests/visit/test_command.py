"""`visit` as it is typed: asked one by one, as options, or both; nothing is left where it was stopped."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from tests.house.tree import ROOT

from rillwright import job
from rillwright.assessment import NotRun
from rillwright.cli.program import program
from rillwright.errors import InputError, OutputError
from rillwright.job.unfinished import whole_folder

READ = ["--benchmark-reading", "4' 2\"", "--head-reading", "1' 3 1/2\"", "--lowest-reading", "4' 11\""]
ALWAYS = (
    "height there is", "drops from the head down", "flow", "pump", "pipe", "drop at start", "berm at the low side",
    "liner", "lb", "tons", "soil in", "fits", "days", "price", "invented", "The three worst", "visit.pdf",
    "feature.yaml", "Checked against",
)  # fmt: skip


OPTIONAL = 8


def run(*words: str, typed: str = "") -> Result:
    return CliRunner().invoke(program, ["visit", *words], input=typed, standalone_mode=False)


def test_options_alone_give_the_page_in_words(tmp_path: Path) -> None:
    result = run(str(tmp_path / "yard"), *READ, "--no-ask")
    assert result.exception is None
    assert not [words for words in ALWAYS if words not in result.output]
    assert sorted(file.name for file in (tmp_path / "yard").rglob("*.*")) == ["feature.yaml", "visit.csv", "visit.pdf"]
    assert [path.name for path in tmp_path.iterdir()] == ["yard"]


def test_asked_one_by_one_and_again_after_a_plain_error(tmp_path: Path) -> None:
    said = [
        "4' 2\"",
        "",
        "1.2",
        "1' 3 1/2\"",
        "4' 11\"",
        "12",
        "14 ft",
        "",
        "",
        "",
        "",
        "splashy",
        "loud",
        "",
        "",
        "",
        "",
        *[""] * OPTIONAL,
    ]
    result = run(str(tmp_path / "yard"), typed="\n".join(said) + "\n")
    assert result.exception is None, result.output
    assert "a bare number on a rod in feet and inches" in result.output
    assert "a length needs a unit" in result.output
    assert "is no look" in result.output
    assert "[12 ft]" in result.output
    feature = job.open(tmp_path / "yard").feature
    assert feature.bodies[0].length_m == pytest.approx(14 * 0.3048)
    assert feature.streams[0].look.value == "loud"


def test_readings_without_a_unit_ask_for_the_rod_once(tmp_path: Path) -> None:
    said = ["1.250", "metric", "1.250", "0.420", "1.460", *[""] * (10 + OPTIONAL)]
    result = run(str(tmp_path / "yard"), typed="\n".join(said) + "\n")
    assert result.exception is None, result.output
    assert result.output.count("Which rod was read") == 1
    assert "[3.7 m]" in result.output
    assert job.open(tmp_path / "yard").feature.system == "metric"


def test_options_are_not_asked_again(tmp_path: Path) -> None:
    result = run(str(tmp_path / "yard"), *READ, "--look", "3", "--soil", "clay", typed="\n" * (10 + OPTIONAL))
    assert result.exception is None, result.output
    assert "Rod reading at the stream head" not in result.output
    assert len(job.open(tmp_path / "yard").feature.falls) == 3


def test_stopped_half_way_leaves_nothing(tmp_path: Path) -> None:
    result = run(str(tmp_path / "new" / "yard"), typed="4' 2\"\n\n")
    assert type(result.exception).__name__ == "Abort"
    assert list(tmp_path.iterdir()) == []


def test_stopped_while_it_is_written_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> bytes:
        raise KeyboardInterrupt

    monkeypatch.setattr("rillwright.packet.visit_page", stop)
    answers = job.Answers(benchmark_reading="4' 2\"", head_reading="1' 3\"", lowest_reading="4' 11\"")
    with pytest.raises(KeyboardInterrupt):
        job.visit(answers, tmp_path / "new" / "yard")
    assert list(tmp_path.iterdir()) == []


def test_what_is_missing_without_asking_is_told_at_once(tmp_path: Path) -> None:
    result = run(str(tmp_path / "yard"), "--pond-depth", "2", "--no-ask")
    assert isinstance(result.exception, InputError)
    told = {problem.field for problem in result.exception.problems}
    assert told == {"benchmark_reading", "head_reading", "lowest_reading", "pond_depth"}
    assert list(tmp_path.iterdir()) == []


def test_a_head_below_the_water_is_judged_to_stop(tmp_path: Path) -> None:
    answers = job.Answers(benchmark_reading="4' 2\"", head_reading="6' 0\"", lowest_reading="4' 11\"")
    done = job.visit(answers, tmp_path / "yard")
    assert "no height" in done.staircase
    assert any(finding.severity.value == "stop" for finding in done.judged.findings)


def test_the_berm_is_what_the_highest_water_asks_for(tmp_path: Path) -> None:
    """3 in above the highest that the water may stand, over ground as low as it may be, once settled by a tenth, to the
    next half inch up: common practice."""
    answers = job.Answers(benchmark_reading="4' 2\"", head_reading="1' 3 1/2\"", lowest_reading="4' 11\"")
    done = job.visit(answers, tmp_path / "yard")
    water = done.judged.assessment.water
    assert not isinstance(water, NotRun)
    highest = max(high.level_m.high for high in water.highest if high.path == "ponds/pond")
    rim = done.job.feature.bodies[0].rims[0]
    assert rim.ground.m == pytest.approx(-9 * 0.0254)
    wanted = (highest + 3 * 0.0254 - (rim.ground.m - 1.96 * rim.ground.sigma_m)) / 0.9
    assert wanted <= rim.berm_m < wanted + 0.0127
    assert rim.berm_m / 0.0127 == pytest.approx(round(rim.berm_m / 0.0127))


def test_a_folder_that_is_taken_is_refused_before_anything_is_asked(tmp_path: Path) -> None:
    (tmp_path / "yard").mkdir()
    (tmp_path / "yard" / "notes.txt").write_text("mine")
    result = run(str(tmp_path / "yard"), typed="4' 2\"\n")
    assert isinstance(result.exception, OutputError)
    assert "is there already" in str(result.exception)
    assert "Rod reading" not in result.output
    assert [path.name for path in tmp_path.iterdir()] == ["yard"]


def test_each_question_says_which_of_the_nine_it_is(tmp_path: Path) -> None:
    result = run(str(tmp_path / "yard"), *READ, typed="\n" * 40)
    assert result.exception is None
    asked = re.findall(r"(\d) of 9  (\w+ ?\w* ?\w*)", result.output)
    assert [int(number) for number, _ in asked] == [1, 4, 4, 4, 5, 5, 6, 7, 7, 8, 9]
    assert [question.number for question in job.QUESTIONS if question.optional] == [None] * OPTIONAL


@pytest.mark.parametrize(
    ("reading", "told"),
    [("5.7'", "5 ft 8 3/8 in"), ("5.7 ft", "5 ft 8 3/8 in"), ("4.25'", "4 ft 3 in")],
    ids=["prime", "ft", "quarter"],
)
def test_a_first_reading_in_tenths_is_said_to_be(reading: str, told: str, tmp_path: Path) -> None:
    """5.7 ft is 5 ft and 0.7 x 12 = 8.4 in, to the next eighth 8 3/8 in: by hand."""
    words = ["--benchmark-reading", reading, "--head-reading", "2.1'", "--lowest-reading", "5.9'"]
    for ask in ([], ["--no-ask"]):
        result = run(str(tmp_path / f"yard{len(ask)}"), *words, *ask, typed="\n" * 40)
        assert result.exception is None
        assert result.output.count(f"taken as tenths of a foot: {told}") == 1


def test_a_rod_that_was_named_or_reads_inches_needs_no_word(tmp_path: Path) -> None:
    assert "tenths" not in run(str(tmp_path / "a"), *READ, "--no-ask").output
    words = ["--benchmark-reading", "5.7", "--head-reading", "2.1", "--lowest-reading", "5.9", "--rod", "tenths"]
    assert "taken as tenths" not in run(str(tmp_path / "b"), *words, "--no-ask").output


def test_killed_outright_leaves_one_folder_that_the_next_run_takes_away(tmp_path: Path) -> None:
    """Killed while the page is made, as a flat battery would: nothing is cleaned up by the program that dies."""
    words = [*READ, "--no-ask"]
    env = os.environ | {"PYTHONPATH": str(ROOT / "src")}
    dies = (
        "import os, sys\nfrom rillwright import packet\n"
        "packet.visit_page = lambda *a, **k: os._exit(9)\n"
        "from rillwright.cli.program import program\n"
        "program.main(['visit', *sys.argv[1:]])\n"
    )
    done = subprocess.run([sys.executable, "-c", dies, str(tmp_path / "yard"), *words], env=env, check=False)
    assert done.returncode == 9
    assert [path.name for path in tmp_path.iterdir()] == ["yard.unfinished"]
    assert (tmp_path / "yard.unfinished" / "job" / "feature.yaml").is_file()
    result = run(str(tmp_path / "yard"), *words)
    assert result.exception is None
    assert [path.name for path in tmp_path.iterdir()] == ["yard"]


def test_two_visits_to_one_place_at_once_do_not_mix(tmp_path: Path) -> None:
    with whole_folder(tmp_path / "yard") as folder:
        with pytest.raises(OutputError, match="another program"), whole_folder(tmp_path / "yard"):
            pass
        (folder / "a").write_text("1")
    assert [path.name for path in tmp_path.rglob("*")] == ["yard", "a"]


def test_a_strangers_folder_of_that_name_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "yard.unfinished").mkdir()
    (tmp_path / "yard.unfinished" / "mine").write_text("1")
    with pytest.raises(OutputError, match="not left by a visit"), whole_folder(tmp_path / "yard"):
        pass
    assert (tmp_path / "yard.unfinished" / "mine").read_text() == "1"
