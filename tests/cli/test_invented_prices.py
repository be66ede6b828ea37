"""A price from the invented book says so wherever it is told; a person's own book is not called invented."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from rillwright import job
from rillwright.cli.program import program

OWN = "item,unit,low,high,currency,hours_low,hours_high,note\nliner_m2,m2,9,12,EUR,0.1,0.2,mine\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "job"))


def told(folder: Path, *options: str) -> str:
    done = CliRunner().invoke(program, ["check", str(folder), *options], standalone_mode=False)
    assert done.exception is None
    return done.output


def test_the_terminal_says_whose_prices_they_are(folder: Path) -> None:
    assert "invented price book" in " ".join(told(folder).split())
    (folder / "prices.csv").write_text(OWN, encoding="utf-8")
    assert "invented price book" not in " ".join(told(folder).split())


def test_json_says_whose_prices_they_are(folder: Path) -> None:
    assert json.loads(told(folder, "--json"))["price"]["invented"] is True
    (folder / "prices.csv").write_text(OWN, encoding="utf-8")
    price = json.loads(told(folder, "--json"))["price"]
    assert (price["invented"], price["book"]) == (False, "prices.csv")
