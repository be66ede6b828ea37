"""What lies in the repository, as the tests of the house read it."""

from __future__ import annotations

import ast
import importlib
import subprocess
from functools import cache
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "rillwright"


def layers() -> tuple[str, ...]:
    """Names of the layers that have something in them."""
    return tuple(sorted(folder.parent.name for folder in PACKAGE.glob("*/__init__.py")))


@cache
def layer(name: str) -> ModuleType:
    return importlib.import_module(f"rillwright.{name}")


def public_names(name: str) -> list[str]:
    """What the layer lists in `__all__`."""
    listed: list[str] = getattr(layer(name), "__all__", [])
    return listed


def python_files(*folders: str) -> list[Path]:
    """Python files under the folders, or of the whole repository's own folders."""
    places = folders or ("src", "tests", "benchmarks", "docs")
    return sorted(file for place in places for file in (ROOT / place).rglob("*.py")) + (
        [] if folders else [ROOT / "dev.py"]
    )


@cache
def parsed(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"), filename=str(file))


def short(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()


@cache
def tracked() -> tuple[Path, ...]:
    """Files that git holds; those on disk where there is no git, as in an unpacked archive."""
    listing = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False)
    if listing.returncode == 0 and listing.stdout:
        names = listing.stdout.decode("utf-8").split("\0")
        return tuple(ROOT / name for name in names if name and (ROOT / name).is_file())
    places = ("src", "tests", "docs", "examples", "benchmarks")
    inside = [file for place in places for file in (ROOT / place).rglob("*") if "__pycache__" not in file.parts]
    return tuple(file for file in [*inside, *ROOT.glob("*")] if file.is_file())
