"""Files: small, named by what they are, with nothing in them of the machine on which they were written."""

from __future__ import annotations

import ast
import re
import statistics
from pathlib import Path

import pytest
from tests.house.tree import PACKAGE, ROOT, parsed, python_files, short, tracked

MOST_LINES = 500
MEDIAN_LINES = 150
WORN_NAMES = re.compile(r"^(new_|old_)|(^|_)(v\d+|utils?|helpers?|misc|common|stuff)(_|$)")
TEXT = {".py", ".md", ".toml", ".txt", ".yaml", ".yml", ".csv", ".json", ".typ", ".svg", ".cfg", ".ini", ".sh", ""}
# A folder in which people's homes or build machines lie, followed by a name; spelt in pieces so as not to find itself.
MACHINE_PATH = re.compile(
    r"(?<![\w.<])/(?:" + "|".join(("home", "root", "Users", "work", "tmp", "opt", "srv")) + r")/[\w.-]+"
)
DRIVE_PATH = re.compile(r"\b[A-Z]:\\" + r"(?:Users|work|temp)\b", re.IGNORECASE)
PACKAGE_HOSTS = (
    "py" + "pi.",
    "python" + "hosted",
    "npm" + "js",
    "registry" + ".",
    "conda" + ".",
    "git" + "hub.com",
    "de" + "bian.org",
)


def lines(file: Path) -> int:
    return len(file.read_text(encoding="utf-8").splitlines())


def test_no_file_is_long() -> None:
    long = {short(file): lines(file) for file in python_files() if lines(file) > MOST_LINES}
    assert not long


def test_the_median_file_is_short() -> None:
    sizes = [lines(file) for file in python_files("src") if file.name != "__init__.py"]
    assert statistics.median(sizes) <= MEDIAN_LINES


def test_functions_are_mostly_short() -> None:
    """Nine of ten functions have at most 30 lines below their docstring."""
    sizes = [
        node.end_lineno - node.body[min(1, len(node.body) - 1)].lineno + 1
        for file in python_files("src")
        for node in ast.walk(parsed(file))
        if isinstance(node, ast.FunctionDef) and node.end_lineno
    ]
    assert sum(size <= 30 for size in sizes) >= 0.9 * len(sizes)


def test_names_say_what_is_inside() -> None:
    worn = [
        short(file)
        for file in tracked()
        if any(WORN_NAMES.search(Path(part).stem) for part in file.parts[len(ROOT.parts) :])
    ]
    assert not worn


def test_no_print_no_log_no_unfinished_business() -> None:
    """Only `cli` speaks to people; nothing is left for later in a comment."""
    found = []
    for file in python_files("src"):
        text = file.read_text(encoding="utf-8")
        calls = {
            node.func.id
            for node in ast.walk(parsed(file))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        }
        if "print" in calls and file.parent.name != "cli":
            found.append(f"{short(file)}: print")
        if re.search(r"^\s*(import|from) logging\b", text, re.MULTILINE):
            found.append(f"{short(file)}: logging")
        if re.search(r"\b(TODO|FIXME|XXX|HACK)\b", text):
            found.append(f"{short(file)}: left for later")
    assert not found


def readable() -> list[Path]:
    return [
        file for file in tracked() if file.suffix in TEXT and file.name != "LICENSE" and file.stat().st_size < 2_000_000
    ]


def test_no_path_of_a_machine() -> None:
    found = []
    for file in readable():
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
            if MACHINE_PATH.search(line) or DRIVE_PATH.search(line):
                found.append(f"{short(file)}:{number}: {line.strip()[:100]}")
    assert not found, "\n".join(found)


@pytest.mark.parametrize("name", ["constraints.txt", "pyproject.toml", "dev.py", ".ci/run"])
def test_no_package_host(name: str) -> None:
    text = (ROOT / name).read_text(encoding="utf-8").lower()
    assert not [host for host in PACKAGE_HOSTS if host in text]
    assert "://" not in text


def test_constraints_are_exact_versions_and_nothing_else() -> None:
    exact = re.compile(r"[A-Za-z0-9_.-]+==[0-9][A-Za-z0-9.]*(; .+)?")
    entries = [line for line in (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines() if line[:1] != "#"]
    assert entries
    assert not [line for line in entries if not exact.fullmatch(line)]


def test_what_the_project_asks_for_is_constrained() -> None:
    named = re.compile(r'^  "([A-Za-z0-9_.-]+)', re.MULTILINE)
    asked = {
        name.lower() for name in named.findall((ROOT / "pyproject.toml").read_text(encoding="utf-8").split("[tool.")[0])
    }
    held = {line.split("==")[0].lower() for line in (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()}
    assert asked
    assert asked <= held


def test_the_fonts_and_their_licence_are_packed() -> None:
    fonts = PACKAGE / "drawings" / "fonts"
    assert {file.name for file in fonts.iterdir()} >= {"SourceSans3.ttf", "SourceSans3-Italic.ttf", "OFL.txt"}
    assert "SIL OPEN FONT LICENSE Version 1.1" in (fonts / "OFL.txt").read_text(encoding="utf-8")
