"""holds.csv of a job, read as it stands."""

from __future__ import annotations

from pathlib import Path

from rillwright.job.files import read_text
from rillwright.survey import TickSheet, read_ticks

HOLD_FILE = "holds.csv"


def ticks_of(folder: Path) -> TickSheet:
    """The rows of the folder's holds.csv; none where there is no such file.

    Raises
    ------
    InputError
        If it cannot be read, or is no file of hold points.
    """
    file = folder / HOLD_FILE
    return read_ticks(read_text(file, file=HOLD_FILE), file=HOLD_FILE) if file.is_file() else TickSheet()
