"""Nine answers to the text of a feature file and of its level book."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, replace
from typing import cast

from rillwright.fit import Arrangement, Character, Span, Unit, fit, standard_problem
from rillwright.units import show, style_for
from rillwright.visit.answers import Answers, check

LEAST_BED_M = 0.6  # a bed shorter than this reads as a step, not as a stream: common practice, no source
_PER_M: dict[Unit, float] = {"1/16 in": 16 / 0.0254, "1 mm": 1000.0}


@dataclass(frozen=True, slots=True)
class VisitFiles:
    """The two texts that a visit comes to."""

    feature: str
    book: str


def write(answers: Answers, *, berm_m: float = 0.0) -> VisitFiles:
    """The feature file and the book that these answers come to.

    Parameters
    ----------
    answers
        The nine answers, as typed.
    berm_m
        What is built up at the low side before it settles [m].

    Raises
    ------
    InputError
        Naming every answer that cannot be used.
    """
    check(answers)
    return VisitFiles(_feature(answers, berm_m), _book(answers))


def _book(answers: Answers) -> str:
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["point", "surface", "backsight", "intermediate", "rod", "note"])
    rows.writerow(["benchmark", "mark", answers.benchmark_reading, "", answers.rod, "the fixed mark"])
    paving = answers.paving_reading
    paving = answers.benchmark_reading if paving.strip().lower() == "same" else paving
    rows.writerow(["paving", "mark", "", paving, answers.rod, "where people stand"])
    rows.writerow(["head", "ground", "", answers.head_reading, answers.rod, "ground at the stream head"])
    rows.writerow(["low", "ground", "", answers.lowest_reading, answers.rod, "lowest ground round the pond"])
    return out.getvalue()


def _feature(answers: Answers, berm_m: float) -> str:
    style = style_for(answers.units)
    stair = _stair(answers)
    count = len(stair.drops) if stair else 1
    bed = show(answers.length_m("stream_length") / count, "length", style)
    unit = _unit(answers)

    def said(units: int) -> str:
        return show(units / _PER_M[unit], "length", style)

    course = []
    for index in range(count):
        pitch = said(stair.pitches[index]) if stair else said(0)
        course.append(f"    - {{bed: b{index + 1}, length: {_typed(bed)}, pitch: {_typed(pitch)}}}")
        drop = f", drop: {_typed(said(stair.drops[index].drop))}" if stair and index < count - 1 else ""
        course.append(f"    - {{fall: f{index + 1}{drop}}}")
    look, _ = answers.character()
    pipe = "" if answers.pipe_run.strip() == "stream" else f"  length: {_typed(answers.pipe_run)}\n"
    berm = "" if berm_m <= 0 else f", berm: {_typed(show(berm_m, 'length', style))}"
    lines = [
        "# Written from the nine answers of a first visit. Change any line; what is not here is taken from defaults,",
        "# and `rillwright check` lists each of them. docs/feature-file.md names every key.",
        "format: 1",
        f"name: {_typed(answers.name)}",
        f"units: {answers.units}",
        "books: [books/visit.csv]",
        "marks:",
        "  - {id: benchmark, role: benchmark}",
        "  - {id: paving, role: paving}",
        "site:",
        "  access:",
        f"    - {{id: way, width: {_typed(answers.access_width)}, machine: {_typed(answers.machine)}}}",
        "pond:",
        "  id: pond",
        f"  outline: {{oval: [{_typed(answers.pond_length)}, {_typed(answers.pond_width)}]}}",
        f"  waterline: {_typed(answers.waterline_below + ' below paving')}",
        "  held: while running        # taken: topped up with the pump on; or: at rest",
        f"  depth: {_typed(answers.pond_depth)}",
        "  rims:",
        f"    - {{id: low-side, ground: low{berm}}}      # the berm is what the highest water asks for",
        "stream:",
        "  id: stream",
        "  head: head                 # taken: no build-up above the ground there",
        "  head_ground: head",
        f"  width: {_typed(answers.stream_width)}",
        f"  look: {look}",
        "  course:                    # falls found for the height there is; the last one takes what is left",
        *course,
        "run:",
        "  id: supply                 # taken: no pump yet; give the two numbers on its box",
    ]
    return "\n".join(lines) + "\n" + pipe


def _unit(answers: Answers) -> Unit:
    return "1/16 in" if answers.units == "us" else "1 mm"


def _stair(answers: Answers) -> Arrangement | None:
    """The best staircase for the look; None where no height allows one."""
    unit = _unit(answers)
    hi = answers.reading_m("benchmark_reading")
    held = hi - answers.reading_m("paving_reading") - answers.length_m("waterline_below")
    height = round((hi - answers.reading_m("head_reading") - held) * _PER_M[unit])
    if height <= 0:
        return None
    look, falls = answers.character()
    most = max(1, min(12, int(answers.length_m("stream_length") / LEAST_BED_M)))
    wanted = Span(falls, falls) if falls is not None else Span(1, most)
    problem = replace(standard_problem(unit, height=height), character=cast(Character, look), drops=wanted)
    found = fit(problem, best=1)
    return found.arrangements[0] if found.arrangements else None


def _typed(text: str) -> str:
    """A text as YAML that reads back as it was typed."""
    return json.dumps(text, ensure_ascii=False)
