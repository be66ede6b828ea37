"""The finished work as it is read: levels at places, sections, cells, and the earth of each part."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

from rillwright.assessment import Finished, Judged, NotRun
from rillwright.errors import NoAnswer
from rillwright.feature import XY
from rillwright.job.files import write_whole
from rillwright.shape import LayerRow as LayerRow
from rillwright.shape import LayerSpot as LayerSpot
from rillwright.shape import layer_cells as cells_of
from rillwright.shape import layer_section as section_of
from rillwright.shape import layer_spots as spots_of
from rillwright.units import parse

STATIONS = 20  # about as many, where no spacing is said
_SPACINGS = {
    "us": "3 in, 6 in, 1 ft, 2 ft, 5 ft, 10 ft, 20 ft, 50 ft, 100 ft",
    "metric": "50 mm, 100 mm, 200 mm, 500 mm, 1 m, 2 m, 5 m, 10 m, 20 m, 50 m",
}


def finished_of(judged: Judged) -> Finished:
    """The finished work of a job that was judged with it.

    Raises
    ------
    NoAnswer
        If it was not made.
    """
    finished = judged.assessment.finished
    if isinstance(finished, NotRun):
        raise NoAnswer(finished.reason)
    return finished


def layer_spots(judged: Judged, places: Sequence[XY]) -> tuple[LayerSpot, ...]:
    """Ground, dig, liner and finished top at places [m].

    Raises
    ------
    NoAnswer
        If the finished work was not made.
    """
    return spots_of(finished_of(judged), places)


def spacing_of(line: Sequence[XY], *, system: str) -> float:
    """The least usual spacing [m], in the reader's units, at which a line [m] has about twenty stations or fewer."""
    wanted = sum(math.dist(a, b) for a, b in pairwise(line)) / STATIONS
    usual = [parse(typed, "length").si for typed in _SPACINGS[system].split(", ")]
    return next((spacing for spacing in usual if spacing >= wanted), max(usual[-1], wanted))


def layer_section(judged: Judged, line: Sequence[XY], *, step_m: float | None = None) -> tuple[LayerRow, ...]:
    """Ground, dig, liner and finished top along a line [m], every `step_m` [m] or wherever one changes its slope.

    Raises
    ------
    NoAnswer
        If the finished work was not made.
    InputError
        If the line has no length, or the step is none.
    """
    return section_of(finished_of(judged), line, step_m=step_m)


def layer_cells(judged: Judged, *, cell_m: float) -> str:
    """All layers as square cells of side `cell_m` [m], as the text of a CSV: middles and levels in metres.

    Raises
    ------
    NoAnswer
        If the finished work was not made.
    InputError
        If the side is none, or there would be too many cells.
    """
    return cells_of(finished_of(judged), cell_m=cell_m)


def write_surface(path: Path, content: bytes, *, over: bool) -> None:
    """Write a file of surfaces whole or not at all.

    Raises
    ------
    OutputError
        If it is there already and `over` is not said, or cannot be written.
    """
    write_whole(path, content, over=over)
