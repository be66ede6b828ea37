"""Whatever is wrong with a file: a plain error, exit 2, nothing written over, no traceback."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from rillwright import job
from rillwright.cli.program import program
from rillwright.errors import RillwrightError

BROKEN = {
    "yaml": ("format: 1", "format: [1"),
    "anchor on nothing": ("format: 1", "format: &a "),
    "unknown key": ("  id: pond\n", "  id: pond\n  colour: blue\n"),
    "missing": ("  outline: {oval: [18 ft, 12 ft], centre: [20 ft, 8 ft], turn: 10 deg}\n", ""),
    "wrong unit": ("  depth: 2 ft\n", "  depth: 2 gal\n"),
    "not a number": ("  depth: 2 ft\n", "  depth: .nan ft\n"),
    "crosses itself": ("{oval: [18 ft, 12 ft], centre: [20 ft, 8 ft], turn: 10 deg}",
                       "{points: [[0 ft, 0 ft], [9 ft, 9 ft], [9 ft, 0 ft], [0 ft, 9 ft]]}"),
    "rising pump curve": ("box: {shut_off: 16 ft, greatest_flow: 3900 gal/h}",
                          "curve: [[0 gal/h, 9 ft], [900 gal/h, 10 ft]]"),
    "pipe of no length": ("  length: 30 ft ", "  length: 0 ft "),
    "crests out of order": ("{fall: r2, drop: 4 1/2 in,", "{fall: r2, station: 1 ft, drop: 4 1/2 in,"),
    "no such book": ("books/levels.csv", "books/lost.csv"),
    "book outside": ("books/levels.csv", "../../../etc/passwd"),
}  # fmt: skip


def copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


@pytest.mark.parametrize("fault", BROKEN)
def test_a_broken_job_is_refused_in_words(fault: str, tmp_path: Path) -> None:
    folder = copy(tmp_path)
    file = folder / "feature.yaml"
    was, becomes = BROKEN[fault]
    text = file.read_text(encoding="utf-8")
    assert was in text
    file.write_text(text.replace(was, becomes, 1), encoding="utf-8")
    before = file.read_bytes()
    result = CliRunner().invoke(program, ["check", str(folder)], standalone_mode=False)
    assert isinstance(result.exception, RillwrightError), result.output
    assert "Traceback" not in str(result.exception)
    assert file.read_bytes() == before


def test_a_book_that_does_not_link_is_refused(tmp_path: Path) -> None:
    folder = copy(tmp_path)
    book = folder / "books" / "levels.csv"
    book.write_text("point,backsight,foresight,rod\nq,4' 2\",,ft-in\nx,,3' 1\",ft-in\n", encoding="utf-8")
    with pytest.raises(RillwrightError):
        job.open(folder)


def test_markup_in_names_reaches_the_papers_as_text(tmp_path: Path) -> None:
    folder = copy(tmp_path)
    opened = job.open(folder).with_value(("name",), "#panic() *a* <b> $x$ @y")
    made = job.papers(opened, job.judge(opened), tmp_path / "out.pdf")
    assert made.pdf.read_bytes().startswith(b"%PDF")


def test_papers_are_not_written_over(tmp_path: Path) -> None:
    opened = job.open(copy(tmp_path))
    judged = job.judge(opened)
    taken = tmp_path / "out.json"
    taken.write_text("mine", encoding="utf-8")
    with pytest.raises(RillwrightError, match="not written over"):
        job.papers(opened, judged, tmp_path / "out.pdf")
    assert taken.read_text(encoding="utf-8") == "mine"
    assert not (tmp_path / "out.pdf").exists()


def test_a_file_changed_by_another_hand_is_not_saved_over(tmp_path: Path) -> None:
    folder = copy(tmp_path)
    opened = job.open(folder).with_value(("pond", "depth"), "30 in")
    file = folder / "feature.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "# another hand\n", encoding="utf-8")
    with pytest.raises(RillwrightError, match="changed since"):
        job.save(opened)
    assert "another hand" in file.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(job.examples()))
def test_the_examples_are_judged_without_a_stop(name: str) -> None:
    result = CliRunner().invoke(program, ["check", str(job.examples()[name])], standalone_mode=False)
    assert result.exception is None
    assert result.return_value == 0
    assert "checks are ok" in result.output


@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_started_file_can_be_judged_and_is_never_written_over(units: str, tmp_path: Path) -> None:
    file = job.new(tmp_path / "yard", units=units)
    assert job.judge(job.open(file)).findings
    text = file.read_text(encoding="utf-8")
    with pytest.raises(RillwrightError, match="not written over"):
        job.new(tmp_path / "yard", units=units)
    assert file.read_text(encoding="utf-8") == text
