"""Rough channels against printed and independently computed values; g is 9.81 as on the pages unless said."""

from __future__ import annotations

import math

import pytest
from tests.published.rows import Row, check

from rillwright.errors import InputError
from rillwright.hydraulics import (
    NormalDepth,
    Section,
    blodgett_n,
    by_ferguson,
    by_manning,
    critical_depth,
    ferguson_speed,
    froude_number,
    jarrett_n,
    limerinos_n,
    manning_speed,
    normal_depth,
    section_critical_depth,
    specific_energy,
)

G = 9.81
FT = 0.3048
COMPUTED = "computed independently"
R_FUNCTIONS = "R functions n_jarrett1984, n_limerinos1970, worked results in their documentation"
LEEDS = "CIVE3415 example sheet 2, Univ. of Leeds"
SDSU = "San Diego State Univ., CIVE 530, solved midterms"
CHOW = "Chow 1959, example of a trapezoid, from memory; computed independently"

WALLED = Section(bottom_m=5.0)
LEEDS_RECTANGLE = Section(bottom_m=3.0)
LEEDS_TRAPEZOID = Section(bottom_m=3.0, side_run=2.0)
CHOW_SECTION = Section(bottom_m=20 * FT, side_run=2.0)
CFS = FT**3


def _sdsu_speed() -> float:
    return manning_speed(WALLED.at(0.8).hydraulic_radius_m, 0.0025, 0.015)


def _leeds() -> NormalDepth:
    return normal_depth(5.0, LEEDS_RECTANGLE, 1 / 500, law=by_manning(0.025), gravity_ms2=G)


def _bump() -> float:
    upstream = specific_energy(_leeds().depth_m, 5.0, LEEDS_RECTANGLE, gravity_ms2=G)
    return upstream - 1.5 * critical_depth(5.0 / 3.0, gravity_ms2=G)


def _chow(constant: float) -> float:
    """Normal depth [ft] with Manning's constant in feet as printed."""
    n_si = 0.025 / constant / FT ** (1 / 3)  # V = constant R^(2/3) S^0.5 / n, all in feet
    return normal_depth(400 * CFS, CHOW_SECTION, 0.0016, law=by_manning(n_si)).depth_m / FT


ROWS = {
    "3a Jarrett R 0.3 S 0.03": Row(lambda: jarrett_n(0.3, 0.03).n, "0.102", R_FUNCTIONS, seen=True),
    "3a Jarrett R 1 S 0.015": Row(lambda: jarrett_n(1.0, 0.015).n, "0.065", R_FUNCTIONS, seen=True),
    "3a exact, first": Row(lambda: jarrett_n(0.3, 0.03).n, "0.10236", COMPUTED),
    "3a exact, second": Row(lambda: jarrett_n(1.0, 0.015).n, "0.06487", COMPUTED),
    "3b Limerinos 1, 0.1": Row(lambda: limerinos_n(1.0, 0.1).n, "0.036", R_FUNCTIONS, seen=True),
    "3b Limerinos 2.5, 0.07": Row(lambda: limerinos_n(2.5, 0.07).n, "0.031", R_FUNCTIONS, seen=True),
    "3b Limerinos 3, 0.2": Row(lambda: limerinos_n(3.0, 0.2).n, "0.039", R_FUNCTIONS, seen=True),
    "3b exact, first": Row(lambda: limerinos_n(1.0, 0.1).n, "0.03573", COMPUTED),
    "3b exact, second": Row(lambda: limerinos_n(2.5, 0.07).n, "0.03083", COMPUTED),
    "3b exact, third": Row(lambda: limerinos_n(3.0, 0.2).n, "0.03860", COMPUTED),
    "3e Ferguson speed": Row(lambda: ferguson_speed(0.05, 0.05, 0.10, gravity_ms2=G).speed_ms, "0.19135", COMPUTED),
    "3e equivalent n": Row(
        lambda: 0.05 ** (7 / 6) / ferguson_speed(0.05, 0.05, 0.10, gravity_ms2=G).speed_ms, "0.1586", COMPUTED
    ),
    "3h flow, exact": Row(lambda: _sdsu_speed() * 4.0, "9.5488", COMPUTED),
    "3h speed": Row(_sdsu_speed, "2.387", SDSU, seen=True),
    "3j normal depth": Row(lambda: _leeds().depth_m, "1.215", LEEDS + " E2.2", seen=True),
    "3j normal depth, exact": Row(lambda: _leeds().depth_m, "1.21520", COMPUTED),
    "3j bump": Row(_bump, "0.326", LEEDS + " E2.2", seen=True),
    "3j bump, exact": Row(_bump, "0.32608", COMPUTED),
    "3k critical depth": Row(
        lambda: section_critical_depth(10.0, LEEDS_TRAPEZOID, gravity_ms2=G), "0.86", LEEDS + " E2.1", seen=True
    ),
    "3k critical depth, exact": Row(
        lambda: section_critical_depth(10.0, LEEDS_TRAPEZOID, gravity_ms2=G), "0.85550", COMPUTED
    ),
    "3l normal depth, 1.486": Row(lambda: _chow(1.486), "3.3610", CHOW),
    "3l normal depth, 1.49": Row(lambda: _chow(1.49), "3.3560", CHOW),
    "3l normal depth, printed": Row(lambda: _chow(1.49), "3.36", CHOW),
    "3l critical depth": Row(
        lambda: section_critical_depth(400 * CFS, CHOW_SECTION, gravity_ms2=32.2 * FT) / FT, "2.1477", CHOW
    ),
    "3l critical depth, printed": Row(
        lambda: section_critical_depth(400 * CFS, CHOW_SECTION, gravity_ms2=32.2 * FT) / FT, "2.15", CHOW
    ),
    "3m Manning": Row(
        lambda: manning_speed(0.2859, 0.005236, 0.03), "1.04678", "fluids 1.3, V_Manning (Cengel & Cimbala)", seen=True
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


def test_3h_printed_flow() -> None:
    """The midterm prints Q 9.548, its rounded speed times 4.0 m2; unrounded it is 9.5488."""
    check(Row(lambda: round(_sdsu_speed(), 3) * WALLED.at(0.8).area_m2, "9.548", SDSU, seen=True))


def test_3a_and_3b_in_feet() -> None:
    """US constants 0.39 (computed independently: 0.1032, 0.0654) and 0.0926, within 1 % and 1e-3 of the metric ones."""
    for R, S, printed in ((0.3, 0.03, "0.1032"), (1.0, 0.015, "0.0654")):
        in_feet = 0.39 * S**0.38 * (R / FT) ** -0.16
        assert f"{in_feet:.4f}" == printed
        assert jarrett_n(R, S).n == pytest.approx(in_feet, rel=0.01)
    us = 0.0926 * (1.0 / FT) ** (1 / 6) / (1.16 + 2 * math.log10(10))
    assert limerinos_n(1.0, 0.1).n == pytest.approx(us, rel=1e-3)


# r, U/u*, f = 8 (u*/U)^2; computed independently from Ferguson 2007, 1e-4 relative.
VPE = (
    (0.1, 0.2496, 128.4),
    (0.5, 1.2219, 5.3586),
    (1.0, 2.3334, 1.4693),
    (2.0, 4.1244, 0.4703),
    (5.0, 7.0288, 0.1619),
    (10.0, 8.9137, 0.1007),
    (30.0, 11.3264, 0.0624),
)


@pytest.mark.parametrize(("r", "ratio", "friction"), VPE)
def test_3c_ferguson(r: float, ratio: float, friction: float) -> None:
    ours = _vpe(r)
    assert ours == pytest.approx(ratio, rel=2e-4)  # four digits at the least ratio
    assert 8 / ours**2 == pytest.approx(friction, rel=1e-3)
    slip = 6.5 * 2.5 * r / math.sqrt(6.2**2 * 2.5**2 * r ** (5 / 3))  # an error that goes round in copies
    if r in (0.5, 1.0, 5.0):
        assert abs(slip / ours - 1) > 0.04


def _vpe(r: float) -> float:
    R, S = 0.05, 0.02
    return ferguson_speed(R, S, R / r, gravity_ms2=G).speed_ms / math.sqrt(G * R * S)


def test_3d_ferguson_limits() -> None:
    """Closed form: 2.5 r in the shallow limit, 6.5 r^(1/6) in the deep one."""
    assert _vpe(1e-6) == pytest.approx(2.5e-6, rel=1e-6)
    assert _vpe(1e9) == pytest.approx(6.5 * 1e9 ** (1 / 6), rel=1e-6)


BED = Section(bottom_m=0.6)


@pytest.mark.parametrize(
    ("d84", "depth", "speed", "n", "froude"),
    [(0.05, "0.03881", "0.2147", "0.1101", "0.348"), (0.10, "0.05199", "0.1603", "0.1747", "0.224")],
)
def test_3f_normal_depth_by_ferguson(d84: float, depth: str, speed: str, n: str, froude: str) -> None:
    """5 L/s in a bed 0.6 m wide at 5 %: computed independently."""
    ours = normal_depth(0.005, BED, 0.05, law=by_ferguson(d84), gravity_ms2=G)
    assert ours.depth_m == pytest.approx(float(depth), rel=2e-4)
    assert ours.speed_ms == pytest.approx(float(speed), rel=4e-4)
    assert ours.equivalent_n == pytest.approx(float(n), rel=4e-4)
    assert ours.froude == pytest.approx(float(froude), abs=6e-4)
    assert ours.froude < 1


def test_3f_water_in_transit() -> None:
    """0.466 m3 in 20 m of the bed of 3f: computed independently."""
    area = normal_depth(0.005, BED, 0.05, law=by_ferguson(0.05), gravity_ms2=G).area_m2
    check(Row(lambda: area * 20, "0.466", COMPUTED))


@pytest.mark.parametrize(("n", "depth", "froude"), [(0.05, "0.02374", "0.728"), (0.10, "0.03654", "0.381")])
def test_3g_normal_depth_by_manning(n: float, depth: str, froude: str) -> None:
    """Computed independently; a fixed n makes shallow flow far too fast against 3f."""
    ours = normal_depth(0.005, BED, 0.05, law=by_manning(n), gravity_ms2=G)
    check(Row(lambda: ours.depth_m, depth, COMPUTED))
    check(Row(lambda: ours.froude, froude, COMPUTED))
    check(Row(lambda: critical_depth(0.005 / 0.6, gravity_ms2=G), "0.01920", COMPUTED))
    assert ours.froude == froude_number(0.005, BED.at(ours.depth_m), gravity_ms2=G)


def test_fixed_n_is_too_fast_where_water_is_shallow() -> None:
    fixed = normal_depth(0.005, BED, 0.05, law=by_manning(0.05))
    rough = normal_depth(0.005, BED, 0.05, law=by_ferguson(0.05))
    assert fixed.speed_ms > 1.5 * rough.speed_ms


def test_blodgett_by_its_printed_constants() -> None:
    """HEC-15 eq. 6.1: 0.319 (seen), 2.25 and 5.23 (from memory); at da = 10 D50 = 1 m the form is 0.319/7.48."""
    assert blodgett_n(1.0, 0.1).n == pytest.approx(0.319 / 7.48, rel=1e-12)
    assert blodgett_n(1.0, 0.1).outside == ""
    assert "1.5" in blodgett_n(0.12, 0.1).outside


def test_limerinos_refuses_water_shallower_than_its_stones() -> None:
    """The form has its pole at R/d84 = 10^-0.58 = 0.263 and is negative below it."""
    check(Row(lambda: float(10**-0.58), "0.263", COMPUTED))
    for ratio in (0.2, 0.263, 0.5, 0.99):
        with pytest.raises(InputError, match="shallower than its stones"):
            limerinos_n(0.1 * ratio, 0.1)


def test_garden_streams_are_flagged() -> None:
    assert "0.15" in jarrett_n(0.03, 0.03).outside
    assert "slope" in jarrett_n(0.3, 0.08).outside
    assert jarrett_n(0.3, 0.03).outside == ""
    assert "0.31" in limerinos_n(0.1, 0.05).outside
    assert limerinos_n(1.0, 0.1).outside == ""
    assert "0.1 to 30" in ferguson_speed(0.002, 0.05, 0.05).outside
    assert ferguson_speed(0.04, 0.05, 0.05).outside == ""


def test_hydraulic_radius_is_not_the_depth() -> None:
    """Below a width of 20 depths the difference counts: 3f by depth in place of radius is 5 % too fast and more."""
    depth = 0.05199
    by_depth = ferguson_speed(depth, 0.05, 0.10, gravity_ms2=G).speed_ms
    by_radius = ferguson_speed(BED.at(depth).hydraulic_radius_m, 0.05, 0.10, gravity_ms2=G).speed_ms
    assert by_depth > 1.05 * by_radius


def test_closed_form_slope_of_a_printed_trapezoid() -> None:
    """A package prints 0.00088 for b 20 ft, sides 1:1, y 3 ft, n 0.015, 360 cfs: its root finder's tolerance.

    The closed form gives 0.000853 (computed independently).
    """
    wet = Section(bottom_m=20 * FT, side_run=1.0).at(3 * FT)
    unit_slope = manning_speed(wet.hydraulic_radius_m, 1.0, 0.015)
    slope = (360 * CFS / wet.area_m2 / unit_slope) ** 2
    assert slope == pytest.approx(0.000853, abs=6e-7)
