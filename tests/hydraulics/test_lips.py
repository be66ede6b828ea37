"""Lips: each against the printed rows that it stands on, its band by the water on it, and splash and pools below."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from fluids.open_flow import Q_weir_rectangular_full_Kindsvater_Carter, Q_weir_rectangular_full_Rehbock
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import (
    CREST_C,
    FRANCIS_C,
    IDEAL_BROAD_C,
    Lip,
    SpillStone,
    broad_crest_square_edge,
    free_fall,
    head_on_lip,
    pool_wanted,
    rand_drop,
    rough_lip,
    shared_crest,
    sharp_lip,
    slab_lip,
    splash_reach,
    splash_share,
    thin_factor,
)
from rillwright.units import Band

FT = 0.3048
G = 9.80665
HEADS = [0.0005 * 1.15**i for i in range(40)]  # half a millimetre to 0.12 m
LIPS = {"rough": rough_lip(), "slab": slab_lip(0.30), "sharp": sharp_lip(0.15), "sharp, far down": sharp_lip()}
lips = pytest.mark.parametrize("lip", LIPS.values(), ids=LIPS.keys())


@lips
def test_the_band_widens_without_a_step_as_the_water_thins(lip: Lip) -> None:
    fine = [0.0005 * 1.01**i for i in range(560)]
    widths = [lip.band(head).high / lip.band(head).low for head in fine if head < lip.least_m]
    assert all(thin > thick for thin, thick in pairwise(widths))
    assert all(thin / thick < 1.01 for thin, thick in pairwise(widths))
    just, at = lip.band(lip.least_m * (1.0 - 1e-9)), lip.band(lip.least_m)
    assert (just.low, just.high) == pytest.approx((at.low, at.high), rel=1e-8)


@lips
def test_more_water_is_more_flow(lip: Lip) -> None:
    for end in (lip.low, lip.value, lip.high):
        flows = [(end(head) if callable(end) else end) * head**1.5 for head in HEADS]
        assert flows == sorted(flows)
        for head, flow in zip(HEADS, flows, strict=True):
            assert head_on_lip(flow * 0.6, 0.6, end) == pytest.approx(head, rel=1e-9)


@lips
def test_the_band_holds_its_value(lip: Lip) -> None:
    for head in HEADS:
        band = lip.band(head)
        assert band.low < band.value < band.high


def depth_on(unit_flow_m2s: float) -> Band:
    """Water on a crest of natural stone [m]."""
    lip = rough_lip()
    return Band(*(head_on_lip(unit_flow_m2s, 1.0, c) for c in (lip.value, lip.high, lip.low)))


def test_thin_water_is_known_to_15_to_25_per_cent() -> None:
    """Under 30 mm; common practice, no source."""
    for head, least, most in ((0.015, 0.12, 0.17), (0.010, 0.15, 0.21), (0.005, 0.19, 0.27)):
        depth = depth_on(CREST_C.value * head**1.5)
        assert least < 1.0 - depth.low / depth.value < most
        assert least < depth.high / depth.value - 1.0 < most
    thick = depth_on(CREST_C.value * 0.075**1.5)
    assert (thick.low / thick.value, thick.high / thick.value) == pytest.approx((0.9252, 1.0920), abs=1e-4)


def test_the_rough_band_holds_what_other_crests_do_in_thin_water() -> None:
    """A sharp edge with surface tension (ISO 1438's 1 mm), an ideal crest with the boundary layer of a 0.3 m stone,
    (1 - 0.003 L/h)^1.5 as ISO 4374 has it, from memory."""
    for head in (0.006, 0.010, 0.020, 0.030):
        band = rough_lip().band(head)
        sharp = 2.0 / 3.0 * math.sqrt(2.0 * G) * 0.602 * (1.0 + 0.001 / head) ** 1.5
        rubbed = IDEAL_BROAD_C * (1.0 - 0.003 * 0.3 / head) ** 1.5
        assert band.low < rubbed < band.high
        assert band.low < sharp < band.high * 1.02


@pytest.mark.parametrize(
    ("head_ft", "breadth_ft", "printed"),
    [(0.2, 0.5, 2.80), (0.2, 1.0, 2.69), (0.2, 5.0, 2.34), (0.4, 0.75, 2.80), (0.6, 1.5, 2.64), (1.0, 0.5, 3.32)],
)
def test_a_slab_by_the_printed_table(head_ft: float, breadth_ft: float, printed: float) -> None:
    """SWMM Reference Manual Vol. II, table 6-3 (Brater and King)."""
    lip = slab_lip(breadth_ft * FT)
    assert lip.band(head_ft * FT).value / FT**0.5 == pytest.approx(printed, abs=0.005)
    assert not lip.outside(head_ft * FT)


def test_a_slab_between_square_edged_and_ideal() -> None:
    """ISO 3846, from memory, inside its range: 0.12 m of water on 0.45 m of slab that stands high over its bed."""
    band = slab_lip(0.45).band(0.12)
    square = broad_crest_square_edge(0.12, 1.0, crest_length_m=0.45, crest_height_m=0.5)
    assert not square.outside
    assert band.low <= square.flow_m3s / 0.12**1.5 * (1 + 1e-12)
    assert band.high == pytest.approx(IDEAL_BROAD_C)
    assert "thinner than the least head of the formula used, 61 mm" in slab_lip(0.3).outside(0.03)
    assert "outside the 0.15 to 1.52 m" in slab_lip(2.0).outside(0.2)


@pytest.mark.parametrize("head", [0.03, 0.05, 0.08, 0.15, 0.3])
@pytest.mark.parametrize("height", [0.3, 0.6])
def test_a_sharp_edge_spans_three_laws(head: float, height: float) -> None:
    """Kindsvater and Carter, Rehbock as fluids has them; Francis, 3.33 US."""
    band = sharp_lip(height).band(head)
    width = 1e6  # so wide that the sides do not count
    laws = [
        Q_weir_rectangular_full_Kindsvater_Carter(head, height, width),
        Q_weir_rectangular_full_Rehbock(head, height, width),
        FRANCIS_C * head**1.5 * width,
    ]
    c = [float(flow) / width / head**1.5 for flow in laws]
    assert band.value == pytest.approx(c[0], rel=1e-6)
    assert all(band.low <= each * (1 + 1e-9) and each <= band.high * (1 + 1e-9) for each in c)
    assert band.high / band.low < 1.13


def test_a_lip_stands_where_its_law_ends() -> None:
    assert sharp_lip(0.3).band(0.001).value == pytest.approx(sharp_lip(0.3).band(0.005).value)
    assert "100 mm" in sharp_lip(0.05).outside(0.05)
    assert sharp_lip(0.0).band(0.05).value == pytest.approx(sharp_lip(0.02).band(0.05).value)
    with pytest.raises(InputError, match="breadth_m"):
        slab_lip(0.0)
    with pytest.raises(InputError, match="power"):
        rough_lip(power=1.5)
    with pytest.raises(InputError, match="coefficient"):
        head_on_lip(0.001, 0.5, lambda head: math.nan)


@lips
@given(flow=st.floats(1e-5, 0.02))
def test_stones_side_by_side_by_their_own_water(lip: Lip, flow: float) -> None:
    """Two at one level share as one of both widths; all the flow goes over."""
    one = shared_crest([SpillStone(width_m=0.6, level_m=0.0)], flow, coefficient=lip.low)
    two = shared_crest(
        [SpillStone(width_m=0.2, level_m=0.0), SpillStone(width_m=0.4, level_m=0.0)], flow, coefficient=lip.low
    )
    assert one.level_m == pytest.approx(head_on_lip(flow, 0.6, lip.low), rel=1e-9)
    assert two.level_m == pytest.approx(one.level_m, rel=1e-6)
    assert two.over_m3s == pytest.approx(flow, rel=1e-6)


def test_thin_factor() -> None:
    assert thin_factor(0.03, 0.03) == 1.0
    assert thin_factor(0.003, 0.03, power=0.5) == pytest.approx(math.sqrt(10.0))
    assert math.isfinite(thin_factor(0.0, 0.03))


def test_splash_on_stone_reaches_one_height() -> None:
    """Common practice, no source; thrown at 45 degrees, in slices of time."""
    drop = 0.4
    speed = math.sqrt(2.0 * G * drop)
    assert splash_reach(speed, share=1.0) == pytest.approx(drop)
    assert splash_reach(speed, share=0.5) == pytest.approx(0.5 * drop)
    assert splash_reach(speed, share=1.0, further_m=0.2) == pytest.approx(_thrown(speed, further=0.2), rel=1e-3)
    assert splash_reach(0.0) == 0.0


def _thrown(speed: float, *, further: float) -> float:
    leaves = speed / math.sqrt(2.0) / math.sqrt(2.0)  # half of the energy, half of it upwards
    x = z = 0.0
    rise, step = leaves, 1e-5
    while z >= -further:
        x, z, rise = x + leaves * step, z + rise * step - 0.5 * G * step**2, rise - G * step
    return x


def test_water_takes_splash_up() -> None:
    shares = [splash_share(pool / 100.0, 0.05) for pool in range(8)]
    assert shares == sorted(shares, reverse=True)
    assert (shares[0], shares[5], shares[7]) == pytest.approx((1.0, 0.5, 0.5))
    with pytest.raises(InputError, match="wanted_m"):
        splash_share(0.1, 0.0)


@given(st.floats(1e-4, 0.05), st.floats(0.05, 2.0))
def test_the_pool_takes_the_larger(flow: float, drop: float) -> None:
    found, rand, fall = pool_wanted(flow, drop), rand_drop(flow, drop), free_fall(flow, drop)
    assert found.depth_m == max(rand.pool_depth_m, rand.sequent_depth_m)
    assert found.length_m == pytest.approx(max(rand.length_m, fall.upper_m) + found.depth_m)
    assert (found.drop_number, found.outside) == (rand.drop_number, rand.outside)
    assert pool_wanted(1.1 * flow, drop).depth_m > found.depth_m


def test_pool_by_the_printed_design_sheet() -> None:
    """Vertical drop fall design sheet: q 0.5714 m2/s over 2.36 m: Ld 2.02, y2 0.78 m; its y2 is the larger."""
    found = pool_wanted(0.8 / 1.40, 2.36)
    assert found.depth_m == pytest.approx(0.78, abs=0.005)
    assert found.length_m == pytest.approx(max(2.02, free_fall(0.8 / 1.40, 2.36).upper_m) + 0.78, abs=0.01)
