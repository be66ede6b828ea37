"""The guide's commands are run as they stand there, and print what stands under them."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner
from tests.house.tree import ROOT

from rillwright import job
from rillwright.cli.program import program

GUIDE = (ROOT / "docs" / "guide.md").read_text(encoding="utf-8")


def blocks(kind: str) -> list[str]:
    return re.findall(rf"```{kind}\n(.*?)```", GUIDE, re.DOTALL)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def test_every_command_prints_what_the_guide_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (book,) = blocks("csv")
    Path("book.csv").write_text(book, encoding="utf-8")
    shown = blocks("console")
    assert len(shown) == 3
    for block in shown:
        command, *lines = block.splitlines()
        done = CliRunner().invoke(program, shlex.split(command)[2:], standalone_mode=False)
        assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
        for line in lines:
            assert squeezed(line) in squeezed(done.output), line


def test_the_feature_file_of_the_guide_is_judged_with_its_own_limit(tmp_path: Path) -> None:
    short, limits = blocks("yaml")
    (tmp_path / "feature.yaml").write_text(short + limits, encoding="utf-8")
    judged = job.judge(job.open(tmp_path))
    stops = [finding.code for finding in judged.findings if finding.severity.value == "stop"]
    assert stops == ["dig.services"]  # nobody has said yet that they were located
    barrier = next(finding for finding in judged.findings if finding.code == "people.barrier")
    assert (barrier.severity.value, barrier.limit_origin) == ("ok", "override")
    assert job.key_numbers(judged)[0].value == "1′ 5″"


def test_the_guide_is_short() -> None:
    assert len(GUIDE.splitlines()) < 140
