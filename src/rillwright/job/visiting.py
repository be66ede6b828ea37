"""A first visit: nine answers to a job folder with its one page."""

from __future__ import annotations

import math
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from rillwright.assessment import Judged, NotRun
from rillwright.errors import InputError, OutputError
from rillwright.job.opening import FEATURE_FILE, Job, judge, open, readings_of
from rillwright.visit import Answers, say_staircase, write

BOOK_FILE = Path("books") / "visit.csv"
PAGE_FILE = "visit.pdf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Visited:
    """What a visit came to, and where it lies; `notes` say where a wish had to give way.

    `taken` is what was not answered, in words.
    """

    folder: Path
    page: Path
    job: Job
    judged: Judged
    staircase: str
    notes: tuple[str, ...]
    taken: tuple[str, ...]


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

    notes = write(answers).notes
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise OutputError(f"{out}: is there already and is not written over; name another folder")
    try:
        with _new_folder(out) as folder:
            job = _written(answers, folder, berm_m=0.0)
            judged = judge(job)
            berm_m = _berm_m(judged)
            if berm_m > 0:
                job = _written(answers, folder, berm_m=berm_m)
                judged = judge(job, earlier=judged)
            (folder / PAGE_FILE).write_bytes(visit_page(judged, readings=readings_of(job), date=date))
    except InputError as error:  # the files are not there any more, so they are not named
        raise InputError([replace(problem, file="", line=None, column=None) for problem in error.problems]) from error
    except OSError as error:
        raise OutputError(f"{out}: could not be written: {error.strerror or error}") from error
    return Visited(
        folder=out,
        page=out / PAGE_FILE,
        job=open(out),
        judged=judged,
        staircase=say_staircase(judged),
        notes=notes,
        taken=answers.taken(),
    )


@contextmanager
def _new_folder(out: Path) -> Iterator[Path]:
    """A folder to write into, that takes the place of `out` once all is well; else nothing of it stays."""
    out = out.absolute()
    missing = [parent for parent in out.parents if not parent.exists()]
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=out.parent, prefix=f".{out.name}.") as partial:
            folder = Path(partial) / "job"
            folder.mkdir()
            yield folder
            if out.exists():
                out.rmdir()
            os.rename(folder, out)
    finally:
        if not out.exists():
            for parent in missing:
                if parent.is_dir() and not any(parent.iterdir()):
                    parent.rmdir()


def _written(answers: Answers, folder: Path, *, berm_m: float) -> Job:
    files = write(answers, berm_m=berm_m)
    (folder / BOOK_FILE).parent.mkdir(exist_ok=True)
    for name, text in ((FEATURE_FILE, files.feature), (BOOK_FILE, files.book)):
        (folder / name).write_bytes(text.encode("utf-8"))
    return open(folder)


def _berm_m(judged: Judged) -> float:
    """What the rims ask to be built up, rounded up to the marking step [m]."""
    contained = judged.assessment.containment
    if isinstance(contained, NotRun):
        return 0.0
    needed = max((top.berm_needed_m or 0.0 for top in contained.tops if top.kind == "rim"), default=0.0)
    step = judged.assessment.feature.step_m
    return math.ceil(needed / step - 1e-9) * step if needed > 0 else 0.0
