"""`rillwright undo` and `rillwright shoot --from`, as they are typed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from rillwright import job
from rillwright.cli.program import program


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def typed(*arguments: str) -> str:
    return CliRunner().invoke(program, arguments, catch_exceptions=False).output


def test_the_last_reading_is_taken_back_and_stays_in_the_file(folder: Path) -> None:
    typed("shoot", str(folder), "--benchmark", "bolt", "--reading", "1.500", "--rod", "metric")
    typed("shoot", str(folder), "--at", "falls/r3.crest", "--surface", "stone top", "--reading", "1.150")
    assert job.open(folder).shots.shots[1].state == "kept"
    said = typed("undo", str(folder))
    assert "reading the crest of fall r3" in " ".join(said.split())
    assert [shot.state for shot in job.open(folder).shots.shots] == ["kept", "withdrawn"]


def test_levels_of_a_file_are_taken_once(folder: Path, tmp_path: Path) -> None:
    points = tmp_path / "points.csv"
    points.write_text("bolt,0,0,0.001,,mark\noak,2,2,0.4,,ground\n", encoding="utf-8")
    asked = ("shoot", str(folder), "--from", str(points), "--order", "P,N,E,Z,D,S")
    assert typed(*asked).startswith("2 levels written.")
    assert "2 stood there already" in typed(*asked)
    refused = CliRunner().invoke(program, [*asked, "--at", "points/oak"])
    assert refused.exit_code == 2
