"""Files of the ground that a job names: read with it, judged with it, refused by name."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import NotRun
from rillwright.errors import InputError
from rillwright.shape import Surface

KEY = "ground: [{file: ground/slope.csv, unit: ft}]"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def said(folder: Path, key: str) -> Path:
    file = folder / "feature.yaml"
    text = file.read_text(encoding="utf-8")
    assert KEY in text
    file.write_text(text.replace(KEY, key), encoding="utf-8")
    return folder


def surface_of(judged: job.Judged) -> Surface:
    found = judged.assessment.surface
    assert not isinstance(found, NotRun)
    return found


def test_with_the_file_the_ground_round_the_pond_is_known(folder: Path) -> None:
    known = surface_of(job.judge(job.open(folder)))
    bare = surface_of(job.judge(job.open(said(folder, "# nothing"))))
    assert known.guessed_m == pytest.approx(0.0)
    assert bare.guessed_m > 10.0


def test_a_file_that_changes_is_judged_anew_and_one_that_does_not_is_not(folder: Path) -> None:
    opened = job.open(folder)
    first = job.judge(opened)
    again = job.open(folder, earlier=opened)
    assert again.ground is opened.ground  # the very same value
    assert job.judge(again, earlier=first).assessment.surface is first.assessment.surface
    file = folder / "ground" / "slope.csv"
    file.write_text(file.read_text(encoding="utf-8").replace("t10,20,-1,-0.78", "t10,20,-1,-1.28"), encoding="utf-8")
    changed = job.open(folder, earlier=again)
    second = job.judge(changed, earlier=first)
    assert second.assessment.surface != first.assessment.surface
    assert second.assessment.surface == job.judge(changed).assessment.surface
    assert dict(second.assessment.steps)["shape"] == dict(first.assessment.steps)["shape"]


def test_it_is_among_the_files_that_are_never_written_over(folder: Path) -> None:
    opened = job.open(folder)
    assert folder / "ground" / "slope.csv" in opened.read_from
    assert any("ground/slope.csv" in each for each in job.readings_of(opened))


def test_a_file_typed_anew_is_read(folder: Path) -> None:
    (folder / "ground" / "other.csv").write_text("point,easting,northing,level\na,1,1,0\nb,60,1,0\nc,1,60,0\n")
    opened = job.open(folder)
    assert opened.ground is not None
    changed = opened.with_value(("ground", 0, "file"), "ground/other.csv")
    assert changed.ground is not None
    assert (len(opened.ground.xyz), len(changed.ground.xyz)) == (12, 3)


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("ground: [{file: ground/lost.csv, unit: ft}]", "is not there"),
        ("ground: [{file: ../slope.csv, unit: ft}]", "lies outside the job's folder"),
        ("ground: [{file: ground/slope.csv}]", "does not say in which unit it is"),
        ("ground: [{file: ground/slope.csv, unit: mile}]", "unit"),
        ("ground: [{file: books/levels.csv, unit: ft}]", "levels.csv"),
        ("ground: [{file: feature.yaml}]", "no kind of file that holds ground"),
        ("ground: [{unit: ft}]", "file"),
    ],
)
def test_what_cannot_be_read_is_refused_by_name(folder: Path, key: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        job.open(said(folder, key))


def test_levels_at_odds_are_a_finding(folder: Path) -> None:
    """A level of the file at the apron, an inch and a quarter higher than the crew's own."""
    with (folder / "ground" / "slope.csv").open("a", encoding="utf-8") as file:
        file.write("t13,8,6,-0.44,,flagstones\n")
    judged = job.judge(job.open(folder))
    (found,) = [finding for finding in judged.findings if finding.code == "ground.contradicts"]
    why = str({name: value for name, value, _ in found.parameters}["why"])
    assert "t13" in why
    assert "apron" in why


def test_break_lines_that_cross_are_a_finding(folder: Path) -> None:
    with (folder / "ground" / "slope.csv").open("a", encoding="utf-8") as file:
        file.write("k1,26,-12,-1.6,kerb,\nk2,26,-2,-1.0,kerb,\n")
    judged = job.judge(job.open(folder))
    (found,) = [finding for finding in judged.findings if finding.code == "ground.contradicts"]
    why = str({name: value for name, value, _ in found.parameters}["why"])
    assert "track" in why
    assert "kerb" in why
