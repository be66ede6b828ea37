"""The service in a process of its own, as it is started by hand: it can be stopped, killed and started again."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from tests.house.tree import ROOT

_START = """
import sys
from pathlib import Path
from rillwright.app import pages
pages.STATIC = Path(sys.argv.pop(1))
from rillwright.cli import main
sys.exit(main())
"""
_PATIENCE_S = 30.0


def free_port() -> int:
    """A port at which nothing listens just now [-]."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Office:
    """The service of a folder, with screens that were built from the tree as it stands."""

    def __init__(self, folder: Path, screens: Path) -> None:
        self.folder, self.screens, self.port = folder, screens, free_port()
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://localhost:{self.port}"

    def start(self) -> None:
        """Start it, and wait until it answers."""
        words = ["-c", _START, str(self.screens), "serve", str(self.folder), "--port", str(self.port)]
        self.process = subprocess.Popen(
            [sys.executable, *words], cwd=ROOT / "src", stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        late = time.monotonic() + _PATIENCE_S
        while True:
            try:
                with urllib.request.urlopen(f"{self.address}/api/hello", timeout=2):
                    return
            except OSError:
                assert self.process.poll() is None, "the service ended"
                assert time.monotonic() < late, "the service does not answer"
                time.sleep(0.1)

    def kill(self) -> None:
        """End it without a word, as a flat battery would."""
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None

    def job(self, example: str, name: str = "") -> str:
        """A fresh copy of an invented example, to be a job; its id."""
        id = name or example
        shutil.copytree(ROOT / "examples" / example, self.folder / id)
        return id
