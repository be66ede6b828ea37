"""One shot to one level, to the nanometre: vectors that the phone's twin runs too, and rows that handbooks print."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.survey.shot_vectors import vectors

from rillwright.errors import InputError
from rillwright.feature import Level, Origin, Surface
from rillwright.survey import Shot, SiteShots, instrument_nm, level_nm, reading_nm, reduce_shots
from rillwright.survey.shot_rows import rod_of

FILE = Path(__file__).resolve().parents[1] / "vectors" / "shot_levels.json"
VECTORS: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
FOOT_NM = 304_800_000


def test_the_file_is_what_its_own_arithmetic_says() -> None:
    assert vectors() == VECTORS


@pytest.mark.parametrize("case", VECTORS["levels"], ids=lambda case: case["name"])
def test_a_shot_is_reduced_to_the_nanometre(case: dict[str, Any]) -> None:
    _, rod = rod_of(case["rod"])
    assert rod is not None
    benchmark, reading = reading_nm(case["benchmark"], rod), reading_nm(case["reading"], rod)
    instrument = instrument_nm(case["mark_nm"], benchmark, sign=rod.sign)
    assert (benchmark, reading) == (case["benchmark_nm"], case["reading_nm"])
    assert instrument == case["instrument_nm"]
    assert level_nm(instrument, reading, sign=rod.sign) == case["level_nm"]


@pytest.mark.parametrize("case", VECTORS["refused"], ids=lambda case: f"{case['rod']} {case['reading']}")
def test_what_that_rod_does_not_read_is_refused(case: dict[str, Any]) -> None:
    _, rod = rod_of(case["rod"])
    assert rod is not None
    with pytest.raises(InputError):
        reading_nm(case["reading"], rod)


def run(*rows: tuple[str, str, str]) -> SiteShots:
    """A run of levels in feet and decimals from a mark at 100.00."""
    known = {"A": Level(30.48, Surface.MARK, Origin.MEASURED, "given")}
    shots = [
        Shot(uuid=f"u{n}", time=f"2026-05-04T08:{n:02}:00+00:00", setup=setup, rod="tenths", path=path, surface="mark",
             reading=reading)
        for n, (setup, path, reading) in enumerate(rows)
    ]  # fmt: skip
    return reduce_shots(shots, marks=known)


def test_a_printed_page_of_levels_as_shots() -> None:
    """Field notes for a differential levelling section, a homework page, reproduced by hand: HI and levels as printed.

    Each turning point carries the level on to the next set-up.
    """
    page = run(
        ("1", "marks/A", "3.10"), ("1", "points/TP1", "9.82"),
        ("2", "points/TP1", "6.44"), ("2", "points/TP2", "6.96"),
        ("3", "points/TP2", "8.76"), ("3", "points/TP3", "3.27"),
        ("4", "points/TP3", "7.12"), ("4", "points/B", "10.42"),
    )  # fmt: skip
    heights = [round(setup.height_of_instrument_m / 0.3048, 6) for setup in page.setups]
    assert heights == [103.10, 99.72, 101.52, 105.37]
    levels = {shot.shot.path: shot.level_nm for shot in page.shots}
    printed = {"points/TP1": 9328, "points/TP2": 9276, "points/TP3": 9825, "points/B": 9495}
    assert {path: levels[path] for path in printed} == {path: v * FOOT_NM // 100 for path, v in printed.items()}


def test_the_error_of_a_level_grows_with_the_root_of_the_set_ups() -> None:
    """Propagation of independent errors: 3 mm a shot (common practice, no source), so 3 root n after n set-ups."""
    page = run(("1", "marks/A", "3.10"), ("1", "points/P", "9.82"), ("2", "points/P", "6.44"), ("2", "points/Q", "6.9"))
    sigma = {shot.shot.path: shot.sigma_m for shot in page.shots if not shot.benchmark}
    assert sigma["points/P"] == pytest.approx(0.003)
    assert sigma["points/Q"] == pytest.approx(0.003 * 2**0.5)
