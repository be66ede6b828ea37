"""A first visit: nine answers to a job folder with its one page."""

from __future__ import annotations

import math
import os
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.assessment import Judged, NotRun
from rillwright.errors import InputError, OutputError, Problem
from rillwright.fit import PER_M, counted, unit_of
from rillwright.job.files import read_bytes
from rillwright.job.opening import FEATURE_FILE, Job, judge, open, readings_of
from rillwright.job.photographs import LARGEST_PHOTO, photo_name, put_photo
from rillwright.job.unfinished import refuse_taken, whole_folder
from rillwright.visit import Answers, Taken, check, say_staircase, write
from rillwright.visit import refused as refused_as_typed

BOOK_FILE = Path("books") / "visit.csv"
PAGE_FILE = "visit.pdf"
_PDF = b"%PDF-"
_MOST_PASSES = 4
_SAME_M = 0.0005


class Visited(Struct, frozen=True, kw_only=True):
    """What a visit came to, and where it lies; `notes` say where a wish had to give way.

    `taken` is what was not answered; `photo` is where the copy lies.
    """

    folder: Path
    page: Path
    job: Job
    judged: Judged
    staircase: str
    notes: tuple[str, ...]
    taken: tuple[Taken, ...]
    photo: Path | None = None


def visit_page_in(job: Job) -> bytes | None:
    """The page of the first visit that lies in the job's folder, where there is one: a PDF, and no way out of it."""
    path = job.path.parent / PAGE_FILE
    if not path.is_file() or path.is_symlink():
        return None
    content = read_bytes(path, file=PAGE_FILE)
    return content if content.startswith(_PDF) else None


def visit(answers: Answers, out: Path, *, date: str = "") -> Visited:
    """Write a new job folder from nine answers: feature file, book, and the one page.

    The berm, and the level at which the pond runs, come of a first pass.

    Raises
    ------
    InputError
        Naming every answer that cannot be used.
    OutputError
        If the folder is there already and holds something, or cannot be written.
    """
    from rillwright.packet import visit_page

    check(answers)
    photo = _photo(answers)
    refuse_taken(out)
    try:
        with whole_folder(out) as folder:
            if photo is not None:
                put_photo(folder, photo.name, photo.content)
            job, judged, notes = settled(answers, folder, photos=() if photo is None else (photo.name,))
            taken = answers.taken()
            page = visit_page(
                judged,
                readings=readings_of(job),
                date=date,
                taken=[(each.words, each.value, each.field) for each in taken],
            )
            (folder / PAGE_FILE).write_bytes(page)
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
        taken=taken,
        photo=None if photo is None else out / photo.name,
    )


def refused(answers: Answers, key: str) -> Problem | None:
    """Why the answer of that key cannot be used; None if it can. A photo is looked at as well."""
    problem = refused_as_typed(answers, key)
    if problem is None and key == "photo":
        try:
            _photo(answers)
        except InputError as error:
            return error.problems[0]
    return problem


class _Photo(Struct, frozen=True):
    """A picture, and its path in the job's folder."""

    content: bytes
    name: str


def _photo(answers: Answers) -> _Photo | None:
    typed = answers.typed("photo")
    if not typed:
        return None
    try:
        content = read_bytes(Path(os.path.expanduser(typed)), file=typed, most=LARGEST_PHOTO)
        return _Photo(content, photo_name(content))
    except InputError as error:
        problems = [replace(each, field="photo", file="", found=each.found or typed) for each in error.problems]
        raise InputError(problems) from error


def settled(answers: Answers, folder: Path, *, photos: tuple[str, ...] = ()) -> tuple[Job, Judged, tuple[str, ...]]:
    """The job written and judged until its berm and staircase are those that its own water asks for."""
    berm_m = running_below_m = 0.0
    job, notes = _written(answers, folder, photos=photos)
    judged = judge(job)
    for _ in range(_MOST_PASSES):
        asked = _berm_m(judged), _running_below_m(judged)
        if abs(asked[0] - berm_m) < _SAME_M and abs(asked[1] - running_below_m) < _SAME_M:
            break
        berm_m, running_below_m = asked
        job, notes = _written(answers, folder, berm_m=berm_m, running_below_m=running_below_m, photos=photos)
        judged = judge(job, earlier=judged)
    return job, judged, notes


def _written(
    answers: Answers, folder: Path, *, photos: tuple[str, ...], berm_m: float = 0.0, running_below_m: float = 0.0
) -> tuple[Job, tuple[str, ...]]:
    files = write(answers, berm_m=berm_m, running_below_m=running_below_m, photos=photos)
    (folder / BOOK_FILE).parent.mkdir(exist_ok=True)
    for name, text in ((FEATURE_FILE, files.feature), (BOOK_FILE, files.book)):
        (folder / name).write_bytes(text.encode("utf-8"))
    return open(folder), files.notes


def _running_below_m(judged: Judged) -> float:
    """How far the pond stands below its held level while the pump runs [m], as it is counted where falls are fitted."""
    water = judged.assessment.water
    if isinstance(water, NotRun):
        return 0.0
    balance = water.balances[0]
    unit = unit_of(judged.assessment.feature.system)
    return max(counted(balance.held_m - balance.running_level_m.value, unit), 0) / PER_M[unit]


def _berm_m(judged: Judged) -> float:
    """What the rims ask to be built up, rounded up to the marking step [m]."""
    contained = judged.assessment.containment
    if isinstance(contained, NotRun):
        return 0.0
    needed = max((top.berm_needed_m or 0.0 for top in contained.tops if top.kind == "rim"), default=0.0)
    step = judged.assessment.feature.step_m
    return math.ceil(needed / step - 1e-9) * step if needed > 0 else 0.0
