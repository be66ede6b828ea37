"""Nine answers to the text of a feature file and of its level book."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from msgspec import Struct

from rillwright.visit.answers import Answers, check
from rillwright.visit.parts import pond, run, site, stream, top
from rillwright.visit.staircase import find_stair


class VisitFiles(Struct, frozen=True, kw_only=True):
    """The two texts that a visit comes to, and what is to be said of its falls."""

    feature: str
    book: str
    notes: tuple[str, ...]


def write(
    answers: Answers, *, berm_m: float = 0.0, running_below_m: float = 0.0, photos: Sequence[str] = ()
) -> VisitFiles:
    """The feature file and the book that these answers come to.

    Parameters
    ----------
    answers
        The nine answers, as typed.
    berm_m
        What is built up at the low side before it settles [m].
    running_below_m
        How far the pond stands below its held level while the pump runs [m].
    photos
        Pictures in the job's folder, by their paths there.

    Raises
    ------
    InputError
        Naming every answer that cannot be used.
    """
    check(answers)
    stair = find_stair(answers, running_below_m=running_below_m)
    parts = (top(answers, stair, photos), site(answers), pond(answers, berm_m), stream(answers, stair), run(answers))
    return VisitFiles(
        feature="\n\n".join("\n".join(lines) for lines in parts) + "\n", book=_book(answers), notes=stair.notes
    )


def _book(answers: Answers) -> str:
    """The readings as they were typed; a paving that is the benchmark was not read twice."""
    shots = [
        ("paving", "mark", "paving_reading", "where people stand"),
        ("head", "ground", "head_reading", "ground at the stream head"),
        ("low", "ground", "lowest_reading", "lowest ground round the pond"),
    ]
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(["point", "surface", "backsight", "intermediate", "rod", "note"])
    rod = answers.rod_read
    rows.writerow(["benchmark", "mark", answers.typed("benchmark_reading"), "", rod, "the fixed mark"])
    for point, surface, key, note in shots:
        if not (point == "paving" and answers.benchmark_is_paving):
            rows.writerow([point, surface, "", answers.typed(key), rod, note])
    return out.getvalue()
