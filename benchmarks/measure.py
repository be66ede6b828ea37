"""Time of processes and calls, two sides in turn: on the wall, or of the processor where others work too."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
BARE = "pass"
IMPORTS = "import numpy, scipy, shapely"
ONE_THREAD = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")

Side = Callable[[], float]  # runs once and says how long it took [s]


class Unmeasured(Exception):
    """What was to be measured does not run; the text says why."""


class Clock:
    """Which clock is read: that of the processor counts no waiting, for a disk or for another program's turn."""

    processor = False

    @classmethod
    def now(cls) -> float:
        """Seconds [s] so far, of this process and of those that it has waited for."""
        if not cls.processor:
            return time.perf_counter()
        done = os.times()
        return time.process_time() + (_of_children() or done.children_user + done.children_system)


def _of_children() -> float:
    """Processor time [s] of ended children, to the microsecond where the system says so; else nought."""
    try:
        import resource
    except ImportError:
        return 0.0
    found = resource.getrusage(resource.RUSAGE_CHILDREN)
    return found.ru_utime + found.ru_stime


def timed(call: Callable[[], object]) -> float:
    """Time [s] of one call."""
    start = Clock.now()
    call()
    return Clock.now() - start


def python(*words: str, good: tuple[int, ...] = (0,)) -> Side:
    """One run of Python with those words, in a process of its own."""

    # Modules are kept compiled, as they are wherever people work: else both sides would be timed compiling.
    here = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"} | ONE_THREAD

    def once() -> float:
        start = Clock.now()
        done = subprocess.run([sys.executable, *words], cwd=ROOT, env=here, capture_output=True, check=False)
        took = Clock.now() - start
        told = done.stderr.decode("utf-8", "replace")
        if done.returncode not in good or "Traceback" in told:
            raise Unmeasured(f"exit {done.returncode}, {(told.strip().splitlines() or ['no word why'])[-1][:80]}")
        return took

    return once


def cold(*words: str) -> Side:
    """A command of ours; 1 says that a check found something to stop for, which is an answer."""
    return python(*words, good=(0, 1))


def in_turn(ours: Side, theirs: Side, *, rounds: int) -> tuple[float, float]:
    """Medians [s] of both sides, run in turn after one run each that fills the caches."""
    ours(), theirs()
    pairs = [(ours(), theirs()) for _ in range(rounds)]
    return statistics.median(one for one, _ in pairs), statistics.median(other for _, other in pairs)


def examples() -> list[Path]:
    """The job folders of the repository."""
    return sorted(file.parent for file in (ROOT / "examples").glob("*/feature.yaml"))
