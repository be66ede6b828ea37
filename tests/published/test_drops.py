"""Water falling from a crest, against printed and independently computed values; g is 9.81 as on the pages."""

from __future__ import annotations

import math

import pytest
from tests.published.rows import Row, check

from rillwright.hydraulics import critical_depth, free_fall, jump, landing, rand_drop

G = 9.81
SHEET = "vertical drop fall design sheet, public document 499647704"
RAND = "Rand 1955, ASCE Proc. 81 separate 791; computed independently"
PLUNGE_FROM_MEMORY = RAND + "; the constant of yp from memory"


# The sheet gives Q 0.8 m3/s and two widths, 1.2 and 1.4 m: its q of 0.57 m2/s is that of 1.4 m.
def _sheet() -> tuple[float, float]:
    return 0.8 / 1.40, 2.36


SHEET_ROWS = {
    "2a q": Row(lambda: _sheet()[0], "0.57", SHEET, seen=True),
    "2a drop number": Row(lambda: rand_drop(*_sheet(), gravity_ms2=G).drop_number, "0.0025", SHEET, seen=True),
    "2a critical depth": Row(lambda: critical_depth(_sheet()[0], gravity_ms2=G), "0.32", SHEET, seen=True),
    "2a length": Row(lambda: rand_drop(*_sheet(), gravity_ms2=G).length_m, "2.02", SHEET, seen=True),
    "2a toe": Row(lambda: rand_drop(*_sheet(), gravity_ms2=G).toe_depth_m, "0.10", SHEET, seen=True),
    "2a sequent": Row(lambda: rand_drop(*_sheet(), gravity_ms2=G).sequent_depth_m, "0.78", SHEET, seen=True),
}


@pytest.mark.parametrize("row", SHEET_ROWS.values(), ids=SHEET_ROWS.keys())
def test_design_sheet(row: Row) -> None:
    check(row)


# q, h; D, yc, Ld, yp, y1, y2. Computed independently, 1e-3 relative.
CASES = {
    "2a": (0.8 / 1.40, 2.36, 0.00253, 0.3217, 2.020, 0.633, 0.1004, 0.780),
    "2c": (0.020, 0.30, 0.00151, 0.03442, 0.2233, 0.0719, 0.01025, 0.0862),
    "2d": (0.010, 0.50, 8.15e-5, 0.02168, 0.1692, 0.0630, 0.00494, 0.0653),
    "2e": (1.0, 1.5, 0.0302, 0.4671, 2.507, 0.6946, 0.1830, 0.9679),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_rand(case: tuple[float, ...]) -> None:
    """Formulas of Rand 1955 (yp = h D^0.22 from memory), values computed independently."""
    ours = rand_drop(case[0], case[1], gravity_ms2=G)
    found = (ours.critical_depth_m, ours.length_m, ours.pool_depth_m, ours.toe_depth_m, ours.sequent_depth_m)
    assert found == pytest.approx(case[3:], rel=1e-3)
    assert ours.drop_number == pytest.approx(case[2], rel=2e-3)  # three digits are given


@pytest.mark.parametrize(
    ("case", "off", "lost"), [("2a", 1.8, 0.384), ("2c", 2.3, 0.419), ("2d", 5.4, 0.599), ("2e", 0.0, 0.225)]
)
def test_rand_agrees_with_belanger(case: str, off: float, lost: float) -> None:
    """Computed independently: Belanger from Rand's toe against his sequent depth [%]; energy lost at the toe."""
    q, h = CASES[case][:2]
    ours = rand_drop(q, h, gravity_ms2=G)
    sequent = jump(ours.toe_depth_m, q / ours.toe_depth_m, gravity_ms2=G).sequent_depth_m
    assert abs(sequent / ours.sequent_depth_m - 1) * 100 == pytest.approx(off, abs=0.1)
    check(Row(lambda: ours.toe_loss, str(lost), RAND))


def test_2e_froude_and_sequent_depth() -> None:
    toe = rand_drop(1.0, 1.5, gravity_ms2=G).toe_depth_m
    ours = jump(toe, 1.0 / toe, gravity_ms2=G)
    check(Row(lambda: ours.froude, "4.08", RAND))
    check(Row(lambda: ours.sequent_depth_m, "0.9679", RAND))


ROUSE = "brink depth 0.715 yc: Rouse, from memory; computed independently"
FALL_ROWS = {
    "brink": Row(lambda: free_fall(0.02, 0.3, gravity_ms2=G).brink_depth_m, "0.02461", ROUSE),
    "speed": Row(lambda: free_fall(0.02, 0.3, gravity_ms2=G).brink_speed_ms, "0.8127", ROUSE),
    "lower": Row(lambda: free_fall(0.02, 0.3, gravity_ms2=G).lower_m, "0.2010", ROUSE),
    "centre": Row(lambda: free_fall(0.02, 0.3, gravity_ms2=G).centre_m, "0.2051", ROUSE),
    "upper": Row(lambda: free_fall(0.02, 0.3, gravity_ms2=G).upper_m, "0.2091", ROUSE),
    "impact": Row(lambda: free_fall(0.02, 0.3, gravity_ms2=G).impact_ms, "2.605", ROUSE),
    "throw over root of yc h": Row(
        lambda: free_fall(0.02, 0.3, gravity_ms2=G).lower_m / math.sqrt(critical_depth(0.02, gravity_ms2=G) * 0.3),
        "1.978",
        ROUSE,
    ),
    "2d, a thin sheet": Row(lambda: free_fall(0.01, 0.5, gravity_ms2=G).lower_m, "0.206", ROUSE),
}


@pytest.mark.parametrize("row", FALL_ROWS.values(), ids=FALL_ROWS.keys())
def test_2f_free_fall(row: Row) -> None:
    check(row)


def test_landing_takes_the_larger_and_flags_thin_sheets() -> None:
    """Rand falls below the free-fall parabola under yc/h = 0.082 (computed independently from both)."""
    thin = landing(0.01, 0.5, gravity_ms2=G)
    assert thin.method == "free fall"
    assert thin.throw_m > rand_drop(0.01, 0.5).length_m
    assert "5.4e-4" in thin.outside
    thick = landing(1.0, 1.5, gravity_ms2=G)
    assert (thick.method, thick.outside) == ("Rand", "")
    yc_over_h = 0.082
    h = 1.0
    q = math.sqrt(G * (yc_over_h * h) ** 3)
    assert rand_drop(q, h, gravity_ms2=G).length_m == pytest.approx(free_fall(q, h, gravity_ms2=G).lower_m, rel=0.005)


def test_critical_speed_would_shorten_the_throw() -> None:
    """Critical speed in place of brink speed is 28 % short: 1 - 0.715, Rouse from memory."""
    ours = free_fall(0.02, 0.3, gravity_ms2=G)
    critical_speed = 0.02 / critical_depth(0.02, gravity_ms2=G)
    assert 1 - critical_speed / ours.brink_speed_ms == pytest.approx(0.285, abs=1e-9)


SDSU = "San Diego State Univ., CIVE 530, solved midterms"


def _sdsu_depth() -> float:
    return float((3.0**2 / (G * 5.0)) ** (1 / 3))  # q 3 m2/s, F1 squared 5


JUMP_ROWS = {
    "3n y1": Row(_sdsu_depth, "0.568", SDSU, seen=True),
    "3n y2/y1": Row(
        lambda: jump(_sdsu_depth(), 3 / _sdsu_depth(), gravity_ms2=G).sequent_depth_m / _sdsu_depth(),
        "2.70",
        SDSU,
        True,
    ),
    "3n y2/y1 exact": Row(
        lambda: jump(_sdsu_depth(), 3 / _sdsu_depth(), gravity_ms2=G).sequent_depth_m / _sdsu_depth(),
        "2.70156",
        "computed independently: (sqrt(41) - 1)/2",
    ),
    "3n y2 exact": Row(
        lambda: jump(_sdsu_depth(), 3 / _sdsu_depth(), gravity_ms2=G).sequent_depth_m,
        "1.5351",
        "computed independently",
    ),
    "3o F1": Row(lambda: jump(0.8, 7.0, gravity_ms2=G).froude, "2.4987", "computed independently"),
    "3o y2": Row(lambda: jump(0.8, 7.0, gravity_ms2=G).sequent_depth_m, "2.4551", "computed independently"),
    "3o loss": Row(lambda: jump(0.8, 7.0, gravity_ms2=G).loss_m, "0.5771", "computed independently"),
}


@pytest.mark.parametrize("row", JUMP_ROWS.values(), ids=JUMP_ROWS.keys())
def test_jump(row: Row) -> None:
    check(row)


def test_3n_printed_sequent_depth() -> None:
    """The midterm prints y2 1.53, the product of its rounded 2.70 and 0.568; unrounded it is 1.535."""
    y1 = _sdsu_depth()
    ratio = jump(y1, 3 / y1, gravity_ms2=G).sequent_depth_m / y1
    check(Row(lambda: round(ratio, 2) * round(y1, 3), "1.53", SDSU, seen=True))
