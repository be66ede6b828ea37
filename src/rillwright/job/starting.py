"""A new job: a commented feature file to go on with."""

from __future__ import annotations

from pathlib import Path

from rillwright.errors import OutputError
from rillwright.feature import starter
from rillwright.job.files import write_whole
from rillwright.job.opening import FEATURE_FILE


def new(path: Path | str, *, units: str, name: str | None = None) -> Path:
    """Write a commented feature file into a folder, which is made where it is missing; returns the file.

    Raises
    ------
    OutputError
        If there is one already, or it cannot be written.
    """
    folder = Path(path)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{folder}: could not be made: {error.strerror or error}") from error
    file = folder / FEATURE_FILE
    write_whole(file, starter(units=units, name=name or folder.resolve().name).encode("utf-8"), over=False)
    return file
