"""Which pipe a large garden pump asks for, in the trade's own sizes."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape.sample import four_drops, pump

from rillwright.hydraulics import pipe_speed
from rillwright.shape import shape
from rillwright.sources import limit, pipes_inch
from rillwright.water import water

GALLON_AN_HOUR = 0.003785411784 / 3600.0  # [m3/s], by definition
MOST = limit("pipe.speed").good  # about 5 ft/s


@pytest.mark.parametrize(
    ("gallons_an_hour", "wanted"),
    [(1500.0, "1 1/2 in"), (3000.0, "2 in"), (3500.0, "3 in"), (5000.0, "3 in"), (6500.0, "3 in"), (9000.0, "4 in")],
)
def test_the_least_listed_pipe_at_five_feet_a_second(gallons_an_hour: float, wanted: str) -> None:
    """Common practice, no source: a 3 in pipe for a large garden pump, a 2 in one up to about 3,000 gal/h.

    Speeds as on any friction chart, from memory: 50 gal/min in 2 in Schedule 40 run at 4.8 ft/s, 100 in 3 in at 4.3.
    """
    flow = gallons_an_hour * GALLON_AN_HOUR
    fitting = [size for size in pipes_inch() if pipe_speed(flow, size.inside_m) <= MOST]
    assert min(fitting, key=lambda size: size.inside_m).name == wanted


def test_a_large_pump_runs_within_five_feet_a_second_in_three_inches_and_not_in_two() -> None:
    """The same of a pump on its own curve, as the papers list it beside other pipes. Common practice, no source."""
    large = pump((0.0, 6.0), (7600.0 * GALLON_AN_HOUR, 0.0), two_numbers=True)
    drawn = replace(four_drops(pump=large), system="us")
    (point,) = water(drawn, shape(drawn)).circuit.pumps
    within = [size for size in point.sizes if size.speed_ms <= MOST]
    least = min(within, key=lambda size: size.inside_m)
    assert least.pipe.startswith("3 in")
    assert 5000.0 < least.flow_m3s / GALLON_AN_HOUR < 7000.0
    assert any(size.pipe.startswith("2 in") and size.speed_ms > MOST for size in point.sizes)
