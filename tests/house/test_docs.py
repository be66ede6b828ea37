"""What a person can meet is documented: commands, options, limits, defaults, sources, finding codes."""

from __future__ import annotations

import importlib.util
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.house.tree import ROOT, tracked

from rillwright.sources import limits, sources

DOCS = ROOT / "docs"
PARTS = ("Decision", "Reason", "Date", "What would change our mind")


def pages() -> dict[str, Callable[[], str]]:
    """The writers of the generated pages, from docs/pages.py."""
    spec = importlib.util.spec_from_file_location("pages", DOCS / "pages.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    writers: dict[str, Callable[[], str]] = module.PAGES
    return writers


@pytest.mark.parametrize("name", sorted(pages()))
def test_generated_pages_are_those_that_would_be_written(name: str) -> None:
    on_disk = (DOCS / name).read_text(encoding="utf-8")
    assert on_disk == pages()[name](), f"docs/{name} is out of date: run `python3 dev.py docs`"


def test_commands_of_dev_are_documented() -> None:
    told = (ROOT / "README.md").read_text(encoding="utf-8") + (DOCS / "carry-on.md").read_text(encoding="utf-8")
    for command in ("demo", "test", "test --deep", "bench", "docs"):
        assert f"dev.py {command}" in told


def cli_commands() -> list[str]:
    """Commands that `rillwright --help` lists."""
    here = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    done = subprocess.run(
        [sys.executable, "-m", "rillwright", "--help"], cwd=ROOT, env=here, capture_output=True, text=True, check=False
    )
    listed = done.stdout.partition("Commands:")[2]
    return re.findall(r"^  (\w[\w-]*)", listed, re.MULTILINE)


def test_every_command_is_documented() -> None:
    guide = DOCS / "guide.md"
    told = "".join(page.read_text(encoding="utf-8") for page in (ROOT / "README.md", guide) if page.exists())
    commands = cli_commands()
    assert {"new", "visit", "check", "fit", "levels", "packet", "demo"} <= set(commands)
    assert not [command for command in commands if f"rillwright {command}" not in told]


def test_every_limit_and_source_is_documented() -> None:
    told = (DOCS / "method" / "sources.md").read_text(encoding="utf-8")
    assert not [one.name for one in limits() if f"`{one.name}`" not in told]
    assert not [one.id for one in sources() if f"`{one.id}`" not in told]


def links(file: Path) -> list[str]:
    """Targets of the page's links that point into the repository."""
    targets = re.findall(r"\]\(([^)#\s]+)", file.read_text(encoding="utf-8"))
    return [target for target in targets if "://" not in target]


@pytest.mark.parametrize("page", [file for file in tracked() if file.suffix == ".md"], ids=lambda file: str(file.name))
def test_links_lead_somewhere(page: Path) -> None:
    dead = [target for target in links(page) if not (page.parent / target).exists()]
    assert not dead


def test_decisions_are_whole_and_numbered_in_a_row() -> None:
    files = sorted((DOCS / "decisions").glob("*.md"))
    assert [file.name[:3] for file in files] == [f"{number:03}" for number in range(1, len(files) + 1)]
    for file in files:
        text = file.read_text(encoding="utf-8")
        assert not [part for part in PARTS if f"**{part}.**" not in text], file.name
