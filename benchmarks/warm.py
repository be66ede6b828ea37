"""What is asked again and again in one process: the falls that fit, and a job judged anew after one level changed."""

from __future__ import annotations

import csv
import importlib
import itertools
import re
import shutil
import tempfile
from pathlib import Path
from typing import Any

from benchmarks.measure import Side, Unmeasured, timed
from msgspec.structs import replace

from rillwright.fit import Span, fit, standard_problem

MARKING_STEP = 8  # in 1/16 in
TWELVE_LIVELY_FALLS = 12 * (128 + 8)  # in 1/16 in: 8 in of fall and half an inch of bed, twelve times

_heights = (TWELVE_LIVELY_FALLS + MARKING_STEP * more for more in itertools.count())


def fit_twelve_drops() -> float:
    """Time [s] to find what fits a stream of twelve drops; another height at each call: nothing is remembered."""
    problem = replace(standard_problem("1/16 in", height=next(_heights)), drops=Span(12, 12))
    return timed(lambda: fit(problem))


def job() -> Any:
    try:
        return importlib.import_module("rillwright.job")
    except ModuleNotFoundError as reason:
        raise Unmeasured(str(reason)) from reason


def recheck(folder: Path) -> Side:
    """Time [s] from a changed level to the new judgement, in a process that has judged the job before."""
    state: dict[str, Any] = {}
    turns = itertools.count(1)

    def once() -> float:
        service = job()
        if not state:
            state["place"] = tempfile.TemporaryDirectory(prefix="bench-")  # goes away with the state
            state["folder"] = Path(shutil.copytree(folder, Path(state["place"].name) / folder.name))
            state["job"] = service.open(state["folder"])
            state["judged"] = service.judge(state["job"])
        change_a_level(state["folder"], by=next(turns))

        def judge_anew() -> None:
            state["job"] = service.open(state["folder"], earlier=state["job"])
            state["judged"] = service.judge(state["job"], earlier=state["judged"])

        return timed(judge_anew)

    return once


def change_a_level(folder: Path, *, by: int) -> None:
    """Type another reading in place of the first one between a backsight and a foresight in the job's first book.

    A round with an even `by` types the old one back, so that each round differs from the one before.
    """
    for book in sorted((folder / "books").glob("*.csv")):
        typed = book.with_suffix(".typed")
        if not typed.exists():
            shutil.copy(book, typed)
        lines = typed.read_text(encoding="utf-8").splitlines(keepends=True)
        found = first_reading(lines)
        if found is None:
            continue
        number, cell = found
        if by % 2:
            lines[number] = lines[number].replace(cell, moved(cell), 1)
        book.write_text("".join(lines), encoding="utf-8")
        return
    raise Unmeasured(f"no book in {folder.name} has an intermediate sight to change")


def first_reading(lines: list[str]) -> tuple[int, str] | None:
    """Line number and text of the first intermediate sight of a book."""
    columns: list[str] = []
    for number, line in enumerate(lines):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        cells = next(csv.reader([line]))
        if not columns:
            columns = [cell.strip().lower() for cell in cells]
            continue
        row = dict(zip(columns, cells, strict=False))
        reading = (row.get("intermediate") or row.get("is") or "").strip()
        if reading:
            return number, reading if '"' not in reading else reading.replace('"', '""')
    return None


def moved(reading: str) -> str:
    """The reading with its last digit or its fraction changed: 1.234 to 1.235, 4' 7 3/8" to 4' 7 5/8"."""
    fraction = re.search(r"(\d+)/(\d+)", reading)
    if fraction:
        top, bottom = int(fraction[1]), int(fraction[2])
        other = f"{top + 2}/{bottom}" if top + 2 < bottom else f"{top}/{2 * bottom}"
        return reading.replace(fraction[0], other, 1)
    digit = re.search(r"\d(?=\D*$)", reading)
    if digit is None:
        raise Unmeasured(f"no digit to change in {reading}")
    changed = int(digit[0]) + (1 if digit[0] != "9" else -1)
    return reading[: digit.start()] + str(changed) + reading[digit.end() :]


def odds_drawn(folder: Path) -> Side:
    """Ten thousand crews' work drawn on the rims of a job that is judged already, some of it worked out anew."""
    from rillwright.assessment import NotRun
    from rillwright.containment import spill_odds

    service = job()
    made = service.judge(service.open(folder)).assessment
    water, surface = made.water, made.surface
    if isinstance(water, NotRun) or isinstance(surface, NotRun):
        raise Unmeasured(f"the rims of {folder.name} are not known")
    return lambda: timed(lambda: spill_odds(made.feature, water, surface=surface, samples=10_000))
