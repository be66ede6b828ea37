"""Drops, channels, gravel: sweeps against other methods and closed forms, and what must hold always."""

from __future__ import annotations

import math

import pytest
from fluids.open_flow import V_Manning
from fluids.packed_bed import Ergun
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.hydraulics import (
    FlowLaw,
    Section,
    blodgett_n,
    by_blodgett,
    by_ferguson,
    by_jarrett,
    by_limerinos,
    by_manning,
    critical_depth,
    darcy_conductivity,
    ergun_slope,
    ergun_speed,
    ferguson_speed,
    free_fall,
    froude_number,
    hidden_share,
    jarrett_n,
    jump,
    landing,
    limerinos_n,
    manning_speed,
    normal_depth,
    rand_drop,
    section_critical_depth,
    specific_energy,
    water_in_gravel,
)

FT = 0.3048
G = 9.80665
unit_flows = st.floats(1e-4, 2.0)
drops = st.floats(0.05, 3.0)


@given(unit_flows, drops)
def test_rand_by_its_other_form(q: float, h: float) -> None:
    """The same by yc/h, since D = (yc/h)^3: Ld/h = 4.30 (yc/h)^0.81 and so on."""
    ours, ratio = rand_drop(q, h), critical_depth(q) / h
    assert ours.length_m / h == pytest.approx(4.30 * ratio**0.81, rel=1e-9)
    assert ours.pool_depth_m / h == pytest.approx(ratio**0.66, rel=1e-9)
    assert ours.toe_depth_m / h == pytest.approx(0.54 * ratio**1.275, rel=1e-9)
    assert ours.sequent_depth_m / h == pytest.approx(1.66 * ratio**0.81, rel=1e-9)


@given(unit_flows, drops)
def test_a_fall_loses_energy_and_lands_beyond_both(q: float, h: float) -> None:
    ours, fall, lands = rand_drop(q, h), free_fall(q, h), landing(q, h)
    if not ours.outside:
        assert 0 < ours.toe_loss < 1
    assert fall.lower_m < fall.centre_m < fall.upper_m
    assert lands.throw_m == max(ours.length_m, fall.upper_m)
    energy = h + fall.brink_depth_m / 2 + fall.brink_speed_ms**2 / (2 * G)
    assert fall.impact_ms**2 / (2 * G) == pytest.approx(energy, rel=1e-12)


@given(st.floats(0.005, 1.0), st.floats(1.001, 12.0))
def test_a_jump_loses_energy_and_turns_back_into_itself(depth: float, froude: float) -> None:
    speed = froude * math.sqrt(G * depth)
    ours = jump(depth, speed)
    assert ours.loss_m > 0
    back = jump(ours.sequent_depth_m, speed * depth / ours.sequent_depth_m)
    assert back.sequent_depth_m == pytest.approx(depth, rel=1e-9)
    assert back.froude < 1
    before, after = (y + (speed * depth / y) ** 2 / (2 * G) for y in (depth, ours.sequent_depth_m))
    assert before - after == pytest.approx(ours.loss_m, rel=1e-9, abs=1e-12)
    momentum = [y**2 / 2 + (speed * depth) ** 2 / (G * y) for y in (depth, ours.sequent_depth_m)]
    assert momentum[0] == pytest.approx(momentum[1], rel=1e-9)


LAWS: dict[str, FlowLaw] = {
    "Manning": by_manning(0.05),
    "Ferguson": by_ferguson(0.08),
    "Jarrett": by_jarrett(),
    "Limerinos": by_limerinos(0.03),
    "Blodgett": by_blodgett(0.03),
}


@pytest.mark.parametrize("law", LAWS.values(), ids=LAWS.keys())
@pytest.mark.parametrize("side", [0.0, 1.5])
@pytest.mark.parametrize("depth", [0.06, 0.2, 0.9])
def test_normal_depth_is_the_inverse_of_the_law(law: FlowLaw, side: float, depth: float) -> None:
    section = Section(bottom_m=0.8, side_run=side)
    wet = section.at(depth)
    flow = law.speed(wet, 0.03).speed_ms * wet.area_m2
    ours = normal_depth(flow, section, 0.03, law=law)
    assert ours.depth_m == pytest.approx(depth, rel=1e-9)
    assert ours.speed_ms * ours.area_m2 == pytest.approx(flow, rel=1e-12)
    assert manning_speed(wet.hydraulic_radius_m, 0.03, ours.equivalent_n) == pytest.approx(ours.speed_ms, rel=1e-9)
    deeper = normal_depth(flow * 1.2, section, 0.03, law=law)
    assert deeper.depth_m > ours.depth_m


@given(st.floats(1e-4, 0.05), st.floats(0.2, 2.0), st.floats(0.002, 0.3), st.floats(0.01, 0.15))
def test_rougher_beds_run_deeper(flow: float, width: float, slope: float, d84: float) -> None:
    bed = Section(bottom_m=width)
    smooth = normal_depth(flow, bed, slope, law=by_ferguson(d84))
    rough = normal_depth(flow, bed, slope, law=by_ferguson(d84 * 1.5))
    assert rough.depth_m > smooth.depth_m
    assert rough.speed_ms < smooth.speed_ms


def test_manning_against_fluids() -> None:
    for i in range(40):
        radius, slope = 0.01 * 1.15**i, 0.001 * 1.1**i
        assert manning_speed(radius, slope, 0.04) == pytest.approx(V_Manning(radius, slope, 0.04), rel=1e-12)


def test_wide_rectangle_has_a_closed_form() -> None:
    """Over a very wide bed R is the depth, and Manning gives y = (q n / sqrt(S))^(3/5)."""
    q, n, slope = 0.02, 0.05, 0.03
    ours = normal_depth(q * 1e6, Section(bottom_m=1e6), slope, law=by_manning(n))
    assert ours.depth_m == pytest.approx((q * n / math.sqrt(slope)) ** 0.6, rel=1e-6)


def test_rough_laws_agree_where_their_ranges_meet() -> None:
    """Deep gravel beds, r 5 to 30 and R 0.31 to 3.3 m: Limerinos and Ferguson within a quarter of each other."""
    for r in (5.0, 8.0, 12.0, 20.0, 30.0):
        for radius in (0.35, 1.0, 2.5):
            d84 = radius / r
            limerinos = manning_speed(radius, 0.01, limerinos_n(radius, d84).n)
            assert ferguson_speed(radius, 0.01, d84).speed_ms == pytest.approx(limerinos, rel=0.25)
            blodgett = manning_speed(radius, 0.01, blodgett_n(radius, d84 / 2).n)  # D50 about half of D84
            assert blodgett == pytest.approx(limerinos, rel=0.35)


@pytest.mark.parametrize(("radius", "slope"), [(0.2, 0.003), (0.8, 0.02), (1.6, 0.039)])
def test_jarrett_in_feet(radius: float, slope: float) -> None:
    """0.39 with R in feet; the two printed constants differ by 0.8 %."""
    assert jarrett_n(radius, slope).n == pytest.approx(0.39 * slope**0.38 * (radius / FT) ** -0.16, rel=0.01)


@pytest.mark.parametrize("radius", [0.15, 0.3, 0.6, 1.0, 1.68])
@pytest.mark.parametrize("slope", [0.002, 0.004, 0.008, 0.015, 0.025, 0.04])
def test_jarrett_against_a_bed_on_the_threshold(radius: float, slope: float) -> None:
    """Sister over the whole range: Jarrett knows no grain; Ferguson on a bed whose D84 just moves, theta 0.060 (from
    memory), is within a factor of three: Jarrett is the rougher of the two where his water is shallowest."""
    grain = radius * slope / (0.060 * 1.65)
    sister = ferguson_speed(radius, slope, grain).speed_ms
    ours = manning_speed(radius, slope, jarrett_n(radius, slope).n)
    assert 1 / 3 < ours / sister < 1.5
    assert jarrett_n(radius, slope).outside == ""


@pytest.mark.parametrize("ratio", [1.5, 3.0, 8.0, 20.0, 60.0, 185.0])
@pytest.mark.parametrize("grain", [0.015, 0.05, 0.2])
def test_blodgett_against_limerinos_over_its_range(ratio: float, grain: float) -> None:
    """Sister: Limerinos with a D84 of 1.5 D50 over da/D50 from 1.5 to 185, within a quarter where both are rough flow,
    a half where the stones stand near the surface."""
    depth = ratio * grain
    limerinos = limerinos_n(depth, 1.5 * grain).n
    assert blodgett_n(depth, grain).n == pytest.approx(limerinos, rel=0.25 if ratio > 5 else 0.5)
    assert blodgett_n(depth, grain).outside == ""


def test_ferguson_against_limerinos_over_his_range() -> None:
    """Sister over R 0.31 to 3.32 m and d84 19 to 747 mm, where the water is at least twice as deep as its stones."""
    for radius in (0.31, 0.6, 1.2, 2.0, 3.32):
        for grain in (0.019, 0.05, 0.1, 0.3, 0.747):
            if radius >= 2 * grain and radius / grain <= 30:
                limerinos = manning_speed(radius, 0.01, limerinos_n(radius, grain).n)
                assert ferguson_speed(radius, 0.01, grain).speed_ms == pytest.approx(limerinos, rel=0.3)


@pytest.mark.parametrize(("radius", "slope"), [(0.05, 0.01), (0.3, 0.03)])
def test_manning_in_feet(radius: float, slope: float) -> None:
    feet = 1.486 * (radius / FT) ** (2 / 3) * math.sqrt(slope) / 0.04
    assert manning_speed(radius, slope, 0.04) == pytest.approx(feet * FT, rel=1e-3)


@given(st.floats(1e-3, 5.0), st.floats(0.1, 4.0), st.floats(0.0, 3.0))
def test_critical_depth_has_least_energy(flow: float, bottom: float, side: float) -> None:
    section = Section(bottom_m=bottom, side_run=side)
    yc = section_critical_depth(flow, section)
    assert froude_number(flow, section.at(yc)) == pytest.approx(1.0, rel=1e-9)
    least = specific_energy(yc, flow, section)
    assert least <= specific_energy(yc * 1.01, flow, section)
    assert least <= specific_energy(yc * 0.99, flow, section)


def test_critical_depth_of_a_rectangle_and_a_triangle() -> None:
    """Closed forms: (q^2/g)^(1/3), and (2 Q^2 / (g m^2))^(1/5)."""
    assert section_critical_depth(0.3, Section(bottom_m=2.0)) == pytest.approx(critical_depth(0.15), rel=1e-12)
    ours = section_critical_depth(0.3, Section(bottom_m=0.0, side_run=2.0))
    assert ours == pytest.approx((2 * 0.3**2 / (G * 4)) ** 0.2, rel=1e-12)


def test_a_bed_needs_a_width() -> None:
    with pytest.raises(InputError, match="width"):
        Section(bottom_m=0.0)
    with pytest.raises(InputError, match="shallower than its stones"):
        normal_depth(0.001, Section(bottom_m=1.0), 0.05, law=by_limerinos(0.1))


def test_ergun_against_fluids() -> None:
    """fluids gives the pressure lost along a bed: divided by rho g it is our slope."""
    assert Ergun(dp=8e-4, voidage=0.4, vs=1e-3, rho=1e3, mu=1e-3) == pytest.approx(1338.8671875, rel=1e-9)
    for i in range(30):
        slope, grain = 0.002 * 1.2**i, 0.002 * 1.1**i
        ours = ergun_speed(slope, grain_m=grain, porosity=0.4, viscosity_m2s=1e-6, gravity_ms2=G)
        lost_pa = Ergun(dp=grain, voidage=0.4, vs=ours.speed_ms, rho=1e3, mu=1e-3)
        assert lost_pa / (1e3 * G) == pytest.approx(slope, rel=1e-12)


@given(st.floats(1e-6, 1.0), st.floats(5e-4, 0.1), st.floats(0.3, 0.5))
def test_ergun_inverse_and_limits(slope: float, grain: float, porosity: float) -> None:
    ours = ergun_speed(slope, grain_m=grain, porosity=porosity)
    assert ergun_slope(ours.speed_ms, grain_m=grain, porosity=porosity) == pytest.approx(slope, rel=1e-9)
    conductivity = darcy_conductivity(grain_m=grain, porosity=porosity)
    assert ours.speed_ms <= conductivity * slope * (1 + 1e-12)
    slow = ergun_speed(1e-12, grain_m=grain, porosity=porosity)
    assert slow.speed_ms == pytest.approx(conductivity * 1e-12, rel=1e-3)
    assert "Darcy" in slow.outside
    more_open = ergun_speed(slope, grain_m=grain, porosity=porosity + 0.02)
    coarser = ergun_speed(slope, grain_m=grain * 1.1, porosity=porosity)
    assert min(more_open.speed_ms, coarser.speed_ms) > ours.speed_ms


def test_gravel_shares() -> None:
    assert hidden_share(0.005, 0.05, 0.02) == pytest.approx(0.2)
    assert hidden_share(0.005, 0.05, 1.0) == 1.0
    assert water_in_gravel(0.0, 0.4) == 0.0
    with pytest.raises(InputError, match="porosity"):
        water_in_gravel(1.0, 40)
    with pytest.raises(InputError, match="flow_m3s"):
        hidden_share(0.0, 0.05, 0.02)
