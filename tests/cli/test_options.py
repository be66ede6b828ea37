"""A length typed behind an option: the complaint names the option."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from rillwright import job
from rillwright.cli.program import program
from rillwright.errors import InputError


@pytest.mark.parametrize(
    ("words", "option"),
    [
        (["fit", "--height", "40"], "--height"),
        (["fit", "--height", "40 in", "--last", "8"], "--last"),
        (["fit", "--height", "40 in", "--stone", "three"], "--stone"),
        (["packet", "{job}", "--instrument", "3", "--out", "{out}"], "--instrument"),
    ],
    ids=lambda each: each if isinstance(each, str) else "",
)
def test_a_length_without_a_unit_names_its_option(words: list[str], option: str, tmp_path: Path) -> None:
    typed = [w.format(job=job.examples()["orchard-press"], out=tmp_path / "out.pdf") for w in words]
    found = CliRunner().invoke(program, typed, standalone_mode=False)
    assert isinstance(found.exception, InputError)
    assert {problem.field for problem in found.exception.problems} == {option}
    assert "needs a unit" in str(found.exception) or "three" in str(found.exception)
