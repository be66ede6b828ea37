"""Commands as typed: exit codes, what goes to which stream, and that nothing is harmed on the way."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rillwright import job
from rillwright.cli import main

Run = Callable[..., tuple[int, str, str]]
NUL, DEEP = b"\x00" * 40, b"format: 1\nname: x\npond: " + b"[" * 20_000
LONG = b"format: 1\nname: x\nnote: " + b"a" * 2_000_001


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """Types a command in a folder that holds one job; gives exit code, output, errors."""
    shutil.copytree(job.examples()["orchard-press"], tmp_path / "job")
    monkeypatch.chdir(tmp_path)

    def typed(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["rillwright", *words])
        with pytest.raises(SystemExit) as end:
            main()
        told = capsys.readouterr()
        return int(end.value.code or 0), told.out, told.err

    return typed


def standing(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


USELESS = {
    "nothing there": ["check", "lost"],
    "no job in it": ["check", "job/books"],
    "empty name": ["check", ""],
    "a name too long": ["check", "a" * 5000],
    "no file": ["check"],
    "no such command": ["chekc"],
    "no such option": ["check", "job", "--bogus"],
    "random bytes": ["check", "bytes.yaml"],
    "zero bytes": ["check", "nul.yaml"],
    "an empty file": ["check", "empty.yaml"],
    "nested deeply": ["check", "deep.yaml"],
    "a long text": ["check", "long.yaml"],
    "a huge file": ["check", "huge.yaml"],
    "a list": ["check", "list.yaml"],
    "fit of nothing": ["fit"],
    "fit of both": ["fit", "job", "--height", "3 ft"],
    "height that is no number": ["fit", "--height", "nan"],
    "height without unit": ["fit", "--height", "40"],
    "height of a mountain": ["fit", "--height", "100000 ft"],
    "no falls": ["fit", "--height", "40 in", "--falls", "0"],
    "more falls than are counted": ["fit", "--height", "40 in", "--falls", "41"],
    "a last fall below nothing": ["fit", "--height", "40 in", "--last", "-4 in"],
    "falls that are no number": ["fit", "--height", "40 in", "--falls", "some"],
    "falls without end": ["fit", "--height", "40 in", "--falls", "9" * 30],
    "a last fall upward": ["fit", "--height", "40 in", "--last", "-3 in"],
    "levels of a folder": ["levels", "job"],
    "levels of random bytes": ["levels", "bytes.yaml"],
    "levels of an empty file": ["levels", "empty.yaml"],
    "levels by another rod": ["levels", "job/books/levels.csv", "--rod", "cubits"],
    "papers into no folder": ["packet", "job", "-o", "lost/x.pdf"],
    "papers in place of a folder": ["packet", "job", "-o", "job"],
    "papers in place of the file": ["packet", "job", "-o", "job/feature.yaml", "--force"],
    "papers for no instrument": ["packet", "job", "--instrument", "nan ft"],
    "no such example": ["demo", "--example", "lost"],
    "demo over a job": ["demo", "--to", "job"],
    "demo over a file": ["demo", "--to", "list.yaml"],
    "new over a job": ["new", "job"],
    "new over a file": ["new", "list.yaml"],
}


@pytest.mark.parametrize("words", USELESS.values(), ids=USELESS.keys())
def test_what_cannot_be_used_ends_with_two_in_plain_words(words: list[str], run: Run, tmp_path: Path) -> None:
    (tmp_path / "bytes.yaml").write_bytes(bytes(range(256)) * 9)
    (tmp_path / "nul.yaml").write_bytes(NUL)
    (tmp_path / "empty.yaml").write_bytes(b"")
    (tmp_path / "deep.yaml").write_bytes(DEEP)
    (tmp_path / "long.yaml").write_bytes(LONG)
    (tmp_path / "list.yaml").write_bytes(b"- 1\n- 2\n")
    before = standing(tmp_path)
    with (tmp_path / "huge.yaml").open("wb") as huge:
        huge.truncate(60_000_000)
    code, out, err = run(*words)
    (tmp_path / "huge.yaml").unlink()
    assert code == 2
    assert out == ""
    assert err.strip()
    assert "Traceback" not in err
    assert "Error(" not in err
    assert standing(tmp_path) == before


def edit(folder: Path, was: str, becomes: str) -> None:
    file = folder / "feature.yaml"
    text = file.read_text(encoding="utf-8")
    assert was in text
    file.write_text(text.replace(was, becomes, 1), encoding="utf-8")


def test_every_problem_stands_on_a_line_of_its_own(run: Run, tmp_path: Path) -> None:
    edit(tmp_path / "job", "  depth: 2 ft\n", "  depth: 2 gal\n  colour: blue\n")
    edit(tmp_path / "job", "  soil: loam\n", "  soil: loam\n  soul: none\n")
    code, _, err = run("check", "job")
    lines = err.strip().splitlines()
    assert code == 2
    assert len(lines) == 3
    assert all(line.startswith("job/feature.yaml:") for line in lines)
    assert [word for word in ("soul", "depth", "colour") if any(word in line for line in lines)] == [
        "soul", "depth", "colour",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("was", "becomes", "code"),
    [
        ("{id: low-side, ground: low, berm: 9 in, settlement: 10 %,", "{id: low-side, ground: low,", "rim"),
        ("  head: head ", "  head: 12 in below apron ", ""),
    ],
    ids=["a rim below water", "a stream that runs uphill"],
)
def test_a_bad_design_is_judged_with_one_and_is_no_error(
    was: str, becomes: str, code: str, run: Run, tmp_path: Path
) -> None:
    edit(tmp_path / "job", was, becomes)
    status, out, err = run("check", "job", "--json")
    judged = json.loads(out)
    stops = [finding for finding in judged["findings"] if finding["severity"] == "stop"]
    assert status == 1
    assert err == ""
    assert any(finding["code"].startswith(code) for finding in stops)
    status, out, _ = run("check", "job")
    assert status == 1
    assert "STOP" in out


def test_check_says_what_it_rests_on(run: Run) -> None:
    status, out, err = run("check", "job")
    assert (status, err) == (0, "")
    for words in ("three worst", "ok", "defaults", "books/levels.csv", "Not checked", "price"):
        assert words in out
    assert len(run("check", "job", "--all")[1]) > 2 * len(out)


def test_check_of_the_folder_and_of_the_file_are_one(run: Run) -> None:
    assert run("check", "job")[1] == run("check", "job/feature.yaml")[1]


def test_levels_are_those_of_the_book(run: Run) -> None:
    status, out, _ = run("levels", "job/books/levels.csv")
    assert status == 0
    for words in ("bolt", "apron", "Page check: nothing to add up", "read once", "no second shot"):
        assert words in out


def test_fit_answers_in_words_and_in_numbers(run: Run) -> None:
    status, out, _ = run("fit", "--height", "17 in", "--last", "8 in", "--stone", "2 in", "--look", "quiet")
    assert status == 0
    assert "ripple" in out
    rows = json.loads(run("fit", "--height", "17 in", "--json")[1])
    assert rows[0]["problem"]["height"] == 17 * 16
    assert "more height" in run("fit", "--height", "2 in")[1]
    assert run("fit", "job")[0] == 0


def test_papers_and_the_second_time(run: Run, tmp_path: Path) -> None:
    assert run("packet", "job", "-o", "out.pdf", "--instrument", "5' 3\"")[0] == 0
    made = standing(tmp_path)
    assert made["out.pdf"].startswith(b"%PDF")
    assert json.loads(made["out.json"])["findings"]
    assert run("packet", "job", "-o", "out.pdf")[0] == 2
    assert standing(tmp_path) == made
    assert run("packet", "job", "-o", "out.pdf", "--force", "--full")[0] == 0
    followed = json.loads(standing(tmp_path)["out.json"])["over_time"]
    assert [each["case"] for each in followed["histories"]][:2] == ["first start", "start"]
    assert "not_run" in json.loads(made["out.json"])["over_time"]


def test_demo_runs_from_the_book_to_the_papers_twice(run: Run, tmp_path: Path) -> None:
    assert run("demo")[0] == 0
    first = standing(tmp_path / "rillwright-demo")
    assert first["packet.pdf"].startswith(b"%PDF")
    status, out, _ = run("demo")
    assert status == 0
    assert "rillwright-demo-2" in out
    assert standing(tmp_path / "rillwright-demo") == first
    assert run("check", "rillwright-demo")[0] in (0, 1)


def test_interrupted_is_no_traceback(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(job, "open", stop)
    status, _, err = run("check", "job")
    assert status == 2
    assert "Traceback" not in err


@pytest.mark.parametrize("falls", ["0", "2-0", "41", "some"])
def test_a_number_of_falls_that_cannot_be_is_one_plain_error(run: Run, falls: str) -> None:
    code, out, err = run("fit", "--height", "40 in", "--falls", falls)
    assert (code, out) == (2, "")
    assert len([line for line in err.splitlines() if "falls" in line or "drops" in line]) == 1
    assert "from 1 to 40" in err
