"""Stone that moves: sweeps against sister methods, limits, powers, ranges told."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import (
    ISBASH_LOOSE,
    ISBASH_SET,
    SHIELDS,
    bed_shear,
    by_ferguson,
    critical_shields,
    hec11_stone,
    hec15_stone,
    isbash_stone,
    jet_speed_in_pool,
    maynord_stone,
    shields_stone,
)
from rillwright.hydraulics.sections import Section

FT = 0.3048


@given(st.floats(0.2, 4.0), st.floats(0.1, 2.0))
def test_riprap_rules_agree_on_their_common_ground(speed: float, depth: float) -> None:
    """Maynord's D50 (1.2 D30 of the standard gradation), HEC-11 and Isbash within a factor of four, where each has
    more water than stone and a stone of more than 15 mm."""
    sizes = [
        1.2 * maynord_stone(speed, depth).size_m,
        hec11_stone(speed, depth).size_m,
        isbash_stone(speed, coefficient=ISBASH_SET).size_m,
    ]
    assume(all(0.015 < size < 0.3 * depth for size in sizes))
    assert max(sizes) < 4 * min(sizes)


@given(st.floats(0.1, 3.0), st.floats(0.05, 2.0))
def test_powers(speed: float, depth: float) -> None:
    """Isbash goes with V^2, HEC-11 with V^3 d^-0.5, Maynord with V^2.5 d^-0.25; Shields and HEC-15 with the pull."""
    assert isbash_stone(2 * speed).size_m == pytest.approx(4 * isbash_stone(speed).size_m)
    assert hec11_stone(2 * speed, 4 * depth).size_m == pytest.approx(4 * hec11_stone(speed, depth).size_m)
    assert maynord_stone(2 * speed, 16 * depth).size_m == pytest.approx(2**2.5 / 2 * maynord_stone(speed, depth).size_m)
    assert shields_stone(2 * speed).size_m == pytest.approx(2 * shields_stone(speed).size_m)
    assert isbash_stone(speed, coefficient=ISBASH_SET).size_m < isbash_stone(speed, coefficient=ISBASH_LOOSE).size_m


@given(st.floats(0.01, 0.3), st.floats(0.002, 0.1))
def test_hec15_is_shields_where_its_ladder_is_low(depth: float, slope: float) -> None:
    """Sister: at F* 0.047 and SF 1 both are the pull rho g d S over 0.047 (rho_s - rho) g."""
    ours = hec15_stone(depth, slope)
    shear_speed = math.sqrt(9.80665 * depth * slope)
    if shear_speed * ours.size_m / 1.0034e-6 < 4e4:
        assert ours.size_m == pytest.approx(shields_stone(bed_shear(depth, slope)).size_m, rel=1e-9)
    else:  # up the ladder the stone stays between the two ends of it
        low = depth * slope / (0.047 * 1.65)
        assert 1.5 * depth * slope / (0.15 * 1.65) * (1 - 1e-6) <= ours.size_m <= low * (1 + 1e-6)


def test_soulsby_lies_in_the_band_of_shields_for_all_gravel() -> None:
    for i in range(60):
        grain = 0.002 * 1.08**i
        assert SHIELDS.low < critical_shields(grain) < SHIELDS.high
    assert critical_shields(10.0) == pytest.approx(0.055, rel=1e-3)  # closed form: the limit of large grains


@given(st.floats(0.005, 0.05), st.floats(0.01, 0.08), st.floats(0.02, 0.3))
def test_isbash_and_shields_tell_the_same_story(grain: float, slope: float, depth: float) -> None:
    """On a rough bed the speed that Ferguson's law gives and the pull are two views of one flow: the stones that both
    call for stay within a factor of twelve, all over the law's range."""
    wet = Section(bottom_m=1.0).at(depth)
    ratio = wet.hydraulic_radius_m / grain
    assume(1.0 <= ratio <= 30)
    speed = by_ferguson(grain).speed(wet, slope).speed_ms
    by_speed, by_pull = isbash_stone(speed).size_m, shields_stone(bed_shear(wet.hydraulic_radius_m, slope)).size_m
    assert 1 / 12 < by_speed / by_pull < 12


@given(st.floats(0.3, 4.0), st.floats(0.001, 0.05), st.floats(0.0, 1.0))
def test_a_pool_takes_the_speed_of_a_sheet(speed: float, sheet: float, pool: float) -> None:
    left = jet_speed_in_pool(speed, sheet, pool)
    assert 0 < left <= speed
    assert jet_speed_in_pool(speed, sheet, pool + 0.1) <= left
    if pool < 5 * sheet:
        assert left == speed


def test_in_feet() -> None:
    """HEC-11 in feet: D50 = 0.001 V^3 / (d^0.5 K1^1.5), from memory; the metric constant rounds it by 0.6 %."""
    speed, depth = 2.0, 0.5
    feet = 0.001 * (speed / FT) ** 3 / math.sqrt(depth / FT) * 2.12 / 1.65**1.5
    assert hec11_stone(speed, depth).size_m == pytest.approx(feet * FT, rel=0.02)
    assert maynord_stone(speed, depth).size_m == pytest.approx(
        FT * maynord_stone(speed / FT, depth / FT, gravity_ms2=9.80665 / FT).size_m, rel=1e-9
    )
    assert isbash_stone(speed).size_m == pytest.approx(
        FT * isbash_stone(speed / FT, gravity_ms2=9.80665 / FT).size_m, rel=1e-9
    )


def test_ranges_are_told() -> None:
    assert "shallower than its stone" in maynord_stone(3.0, 0.05).outside
    assert "above 0.02" in maynord_stone(0.5, 0.2, slope=0.05).outside
    assert "shallower than its stone" in hec11_stone(3.0, 0.05).outside
    assert "15 to 550" in hec15_stone(0.02, 0.01).outside
    assert "above 0.10" in hec15_stone(0.1, 0.2).outside
    assert "0.86 to 1.20" in isbash_stone(1.0, coefficient=0.5).outside
    assert "2 mm" in shields_stone(0.5).outside
    assert maynord_stone(1.0, 0.5).outside == hec11_stone(1.0, 0.5).outside == isbash_stone(1.0).outside == ""


def test_what_has_no_meaning_is_refused() -> None:
    with pytest.raises(InputError, match="density_ratio"):
        isbash_stone(1.0, density_ratio=0.9)
    with pytest.raises(InputError, match="speed_ms"):
        hec11_stone(-1.0, 0.5)
    with pytest.raises(InputError, match="depth_m"):
        maynord_stone(1.0, 0.0)
    with pytest.raises(InputError, match="slope"):
        bed_shear(0.1, -0.1)
