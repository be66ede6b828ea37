"""Writes readings in children and kills each at a moment of chance; says which of the acknowledged ones are lost.

Run by the tests as a program of its own: FOLDER KILLS SEED. Everything slow is loaded once, before the first child.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
import uuid
from pathlib import Path

import sqlalchemy  # noqa: F401  # loaded here, not in every child

from rillwright.job.appending import add_rows
from rillwright.job.history import noted
from rillwright.job.locking import locked
from rillwright.survey import Shot


def write(folder: Path, out: int, *, journal: bool) -> None:
    """Write reading after reading, and acknowledge each in one short piece."""
    while True:
        row = Shot(
            uuid=str(uuid.uuid4()), time="2026-05-04T08:00:00+00:00", setup="2026-05-04/1", rod="metric",
            path="points/p", surface="ground", reading="1.234", note="n" * 200,
        )  # fmt: skip
        with locked(folder):
            add_rows(folder, [row])
            os.write(out, f"{row.uuid}\n".encode())
            if journal:
                noted(folder / "feature.yaml")


def killed(folder: Path, chance: random.Random) -> set[str]:
    """The readings that one child acknowledged before it was killed."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(out)
        try:
            write(folder, into, journal=chance.random() < 0.5)
        finally:
            os._exit(1)
    os.close(into)
    said = b""
    for _ in range(chance.randrange(3)):
        said += os.read(out, 37)
    time.sleep(chance.uniform(0.0, 0.01))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while piece := os.read(out, 65536):
        said += piece
    os.close(out)
    return set(said.decode().split("\n")[:-1])


def main() -> None:
    folder, kills, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    chance = random.Random(seed)
    acknowledged: set[str] = set()
    with locked(folder):
        noted(folder / "feature.yaml")  # so that children find everything loaded
    for _ in range(kills):
        acknowledged |= killed(folder, chance)
    print("\n".join(sorted(acknowledged)))


if __name__ == "__main__":
    main()
