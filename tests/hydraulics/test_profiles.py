"""Steady profiles: what must hold always, sweeps against other methods, what is refused."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError, NoAnswer
from rillwright.hydraulics import (
    FlowLaw,
    GravelBed,
    Section,
    SteadyChannel,
    by_blodgett,
    by_ferguson,
    by_jarrett,
    by_limerinos,
    by_manning,
    ergun_speed,
    head_on_crest,
    normal_depth,
    scaled_law,
    section_critical_depth,
    steady_profile,
)

FT = 0.3048
flows = st.floats(3e-4, 2e-2)
widths = st.floats(0.25, 1.5)
slopes = st.floats(-0.02, 0.3)
grains = st.floats(0.005, 0.12)
sides = st.sampled_from([0.0, 0.5, 1.5])
gravels = st.sampled_from([None, GravelBed(thickness_m=0.075, grain_m=0.02, porosity=0.4)])


def plane(
    slope: float,
    *,
    width: float = 0.6,
    side: float = 0.0,
    law: FlowLaw | None = None,
    gravel: GravelBed | None = None,
    length: float = 4.0,
    count: int = 33,
) -> SteadyChannel:
    xs = tuple(length * i / (count - 1) for i in range(count))
    return SteadyChannel(
        stations_m=xs,
        beds_m=tuple(-slope * x for x in xs),
        sections=(Section(bottom_m=width, side_run=side),),
        law=law,
        gravel=gravel,
    )


def level_over(channel: SteadyChannel, depth: float | None) -> float | None:
    return None if depth is None else channel.beds_m[-1] + depth


@given(flows, widths, slopes, grains, sides, gravels, st.sampled_from([None, 0.03, 0.08, 0.2]))
def test_energy_only_falls_and_nothing_is_lost(
    flow: float, width: float, slope: float, grain: float, side: float, gravel: GravelBed | None, depth: float | None
) -> None:
    channel = plane(slope, width=width, side=side, law=by_ferguson(grain), gravel=gravel)
    found = steady_profile(flow, channel, level_m=level_over(channel, depth))
    assert all(below <= above + 1e-11 for above, below in pairwise(found.energies_m))
    for seen, hidden, speed, y in zip(found.seen_m3s, found.hidden, found.speeds_ms, found.depths_m, strict=True):
        assert 0.0 <= hidden <= 1.0
        assert seen + hidden * flow == pytest.approx(flow, rel=1e-12)
        area = channel.sections[0].at(y).area_m2
        assert speed * area == pytest.approx(seen, rel=1e-9, abs=1e-15)
    assert all(one.loss_m >= -1e-12 and one.after_m >= one.before_m - 1e-12 for one in found.jumps)


@given(flows, widths, slopes, grains, st.floats(0.0, 0.15))
def test_more_flow_stands_deeper(flow: float, width: float, slope: float, grain: float, stone: float) -> None:
    """Above a crest, at every station where the water is calm at both flows."""
    channel = plane(slope, width=width, law=by_ferguson(grain))
    less, more = (
        steady_profile(q, channel, level_m=level_over(channel, stone + head_on_crest(q, width, 1.64)))
        for q in (flow, 1.2 * flow)
    )
    calm = [
        (a, b)
        for a, b, fa, fb in zip(less.depths_m, more.depths_m, less.froudes, more.froudes, strict=True)
        if max(fa, fb) < 1
    ]
    assert all(b >= a - 1e-12 for a, b in calm)


@given(flows, widths, st.floats(0.01, 0.3), grains)
def test_rougher_beds_stand_deeper(flow: float, width: float, slope: float, grain: float) -> None:
    smooth, rough = (
        steady_profile(flow, plane(slope, width=width, law=scaled_law(by_ferguson(grain), factor)))
        for factor in (1.0, 0.7)
    )
    assert all(b >= a - 1e-12 for a, b in zip(smooth.depths_m, rough.depths_m, strict=True))


LAWS = {
    "Manning": by_manning(0.05),
    "Ferguson": by_ferguson(0.08),
    "Jarrett": by_jarrett(),
    "Limerinos": by_limerinos(0.02),
    "Blodgett": by_blodgett(0.02),
}


@pytest.mark.parametrize("law", LAWS.values(), ids=LAWS.keys())
@pytest.mark.parametrize("slope", [0.004, 0.03])
@pytest.mark.parametrize("side", [0.0, 1.5])
def test_a_long_plane_runs_at_normal_depth(law: FlowLaw, slope: float, side: float) -> None:
    """Against the other method: far from its ends a profile is the normal depth, for every law."""
    section = Section(bottom_m=0.8, side_run=side)
    wanted = normal_depth(0.06, section, slope, law=law)
    channel = plane(slope, width=0.8, side=side, law=law, length=400 * wanted.depth_m, count=801)
    depth = wanted.depth_m if wanted.froude < 1 else None
    start = 0.9 * wanted.depth_m if wanted.froude > 1 else None
    critical = section_critical_depth(0.06, section)
    found = steady_profile(
        0.06,
        channel,
        level_m=level_over(channel, depth),
        inflow_depth_m=min(start, 0.99 * critical) if start is not None else None,
    )
    assert found.depths_m[400] == pytest.approx(wanted.depth_m, rel=1e-6)
    assert found.froudes[400] == pytest.approx(wanted.froude, rel=1e-6)


@pytest.mark.parametrize("law", LAWS.values(), ids=LAWS.keys())
def test_the_quick_form_of_a_law_is_the_law(law: FlowLaw) -> None:
    for depth in (0.05, 0.2, 0.9):
        wet = Section(bottom_m=0.8, side_run=0.5).at(depth)
        for slope in (0.002, 0.05):
            quick = law.unit(wet.hydraulic_radius_m, wet.mean_depth_m) * slope**law.slope_power
            assert quick == pytest.approx(law.speed(wet, slope).speed_ms, rel=1e-12)


def test_gravel_carries_what_ergun_says() -> None:
    """On a long plane surface and gravel share its slope: the part in the gravel is Ergun's at that slope."""
    bed = GravelBed(thickness_m=0.075, grain_m=0.02, porosity=0.4)
    channel = plane(0.05, law=by_ferguson(0.03), gravel=bed, length=20.0, count=401)
    bare = normal_depth(0.004, Section(bottom_m=0.6), 0.05, law=by_ferguson(0.03))
    found = steady_profile(0.004, channel, level_m=level_over(channel, bare.depth_m))
    speed = ergun_speed(0.05, grain_m=0.02, porosity=0.4).speed_ms
    assert found.hidden[150] * 0.004 == pytest.approx(0.6 * 0.075 * speed, rel=1e-3)
    assert found.depths_m[150] < bare.depth_m


def test_a_trickle_runs_in_the_gravel_alone() -> None:
    bed = GravelBed(thickness_m=0.075, grain_m=0.03, porosity=0.4)
    channel = plane(0.10, law=by_ferguson(0.045), gravel=bed, length=10.0, count=101)
    found = steady_profile(2e-4, channel)
    assert found.depths_m[50] == 0.0
    assert found.hidden[50] == 1.0
    assert "no water is seen" in found.outside


def test_a_crest_within_the_channel_holds_a_pool() -> None:
    """A crest half way down: still water above it at its level, critical or shooting water on the plane below it."""
    plain = plane(0.03, law=by_ferguson(0.02), length=4.0, count=81)
    held = tuple(0.05 if i == 40 else -math.inf for i in range(81))
    channel = SteadyChannel(
        stations_m=plain.stations_m, beds_m=plain.beds_m, sections=plain.sections, law=plain.law, held_m=held
    )
    found = steady_profile(0.003, channel)
    assert found.levels_m[40] == 0.05
    assert found.levels_m[20] == pytest.approx(0.05, abs=2e-3)
    assert found.depths_m[60] < found.depths_m[40]


def test_water_stands_on_a_bed_that_is_pitched_back() -> None:
    channel = plane(-0.05, law=by_ferguson(0.02), length=2.0, count=9)
    found = steady_profile(0.003, channel, level_m=0.15)
    assert all(level == pytest.approx(0.15, abs=2e-3) for level in found.levels_m)
    assert found.jumps == ()


@given(flows, widths, st.floats(0.01, 0.2), grains)
def test_feet_and_metres_agree(flow: float, width: float, slope: float, grain: float) -> None:
    """The same channel with every length in feet and gravity in ft/s2: Ferguson's law has no unit of its own."""
    metric = plane(slope, width=width, law=by_ferguson(grain))
    in_feet = SteadyChannel(
        stations_m=tuple(x / FT for x in metric.stations_m),
        beds_m=tuple(z / FT for z in metric.beds_m),
        sections=(Section(bottom_m=width / FT),),
        law=by_ferguson(grain / FT, gravity_ms2=9.80665 / FT),
    )
    one = steady_profile(flow, metric)
    other = steady_profile(flow / FT**3, in_feet, gravity_ms2=9.80665 / FT)
    assert [y * FT for y in other.depths_m] == pytest.approx(list(one.depths_m), rel=1e-6)
    assert list(other.froudes) == pytest.approx(list(one.froudes), rel=1e-5)


def test_shallow_garden_water_is_said_to_lie_outside_with_a_wider_band() -> None:
    """Jarrett asks for 0.15 m of hydraulic radius: outside it, the result says so as data, and widens."""
    shallow = steady_profile(0.003, plane(0.03, law=by_jarrett()))
    assert "0.15" in shallow.outside
    assert shallow.roughness == pytest.approx(1.25 * by_jarrett().scatter)
    inside = steady_profile(0.003, plane(0.03, law=by_ferguson(0.02)))
    assert inside.outside == ""
    assert inside.roughness == 2.0


def test_unusable_channels_are_named() -> None:
    good = plane(0.02, law=by_ferguson(0.02))
    for flow in (0.0, -0.001, math.nan, math.inf):
        with pytest.raises(InputError, match="flow_m3s"):
            steady_profile(flow, good)
    with pytest.raises(InputError, match="shoots in"):
        steady_profile(0.003, good, inflow_depth_m=0.5)
    with pytest.raises(InputError, match="rising stations"):
        SteadyChannel(stations_m=(0.0, 1.0, 1.0), beds_m=(0.0, 0.0, 0.0), sections=(Section(bottom_m=1.0),))
    with pytest.raises(InputError, match="one at each station"):
        SteadyChannel(stations_m=(0.0, 1.0), beds_m=(0.0,), sections=(Section(bottom_m=1.0),))
    with pytest.raises(InputError, match="no number"):
        SteadyChannel(stations_m=(0.0, 1.0), beds_m=(0.0, math.nan), sections=(Section(bottom_m=1.0),))
    with pytest.raises(InputError, match="width"):
        Section(bottom_m=0.0)
    with pytest.raises(InputError, match="root of S"):
        plane(0.02, law=by_jarrett(), gravel=GravelBed(thickness_m=0.1, grain_m=0.02, porosity=0.4))


def test_a_law_without_a_value_stops_where_it_stops() -> None:
    with pytest.raises(NoAnswer, match=r"station .* m: Limerinos"):
        steady_profile(0.002, plane(0.05, law=by_limerinos(0.05)))
