"""A first visit: nine answers to a job folder with its one page."""

from __future__ import annotations

import math
import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

from rillwright.assessment import Judged, NotRun
from rillwright.errors import OutputError
from rillwright.job.opening import FEATURE_FILE, Job, judge, open, readings_of
from rillwright.visit import Answers, write


@dataclass(frozen=True, slots=True, kw_only=True)
class Visited:
    """What a visit came to, and where it lies."""

    folder: Path
    page: Path
    job: Job
    judged: Judged


def visit(answers: Answers, out: Path, *, date: str = "") -> Visited:
    """Write a new job folder from nine answers: feature file, book, and the one page. The berm comes of a first pass.

    Raises
    ------
    InputError
        Naming every answer that cannot be used.
    OutputError
        If the folder is there already and holds something, or cannot be written.
    """
    from rillwright.packet import visit_page

    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise OutputError(f"{out}: is there already and is not written over; name another folder")
    write(answers)
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=out.parent, prefix=f".{out.name}.") as partial:
            folder = Path(partial) / "job"
            job = _written(answers, folder, berm_m=0.0)
            berm_m = _berm_m(judge(job))
            if berm_m > 0:
                job = _written(answers, folder, berm_m=berm_m)
            judged = judge(job)
            (folder / "visit.pdf").write_bytes(visit_page(judged, readings=readings_of(job), date=date))
            if out.exists():
                out.rmdir()
            shutil.move(folder, out)
    except OSError as error:
        raise OutputError(f"{out}: could not be written: {error.strerror or error}") from error
    job = open(out)
    return Visited(folder=out, page=out / "visit.pdf", job=job, judged=judge(job))


def _written(answers: Answers, folder: Path, *, berm_m: float) -> Job:
    files = write(answers, berm_m=berm_m)
    (folder / "books").mkdir(parents=True, exist_ok=True)
    (folder / FEATURE_FILE).write_text(files.feature, encoding="utf-8")
    (folder / "books" / "visit.csv").write_text(files.book, encoding="utf-8")
    return open(folder)


def _berm_m(judged: Judged) -> float:
    """What the rims ask to be built up, rounded up to the marking step [m]."""
    contained = judged.assessment.containment
    if isinstance(contained, NotRun):
        return 0.0
    needed = max((top.berm_needed_m or 0.0 for top in contained.tops if top.kind == "rim"), default=0.0)
    step = judged.assessment.feature.step_m
    return math.ceil(needed / step - 1e-9) * step if needed > 0 else 0.0
