"""The main job on an invented example: from reading the book to the papers."""

from __future__ import annotations

import shutil
from pathlib import Path

import rillwright
from rillwright.assessment import Judged
from rillwright.errors import InputError, OutputError, Problem
from rillwright.job.opening import Job, judge, open
from rillwright.job.papers import Papers, papers
from rillwright.progress import Progress, silent


def examples() -> dict[str, Path]:
    """The examples by name: those packed with the package, else those of the repository."""
    package = Path(rillwright.__file__).parent
    for place in (package / "examples", package.parents[1] / "examples"):
        found = {file.parent.name: file.parent for file in sorted(place.glob("*/feature.yaml"))}
        if found:
            return found
    return {}


def demo(folder: Path, *, example: str, date: str = "", progress: Progress = silent) -> tuple[Job, Judged, Papers]:
    """Copy an example into a new folder, judge it, and print its papers there.

    Raises
    ------
    InputError
        If there is no example of that name.
    OutputError
        If the folder is there already and holds something, or cannot be written.
    """
    known = examples()
    if example not in known:
        raise InputError(Problem(message="no example of that name", found=example, allowed=", ".join(known) or "none"))
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise OutputError(f"{folder}: is there already and is not written over; name another folder with --to")
    try:
        shutil.copytree(known[example], folder, dirs_exist_ok=True)
    except OSError as error:
        raise OutputError(f"{folder}: could not be written: {error}") from error
    job = open(folder)
    judged = judge(job)
    return job, judged, papers(job, judged, folder / "packet.pdf", date=date, progress=progress)
