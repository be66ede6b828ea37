"""What the fill meter reads stands for the drawing's volumes: a cone whose true sides are known, and bad readings."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.interpolate import PchipInterpolator
from tests.shape.sample import four_drops, level

from rillwright.feature import Feature, Filled, Holding, Surface
from rillwright.shape import MeterDoubt, PondShape, drawn, level_at, shape, volume_at
from rillwright.shape.metered import _curve
from rillwright.water import Balance, water

INCH = 0.0254
PLAIN = four_drops(pump=None)
POND = shape(PLAIN).pond("pond")
HELD = PLAIN.bodies[0].waterline.m
FLOOR_RADIUS, SPREAD = 0.9, 0.9  # of the true pond: a cone cut off, metres out to a metre up


def true_volume(level_m: float) -> float:
    """Closed form: a cone cut off."""
    out = FLOOR_RADIUS + SPREAD * (level_m - POND.floor_m)
    return math.pi / (3.0 * SPREAD) * (out**3 - FLOOR_RADIUS**3)


def true_level(volume_m3: float) -> float:
    out: float = (FLOOR_RADIUS**3 + 3.0 * SPREAD * volume_m3 / math.pi) ** (1.0 / 3.0)
    return POND.floor_m + (out - FLOOR_RADIUS) / SPREAD


def filled(plain: Feature, *readings: tuple[float, float]) -> Feature:
    rows = (Filled(body="pond", meter_m3=meter, level=level(z, Surface.WATER)) for z, meter in readings)
    return replace(plain, filled=tuple(rows))


def every_inch(low_m: float = POND.floor_m + INCH, high_m: float = HELD + 0.12) -> list[tuple[float, float]]:
    return [(float(z), true_volume(float(z))) for z in np.arange(low_m, high_m, INCH)]


def pond_of(*readings: tuple[float, float]) -> PondShape:
    return shape(filled(PLAIN, *readings)).pond("pond")


def doubts(*readings: tuple[float, float]) -> tuple[MeterDoubt | None, ...]:
    return pond_of(*readings).doubts


def balances(holding: Holding) -> tuple[Balance, Balance]:
    """With a reading every inch, and with none."""
    plain = replace(PLAIN, bodies=(replace(PLAIN.bodies[0], holding=holding),))
    read = filled(plain, *every_inch())
    return water(read, shape(read)).balance, water(plain, shape(plain)).balance


def test_the_drop_at_start_is_that_of_the_true_pond() -> None:
    """The file says an oval two up to one across, the true pond is a cone of other sides. Closed form, to 1e-6 m."""
    found, unread = balances(Holding.AT_REST)
    wanted = HELD - true_level(true_volume(HELD) - found.transit_m3.value)
    assert found.drop_at_start_m.value == pytest.approx(wanted, abs=1e-6)
    assert found.drop_at_start_m.value - unread.drop_at_start_m.value > 1e-3


def test_the_stopped_level_is_that_of_the_true_pond() -> None:
    """Closed form, to 1e-6 m."""
    found, unread = balances(Holding.WHILE_RUNNING)
    wanted = true_level(true_volume(HELD) + found.transit_m3.value)
    assert found.stop_level_m.value == pytest.approx(wanted, abs=1e-6)
    assert found.stop_level_m.value - unread.stop_level_m.value > 1e-3


def test_every_volume_within_the_readings_is_the_true_one() -> None:
    """To 2e-6 m of level; beside a shelf that is drawn and is not there, to 2 mm."""
    pond = pond_of(*every_inch())
    shelf = next(high for (low, _, _), (high, _, _) in pairwise(POND.storage) if high - low < 1e-5)
    for z in np.linspace(POND.floor_m + INCH, HELD + 0.1, 400):
        close = 2e-6 if abs(z - shelf) > 2.0 * INCH else 2e-3
        assert true_level(volume_at(pond, z)) == pytest.approx(z, abs=close)
    assert pond.volume_m3 == pytest.approx(true_volume(HELD), rel=1e-6)


def test_what_the_pond_holds_is_read_by_all_that_turns_it_over() -> None:
    read = filled(PLAIN, *every_inch())
    found, unread = water(read, shape(read)), water(PLAIN, shape(PLAIN))
    ratio = true_volume(HELD) / POND.volume_m3
    assert (found.pond.by_meter, unread.pond.by_meter) == (True, False)
    assert found.pond.volume_m3 / unread.pond.volume_m3 == pytest.approx(ratio, rel=1e-6)
    assert found.pond.turnover_h is not None
    assert unread.pond.turnover_h is not None
    assert found.pond.turnover_h / unread.pond.turnover_h == pytest.approx(ratio, rel=1e-3)
    days = 7.0 * found.losses[0].day_m3.value
    assert found.losses[0].week_drop_m.value == pytest.approx(HELD - true_level(true_volume(HELD) - days), abs=1e-6)
    assert [each.used for each in found.metered] == [True] * len(read.filled)
    assert [each.worked_out_m3 for each in found.metered] == [volume_at(POND, each.level_m) for each in found.metered]


def test_the_outline_and_the_hole_stay_as_drawn() -> None:
    pond = pond_of(*every_inch())
    for name in ("area_m2", "perimeter_m", "floor_m", "gross_m3", "dig_m3", "rings", "lined_m2"):
        assert getattr(pond, name) == getattr(POND, name)
    assert drawn(pond).storage == POND.storage


def test_readings_that_say_what_the_drawing_says_change_nothing() -> None:
    levels = [float(z) for z in np.arange(POND.floor_m + 0.01, HELD + 0.1, 0.9 * INCH)]
    pond = pond_of(*((z, volume_at(POND, z)) for z in levels))
    assert pond.as_drawn
    for z in np.linspace(POND.floor_m, HELD + 0.5, 997):
        assert volume_at(pond, z) == pytest.approx(volume_at(POND, z), rel=1e-9, abs=1e-9)
        assert level_at(pond, volume_at(POND, z)) == pytest.approx(z, abs=1e-8)


@given(
    st.lists(st.floats(0.02, 0.75), min_size=2, max_size=12, unique_by=lambda z: round(z, 3)),
    st.lists(st.floats(0.55, 1.5), min_size=12, max_size=12),
)
def test_the_curve_rises_through_every_reading_and_nowhere_jumps(over_m: list[float], shares: list[float]) -> None:
    """Whatever is believed, the volume rises with the level, meets the readings, and is found again by volume."""
    levels = [POND.floor_m + over for over in sorted(over_m)]
    readings = [(z, volume_at(POND, z) * share) for z, share in zip(levels, shares, strict=False)]
    pond = pond_of(*readings)
    assert bool(pond.as_drawn) is not any(doubts(*readings))
    if not pond.as_drawn:
        assert pond.storage == POND.storage
        return
    for z, volume in readings:
        assert volume_at(pond, z) == pytest.approx(volume, rel=1e-9)
    ends = (levels[0], levels[-1])
    steps = sorted([*np.linspace(POND.floor_m, HELD + 0.5, 300), *ends, *(z + d for z in ends for d in (-1e-5, 1e-5))])
    volumes = [volume_at(pond, z) for z in steps]
    widest = max(area for _, area, _ in pond.storage)
    for (a, b), (x, y) in zip(pairwise(volumes), pairwise(steps), strict=True):
        assert 0.0 <= b - a <= 4.0 * widest * (y - x) + 1e-9
    for volume in volumes:
        assert volume_at(pond, level_at(pond, volume)) == pytest.approx(volume, rel=1e-9, abs=1e-12)


def test_beyond_the_readings_the_drawing_is_scaled_below_and_counts_on_above() -> None:
    low, high = HELD - 0.30, HELD - 0.10
    readings = [(z, 1.2 * volume_at(POND, z)) for z in (low, high)]
    pond = pond_of(*readings)
    assert volume_at(pond, HELD - 0.45) == pytest.approx(1.2 * volume_at(POND, HELD - 0.45), rel=1e-9)
    for above in (0.0, 0.6):
        more = volume_at(POND, HELD + above) - volume_at(POND, high)
        assert volume_at(pond, HELD + above) == pytest.approx(readings[-1][1] + more, rel=1e-9)


def test_a_reading_above_all_that_is_drawn_is_met_and_counted_on_from() -> None:
    top = POND.storage[-1][0]
    readings = [(z, 1.1 * volume_at(POND, z)) for z in (HELD, top + 0.1)]
    pond = pond_of(*readings)
    assert volume_at(pond, top + 0.1) == pytest.approx(readings[-1][1], rel=1e-9)
    more = volume_at(POND, top + 0.9) - volume_at(POND, top + 0.1)
    assert volume_at(pond, top + 0.9) - readings[-1][1] == pytest.approx(more, rel=1e-9)


def test_one_reading_or_one_given_twice_moves_nothing() -> None:
    one = (HELD - 0.2, 1.1 * volume_at(POND, HELD - 0.2))
    for rows in ((one,), (one, one), (one, (POND.floor_m, 0.0))):
        assert replace(pond_of(*rows), doubts=()) == POND
    assert doubts(one, one, (POND.floor_m, 0.0)) == (None, None, None)


UP = [(HELD - d, volume_at(POND, HELD - d)) for d in (0.3, 0.2, 0.1)]


@pytest.mark.parametrize(
    ("readings", "wanted"),
    [
        ([UP[0], (UP[1][0], UP[0][1] - 0.1), UP[2]], (MeterDoubt.NOT_RISING, MeterDoubt.NOT_RISING, None)),
        ([UP[0], (UP[0][0], UP[0][1] + 0.1), UP[2]], (MeterDoubt.NOT_RISING, MeterDoubt.NOT_RISING, None)),
        ([*UP[:2], (UP[2][0], 10.0 * UP[2][1])], (None, MeterDoubt.BEYOND, MeterDoubt.BEYOND)),
        ([(UP[0][0], 10.0 * UP[0][1])], (MeterDoubt.BEYOND,)),
        ([(z, 0.2642 * volume) for z, volume in UP], (None, None, MeterDoubt.BEYOND)),  # litres noted as if gallons
    ],
)
def test_readings_that_contradict_leave_the_drawing_in_force(
    readings: list[tuple[float, float]], wanted: tuple[MeterDoubt | None, ...]
) -> None:
    assert doubts(*readings) == wanted
    assert replace(pond_of(*readings), doubts=()) == POND


def test_a_reading_of_nothing_or_below_the_floor_is_left_out() -> None:
    odd = [(HELD - 0.4, 0.0), (POND.floor_m - 0.1, 0.3)]
    assert doubts(*odd, *UP[:2]) == (MeterDoubt.EMPTY, MeterDoubt.UNDER, None, None)
    found = pond_of(*odd, (UP[0][0], 1.1 * UP[0][1]), (UP[1][0], 1.1 * UP[1][1]))
    assert found.volume_m3 == pytest.approx(POND.volume_m3 + 0.1 * UP[1][1])


def test_slopes_are_those_of_the_general_library() -> None:
    """Fritsch and Butland's slopes as SciPy has them."""
    at, read = [0.4, 0.9, 1.1, 1.9, 2.6], [0.5, 0.9, 1.1, 2.0, 2.6]
    curve, other = _curve(at, read), PchipInterpolator(at, read)
    for x in np.linspace(0.4, 2.5999, 101):
        assert curve.at(x)[0] == pytest.approx(float(other(x)), rel=1e-12)
        assert curve.at(x)[1] == pytest.approx(float(other(x, 1)), rel=1e-12)
