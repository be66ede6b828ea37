"""A new folder that is there whole or not at all; what a killed program left of one is taken away by the next."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rillwright.errors import OutputError
from rillwright.job.locking import LOCK_FILE, locked

ENDING = ".unfinished"
_INNER = "job"


def refuse_taken(out: Path) -> None:
    """A folder of that name can be written: it is not there, or it is empty.

    Raises
    ------
    OutputError
        If it is there and holds something, or is a file.
    """
    try:
        taken = out.exists() and (not out.is_dir() or any(out.iterdir()))
    except OSError as error:
        raise OutputError(f"{out}: could not be looked at: {error.strerror or error}") from error
    if taken:
        raise OutputError(f"{out}: is there already and is not written over; name another folder")


@contextmanager
def whole_folder(out: Path) -> Iterator[Path]:
    """A folder to write into, that takes the place of `out` once all is well; else nothing of it stays.

    It lies beside `out` under its name and `.unfinished`. Only a program that is killed outright leaves it; who writes
    to the same place next takes it away.

    Raises
    ------
    OutputError
        If another program is writing it at this moment, or it holds what is none of ours.
    """
    out = out.absolute()
    missing = [parent for parent in out.parents if not parent.exists()]
    partial = out.with_name(out.name + ENDING)
    try:
        partial.mkdir(parents=True, exist_ok=True)
        _refuse_strange(partial)
        with locked(partial, patience_s=0.0):
            folder = partial / _INNER
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            try:
                yield folder
                if out.exists():
                    out.rmdir()
                os.rename(folder, out)
            finally:
                shutil.rmtree(folder, ignore_errors=True)
        shutil.rmtree(partial, ignore_errors=True)
    except OutputError:  # another program's, or nobody's
        raise
    except BaseException:
        shutil.rmtree(partial, ignore_errors=True)
        raise
    finally:
        if not out.exists():
            _take_away(missing)


def _refuse_strange(partial: Path) -> None:
    if {each.name for each in partial.iterdir()} - {LOCK_FILE, _INNER}:
        raise OutputError(f"{partial}: holds what was not left by a visit; name another folder, or move it away")


def _take_away(parents: list[Path]) -> None:
    for parent in parents:
        if parent.is_dir() and not any(parent.iterdir()):
            parent.rmdir()
