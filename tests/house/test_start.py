"""What a short command leaves unloaded."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest
from tests.house.tree import ROOT

SLOW = (
    "typst",
    "numba",
    "ortools",
    "sqlalchemy",
    "fastapi",
    "pydantic",
    "uvicorn",
    "segno",
    "ezdxf",
    "laspy",
    "rillwright.ground.contours",  # the surface of the ground itself is wanted for the liner's edge
    "rillwright.ground.section",
    "rillwright.ground.volumes",
    "rillwright.shape.finished",
    "scipy.spatial",
    "scipy.optimize",
    "scipy.interpolate",
    "scipy.integrate",
)
MESHES = (
    "rillwright.ground.contours",
    "rillwright.ground.section",
    "rillwright.ground.volumes",
    "rillwright.shape.finished",
)
OF_FULL = {"numba", "scipy.optimize", "scipy.spatial", *MESHES}  # what is followed over time, and the finished work
PROBE = """
import sys
sys.argv = ["rillwright", *{words!r}]
try:
    from rillwright.cli import main
    main()
except SystemExit as end:
    assert end.code in (None, 0, 1), end.code
finally:
    sys.stdout.flush()
    print("LOADED", *sorted(sys.modules), file=sys.stderr)
"""
EXAMPLES = sorted(folder for folder in (ROOT / "examples").glob("*") if (folder / "feature.yaml").is_file())


def loaded(*words: str) -> set[str]:
    """Modules in memory after that command, in a process of its own."""
    program = PROBE.format(words=list(words))
    here = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env=here,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    lists = [line for line in done.stderr.splitlines() if line.startswith("LOADED")]
    return set(lists[-1].split()[1:])


def test_help_loads_nothing_slow() -> None:
    modules = loaded("--help")
    assert "rillwright.cli" in modules
    slow = {"numpy", "scipy", "shapely", "msgspec", "ruamel.yaml", "fontTools", *SLOW} & modules
    assert not slow


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda folder: folder.name)
def test_check_loads_nothing_slow(example: Path) -> None:
    modules = loaded("check", str(example))
    assert "rillwright.job" in modules
    assert not set(SLOW) & modules


def test_only_the_full_check_compiles() -> None:
    example = next(folder for folder in EXAMPLES if folder.name == "clinic-forecourt")
    modules = loaded("check", str(example), "--full")
    assert find_spec("numba") is None or "rillwright.hydraulics.shallow_water_kernel" in modules
    assert not (set(SLOW) - OF_FULL) & modules
