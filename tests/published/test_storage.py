"""Volumes between levels, rain caught, water in gravel: against closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from tests.published.rows import Row, check

from rillwright.errors import InputError
from rillwright.hydraulics import (
    average_end_volume,
    caught_rain,
    conical_volume,
    prismoidal_layers,
    prismoidal_volume,
    stage_curve,
    water_in_gravel,
)

COMPUTED = "computed independently"
FT = 0.3048
US_GAL = 3.785411784e-3
FRUSTUM = (math.pi * 1.5**2, math.pi * 1.75**2, math.pi * 2.0**2)
PRISM = (5.04, 8.16, 12.0)
CONE = (0.0, math.pi / 4, math.pi)
PARABOLOID_LEVELS = [i * 0.2 for i in range(5)]
PARABOLOID_AREAS = [math.pi * 4 * level / 0.8 for level in PARABOLOID_LEVELS]


def _layers(volume: Callable[[float, float, float], float]) -> float:
    pairs = pairwise(PARABOLOID_AREAS)
    return sum(volume(low, high, 0.2) for low, high in pairs)


ROWS = {
    "7a conical": Row(lambda: conical_volume(FRUSTUM[0], FRUSTUM[2], 0.5), "4.843289", COMPUTED),
    "7a prismoidal": Row(lambda: prismoidal_volume(*FRUSTUM, height_m=0.5), "4.843289", COMPUTED),
    "7a average end": Row(lambda: average_end_volume(FRUSTUM[0], FRUSTUM[2], 0.5), "4.908739", COMPUTED),
    "7a exact": Row(lambda: math.pi * 0.5 / 3 * (2.0**2 + 2.0 * 1.5 + 1.5**2), "4.843289", COMPUTED),
    "7b conical": Row(lambda: conical_volume(PRISM[0], PRISM[2], 0.6), "4.963378", COMPUTED),
    "7b prismoidal": Row(lambda: prismoidal_volume(*PRISM, height_m=0.6), "4.968", COMPUTED),
    "7b average end": Row(lambda: average_end_volume(PRISM[0], PRISM[2], 0.6), "5.112", COMPUTED),
    "7d conical": Row(lambda: conical_volume(CONE[0], CONE[2], 0.5), "0.523599", COMPUTED),
    "7d prismoidal": Row(lambda: prismoidal_volume(*CONE, height_m=0.5), "0.523599", COMPUTED),
    "7d average end": Row(lambda: average_end_volume(CONE[0], CONE[2], 0.5), "0.785398", COMPUTED),
    "7e conical": Row(lambda: _layers(conical_volume), "4.885764", COMPUTED),
    "7e prismoidal": Row(lambda: prismoidal_layers(PARABOLOID_LEVELS, PARABOLOID_AREAS), "5.026548", COMPUTED),
    "7e average end": Row(lambda: _layers(average_end_volume), "5.026548", COMPUTED),
    "7e exact": Row(lambda: math.pi * 4 * 0.8 / 2, "5.026548", COMPUTED),
    "rain on pond and ground": Row(lambda: caught_rain(0.025, [(40, 1.0), (60, 0.9)]), "2.35", COMPUTED),
    "1 in on 1000 sq ft": Row(lambda: caught_rain(0.0254, [(1000 * FT**2, 1.0)]) / US_GAL, "623.38", COMPUTED),
    "voids of gravel": Row(lambda: water_in_gravel(2.5, 0.40), "1.0", "common practice, no source: 40 % voids"),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


def test_percentages() -> None:
    """Computed independently: average end 1.351 % over in 7a and 50 % in 7d; conical 2.8 % under in 7e."""
    assert average_end_volume(FRUSTUM[0], FRUSTUM[2], 0.5) / 4.843289 - 1 == pytest.approx(0.01351, abs=5e-6)
    assert average_end_volume(CONE[0], CONE[2], 0.5) / 0.523599 - 1 == pytest.approx(0.50, abs=1e-5)
    assert _layers(conical_volume) / 5.026548 - 1 == pytest.approx(-0.028, abs=5e-4)


def test_middle_area_is_not_the_mean_of_the_ends() -> None:
    """With the mean in its place the prismoidal rule is the average end area rule."""
    mean = (PRISM[0] + PRISM[2]) / 2
    assert mean != PRISM[1]
    assert prismoidal_volume(PRISM[0], mean, PRISM[2], height_m=0.6) == pytest.approx(
        average_end_volume(PRISM[0], PRISM[2], 0.6), rel=1e-15
    )


def test_conical_is_exact_for_similar_sections_only() -> None:
    assert conical_volume(PRISM[0], PRISM[2], 0.6) < prismoidal_volume(*PRISM, height_m=0.6)
    levels = [i * 0.01 for i in range(61)]
    fine = stage_curve(levels, [(3 - 1.2 + 2 * z) * (4 - 1.2 + 2 * z) for z in levels])
    assert fine.volume(0.6) == pytest.approx(4.968, rel=1e-6)


def test_tables_that_are_none() -> None:
    with pytest.raises(InputError, match="levels must rise") as caught:
        stage_curve([0, 0.2, 0.1], [1, 2, math.nan])
    assert len(caught.value.problems) == 2
    with pytest.raises(InputError, match="not at mid height"):
        prismoidal_layers([0, 0.1, 0.3], [1, 2, 3])
    with pytest.raises(InputError, match="odd number"):
        prismoidal_layers([0, 0.1], [1, 2])
    with pytest.raises(InputError, match="at least two"):
        stage_curve([0], [1])
