"""What stands on the disk: the jobs of a folder, and whether a job's files are still those that were read."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError
from rillwright.feature import Document
from rillwright.job.files import read_text
from rillwright.job.history import digest_of_text
from rillwright.job.hold_file import ticks_of
from rillwright.job.opening import FEATURE_FILE, Job
from rillwright.job.shot_file import SHOT_FILE, sheet_of

_MOST_SEEN = 500
Stamp = tuple[tuple[str, int, int, int], ...]
_seen: dict[Path, tuple[tuple[int, int, int], tuple[str, str, bool]]] = {}  # what a file said when it was read last


class JobSeen(Struct, frozen=True, kw_only=True):
    """A job folder by its name, and what its file says of it; `readable` is false where that could not be read."""

    id: str
    folder: Path
    name: str
    units: str
    readable: bool


def folders_in(place: Path) -> dict[str, Path]:
    """The job folders right below a place, by name, and the place itself where it is one. Nothing beyond it."""
    try:
        below = sorted(each for each in place.iterdir() if not each.name.startswith("."))
    except OSError:
        below = []
    home = place.resolve()
    found = {home.name: home} if (home / FEATURE_FILE).is_file() else {}
    for each in below:
        if (each / FEATURE_FILE).is_file() and each.resolve().is_relative_to(home):
            found.setdefault(each.name, each)
    return found


def seen(id: str, folder: Path) -> JobSeen:
    """What a job's file says of itself; a file that cannot be read is listed all the same.

    A file that is what it was is not read again: many phones ask which jobs there are.
    """
    file = folder / FEATURE_FILE
    key = _key(file)
    last = _seen.get(file)
    if last is None or last[0] != key:
        last = key, _said(folder)
        if len(_seen) >= _MOST_SEEN:
            _seen.clear()
        _seen[file] = last
    name, units, readable = last[1]
    return JobSeen(id=id, folder=folder, name=name or id, units=units, readable=readable)


def _said(folder: Path) -> tuple[str, str, bool]:
    file = folder / FEATURE_FILE
    try:
        said = Document.read(read_text(file, file=file.name), file=file.name).said
    except InputError:
        return "", "us", False
    return said.name, said.units or "us", True


def stamp_of(folder: Path, job: Job | None) -> Stamp:
    """Which files the job is read from, their sizes, when they were written: with another stamp it is read anew."""
    files = (folder / FEATURE_FILE, folder / SHOT_FILE) if job is None else job.read_from
    return tuple((str(file), *_key(file)) for file in files)


def _key(file: Path) -> tuple[int, int, int]:
    """What changes with a file: its number, size, and when it was written; of one that is not there no size."""
    try:
        status = file.stat()
    except OSError:
        return (0, -1, 0)
    return (status.st_ino, status.st_size, status.st_mtime_ns)


def revision_of(job: Job) -> str:
    """A digest of the feature file, a full stop, and a digest of its shots: who edits says by which he does so."""
    rows = sha256(repr(job.sheet.shots).encode("utf-8", "backslashreplace")).hexdigest()[:16]
    return f"{digest_of_text(job.as_read)[:16]}.{rows}"


def with_rows_of_disk(job: Job) -> Job:
    """The job with shots.csv and holds.csv as they are now; the plan is taken to be what it was.

    Raises
    ------
    InputError
        If one of them cannot be read.
    """
    sheet, ticks = sheet_of(job.path.parent), ticks_of(job.path.parent)
    found = job if sheet is job.sheet or sheet == job.sheet else job.with_sheet(sheet)
    return found if ticks == job.ticks else replace(found, ticks=ticks)
