"""Nine answers to a job folder, and what is said when they cannot be used."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.errors import InputError, OutputError
from rillwright.visit import Answers, write

FEET = Answers(benchmark_reading="4' 2\"", head_reading="1' 3 1/2\"", lowest_reading="4' 11\"")
METRES = Answers(
    benchmark_reading="1.250", head_reading="0.420", lowest_reading="1.460", pond_length="3.6 m", pond_width="2.4 m",
    pond_depth="600 mm", stream_length="6 m", stream_width="0.9 m", access_width="1.2 m", waterline_below="100 mm",
    units="metric", rod="metric",
)  # fmt: skip


@pytest.mark.parametrize("look", ["quiet", "lively", "loud", "3"])
@pytest.mark.parametrize("answers", [FEET, METRES], ids=["feet", "metres"])
def test_nine_answers_give_a_job_that_can_be_judged(answers: Answers, look: str, tmp_path: Path) -> None:
    done = job.visit(replace(answers, look=look), tmp_path / "yard")
    assert done.page.read_bytes().startswith(b"%PDF")
    assert answers.head_reading in (done.folder / "books" / "visit.csv").read_text(encoding="utf-8").replace('""', '"')
    assert len(done.judged.findings) > 20
    feature = done.job.feature
    if look == "3":
        assert len(feature.falls) == 3
    assert feature.bodies[0].rims[0].berm_m > 0  # the low side lies under the highest water


def test_the_waterline_hangs_four_inches_under_the_paving(tmp_path: Path) -> None:
    """4 in below the paving as a target: common practice, no source."""
    feature = job.visit(FEET, tmp_path / "yard").job.feature
    assert feature.bodies[0].waterline.m == pytest.approx(-4 * 0.0254)


def test_every_answer_that_cannot_be_used_is_named_at_once() -> None:
    with pytest.raises(InputError) as caught:
        write(replace(FEET, head_reading="5.7", pond_depth="2", look="splashy"))
    assert {problem.field for problem in caught.value.problems} == {"head_reading", "pond_depth", "look"}


@pytest.mark.parametrize("head", ["4' 1\"", "9' 0\"", "0' 1\""])
def test_too_little_height_is_judged_and_no_error(head: str, tmp_path: Path) -> None:
    done = job.visit(replace(FEET, head_reading=head), tmp_path / "yard")
    assert done.page.is_file()


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    kept = tmp_path / "notes.txt"
    kept.write_text("mine", encoding="utf-8")
    with pytest.raises(OutputError, match="not written over"):
        job.visit(FEET, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
    assert kept.read_text(encoding="utf-8") == "mine"
