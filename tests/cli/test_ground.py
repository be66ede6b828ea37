"""`rillwright ground` as typed."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rillwright import job
from rillwright.cli import main

Run = Callable[..., tuple[int, str, str]]
YARD = """point,easting,northing,level,line
a,0,0,100,
b,10,0,101,
c,10,10,100.5,
d,0,10,99.5,
e,2,5,99.5,ditch
f,8,5,100,ditch
"""


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    (tmp_path / "yard.csv").write_text(YARD, encoding="utf-8")
    (tmp_path / "level.csv").write_text("P,E,N,Z\na,0,0,99\nb,10,0,99\nc,10,10,99\nd,0,10,99\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    def typed(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["rillwright", "ground", *words])
        with pytest.raises(SystemExit) as end:
            main()
        told = capsys.readouterr()
        return int(end.value.code or 0), told.out, told.err

    return typed


def test_what_is_known_of_a_yard(run: Run) -> None:
    code, out, err = run("yard.csv", "--unit", "m", "--at", "5 m, 5 m", "--at", "12 m, 5 m", "--to", "level.csv")
    assert (code, err) == (0, "")
    assert "6 levels, 6 triangles" in out
    assert "extent   10.000 m by 10.000 m, from x 0.000 m, y 0.000 m" in out
    assert "lowest   99.500 m" in out
    assert "at x 5.000 m, y 5.000 m: 99.750 m ground (" in out
    assert "point e lies 3.000 m away." in out or "point f lies 3.000 m away." in out
    assert "A guess: the place lies 2.000 m outside" in " ".join(out.split())
    assert "fill 0 m³ on 0 m²" in out


def test_in_feet_with_drawings(run: Run, tmp_path: Path) -> None:
    words = ("yard.csv", "--unit", "ft", "--units", "us", "--every", "3 in", "--svg", "a.svg", "--dxf", "a.dxf")
    code, out, _ = run(*words)
    assert code == 0
    assert "10' 0\" by 10' 0\"" in out
    assert "a.svg is written: contours every 3 in." in out
    assert "<svg" in (tmp_path / "a.svg").read_text(encoding="utf-8")
    assert run(*words)[0] == 2
    assert run(*words, "--force")[0] == 0


def test_a_section(run: Run) -> None:
    _, out, _ = run("yard.csv", "--unit", "m", "--section", "5 m, 0 m; 5 m, 12 m", "--step", "1 m")
    assert "0.000 m  100.500 m" in out
    assert "5.000 m  99.750 m" in out
    assert "12.000 m  none surveyed" in out
    assert "of the line run off the surveyed ground" in out


def test_a_jobs_own_ground(run: Run) -> None:
    code, out, _ = run(str(job.examples()["orchard-press"]))
    assert code == 0
    assert "18 levels" in out  # six of its own with a place, twelve of its file
    assert "leaves the surveyed ground" not in out


def test_how_much_of_a_pond_is_guessed(run: Run, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(job.examples()["orchard-press"], tmp_path / "bare"))
    text = (folder / "feature.yaml").read_text(encoding="utf-8")
    line = next(row for row in text.splitlines(keepends=True) if row.startswith("ground:"))
    (folder / "feature.yaml").write_text(text.replace(line, ""), encoding="utf-8")
    code, out, _ = run(str(folder))
    assert code == 0
    assert "pond pond leaves the surveyed ground: 27% of it" in out


USELESS = {
    "nothing": [],
    "nothing there": ["lost.csv"],
    "no unit": ["yard.csv"],
    "no place": ["yard.csv", "--unit", "m", "--at", "5 m"],
    "a place without unit": ["yard.csv", "--unit", "m", "--at", "5, 5"],
    "no interval": ["yard.csv", "--unit", "m", "--every", "0 m", "--svg", "x.svg"],
    "a step of nothing": ["yard.csv", "--unit", "m", "--section", "0 m, 0 m; 1 m, 0 m", "--step", "0 m"],
    "a section of nothing": ["yard.csv", "--unit", "m", "--section", "0 m, 0 m"],
    "another unit": ["yard.csv", "--unit", "cubit"],
    "two levels at one place": ["yard.csv", "level.csv", "--unit", "m"],
    "a folder that is no job": ["."],
}


@pytest.mark.parametrize("name", USELESS)
def test_useless_words_end_with_two_and_a_reason(run: Run, name: str, tmp_path: Path) -> None:
    code, _, err = run(*USELESS[name])
    assert (code, "Traceback" in err) == (2, False)
    assert err.strip()
    assert not (tmp_path / "x.svg").exists()
