"""What is in the wheel: code, tables, fonts, screens and examples, so that `demo` runs without the repository."""

from __future__ import annotations

import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from tests.house.tree import PACKAGE, ROOT, tracked


@pytest.mark.deep
def test_the_wheel_holds_code_tables_fonts_and_examples(tmp_path: Path) -> None:
    pip = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--wheel-dir", str(tmp_path), "."]
    subprocess.run(pip, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("rillwright-*.whl")
    with zipfile.ZipFile(wheel) as archive:
        packed = set(archive.namelist())
    ours = {f"rillwright/{file.relative_to(PACKAGE).as_posix()}" for file in tracked() if PACKAGE in file.parents}
    examples = {
        f"rillwright/{file.relative_to(ROOT).as_posix()}" for file in tracked() if ROOT / "examples" in file.parents
    }
    assert ours | examples <= packed
    assert {"rillwright/static/policy.json", "rillwright/static/sw.js", "rillwright/static/sans.woff2"} <= packed
    assert [name for name in packed if re.fullmatch(r"rillwright/static/\w+\.html", name)]
    assert not [name for name in packed if name.startswith(("examples/", "tests/", "src/"))]
