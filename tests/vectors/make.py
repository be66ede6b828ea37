"""Writes the cases that Python and the phone answer alike: `python -m tests.vectors.make` from the repository's root.

The cases are drawn anew with the same seed every time, so that a changed answer shows as a changed line.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

from tests.vectors import arrangements, courses, holds, lengths, levels, shots

FOLDER = Path(__file__).parent


@cache
def vectors() -> dict[str, str]:
    """Name of each file, and its text: one case a line."""
    made: dict[str, Any] = {
        "rods": lengths.rods(Random(1)),
        "lengths": lengths.lengths(Random(2)),
        "shown": lengths.shown(Random(3)),
        "slips": lengths.slips(Random(4)),
        **levels.all_of(Random(5)),
        **arrangements.all_of(Random(6)),
        "shots": shots.days(Random(7)),
        "asking": shots.asking(),
        "courses": courses.courses(Random(9)),
        "holds": holds.holds(Random(8)),
    }
    return {f"{name}.json": _text(cases) for name, cases in made.items()}


def _text(cases: list[Any]) -> str:
    lines = ",\n".join(json.dumps(case, ensure_ascii=True, separators=(",", ":")) for case in cases)
    return f"[\n{lines}\n]\n"


def write() -> None:
    for name, text in vectors().items():
        (FOLDER / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write()
