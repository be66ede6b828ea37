"""`rillwright surface` as typed."""

from __future__ import annotations

import csv
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rillwright import job
from rillwright.cli import main

Run = Callable[..., tuple[int, str, str]]
PRESS = str(job.examples()["orchard-press"])


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    def typed(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["rillwright", "surface", *words])
        with pytest.raises(SystemExit) as end:
            main()
        told = capsys.readouterr()
        return int(end.value.code or 0), told.out, told.err

    return typed


def test_earth_levels_and_a_section(run: Run) -> None:
    """In the middle of the pond: waterline 2 ft over the bed, gravel 3 in over the liner."""
    code, out, err = run(PRESS, "--at", "20 ft, 8 ft", "--at", "900 ft, 0 ft", "--section", "20 ft, 8 ft; 20 ft, -6 ft")
    assert (code, err) == (0, "")
    assert "ponds/pond: cut " in out
    assert "streams/brook: cut " in out
    one = " ".join(out.split())
    assert "liner -3' 1 1/2\", top -2' 10 1/2\" (ponds/pond)" in one
    assert "ground none, dig none, liner none, top none; off the known ground" in one
    rows = [line for line in out.splitlines() if line.startswith(("station", "0 in", "14' 0\""))]
    assert rows[0].split() == ["station", "ground", "dig", "liner", "top"]
    assert len(rows) >= 2


def test_files_are_written_once(run: Run, tmp_path: Path) -> None:
    glb, cells = tmp_path / "press.glb", tmp_path / "press.csv"
    words = (PRESS, "--glb", str(glb), "--raster", str(cells), "--cell", "1 ft")
    assert run(*words)[0] == 0
    assert glb.read_bytes()[:4] == b"glTF"
    with cells.open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened))
    assert list(rows[0]) == ["x_m", "y_m", "ground_m", "dug_m", "liner_m", "finished_m"]
    assert all(float(row["dug_m"]) <= float(row["finished_m"]) + 0.05 for row in rows)
    code, _, err = run(*words)
    assert code == 2
    assert "press.glb" in err
    assert run(*words, "--force")[0] == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--at", "twenty"), "is no place"),
        (("--at", "20, 8"), "needs a unit"),
        (("--section", "1 ft, 1 ft; 1 ft, 1 ft"), "a section needs a line of some length"),
        (("--raster", "/nowhere/at/all.csv"), "nowhere"),
        (("--raster", "cells.csv", "--cell", "0 ft"), "no usable side of a cell"),
    ],
)
def test_what_cannot_be_used_is_said(run: Run, words: tuple[str, ...], said: str) -> None:
    code, _, err = run(PRESS, *words)
    assert code == 2
    assert said in err
