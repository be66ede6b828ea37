"""Node from its wheel, and a copy of web/ with what its tests need beside it."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
from pathlib import Path

import hatch_build

from tests.house.tree import ROOT

WEB = ROOT / "web"
ASIDE = shutil.ignore_patterns("node_modules", "dist")


def run(*words: Path | str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """What Node says when it runs these words there."""
    node, _ = hatch_build.node_and_npm()
    env = {**os.environ, "PATH": str(node.parent) + os.pathsep + os.environ.get("PATH", "")}
    env |= {"RILLWRIGHT_VECTORS": str(ROOT / "tests" / "vectors"), "NODE_OPTIONS": "", "NO_COLOR": "1"}
    command = [str(node), *map(str, words)]
    return subprocess.run(
        command, cwd=cwd, env=env, check=False, capture_output=True, text=True, encoding="utf-8", errors="replace"
    )


def workshop(kept: Path) -> Path:
    """`web/` as it stands, copied under `kept`, with its packages; these are fetched once for each lock."""
    lock = hashlib.sha256((WEB / "package-lock.json").read_bytes().replace(b"\r\n", b"\n")).hexdigest()[:16]
    place = kept / f"web-{lock}"
    installed = place / "node_modules" / ".package-lock.json"
    for old in place.glob("*") if place.exists() else ():
        if old.name != "node_modules":
            shutil.rmtree(old) if old.is_dir() else old.unlink()
    shutil.copytree(WEB, place, ignore=ASIDE, dirs_exist_ok=True)
    if not installed.is_file():
        _, npm = hatch_build.node_and_npm()
        done = run(npm, "ci", "--ignore-scripts", "--no-progress", cwd=place)
        assert done.returncode == 0, done.stdout + done.stderr
    return place
