"""One whole sample worked out on paper, step by step, with nothing of the code under test.

Four drops into an oval pond; only the duty is asked for, 2.5 L/s; held while running. Gravity 9.80665 m/s2, water at
20 degC (998.21 kg/m3, 1.0034e-6 m2/s, IAPWS). C 1.6375 for the crests, half way between 1.435 (HEC-RAS, rough broad
crest) and 1.84 (Francis, from memory); fittings after the EPANET 2.2 manual, table 3.3.
"""

from __future__ import annotations

import math

import pytest
from tests.shape.sample import four_drops

from rillwright.shape import shape
from rillwright.water import Water, water

FLOW = 0.0025
G = 9.80665


@pytest.fixture(scope="module")
def found() -> Water:
    drawn = four_drops(pump=None)
    return water(drawn, shape(drawn))


def on_crest(c: float) -> float:
    """h = (Q / (C b))^(2/3): 0.0025 / (1.6375 x 0.40) = 0.0038168, to the power 2/3 = 0.024423 m."""
    return float((FLOW / (c * 0.40)) ** (2 / 3))


def test_water_on_each_crest(found: Water) -> None:
    assert on_crest(1.6375) == pytest.approx(0.02442, abs=5e-6)
    for crest in found.crests:
        assert crest.depth_m.value == pytest.approx(on_crest(1.6375), rel=1e-12)
        # under 30 mm C may be off by (30 mm / h)^0.12 more: 1.84 by 22.05 mm, 1.0377; 0.0025 / (1.9093 x 0.40), to 2/3
        assert crest.depth_m.low == pytest.approx(on_crest(1.9093), rel=3e-5)
        # no pump is given: the valve may stand open up to the duty, 1.25 of the flow wanted; over 30 mm C is as printed
        assert crest.depth_m.high == pytest.approx(on_crest(1.435) * 1.25 ** (2 / 3), rel=1e-12)
        assert crest.depth_m.high > 0.030
        assert not crest.in_range
        assert "thinner than the least head of the formula used, 30 mm" in crest.range_note


def test_lift_and_head(found: Water) -> None:
    """Crest 0.85 + 0.0244 of water - waterline -0.10 = 0.9744 m at the crest; at the head of the bed above it, where
    the pipe ends, the water stands the slope of a slow stream higher, under a millimetre.

    Pipe 57 mm, 10 m: V = 0.0025 / 0.0025518 = 0.9797 m/s, Re = 55,650; K = 0.5 + 4 x 0.9 + 2.5 + 0.2 + 1.0 = 7.8. The
    duty is the head at a quarter more: 0.9783 m of lift at the crest, V = 1.2246 m/s.
    """
    speed, root, lost = _lost(FLOW)
    pump = found.circuit.pumps[0]
    assert speed == pytest.approx(0.9797, abs=5e-5)
    assert 1.0 / root**2 == pytest.approx(0.0205, abs=1e-4)
    lift = 0.85 + on_crest(1.6375) + 0.10
    assert lift < pump.static_m < lift + 1e-3
    assert pump.speed_ms == pytest.approx(speed)
    assert pump.friction_m == pytest.approx(lost, rel=1e-4)
    assert found.circuit.head_m.value == pytest.approx(pump.static_m + lost, abs=1e-4)
    assert pump.duty_flow_m3s == pytest.approx(1.25 * FLOW)
    lift = 0.85 + on_crest(1.6375) * 1.25 ** (2 / 3) + 0.10
    assert lift < pump.duty_head_m - _lost(1.25 * FLOW)[2] < lift + 1.2e-3
    assert pump.spare == pytest.approx(0.25)


def _lost(flow: float) -> tuple[float, float, float]:
    """Speed, 1/sqrt(f) of Colebrook, by putting it back, and the head lost in pipe and fittings."""
    speed = flow / (math.pi * 0.057**2 / 4)
    reynolds = speed * 0.057 / 1.0034e-6
    root = 8.0
    for _ in range(50):
        root = -2.0 * math.log10(1.5e-6 / 0.057 / 3.7 + 2.51 * root / reynolds)
    return speed, root, (10.0 / 0.057 / root**2 + 7.8) * speed**2 / (2 * G)


def test_power(found: Water) -> None:
    """rho g Q H / 0.40 with H = 0.9744 + 0.5577 = 1.5321 m: 998.21 x 9.80665 x 0.0025 x 1.5321 / 0.40 = 93.7 W."""
    assert found.circuit.power_w.value == pytest.approx(93.7, abs=0.1)
    assert found.circuit.power_w.low < 93.7 * 0.8 + 0.1
    assert found.circuit.power_w.high > 93.7 * 0.40 / 0.30


def test_water_in_transit(found: Water) -> None:
    """Four beds of 2.0 x 0.60 m, each with 24.42 mm above its crest: 4 x 1.2 x 0.02442 = 0.1172 m3. The friction slope
    adds: mean depth 74 mm, V 0.056 m/s, d84 30 mm, r 2.0; Ferguson U/u* 4.1, slope (0.056/4.1)^2 / (9.81 x 0.0596) =
    0.0003: 0.3 mm at the middle of a bed, one part in eighty."""
    plain = 4 * 1.2 * on_crest(1.6375)
    assert plain == pytest.approx(0.11723, abs=5e-5)
    assert plain < found.balance.transit_m3.value < 1.02 * plain
    assert found.balance.transit_m3.high == pytest.approx(1.3 * found.balance.transit_m3.value)
    assert all(reach.gravel_m3 == 0.0 for reach in found.reaches)  # sealed stones hold water above their beds


def test_levels_of_the_pond(found: Water) -> None:
    """Oval of 48 corners, 4.0 x 3.0: area 48/2 sin(7.5 deg) x 2.0 x 1.5 = 9.398 m2, a tenth of it stone. The sides
    widen by half of what the level rises, all round, 11.04 m: with 0.1172 m3, x (8.458 + 0.9 x 11.04 x x / 4) = 0.1172
    gives 13.8 mm. Falling by as much water at a start that nobody tops up they narrow: 14.1 mm."""
    area = 24 * math.sin(math.radians(7.5)) * 2.0 * 1.5
    rise = found.balance.transit_m3.value / (0.9 * (area + 11.04 * 0.0138 / 4))
    assert area == pytest.approx(9.398, abs=5e-4)
    assert found.pond.area_m2 == pytest.approx(area)
    assert found.balance.running_level_m.value == -0.10
    assert found.balance.stop_level_m.value == pytest.approx(-0.10 + rise, abs=2e-5)
    drop = found.balance.transit_m3.value / (0.9 * (area - 11.04 * 0.0141 / 4))
    assert drop == pytest.approx(0.0141, abs=1e-4)
    assert found.balance.drop_at_start_m.value == pytest.approx(drop, abs=2e-5)
    assert found.pond.turnover_h == pytest.approx(found.pond.volume_m3 / 9.0)


def test_falls(found: Water) -> None:
    """Crest to running water: 0.15, 0.20, 0.25 less the water on the next crest; the last from 0.25 to -0.10."""
    below = on_crest(1.6375) + 0.0006  # and the friction slope of a bed
    heights = [crest.fall_height_m.value for crest in found.crests]
    assert heights[:3] == pytest.approx([0.15 - below, 0.20 - below, 0.25 - below], abs=2e-4)
    assert heights[3] == pytest.approx(0.35)


def test_where_the_last_fall_lands(found: Water) -> None:
    """Free fall of q = 0.00625 m2/s over 0.35 m: yc = (q^2/g)^(1/3) = 15.85 mm, brink 0.715 yc = 11.33 mm (Rouse, from
    memory) at 0.5515 m/s; upper side from 0.3613 m: 0.5515 sqrt(2 x 0.3613 / g) = 0.1497 m. Rand (1955):
    4.30 x 0.35 (yc/h)^0.81 = 0.1231 m, shorter."""
    throw = found.crests[3].throw_m
    assert throw is not None
    assert throw.value == pytest.approx(0.1497, abs=3e-4)
    # Rand's pool h (yc/h)^0.66 = 45.4 mm, sequent depth 1.66 h (yc/h)^0.81 = 47.5 mm: the larger, and the throw with it
    assert found.crests[3].pool_depth_m is not None
    assert found.crests[3].pool_depth_m.value == pytest.approx(0.0475, abs=2e-4)
    assert found.crests[3].pool_length_m is not None
    assert found.crests[3].pool_length_m.value == pytest.approx(0.1497 + 0.0475, abs=4e-4)
    assert found.crests[3].impact_ms == pytest.approx(math.sqrt(0.5515**2 + 2 * G * 0.3557), rel=1e-3)
