"""Other laws of rough beds, each inside its own range, against Ferguson's: all within the factor of two it carries."""

from __future__ import annotations

import pytest

from rillwright.hydraulics import Section, by_blodgett, by_ferguson, by_jarrett, by_limerinos

WIDE = Section(bottom_m=1000.0)
D84_OVER_D50 = 1.5


@pytest.mark.parametrize("grain", [0.006, 0.0127, 0.02, 0.04, 0.08])
@pytest.mark.parametrize("slope", [0.002, 0.02, 0.06])
def test_blodgett_where_it_was_measured(grain: float, slope: float) -> None:
    """Depth over D50 from 1.5 to 185 (HEC-15 eq. 6.1; two constants from memory): the one that reaches garden water."""
    sister, ours = by_blodgett(grain), by_ferguson(D84_OVER_D50 * grain)
    for step in range(60):
        depth = 1.501 * 1.05**step * grain
        if depth > 0.3:
            break
        wet = WIDE.at(depth)
        told = sister.speed(wet, slope)
        assert not told.outside
        assert 0.9 < told.speed_ms / ours.speed(wet, slope).speed_ms < 1.4


@pytest.mark.parametrize("depth", [0.32, 1.0, 3.0])
def test_limerinos_where_it_was_measured(depth: float) -> None:
    """R 0.31 to 3.32 m, d84 19 to 747 mm: ten times the depth of a garden stream."""
    for grain in (0.02, 0.05, 0.1):
        ratio = by_limerinos(grain).speed(WIDE.at(depth), 0.005).speed_ms
        assert 0.9 < ratio / by_ferguson(grain).speed(WIDE.at(depth), 0.005).speed_ms < 1.15


@pytest.mark.parametrize(("depth", "slope"), [(0.151, 0.002), (0.151, 0.04), (0.3, 0.02), (1.0, 0.01)])
def test_jarrett_where_it_was_measured(depth: float, slope: float) -> None:
    """R from 0.15 m, slope 0.002 to 0.04, on stones of 0.1 m: he has no grain in his law."""
    told = by_jarrett().speed(WIDE.at(depth), slope)
    assert not told.outside
    assert 0.5 < told.speed_ms / by_ferguson(0.1).speed(WIDE.at(depth), slope).speed_ms < 2.0
