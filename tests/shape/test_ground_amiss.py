"""A file of ground in a wrong unit, turned about or off its mark is noticed by the job's own levels. Sites are made.

The sizes of feet, inches and millimetres are definitions; that levels known to two parties are compared before either
is used is common practice, no source.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from rillwright.feature import XY, Level, Origin
from rillwright.feature import Surface as LevelSurface
from rillwright.ground import GroundData, joined
from rillwright.shape.ground_amiss import files_amiss
from rillwright.shape.natural import Model, Placed

MODEL = Model(near_m=0.6, uneven=0.02, guessed_m=0.05)
OWN: tuple[XY, ...] = ((2.0, 3.0), (9.0, 4.0), (5.0, 11.0), (12.0, 16.0), (3.0, 18.0), (14.0, 6.0))
FOOT_M, INCH_M = 0.3048, 0.0254


def height(x: float, y: float) -> float:
    """A garden that falls to one corner, with a hump [m]."""
    return 1.5 - 0.11 * x + 0.05 * y + 0.4 * math.exp(-((x - 8.0) ** 2 + (y - 12.0) ** 2) / 30.0)


def placed() -> tuple[Placed, ...]:
    return tuple(
        Placed(
            f"rims/r{k}",
            at,
            Level(m=height(*at), surface=LevelSurface.GROUND, origin=Origin.MEASURED, source="book", sigma_m=0.003),
        )
        for k, at in enumerate(OWN)
    )


def survey(unit: str = "m", *, seed: int = 7) -> GroundData:
    """Eighty levels all over the garden [m], to 5 mm."""
    rng = np.random.default_rng(seed)
    corners = np.array([(-2.0, -2.0), (20.0, -2.0), (20.0, 22.0), (-2.0, 22.0)])
    xy = np.concatenate((corners, rng.uniform((-2.0, -2.0), (20.0, 22.0), (80, 2))))
    z = np.array([height(x, y) for x, y in xy.tolist()]) + rng.normal(0.0, 0.005, len(xy))
    return GroundData(name="slope.csv", xyz=np.column_stack((xy, z)), unit=unit)


def moved(made: GroundData, *by: float) -> GroundData:
    return replace(made, xyz=made.xyz + np.array(by))


def scaled(plan: float, up: float, unit: str) -> GroundData:
    made = survey(unit)
    return replace(made, xyz=made.xyz * (plan, plan, up))


def test_a_file_that_agrees_is_left_in_peace() -> None:
    for seed in range(20):
        assert files_amiss(placed(), survey(seed=seed), MODEL) == ()


@pytest.mark.parametrize(
    ("read_in", "meant", "factor"),
    [
        ("m", "ft", 1.0 / FOOT_M),  # feet read as metres
        ("ft", "m", FOOT_M),
        ("ft", "in", 12.0),  # inches read as feet
        ("in", "ft", 1.0 / 12.0),
        ("m", "in", 1.0 / INCH_M),
        ("m", "mm", 1000.0),
        ("mm", "m", 1.0 / 1000.0),
    ],
)
def test_a_wrong_unit(read_in: str, meant: str, factor: float) -> None:
    (found,) = files_amiss(placed(), scaled(factor, factor, read_in), MODEL)
    assert (found.kind, found.read_in, found.unit) == ("unit", read_in, meant)
    assert found.agree == found.known == len(OWN)


def test_levels_in_feet_and_places_in_metres() -> None:
    (found,) = files_amiss(placed(), scaled(1.0, 1.0 / FOOT_M, "m"), MODEL)
    assert (found.kind, found.unit) == ("unit of levels", "ft")


@pytest.mark.parametrize("factor", [1.0, 1.0 / FOOT_M])
def test_northings_for_eastings(factor: float) -> None:
    made = scaled(factor, factor, "m")
    (found,) = files_amiss(placed(), replace(made, xyz=made.xyz[:, (1, 0, 2)]), MODEL)
    assert found.kind == ("swapped" if factor == 1.0 else "unit and swapped")


@pytest.mark.parametrize("off_m", [0.12, -0.4, 31.7, 312.0])
def test_another_mark(off_m: float) -> None:
    made = survey()
    (found,) = files_amiss(placed(), moved(made, 0.0, 0.0, off_m), MODEL)
    assert found.kind == "mark"
    assert found.off_m == pytest.approx(off_m, abs=0.03)


def test_a_mark_that_is_off_by_less_than_a_hands_breadth_of_grass_is_no_news() -> None:
    made = survey()
    assert files_amiss(placed(), moved(made, 0.0, 0.0, 0.02), MODEL) == ()


def test_feet_on_another_mark() -> None:
    made = scaled(1.0 / FOOT_M, 1.0 / FOOT_M, "m")
    (found,) = files_amiss(placed(), moved(made, 0.0, 0.0, 100.0), MODEL)
    assert (found.kind, found.unit) == ("unit and mark", "ft")
    assert found.off_m == pytest.approx(100.0 * FOOT_M, abs=0.03)


def test_another_grid() -> None:
    made = survey()
    (found,) = files_amiss(placed(), moved(made, 430_000.0, 5_200_000.0, 0.0), MODEL)
    assert found.kind == "elsewhere"
    assert found.most_m == pytest.approx(math.hypot(430_000.0, 5_200_000.0), rel=1e-4)


def test_no_pattern() -> None:
    made = survey()
    rng = np.random.default_rng(3)
    (found,) = files_amiss(placed(), replace(made, xyz=made.xyz + rng.normal(0.0, (0, 0, 1.0), made.xyz.shape)), MODEL)
    assert found.kind == "no pattern"


def test_each_file_by_itself() -> None:
    """One is right, the other in feet: the latter is named."""
    feet = replace(scaled(1.0 / FOOT_M, 1.0 / FOOT_M, "m"), name="feet.csv")
    (found,) = files_amiss(placed(), joined([survey(), feet]), MODEL)
    assert found.file == "feet.csv"


def test_levels_that_nobody_read_judge_no_file() -> None:
    guessed = tuple(replace(each, level=replace(each.level, origin=Origin.DEFAULT)) for each in placed())
    assert files_amiss(guessed, scaled(3.0, 3.0, "m"), MODEL) == ()
    assert files_amiss(placed()[:2], scaled(3.0, 3.0, "m"), MODEL) == ()


def test_one_level_of_six_that_is_wrong_hides_nothing() -> None:
    """A slip in the job's own book, and a file in feet: the file is told all the same."""
    own = list(placed())
    own[2] = replace(own[2], level=replace(own[2].level, m=own[2].level.m + 0.9))
    (found,) = files_amiss(own, scaled(1.0 / FOOT_M, 1.0 / FOOT_M, "m"), MODEL)
    assert (found.kind, found.agree, found.known) == ("unit", 5, 6)
