"""Grains that sink and water that clears: printed and independently computed values, sisters, limits."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from fluids.drag import v_terminal
from tests.published.rows import Row, check

from rillwright.errors import InputError
from rillwright.hydraulics import (
    SPHERES,
    left_after_settling,
    left_in_water,
    settling_speed,
    turnovers_to_clear,
)

NU, G = 1e-6, 9.81
FC = "Ferguson and Church 2004, J. Sed. Res. 74, 933-937; computed independently"
GAGE = "Gage and Bidwell 1926, as Simmonds et al. 2021 (Water 13, 2350) and J. Water Health 16, 449 print"


def _mm(grain: float, constants: tuple[float, float]) -> float:
    return settling_speed(grain / 1000.0, constants=constants, viscosity_m2s=NU, gravity_ms2=G)


def _floc(grain: float, constants: tuple[float, float]) -> float:
    """Organic, 1.05 times as heavy as water."""
    return settling_speed(grain / 1000.0, excess=0.05, constants=constants, viscosity_m2s=NU, gravity_ms2=G)


NATURAL, NOMINAL = (18.0, 1.0), (20.0, 1.1)
STOKES = (18.0, 0.0)  # no drag but that of the viscosity: R g D^2 / (18 nu)
STOKES_BY = "Stokes; computed independently"
ROWS = {
    "0.02 mm, sieved": Row(lambda: _mm(0.02, NATURAL), "0.00035358", FC),
    "0.063 mm, sieved": Row(lambda: _mm(0.063, NATURAL), "0.0032541", FC),
    "0.1 mm, sieved": Row(lambda: _mm(0.1, NATURAL), "0.0075341", FC),
    "0.5 mm, sieved": Row(lambda: _mm(0.5, NATURAL), "0.071050", FC),
    "1 mm, sieved": Row(lambda: _mm(1.0, NATURAL), "0.126278", FC),
    "2 mm, sieved": Row(lambda: _mm(2.0, NATURAL), "0.196415", FC),
    "0.02 mm, spheres": Row(lambda: _mm(0.02, SPHERES), "0.00035580", FC),
    "0.063 mm, spheres": Row(lambda: _mm(0.063, SPHERES), "0.0033632", FC),
    "0.1 mm, spheres": Row(lambda: _mm(0.1, SPHERES), "0.0080117", FC),
    "0.5 mm, spheres": Row(lambda: _mm(0.5, SPHERES), "0.094908", FC),
    "1 mm, spheres": Row(lambda: _mm(1.0, SPHERES), "0.184599", FC),
    "2 mm, spheres": Row(lambda: _mm(2.0, SPHERES), "0.301007", FC),
    "0.02 mm, nominal": Row(lambda: _mm(0.02, NOMINAL), "0.00031852", FC),
    "0.063 mm, nominal": Row(lambda: _mm(0.063, NOMINAL), "0.0029433", FC),
    "0.1 mm, nominal": Row(lambda: _mm(0.1, NOMINAL), "0.0068429", FC, True),
    "0.5 mm, nominal": Row(lambda: _mm(0.5, NOMINAL), "0.066495", FC),
    "1 mm, nominal": Row(lambda: _mm(1.0, NOMINAL), "0.119406", FC),
    "2 mm, nominal": Row(lambda: _mm(2.0, NOMINAL), "0.186669", FC, True),
    "0.02 mm, Stokes": Row(lambda: _mm(0.02, STOKES), "0.00035970", STOKES_BY),
    "0.063 mm, Stokes": Row(lambda: _mm(0.063, STOKES), "0.0035691", STOKES_BY),
    "0.1 mm, Stokes": Row(lambda: _mm(0.1, STOKES), "0.0089925", STOKES_BY),
    "0.5 mm, Stokes": Row(lambda: _mm(0.5, STOKES), "0.2248", STOKES_BY),
    "1 mm, Stokes": Row(lambda: _mm(1.0, STOKES), "0.8993", STOKES_BY),
    "0.1 mm floc, Stokes": Row(lambda: _floc(0.1, STOKES), "0.0002725", STOKES_BY),
    "0.5 mm floc, spheres": Row(lambda: _floc(0.5, SPHERES), "0.00550", FC),
    "cleared at 1 turnover": Row(lambda: 100 * (1 - left_in_water(1, 1.0)), "63", GAGE, True),
    "cleared at 2": Row(lambda: 100 * (1 - left_in_water(2, 1.0)), "86", GAGE, True),
    "cleared at 3": Row(lambda: 100 * (1 - left_in_water(3, 1.0)), "95", GAGE, True),
    "cleared at 4": Row(lambda: 100 * (1 - left_in_water(4, 1.0)), "98.17", "computed independently"),
    "cleared at 5": Row(lambda: 100 * (1 - left_in_water(5, 1.0)), "99.33", "computed independently"),
    "cleared at 6": Row(lambda: 100 * (1 - left_in_water(6, 1.0)), "99.75", "computed independently"),
    "turnovers to 95 %": Row(lambda: turnovers_to_clear(0.05, 1.0), "2.996", "computed independently"),
    "turnovers to 99 %": Row(lambda: turnovers_to_clear(0.01, 1.0), "4.605", "computed independently"),
    "half caught, to 95 %": Row(lambda: turnovers_to_clear(0.05, 0.5), "5.99", "computed independently"),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("grain", [0.005 * 1.35**i for i in range(20)])
def test_spheres_within_a_quarter_of_another_drag_law(grain: float) -> None:
    """fluids' v_terminal for a smooth sphere, 5 um to 1.5 mm: density 2650 in 1000 kg/m3, 1 mPa s."""
    sister = v_terminal(D=grain / 1000.0, rhop=2650.0, rho=1000.0, mu=1e-3)
    assert _mm(grain, SPHERES) == pytest.approx(sister, rel=0.25)


@pytest.mark.parametrize(
    ("grain", "printed", "within"), [(0.02, 3.5958e-4, 0.011), (0.1, 8.2659e-3, 0.032), (1.0, 0.15915, 0.17)]
)
def test_spheres_against_figures_of_another_drag_law(grain: float, printed: float, within: float) -> None:
    """What fluids gave for three of them; the two laws part as the grains leave Stokes' range."""
    assert _mm(grain, SPHERES) == pytest.approx(printed, rel=within)


def test_the_finest_sink_by_stokes() -> None:
    """R g D^2 / (18 nu)."""
    assert settling_speed(2e-6) == pytest.approx(1.65 * 9.80665 * 4e-12 / (18 * 1.0034e-6), rel=2e-3)


def test_larger_grains_sink_faster_and_in_cold_water_slower() -> None:
    for finer, coarser in pairwise([_mm(0.005 * 1.5**i, NATURAL) for i in range(16)]):
        assert coarser > finer
    assert settling_speed(2e-5, viscosity_m2s=1.79e-6) < 0.6 * settling_speed(2e-5)


def test_in_a_stirred_pond_silt_goes_in_hours_and_clay_in_weeks() -> None:
    """Facts of the trade, common practice, no source: cloudy water clears over days after a build."""
    day = 86400.0

    def left(grain_m: float, days: float) -> float:
        return left_after_settling(days * day, grain_m=grain_m, depth_m=0.6, viscosity_m2s=1.0e-6)

    assert left(20e-6, 0.1) < 0.01
    assert 0.01 < left(3e-6, 3.0) < 0.2
    assert left(0.5e-6, 7.0) > 0.5


def test_the_share_left_and_the_turnovers_are_inverse() -> None:
    for left in (0.9, 0.5, 0.05, 1e-4):
        assert left_in_water(turnovers_to_clear(left, 0.3), 0.3) == pytest.approx(left)
    assert turnovers_to_clear(1.0, 0.3) == 0.0
    assert math.isclose(left_in_water(0.0, 0.3), 1.0)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(InputError, match="caught"):
        turnovers_to_clear(0.05, 0.0)
    with pytest.raises(InputError, match="grain_m"):
        settling_speed(0.0)
