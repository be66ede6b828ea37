"""Writes tests/vectors/shot_levels.json, by arithmetic of its own: whole numbers of nanometres, no code of the package.

`python tests/survey/shot_vectors.py` prints what the file holds.
"""

from __future__ import annotations

import json
from typing import Any

INCH, FOOT, METRE = 25_400_000, 304_800_000, 1_000_000_000  # nm; exact by definition of the inch (1959)
NOTE = (
    "Levels in whole nanometres. Height of instrument = mark + benchmark reading, or mark - reading on a direct laser "
    "rod; level = height of instrument - reading, or + reading on a direct rod. Null: refused."
)


def feet(f: int, inches: int = 0, top: int = 0, bottom: int = 1) -> int:
    return f * FOOT + inches * INCH + half_up(top * INCH, bottom)


def half_up(value: int, by: int) -> int:
    return (2 * value + by) // (2 * by)


def tenths(hundredths: int) -> int:
    return hundredths * FOOT // 100


def mm(millimetres: int) -> int:
    return millimetres * METRE // 1000


# (mark nm, rod, benchmark text and nm, rod and reading text and nm)
Case = tuple[str, int, str, str, int, str, int]
LEVELS: tuple[Case, ...] = (
    ("feet and inches", 0, "ft-in", "4' 10 3/4\"", feet(4, 10, 3, 4), "5' 5 1/4\"", feet(5, 5, 1, 4)),
    ("eighths below the mark", 0, "ft-in", "4' 2 1/2\"", feet(4, 2, 1, 2), "3' 10 1/8\"", feet(3, 10, 1, 8)),
    ("sixteenths", feet(3), "ft-in", "0' 0 1/16\"", feet(0, 0, 1, 16), "7' 11 15/16\"", feet(7, 11, 15, 16)),
    ("a third of an inch", 0, "ft-in", "1' 0 1/3\"", feet(1, 0, 1, 3), "1' 0 2/3\"", feet(1, 0, 2, 3)),
    ("plain feet, plain inches", 0, "ft-in", "4 ft", feet(4), "55 in", feet(0, 55)),
    ("tenths", tenths(10_000), "tenths", "3.10", tenths(310), "9.82", tenths(982)),
    ("tenths with the unit", tenths(9328), "tenths", "6.44 ft", tenths(644), "6.96", tenths(696)),
    ("inches", 0, "inches", "55 3/8", feet(0, 55, 3, 8), "48.5", feet(0, 48, 1, 2)),
    ("metres", mm(10_000), "metric", "1.406", mm(1406), "0.987", mm(987)),
    ("millimetres", mm(-250), "metric", "1406 mm", mm(1406), "98.7 cm", mm(987)),
    ("direct laser, metres", mm(10_000), "laser metric", "0.250", mm(250), "-0.125", mm(-125)),
    ("direct laser, tenths", 0, "laser tenths", "1.00", tenths(100), "2.50", tenths(250)),
    ("mark below the datum", -feet(2, 3, 1, 2), "ft-in", "6' 1\"", feet(6, 1), "8' 7 5/8\"", feet(8, 7, 5, 8)),
)
REFUSED: tuple[tuple[str, str], ...] = (
    ("ft-in", "4.61"), ("ft-in", "1.406 m"), ("ft-in", "4' 13\""), ("tenths", "4' 7\""), ("tenths", "4 1/2"),
    ("metric", "4' 7\""), ("metric", "55"), ("inches", "4.61 ft"), ("metric", "-0.1"), ("ft-in", ""),
    ("tenths", "3,10"),    ("metric", "nan"), ("tenths", "abc"),
)  # fmt: skip


def vectors() -> dict[str, Any]:
    return {
        "note": NOTE,
        "unit": "nm",
        "levels": [_level(case) for case in LEVELS],
        "refused": [{"rod": rod, "reading": text, "reading_nm": None} for rod, text in REFUSED],
    }


def _level(case: Case) -> dict[str, Any]:
    name, mark, rod, benchmark, benchmark_nm, reading, reading_nm = case
    up = -1 if rod.startswith("laser") else 1
    instrument = mark + up * benchmark_nm
    return {
        "name": name,
        "mark_nm": mark,
        "rod": rod,
        "benchmark": benchmark,
        "reading": reading,
        "benchmark_nm": benchmark_nm,
        "reading_nm": reading_nm,
        "instrument_nm": instrument,
        "level_nm": instrument - up * reading_nm,
    }


if __name__ == "__main__":
    print(json.dumps(vectors(), indent=1, ensure_ascii=False))
