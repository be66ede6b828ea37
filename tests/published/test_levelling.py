"""Levelling against surveying texts: tolerances, a whole level book, curvature, the two-peg test, nets."""

from __future__ import annotations

import math
from functools import cache

import pytest
from tests.published.rows import Row, check

from rillwright.errors import InputError
from rillwright.sources import misclosure_rule
from rillwright.survey import (
    AdjustedNet,
    NetObservation,
    Survey,
    TwoPeg,
    adjust_net,
    curvature_and_refraction_m,
    read_book,
    reduce,
    two_peg,
)
from rillwright.units import parse

FOOT_M = parse("1 ft", "length").si
MILE_M = 5280 * FOOT_M

FGCC = "Federal Geodetic Control Committee 1984, Standards and Specifications, sec. 3.5"
BOOK = "field notes for a differential leveling section, a homework page; reproduced by hand"
LECTURE = "lecture 'Chapter 8 Leveling', distribution of a misclosure of 0.05 over 5 set-ups"
PEG_1 = "two-peg problem of a surveying text, as quoted on a homework page; result computed"
PEG_2 = "public quiz page: mid-point truth 0.630, apparent 0.615, sight difference 25 m"
GHILANI = "Ghilani and Wolf 2006, Adjustment Computations, sec. 12.6 example 12.1"
GHILANI_3 = "Ghilani and Wolf 2006, Adjustment Computations, sec. 12.3"
MAHUN = "Mahun, Least Squares Lite, ch. B and C (open access)"


def allowed_mm(rule: str, length_m: float) -> float:
    return misclosure_rule(rule).m_per_root_m * math.sqrt(length_m) * 1000


TOLERANCES = {
    "third order, 1 km": Row(lambda: allowed_mm("third order", 1000), "12", FGCC),
    "second order class II, 1 km": Row(lambda: allowed_mm("second order class II", 1000), "8", FGCC),
    "second order class I, 1 km": Row(lambda: allowed_mm("second order class I", 1000), "6", FGCC),
    "second order class I, 10 km": Row(lambda: allowed_mm("second order class I", 10_000), "19.0", FGCC),
    "third order, 10 km": Row(lambda: allowed_mm("third order", 10_000), "37.95", FGCC + "; computed"),
    "third order, 1.5 km": Row(lambda: allowed_mm("third order", 1500), "14.7", FGCC + "; computed"),
    "third order, 0.1 km": Row(lambda: allowed_mm("third order", 100), "3.79", FGCC + "; computed"),
    "third order in feet, 1 mile": Row(
        lambda: allowed_mm("third order us", MILE_M) / 1000 / FOOT_M,
        "0.05",
        "three public code files and quizzes",
        True,
    ),
    "12 mm in feet by miles": Row(
        lambda: allowed_mm("third order", MILE_M) / 1000 / FOOT_M, "0.0499", "computed from 12 mm by the root of km"
    ),
    "third order in feet, 300 ft": Row(
        lambda: allowed_mm("third order us", 300 * FOOT_M) / 1000 / FOOT_M, "0.0119", "computed from 0.05 ft"
    ),
    "construction grade, 1 km": Row(
        lambda: allowed_mm("construction", 1000), "24", "US Army Corps of Engineers, EM 1110-1-1005"
    ),
    "construction grade, 1 mile": Row(
        lambda: allowed_mm("construction", MILE_M) / 1000 / FOOT_M, "0.1", "US Army Corps of Engineers, EM 1110-1-1005"
    ),
    "army second order class II, 1 km": Row(
        lambda: allowed_mm("army second order class II", 1000), "8.4", "US Army EN0593, lesson 4, para 4-3", True
    ),
}


@pytest.mark.parametrize("name", TOLERANCES)
def test_tolerance(name: str) -> None:
    check(TOLERANCES[name])


def test_second_order_class_one_is_not_eight_millimetres() -> None:
    """A homework page takes 8 mm for class I, 25.3 mm for 10 km; that is class II."""
    assert allowed_mm("second order class I", 10_000) < 25
    assert allowed_mm("second order class II", 10_000) == pytest.approx(25.3, abs=0.05)


LEVEL_BOOK = """point,backsight,foresight,level
BM A,3.10,,100.00
TP1,6.44,9.82,
TP2,8.76,6.96,
TP3,7.12,3.27,
BM B,,10.42,{level}
"""


@cache
def level_book(level: str = "", adjust: str = "none") -> Survey:
    book = read_book(LEVEL_BOOK.format(level=level), file="book.csv", rod="tenths")
    return reduce([book], datum=None, adjust=adjust)


def feet(survey: Survey, point: str) -> float:
    return survey.level(point).m / FOOT_M


def instrument(survey: Survey, setup: int) -> float:
    return survey.setups[setup - 1].height_of_instrument_m / FOOT_M


def closed(point: str) -> float:
    return feet(level_book("94.91", "by set-ups"), point)


LEVELS = {
    "HI 1": Row(lambda: instrument(level_book(), 1), "103.10", BOOK, True),
    "HI 2": Row(lambda: instrument(level_book(), 2), "99.72", BOOK, True),
    "HI 3": Row(lambda: instrument(level_book(), 3), "101.52", BOOK, True),
    "HI 4": Row(lambda: instrument(level_book(), 4), "105.37", BOOK, True),
    "BM A": Row(lambda: feet(level_book(), "BM A"), "100.00", BOOK, True),
    "TP1": Row(lambda: feet(level_book(), "TP1"), "93.28", BOOK, True),
    "TP2": Row(lambda: feet(level_book(), "TP2"), "92.76", BOOK, True),
    "TP3": Row(lambda: feet(level_book(), "TP3"), "98.25", BOOK, True),
    "BM B": Row(lambda: feet(level_book(), "BM B"), "94.95", BOOK, True),
    "TP1 adjusted": Row(lambda: closed("TP1"), "93.27", BOOK + "; by set-ups, computed"),
    "TP2 adjusted": Row(lambda: closed("TP2"), "92.74", BOOK + "; by set-ups, computed"),
    "TP3 adjusted": Row(lambda: closed("TP3"), "98.22", BOOK + "; by set-ups, computed"),
    "BM B adjusted": Row(lambda: closed("BM B"), "94.91", BOOK + "; by set-ups, computed"),
    "misclosure": Row(lambda: (level_book("94.91").misclosure_m or 0) / FOOT_M, "0.04", BOOK + "; computed"),
}


@pytest.mark.parametrize("name", LEVELS)
def test_level_book(name: str) -> None:
    check(LEVELS[name])


def test_page_check_is_exact() -> None:
    """Sums as printed, to the last digit; Engineering Aid training manual 14071, fig. 7-4."""
    page = level_book().page_checks[0]
    assert (page.backsights, page.foresights, page.rise) == ("25.42 ft", "30.47 ft", "-5.05 ft")
    assert page.agrees


def five_setups() -> Survey:
    rows = "".join(f"TP{i},1.00,1.00,\n" for i in range(1, 5))
    text = f"point,backsight,foresight,level\nA,1.05,,10.00\n{rows}B,,1.00,10.00\n"
    return reduce([read_book(text, file="book.csv", rod="metric")], datum=None, adjust="by set-ups")


@pytest.mark.parametrize(
    "row",
    [
        Row(lambda: five_setups().misclosure_m or 0, "0.05", LECTURE, True),
        Row(lambda: five_setups().level("TP1").m - 10.05, "-0.01", LECTURE, True),
        Row(lambda: five_setups().level("TP4").m - 10.05, "-0.04", LECTURE + "; the sheet drops the minus sign", True),
    ],
    ids=["misclosure", "each set-up", "fourth point"],
)
def test_distribution(row: Row) -> None:
    check(row)


CURVATURE = {
    "curvature alone, 1 km": Row(
        lambda: curvature_and_refraction_m(1000, refraction=0),
        "0.0785",
        "0.0785 D2, surveying texts (secondary pages)",
        True,
    ),
    "curvature alone, 2.5 km": Row(
        lambda: curvature_and_refraction_m(2500, refraction=0),
        "0.49",
        "0.0785 D2, surveying texts (secondary pages)",
        True,
    ),
    "refraction, 1 km": Row(
        lambda: curvature_and_refraction_m(1000, refraction=0) - curvature_and_refraction_m(1000),
        "0.0112",
        "0.0112 D2 (1/7), surveying texts (secondary pages)",
        True,
    ),
    "both, 1 km": Row(lambda: curvature_and_refraction_m(1000), "0.0673", "0.0673 D2, surveying texts", True),
    "both, 2.5 km": Row(lambda: curvature_and_refraction_m(2500), "0.420", "0.0673 D2, surveying texts", True),
    "both, 1000 ft in feet": Row(
        lambda: curvature_and_refraction_m(1000 * FOOT_M) / FOOT_M, "0.021", "0.021 F2 ft, F in 1000 ft", True
    ),
    "25 m in mm": Row(lambda: curvature_and_refraction_m(25) * 1000, "0.04", "computed from 0.0675 K2"),
    "50 m in mm": Row(lambda: curvature_and_refraction_m(50) * 1000, "0.17", "computed from 0.0675 K2"),
    "100 m in mm": Row(lambda: curvature_and_refraction_m(100) * 1000, "0.7", "computed from 0.0675 K2"),
    "200 m in mm": Row(lambda: curvature_and_refraction_m(200) * 1000, "2.7", "computed from 0.0675 K2"),
}


@pytest.mark.parametrize("name", CURVATURE)
def test_curvature(name: str) -> None:
    check(CURVATURE[name])


def test_american_coefficient_is_within_half_a_per_cent() -> None:
    """US texts print 0.0675 K^2 m; the two forms differ by 0.3 %."""
    assert curvature_and_refraction_m(1000) == pytest.approx(0.0675, rel=0.005)


def pegs() -> TwoPeg:
    return two_peg((1.969, 2.161), (1.554, 1.728), end_sights_m=(1.50, 53.50))


PEGS = {
    "true difference": Row(lambda: pegs().true_difference_m, "0.192", PEG_1, True),
    "error": Row(lambda: pegs().error_m, "-0.018", PEG_1),
    "tilt, mm/m, down": Row(lambda: pegs().tilt * 1000, "-0.346", PEG_1),
    "B as it should read": Row(lambda: pegs().corrected_b_m, "1.7465", PEG_1),
    "A as it should read": Row(lambda: pegs().corrected_a_m, "1.5545", PEG_1),
    "size of the tilt": Row(
        lambda: abs(two_peg((0.0, 0.630), (0.0, 0.615), end_sights_m=(0.0, 25.0)).tilt), "0.0006", PEG_2, True
    ),
    "per 100 m": Row(
        lambda: 100 * abs(two_peg((0.0, 0.630), (0.0, 0.615), end_sights_m=(0.0, 25.0)).tilt), "0.060", PEG_2, True
    ),
    "too high by 0.02 over 50 m rises": Row(
        lambda: 100 * two_peg((1.0, 1.5), (1.2, 1.72), end_sights_m=(0.0, 50.0)).tilt,
        "0.04",
        "public quiz page; its remark that an upward line lowers far readings is wrong",
        True,
    ),
}


@pytest.mark.parametrize("name", PEGS)
def test_two_peg(name: str) -> None:
    check(PEGS[name])


def test_two_peg_divides_by_the_difference_of_sights() -> None:
    """Neither the distance between the pegs (55 m from one side to the other) nor the sum gives 0.346 mm/m."""
    assert abs(pegs().tilt) * 52 == pytest.approx(0.018, abs=1e-12)
    assert abs(pegs().tilt) * 55 > 0.019


def rises(*lines: tuple[str, str, float, float | None]) -> list[NetObservation]:
    return [NetObservation(start=a, end=b, rise_m=rise, sigma_m=sigma) for a, b, rise, sigma in lines]


EXAMPLE_12_1 = rises(
    ("A", "B", 10.509, 0.006),
    ("B", "C", 5.360, 0.004),
    ("C", "D", -8.523, 0.005),
    ("D", "A", -7.348, 0.003),
    ("B", "D", -3.167, 0.004),
    ("A", "C", 15.881, 0.012),
)


@cache
def example_12_1() -> AdjustedNet:
    return adjust_net(EXAMPLE_12_1, fixed={"A": 437.596})


@cache
def section_12_3() -> AdjustedNet:
    lines = rises(
        ("X", "A", 5.10, None),
        ("A", "Y", 2.34, None),
        ("Y", "C", -1.25, None),
        ("C", "X", -6.13, None),
        ("A", "B", -0.68, None),
        ("Y", "B", -3.00, None),
        ("B", "C", 1.70, None),
    )
    return adjust_net(lines, fixed={"X": 100.00, "Y": 107.50})


@cache
def mahun() -> AdjustedNet:
    lines = rises(
        ("A", "Q", 8.91, None),
        ("B", "Q", -2.92, None),
        ("C", "Q", -4.67, None),
        ("D", "Q", -8.66, None),
        ("A", "R", -3.56, None),
        ("C", "R", -17.12, None),
        ("D", "R", -21.10, None),
    )
    return adjust_net(lines, fixed={"A": 0.0, "B": 11.80, "C": 13.60, "D": 17.52})


def residual(net: AdjustedNet, i: int) -> float:
    return net.residuals_m[i]


def sigma_mm(i: int) -> float:
    return (example_12_1().marks[i].sigma_m or 0) * 1000


NETS = {
    "12.1 B": Row(lambda: example_12_1().level_m("B"), "448.1087", GHILANI, True),
    "12.1 C": Row(lambda: example_12_1().level_m("C"), "453.4685", GHILANI, True),
    "12.1 D": Row(lambda: example_12_1().level_m("D"), "444.9436", GHILANI, True),
    "12.1 sum of squares": Row(lambda: example_12_1().weighted_square_sum, "1.27212", GHILANI + "; computed"),
    "12.1 redundancy": Row(lambda: example_12_1().redundancy, "3", GHILANI, True),
    "12.1 S0 squared": Row(lambda: (example_12_1().s0 or 0) ** 2, "0.4240", GHILANI + "; computed"),
    "12.1 S0": Row(lambda: example_12_1().s0 or 0, "0.651", GHILANI + "; prints 0.6575, the root of 0.4233 is 0.651"),
    "12.1 sigma B": Row(lambda: sigma_mm(0), "2.30", GHILANI + "; computed"),
    "12.1 sigma C": Row(lambda: sigma_mm(1), "2.64", GHILANI + "; computed"),
    "12.1 sigma D": Row(lambda: sigma_mm(2), "1.76", GHILANI + "; computed"),
    **{
        f"12.1 residual {i}": Row(lambda i=i: residual(example_12_1(), i) * 1000, v, GHILANI + "; computed")  # type: ignore[misc]
        for i, v in enumerate(("3.71", "-0.24", "-1.86", "0.39", "1.89", "-8.53"))
    },
    "12.3 A": Row(lambda: section_12_3().level_m("A"), "105.141", GHILANI_3 + "; from memory"),
    "12.3 B": Row(lambda: section_12_3().level_m("B"), "104.483", GHILANI_3 + "; from memory"),
    "12.3 C": Row(lambda: section_12_3().level_m("C"), "106.188", GHILANI_3 + "; from memory"),
    "12.3 S0": Row(lambda: section_12_3().s0 or 0, "0.050", GHILANI_3 + "; from memory"),
    "Mahun Q above A": Row(lambda: mahun().level_m("Q"), "8.895", MAHUN + "; benchmarks implied by the residuals"),
    "Mahun R above A": Row(lambda: mahun().level_m("R"), "-3.5533", MAHUN + "; benchmarks implied by the residuals"),
    **{
        f"Mahun residual {i}": Row(lambda i=i: residual(mahun(), i), v, MAHUN, True)  # type: ignore[misc]
        for i, v in enumerate(("-.015", ".015", "-.035", ".035", ".007", "-.033", ".027"))
    },
    "Mahun sum of squares": Row(lambda: mahun().weighted_square_sum, ".004767", MAHUN, True),
    "Mahun S0": Row(lambda: mahun().s0 or 0, "0.0309", MAHUN + "; computed"),
}


@pytest.mark.parametrize("name", NETS)
def test_net(name: str) -> None:
    check(NETS[name])


def test_printed_square_sum_came_from_rounded_residuals() -> None:
    """The book's 1.2698 is the sum over residuals rounded to a tenth of a millimetre, ours is unrounded."""
    assert example_12_1().weighted_square_sum == pytest.approx(1.2698, rel=0.003)


def test_turned_observation_changes_nothing() -> None:
    """Direction of an observation is from start to end: turned round with its sign it says the same."""
    turned = [
        NetObservation(start=o.end, end=o.start, rise_m=-o.rise_m, sigma_m=o.sigma_m) if i % 2 else o
        for i, o in enumerate(EXAMPLE_12_1)
    ]
    net = adjust_net(turned, fixed={"A": 437.596})
    assert net.level_m("C") == pytest.approx(example_12_1().level_m("C"), abs=1e-9)


def test_wrong_sign_is_seen() -> None:
    """One observation with its sign turned alone makes S0 hundreds of times larger: nothing hides it."""
    wrong = [NetObservation(start="A", end="B", rise_m=-10.509, sigma_m=0.006), *EXAMPLE_12_1[1:]]
    assert (adjust_net(wrong, fixed={"A": 437.596}).s0 or 0) > 300


def test_scaling_the_weights_scales_s0_and_no_level() -> None:
    """S0 depends on the scale of the weights, levels and their standard errors do not."""
    scaled = [
        NetObservation(start=o.start, end=o.end, rise_m=o.rise_m, sigma_m=10 * (o.sigma_m or 0)) for o in EXAMPLE_12_1
    ]
    net = adjust_net(scaled, fixed={"A": 437.596})
    assert net.s0 == pytest.approx((example_12_1().s0 or 0) / 10, rel=1e-9)
    assert net.marks[0].sigma_m == pytest.approx(example_12_1().marks[0].sigma_m, rel=1e-9)


def test_loop_without_a_held_mark_is_refused_by_name() -> None:
    """Rank deficiency is reported, not hidden in a pseudo-inverse."""
    with pytest.raises(InputError, match="A, B, C, D"):
        adjust_net(EXAMPLE_12_1, fixed={})


def test_held_marks_get_no_unknown() -> None:
    """With A and C held, A-C has a residual that is fixed by them and no level is adjusted for either."""
    net = adjust_net(EXAMPLE_12_1, fixed={"A": 437.596, "C": 453.4685})
    assert [m.id for m in net.marks] == ["B", "D"]
    assert net.residuals_m[5] == pytest.approx(453.4685 - 437.596 - 15.881, abs=1e-9)


def test_short_reading_in_feet_and_inches() -> None:
    """4 ft 7 3/8 in is 4.615 ft; common practice, no source."""
    book = read_book("point,backsight,foresight\nBM,4' 7 3/8\",\nP,,0' 0\"\n", file="book.csv", rod="ft-in")
    check(Row(lambda: feet(reduce([book], datum=None), "P"), "4.615", "common practice, no source"))
