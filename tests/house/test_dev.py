"""`dev.py`: when the venv is made anew, and what an old or bare Python is told."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import dev
import pytest
from tests.house.tree import ROOT


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the two files that the venv depends on, in which nothing is installed for real."""
    for name in ("pyproject.toml", "constraints.txt"):
        (tmp_path / name).write_bytes((ROOT / name).read_bytes())
    venv = tmp_path / ".venv"
    monkeypatch.delenv("RILLWRIGHT_WEB_SKIP", raising=False)
    monkeypatch.setattr(dev, "ROOT", tmp_path)
    monkeypatch.setattr(dev, "VENV", venv)
    monkeypatch.setattr(dev, "STAMP", venv / "rillwright.stamp")
    monkeypatch.setattr(dev, "PYTHON", venv / "python")
    return tmp_path


@pytest.fixture
def done(place: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What `prepare` does, in words; making a venv makes its Python, installing installs nothing."""
    steps: list[str] = []

    def make() -> None:
        steps.append("make")
        dev.VENV.mkdir(exist_ok=True)
        dev.PYTHON.touch()

    monkeypatch.setattr(dev, "make_venv", make)
    monkeypatch.setattr(dev, "works", lambda: dev.PYTHON.exists())
    monkeypatch.setattr(dev, "new_enough_pip", lambda: None)
    monkeypatch.setattr(dev, "install", lambda *what: steps.append("install" + (" tests" if "test" in what else "")))
    return steps


def test_a_second_run_starts_at_once(done: list[str]) -> None:
    dev.prepare(with_tests=True)
    assert done == ["make", "install tests"]
    dev.prepare(with_tests=True)
    dev.prepare(with_tests=False)
    assert done == ["make", "install tests"]


def test_tests_are_added_to_a_venv_made_for_the_demo(done: list[str]) -> None:
    dev.prepare(with_tests=False)
    dev.prepare(with_tests=True)
    assert done == ["make", "install", "install tests"]


@pytest.mark.parametrize("name", ["pyproject.toml", "constraints.txt"])
def test_a_change_of_what_is_asked_for_installs_again(done: list[str], place: Path, name: str) -> None:
    dev.prepare(with_tests=True)
    (place / name).write_bytes((place / name).read_bytes() + b"# more\n")
    dev.prepare(with_tests=True)
    assert done == ["make", "install tests", "install tests"]


def test_a_changed_screen_is_built_and_installed_again(done: list[str], place: Path) -> None:
    page = place / "web" / "src" / "Page.svelte"
    page.parent.mkdir(parents=True)
    page.write_text("<h1>What fits</h1>\n", encoding="utf-8")
    dev.prepare(with_tests=True)
    page.write_text("<h1>What fits here</h1>\n", encoding="utf-8")
    dev.prepare(with_tests=True)
    aside = place / "web" / "tests" / "any.test.ts"
    aside.parent.mkdir()
    aside.write_text("", encoding="utf-8")
    dev.prepare(with_tests=True)
    assert done == ["make", "install tests", "install tests"]


def test_line_ends_are_no_change(place: Path) -> None:
    before = dev.fingerprint(with_tests=True)
    (place / "constraints.txt").write_bytes((place / "constraints.txt").read_bytes().replace(b"\n", b"\r\n"))
    assert dev.fingerprint(with_tests=True) == before


def test_a_venv_that_was_killed_half_made_is_made_anew(done: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    def killed(*what: str) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as during:
        during.setattr(dev, "install", killed)
        with pytest.raises(KeyboardInterrupt):
            dev.prepare(with_tests=True)
    dev.prepare(with_tests=True)
    assert done == ["make", "make", "install tests"]


def test_a_venv_whose_python_is_gone_is_made_anew(done: list[str]) -> None:
    dev.prepare(with_tests=True)
    dev.PYTHON.unlink()
    dev.prepare(with_tests=True)
    assert done == ["make", "install tests", "make", "install tests"]


def test_a_python_without_venv_is_told_the_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ensurepip", None)
    with pytest.raises(SystemExit, match=r"apt install python3\.\d+-venv"):
        dev.refuse_without_venv()


def test_an_old_python_can_read_the_file() -> None:
    source = (ROOT / "dev.py").read_text(encoding="utf-8")
    assert ast.parse(source, feature_version=(3, 7))
    assert "from __future__" not in source
