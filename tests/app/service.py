"""The service in this process, and as a process of its own that may be killed."""

from __future__ import annotations

import os
import queue
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from rillwright import job
from rillwright.app import Access, make_app
from tests.house.tree import ROOT

PRESS = "orchard-press"
COURT = "weavers-court"
LOOPBACK = ("127.0.0.1", 50_000)
ELSEWHERE = ("192.168.7.20", 50_000)
BENCHMARK = {"path": "marks/bolt", "surface": "mark", "reading": "4' 10 3/4\""}


def jobs_in(place: Path, *names: str) -> Path:
    """A folder of jobs, made from the examples."""
    for name in names or (PRESS,):
        shutil.copytree(job.examples()[name], place / name)
    return place


def client(
    folder: Path, *, lan: bool = False, at: tuple[str, int] = LOOPBACK, access: Access | None = None
) -> TestClient:
    """Somebody who asks: from this machine, or from another one."""
    address = "http://192.168.7.2:8321" if lan else ""
    host = "localhost:8321" if at == LOOPBACK else "192.168.7.2:8321"
    app = make_app(folder, lan=lan, address=address, access=access)
    return TestClient(app, base_url=f"http://{host}", client=at, raise_server_exceptions=False)


def shot(uuid: str, **cells: str) -> dict[str, str]:
    """A row of shots.csv as a phone sends it: the last fall's crest at plan, unless it is said otherwise."""
    row = {
        "uuid": uuid, "time": "2026-05-04T08:00:00-05:00", "who": "kit", "setup": "2026-05-04/1", "rod": "ft-in",
        "path": "falls/last.crest", "surface": "stone top", "reading": "4' 6 1/4\"", "state": "kept",
        "re": "", "note": "",
    }  # fmt: skip
    return row | cells


def sending(*rows: dict[str, str], format: int = 1) -> dict[str, Any]:
    return {"format": format, "kit": "", "shots": list(rows)}


def tick(uuid: str, **cells: str) -> dict[str, str]:
    """A row of holds.csv as a phone sends it: a line of the pond's dig, unless it is said otherwise."""
    row = {
        "uuid": uuid, "time": "2026-05-04T09:00:00-05:00", "who": "kit", "hold": "dig.pond",
        "item": "tape width of the hole at the waterline", "initials": "KA", "state": "done", "note": "12 ft",
    }  # fmt: skip
    return row | cells


def ticked(*rows: dict[str, str], format: int = 1) -> dict[str, Any]:
    return {"format": format, "kit": "", "ticks": list(rows)}


def kept(folder: Path, name: str = PRESS) -> list[str]:
    """The uuids of all rows on the disk."""
    return [row.uuid for row in job.open(folder / name).sheet.shots]


@contextmanager
def running(folder: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A service of its own process, and its address; killed at the end without a word."""
    here = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONUNBUFFERED": "1", "PYTHONIOENCODING": "utf-8"}
    command = [sys.executable, "-m", "rillwright", "serve", str(folder), "--port", "0", *options]
    process = subprocess.Popen(command, env=here, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    lines: queue.Queue[str] = queue.Queue()

    def listen() -> None:
        assert process.stdout is not None
        for line in process.stdout:
            lines.put(line)

    reader = threading.Thread(target=listen, daemon=True)
    reader.start()
    try:
        first = lines.get(timeout=60)
        assert first.startswith("Open http"), first
        yield process, first.split()[1].replace("localhost", "127.0.0.1")
    finally:
        process.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
        process.wait(timeout=20)
        reader.join(timeout=20)
        assert process.stdout is not None
        process.stdout.close()
