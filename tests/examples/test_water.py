"""The examples' flows, lifts and levels against formulas written out here."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest
from tests.examples.folders import FT, IN, NAMES, worked

from rillwright.feature import IntakeKind

G = 9.80665
GALLON = 231 * IN**3
C = (1.435, 1.84)  # HEC-RAS broad crest 2.6 and SWMM full-width weir 3.33 in feet and seconds, in metres


@dataclass(frozen=True)
class Supply:
    """One run: pipe as printed in its table, K summed from EPANET 2.2 table 3.3."""

    example: str
    run: str
    static_m: float
    inside_m: float
    length_m: float
    k: float


def over(flow_m3s: float, width_m: float) -> float:
    """Water on a crest [m], Q = C b h^1.5, C half way between the two."""
    return float((flow_m3s / (0.5 * sum(C) * width_m)) ** (2 / 3))


# Court: 1.300 - 0.010 + 0.060 above the water that is held while running, and 24 mm of water on the first crest.
# Pipe: outside (75 + 75.7) / 2, wall 4.8 mm.
LONG = Supply("weavers-court", "long", 1.350 + over(2.97e-3, 0.500), 0.06575, 19.0, 0.5 + 4 * 0.9 + 2.5 + 0.2)
# Pool above the fifth fall: 1.300 - 0.690 + 0.070, and the water on that crest, about 25 mm.
SHORT = Supply("weavers-court", "short", 0.705, 0.06575, 8.0, 0.5 + 3 * 0.6 + 2.5 + 0.2 + 1.0)
# Press: from 10 1/2 in below the bolt and half an inch of drop at start to 24 5/8 in above it; 7/8 in of water there.
# Main and the branch to the head; the branch to the millstone ends 14 in above the apron, 4 in over the water.
PRESS = Supply(
    "orchard-press",
    "supply",
    (24.625 + 10.5 + 0.5) * IN + over(3.26e-3, 24 * IN),
    3.042 * IN,
    30 * FT,
    0.5 + 2 * 0.9 + 2.5 + 0.2,
)
PRESS_HEAD = Supply("orchard-press", "supply", PRESS.static_m, 3.042 * IN, 12 * FT, 0.6 + 2 * 0.9)
MILLSTONE = Supply("orchard-press", "supply", (14 + 4 + 0.5) * IN, 1.03 * IN, 8 * FT, 1.8 + 3 * 0.9 + 0.2 + 30)
# Clinic: 102.31 ft + 2 - 1/2 + 2 1/2 in, from 98.98 ft, and an inch of water on the first crest.
CLINIC = Supply(
    "clinic-forecourt",
    "supply",
    (102.31 + 4 / 12 - (99.48 - 8 / 12)) * FT + over(3e-3, 18 * IN),
    2.047 * IN,
    26 * FT,
    3.3,
)
SUPPLIES = [pytest.param(each, id=f"{each.example}, {each.run}") for each in (LONG, SHORT, PRESS, CLINIC)]


def loss(supply: Supply, flow: float) -> float:
    """Darcy-Weisbach with Blasius' factor 0.316 / Re^0.25 for smooth pipes, and the fittings [m]."""
    speed = flow / (math.pi * supply.inside_m**2 / 4)
    factor = 0.316 / (speed * supply.inside_m / 1.0e-6) ** 0.25
    head: float = (factor * supply.length_m / supply.inside_m + supply.k) * speed**2 / (2 * G)
    return head


@pytest.mark.parametrize("supply", SUPPLIES)
def test_static_head(supply: Supply) -> None:
    found = worked(supply.example).pump(supply.run).static_m
    assert found == pytest.approx(supply.static_m, abs=IN / 8)  # finer than anybody sets a stone


@pytest.mark.parametrize("supply", SUPPLIES)
def test_the_head_is_lift_and_losses(supply: Supply) -> None:
    point = worked(supply.example).pump(supply.run)
    lost = loss(supply, point.flow_m3s.value)
    if supply is PRESS:
        lost += loss(PRESS_HEAD, worked("orchard-press").water.circuit.outlets[0].flow_m3s.value)
    assert point.head_m.value == pytest.approx(point.static_m + lost, rel=0.02)


@pytest.mark.parametrize(
    ("supply", "shut_off_m", "greatest_m3s"),
    [(LONG, 4.5, 14 / 3600)],
    ids=["court"],
)
def test_the_flow_of_a_pump_known_by_two_numbers(supply: Supply, shut_off_m: float, greatest_m3s: float) -> None:
    """H = H0 (1 - (Q/Qm)^n) meets lift and losses: n = 2 in the middle (EPANET), 1.5 and 2.5 as ends; at these its
    maker may be off by 7 % of the head or 9 % of the flow, whichever is further (ISO 9906, grade 3B, from memory)."""

    def meets(exponent: float, heads: float = 1.0, flows: float = 1.0) -> float:
        low, high = 0.0, 1.2 * greatest_m3s
        for _ in range(60):
            flow = (low + high) / 2
            gives = heads * shut_off_m * (1 - (flow / (flows * greatest_m3s)) ** exponent)
            low, high = (flow, high) if gives > supply.static_m + loss(supply, max(flow, 1e-9)) else (low, flow)
        return low

    found = worked(supply.example).pump(supply.run).flow_m3s
    assert found.value == pytest.approx(meets(2.0), rel=0.01)
    assert found.low == pytest.approx(min(meets(1.5, heads=0.93), meets(1.5, flows=0.91)), rel=0.02)
    assert found.high == pytest.approx(max(meets(2.5, heads=1.07), meets(2.5, flows=1.09)), rel=0.03)


def test_the_press_shares_its_water_between_the_head_and_the_millstone() -> None:
    """16 ft (1 - (Q / 3900 gal/h)^2) less the main's loss leaves one head for both branches."""

    def through(branch: Supply, head_m: float) -> float:
        low, high = 0.0, 0.01
        for _ in range(60):
            flow = (low + high) / 2
            low, high = (flow, high) if branch.static_m + loss(branch, flow) < head_m else (low, flow)
        return low

    low, high = 0.0, 16 * FT
    for _ in range(60):
        parting = (low + high) / 2
        flow = through(PRESS_HEAD, parting) + through(MILLSTONE, parting)
        left = 16 * FT * (1 - (flow / (3900 * GALLON / 3600)) ** 2) - loss(PRESS, max(flow, 1e-9))
        low, high = (parting, high) if left > parting else (low, parting)
    head, stone = worked("orchard-press").water.circuit.outlets
    assert head.flow_m3s.value == pytest.approx(through(PRESS_HEAD, low), rel=0.01)
    assert stone.flow_m3s.value == pytest.approx(through(MILLSTONE, low), rel=0.02)
    assert 240 * GALLON / 3600 < stone.flow_m3s.value < 300 * GALLON / 3600  # 250 gal/h just cover the stone


@pytest.mark.parametrize(
    ("supply", "between", "heads_m"),
    [
        (SHORT, (9 / 3600, 11 / 3600), (1.4, 0.5)),
        (CLINIC, (40 * GALLON / 60, 50 * GALLON / 60), (10 * FT, 4.8 * FT)),
    ],
    ids=["court", "clinic"],
)
def test_the_flow_of_a_pump_known_by_its_curve(
    supply: Supply, between: tuple[float, float], heads_m: tuple[float, float]
) -> None:
    """Between the two points of the curve that it lies on, a straight line gives it within 3 %."""
    low, high = between
    for _ in range(60):
        flow = (low + high) / 2
        gives = heads_m[0] + (heads_m[1] - heads_m[0]) * (flow - between[0]) / (between[1] - between[0])
        low, high = (flow, high) if gives > supply.static_m + loss(supply, flow) else (low, flow)
    assert worked(supply.example).pump(supply.run).flow_m3s.value == pytest.approx(low, rel=0.03)


@pytest.mark.parametrize("name", NAMES)
def test_every_pump_lifts_what_is_wanted_with_a_fifth_to_spare(name: str) -> None:
    """20 to 30 % with a valve; about 5 ft/s in the pipe (common practice, no source)."""
    for point in worked(name).water.circuit.pumps:
        assert 0.20 <= point.spare <= 0.30
        assert point.speed_ms < 5 * FT


@pytest.mark.parametrize("name", NAMES)
def test_water_on_every_crest(name: str) -> None:
    """(Q / C b)^(2/3) at both ends of C holds the value, which is between 15 and 26 mm."""
    for crest in worked(name).water.crests:
        flow = crest.flow_m3s.value
        thin, thick = sorted((flow / (c * crest.width_m)) ** (2 / 3) for c in C)
        assert thin <= crest.depth_m.value <= thick
        assert 0.015 <= crest.depth_m.value <= 0.026


def test_the_courts_lower_falls_carry_both_pumps() -> None:
    done = worked("weavers-court")
    flows = [crest.flow_m3s.value for crest in done.water.crests]
    long, short = done.pump("long").flow_m3s.value, done.pump("short").flow_m3s.value
    assert flows == pytest.approx([long, long, long, long, long + short, long + short])
    assert done.water.circuit.flow_m3s.value == pytest.approx(long + short)
    assert done.water.circuit.power_w.value == pytest.approx(180 + 110)


@pytest.mark.parametrize(
    ("name", "pipe_m3", "share", "over"),
    [
        ("weavers-court", 0.0, 0.92, 0.92),
        ("orchard-press", 0.0, 0.90, 0.90),
        # 26 ft of 2 in pipe without a check valve runs back as well
        # and stands above the blocks, in cobbles of which four tenths are voids
        ("clinic-forecourt", math.pi / 4 * (2.047 * IN) ** 2 * 26 * FT, 0.95, 0.40),
    ],
    ids=NAMES,
)
def test_water_in_transit_and_what_it_does_to_the_level(name: str, pipe_m3: float, share: float, over: float) -> None:
    """Every bed is a pool that stands at its crest at rest: what comes and goes is its plan times the water on it."""
    done = worked(name)
    depth = {crest.fall: crest.depth_m.value for crest in done.water.crests}
    pools = sum(
        reach.width_m * reach.length_m * depth[fall.id]
        for stream in done.feature.streams
        for reach, fall in zip(stream.reaches, stream.falls, strict=True)
    )
    balance = done.water.balance
    assert balance.transit_m3.value == pytest.approx(pools + pipe_m3, rel=0.03)
    moves = (pools + pipe_m3) / (share * done.water.pond.area_m2)
    assert balance.drop_at_start_m.value == pytest.approx(moves, rel=0.05)
    rises = (pools + pipe_m3) / (over * done.water.pond.area_m2)
    assert balance.topped_up_stop_level_m.value - balance.held_m == pytest.approx(rises, rel=0.05)
    if balance.holding == "at rest":
        assert balance.stop_level_m.value == pytest.approx(balance.held_m)
        assert balance.running_level_m.value == pytest.approx(balance.held_m - moves, abs=1e-3)
    else:
        assert balance.running_level_m.value == pytest.approx(balance.held_m)
        assert balance.stop_level_m.value == pytest.approx(balance.held_m + rises, abs=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_the_intake_works_at_every_level(name: str) -> None:
    for balance in worked(name).water.balances:
        levels = (balance.running_level_m, balance.stop_level_m, balance.topped_up_stop_level_m)
        assert min(level.low for level in levels) > balance.intake_low_m
        if worked(name).feature.body(balance.body).intake.kind is IntakeKind.SKIMMER:  # a vault drowns in nothing
            assert max(level.high for level in levels) < balance.intake_high_m


def test_a_dry_july_at_the_press() -> None:
    """Hargreaves and Samani (1985), 0.0023 Ra (T + 17.8) TD^0.5, at 42 degrees north, Ra 40.6 MJ/m2 a day (FAO-56 table
    2.6, from memory) or 16.6 mm of water; open water 1.05 times that (FAO-56 table 12, from memory)."""
    done = worked("orchard-press")
    (lost,) = done.water.losses
    mean, swing = (28 + 16) / 2, 28 - 16
    day_m = 1.05 * 0.0023 * 16.6 * (mean + 17.8) * swing**0.5 / 1000
    assert lost.dry_month == 7
    assert lost.dry_day_m.value == pytest.approx(day_m, rel=0.25)
    september = next(each.day_m.value for each in lost.months if each.month == 9)
    assert september == pytest.approx(3.4 * IN / 30)
    assert lost.fill_s == pytest.approx(done.water.pond.volume_m3 / (5 * GALLON / 60))


def test_two_inches_of_rain_at_the_press() -> None:
    """On an oval of 18 by 12 ft, on beds 3 1/2 ft wide, and nine tenths of what falls on 180 sq ft of apron; at its
    heaviest, two and a half times the mean of the hour, it goes out over 18 in, (Q / C b)^(2/3) over the sill."""
    done = worked("orchard-press")
    (rain,) = done.water.rains
    beds = sum(reach.length_m for reach in done.feature.reaches) * 3.5 * FT
    caught = 2 * IN * (math.pi / 4 * 18 * 12 * FT**2 + beds + 0.9 * 180 * FT**2)
    assert rain.caught_m3 == pytest.approx(caught, rel=0.005)
    assert rain.overflow_head_m is not None
    thick, thin = ((2.5 * caught / 3600 / (c * 18 * IN)) ** (2 / 3) for c in C)
    assert thin <= rain.overflow_head_m.value <= thick


def test_the_pipes_that_run_empty_or_are_emptied() -> None:
    press, clinic = worked("orchard-press").feature, worked("clinic-forecourt").feature
    assert press.runs[0].check_valve
    assert press.runs[0].drain
    assert not clinic.runs[0].check_valve
    assert clinic.runs[0].lowest is not None
    assert clinic.runs[0].lowest.m - clinic.bodies[0].waterline.m == pytest.approx(2 * IN)
    assert clinic.climate.frost_m == pytest.approx(3 * FT)
