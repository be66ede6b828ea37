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


def stations(out: str) -> list[str]:
    rows = out.partition("station ")[2].splitlines()[1:]
    return [row.partition("  ")[0] for row in rows if row and row[0].isdigit()]


def test_a_section_is_spaced_as_asked_or_sensibly(run: Run) -> None:
    """Down the brook: 17 ft 6 in of line, a corner at 8 ft 6 in; falls at 5 ft, 10 ft and 15 ft stand upright."""
    line = ("--section", "18 ft, 38 ft; 15 ft, 30 ft; 19 ft, 22 ft")
    _, out, _ = run(PRESS, *line, "--step", "5 ft")
    assert stations(out) == [
        "0 in",
        "5' 0\"",
        "5' 0\"",
        "8' 6 1/2\"",
        "10' 0\"",
        "10' 0\"",
        "15' 0\"",
        "15' 0\"",
        "17' 5 7/8\"",
    ]
    _, out, _ = run(PRESS, *line)
    found = stations(out)
    assert found[:3] == ["0 in", "1' 0\"", "2' 0\""]
    assert 18 <= len(found) <= 25
    assert "--breaks lists it" in out
    _, every, _ = run(PRESS, *line, "--breaks")
    assert "3' 5 3/4\"" in stations(every)
    assert "--breaks" not in every


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
        (("--section", "1 ft, 1 ft; 9 ft, 1 ft", "--step", "0 ft"), "no usable step along a section"),
        (("--section", "1 ft, 1 ft; 9 ft, 1 ft", "--step", "2"), "--step"),
        (("--raster", "/nowhere/at/all.csv"), "nowhere"),
        (("--raster", "cells.csv", "--cell", "0 ft"), "no usable side of a cell"),
    ],
)
def test_what_cannot_be_used_is_said(run: Run, words: tuple[str, ...], said: str) -> None:
    code, _, err = run(PRESS, *words)
    assert code == 2
    assert said in err
