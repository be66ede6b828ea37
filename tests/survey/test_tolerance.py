"""How far a level loop may miss: by its length, or by its set-ups where nobody wrote distances."""

from __future__ import annotations

from random import Random

import pytest

from rillwright.survey import Survey, read_book, reduce
from rillwright.units import parse

FOOT_M = parse("1 ft", "length").si
SIXTEENTH_M = parse("1/16 in", "length").si
LOOP = "point,backsight,foresight,distance\nBM,1.500,,20\nT1,1.200,1.400,40\nT2,1.000,1.300,20\nBM,,1.003,60\n"


def survey(text: str, *, tolerance: str | None = None) -> Survey:
    return reduce([read_book(text, file="b.csv", rod="metric")], datum=None, tolerance=tolerance)


def level_run(setups: int, *, random: Random, rounded_m: float, sight_m: float) -> str:
    """A level run of so many set-ups over level ground and back: each reading out by chance [m], then rounded."""

    def reading() -> str:
        return f"{round((1.5 + random.gauss(0.0, sight_m)) / rounded_m) * rounded_m:.6f}"

    rows = [f"BM,{reading()},"] + [f"T{i},{reading()},{reading()}" for i in range(1, setups)] + [f"BM,,{reading()}"]
    return "\n".join(["point,backsight,foresight", *rows, ""])


def test_set_ups_without_distances_earn_tolerance_by_their_root() -> None:
    # third order, 12 mm by the root of the kilometres, over two sights of 100 ft a set-up: common practice, no source
    allowed = {
        n: survey(level_run(n, random=Random(n), rounded_m=0.001, sight_m=0.0)).loops[0].tolerance_m for n in (2, 8)
    }
    assert allowed[2] == pytest.approx(0.012 * (2 * 0.06096) ** 0.5, rel=1e-9)
    assert allowed[8] == pytest.approx(2 * allowed[2], rel=1e-12)


def test_construction_by_set_ups_is_about_the_figure_in_use() -> None:
    # simple construction, 0.02 ft by the root of the set-ups: common practice, no source
    loop = survey(level_run(4, random=Random(1), rounded_m=0.001, sight_m=0.0), tolerance="construction").loops[0]
    assert loop.tolerance_m == pytest.approx(0.02 * FOOT_M * 2.0, rel=0.03)


@pytest.mark.parametrize("setups", [2, 5, 10])
def test_good_runs_close_and_a_misread_inch_does_not(setups: int) -> None:
    """A rod read to 1/16 in and 1 mm of chance in each sight: nearly all close, as they would not by the floor."""
    random = Random(setups)
    runs = [level_run(setups, random=random, rounded_m=SIXTEENTH_M, sight_m=0.001) for _ in range(60)]
    loops = [survey(run).loops[0] for run in runs]
    assert sum(loop.closes for loop in loops) >= 0.85 * len(loops)
    assert sum(abs(loop.misclosure_m) <= 0.003 for loop in loops) < sum(loop.closes for loop in loops)
    wrong = survey(runs[0].replace("BM,,1.", "BM,,2.")).loops[0]
    assert not wrong.closes


def test_one_set_up_between_known_marks_has_the_floor() -> None:
    loop = survey("point,backsight,foresight,level\nA,1.5,,10\nB,,1.0,10.502\n").loops[0]
    assert (loop.setups, loop.tolerance_m) == (1, 0.003)


def test_distances_that_are_written_go_before_set_ups() -> None:
    loop = survey(LOOP).loops[0]
    assert loop.tolerance_m == pytest.approx(0.012 * 0.14**0.5, rel=1e-9)
    assert "no distances" not in loop.tolerance_name
