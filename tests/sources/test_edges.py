"""Tables of fill and cover, held against what their sources print and against closed forms."""

from __future__ import annotations

import pytest

from rillwright.sources import (
    STANDARD_GRAVITY_MS2,
    WATER_SURFACE_TENSION_NM,
    cover,
    covers,
    fill,
    fills,
    limit_as_met,
    sources,
    water_density,
)


def test_capillary_rise_as_printed() -> None:
    """Heath 1982, WSP 2220, as Salim and Hampton 2012 tabulate it: 12.5, 25, 40, 100 cm; Fetter: fine gravel 1.5 cm."""
    printed = {"coarse sand": 0.125, "sand": 0.25, "fine sand": 0.40, "silt": 1.00, "gravel": 0.015}
    assert {key: cover(key).rise_m for key in printed} == pytest.approx(printed)


def test_felt_by_the_balance_of_weight_and_surface_tension() -> None:
    """Jurin: 4 sigma / (rho g d), contact angle 0; openings of 0.1 mm at 20 degC lift 297 mm (closed form)."""
    rise = 4.0 * WATER_SURFACE_TENSION_NM / (water_density(20.0) * STANDARD_GRAVITY_MS2 * 1e-4)
    assert rise == pytest.approx(0.297, abs=0.001)
    assert cover("felt").rise_m == pytest.approx(rise, rel=0.01)


def test_settlement_as_printed() -> None:
    """Agriculture Handbook 590: about 5 percent of the height for a rolled fill, about 10 for one that is not."""
    assert fill("compacted").settles.value == 0.05
    assert fill("trodden").settles.value == 0.10
    ordered = [fill(key).settles.value for key in ("solid", "compacted", "trodden", "loose")]
    assert ordered == sorted(ordered)


def test_every_row_names_a_known_source() -> None:
    known = {each.id for each in sources()}
    assert {row.source for row in fills()} | {row.source for row in covers()} <= known


def test_an_unknown_key_names_its_neighbours() -> None:
    with pytest.raises(KeyError, match="felt"):
        cover("fell")


def test_inches_of_the_trade_are_met_at_25_mm() -> None:
    """3 in is 75 mm to a crew that measures in millimetres (common practice, no source); a standard's stays."""
    assert limit_as_met("rim.freeboard", "metric").good == pytest.approx(0.075)
    assert limit_as_met("rim.freeboard", "us").good == pytest.approx(0.0762)
    assert limit_as_met("berm.embankment", "metric").bad == pytest.approx(0.9144)
