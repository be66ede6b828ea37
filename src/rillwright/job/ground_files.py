"""The files with levels of the ground that a feature file names, read together."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.feature import Document
from rillwright.job.files import inside
from rillwright.job.ground_reading import GroundSaid, of_file

if TYPE_CHECKING:
    from rillwright.ground import GroundData


class Named(Struct, frozen=True, kw_only=True):
    """A file as a job names it: where it lies, what is said of it, and what changes with it."""

    path: str
    file: str
    unit: str | None
    order: str | None
    surface: str | None
    layers: tuple[str, ...]
    stamp: tuple[int, int, int]


def ground_of_files(document: Document, folder: Path) -> GroundData | None:
    """The levels of all ground files of a job, or None where it names none.

    Files that are what they were are not read again: what comes of them is then the very same value.

    Raises
    ------
    InputError
        With everything that is wrong in any of them: a file that is not there, lies outside the job's folder, or holds
        no levels of ground that can be read.
    """
    problems: list[Problem] = []
    named: list[Named] = []
    for index, said in enumerate(document.said.ground):
        try:
            path = inside(folder, said.file, such_as="ground/site.xml")
            status = path.stat()
        except InputError as error:
            problems += error.problems
            continue
        except OSError:
            problems.append(replace(document.problem(("ground", index, "file"), "is not there"), found=said.file))
            continue
        stamp = (status.st_ino, status.st_size, status.st_mtime_ns)
        named.append(
            Named(
                path=str(path), file=said.file, unit=said.unit, order=said.order, surface=said.surface,
                layers=tuple(said.layers), stamp=stamp,
            )
        )  # fmt: skip
    if problems:
        raise InputError(problems)
    return _together(tuple(named)) if named else None


@lru_cache(maxsize=8)
def _together(named: tuple[Named, ...]) -> GroundData:
    from rillwright.ground import joined

    problems: list[Problem] = []
    found = []
    for each in named:
        said = GroundSaid(unit=each.unit, order=each.order, surface=each.surface, layers=each.layers)
        try:
            found.append(of_file(Path(each.path), said, file=each.file))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return joined(found)
