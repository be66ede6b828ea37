"""Tables against what is printed, and against one another."""

from __future__ import annotations

import math

import pytest
from tests.published.rows import Row, check

from rillwright import sources

_INCH_M = 0.0254  # NIST SP 811, a definition
_OUNCE_KG = 0.45359237 / 16
_C33 = "ASTM C33 table 3"
_SWMM = "US EPA, SWMM Reference Manual Vol. II"
_OSHA = "OSHA 29 CFR 1926 Subpart P, Appendix B table B-1"


def _number(name: str) -> float:
    return sources.default(name).number


def _inch(name: str) -> sources.PipeSize:
    return next(pipe for pipe in sources.pipes_inch() if pipe.name == name)


def _inside_in(name: str) -> float:
    return _inch(name).inside_m / _INCH_M


def _angle_deg(key: str) -> float:
    return math.degrees(math.atan(sources.soil(key).up_per_across))


def _c1_ratio(index: int) -> float:
    return sources.contracted_crest_table()[index].c1 / (2 / 3 * math.sqrt(2 * 9.80665))


ROWS = {
    "liner lb/sq ft": Row(lambda: _number("liner.mass"), "1.4", "data sheet of 45 mil EPDM, ASTM D751", True),
    "liner mm": Row(lambda: _number("liner.thickness") * 1000, "1.14", "data sheet of 45 mil EPDM", True),
    "45 mil 30 x 50 ft lb": Row(
        lambda: _number("liner.mass") * 30 * 50 * 0.3048**2 / 0.45359237,
        "435",
        "data sheet's mass by area, computed",
        True,
    ),
    "felt 8 oz/sq yd in g": Row(lambda: _number("underlay.mass") * 1000, "271", "NIST SP 811: ounce and yard", False),
    "gph per inch": Row(lambda: _number("flow.quiet") * 1e5, "413.98", "NIST SP 811: US gallon and inch", False),
    "gravel from solid": Row(
        lambda: _number("gravel.density") / _number("stone.density"),
        "0.61",
        "1 - voids of 0.394: crushed one-size stone 100 lb/cu ft of 165, public page",
        True,
    ),
    "C 2.6 ft": Row(lambda: _number("crest.c_low") / math.sqrt(0.3048), "2.60", "HEC-RAS, bridge deck", True),
    "C 3.33 ft": Row(lambda: _number("crest.c_high") / math.sqrt(0.3048), "3.33", f"{_SWMM} 6.3.2", True),
    "roughness ft": Row(lambda: _number("pipe.roughness") / 0.3048 * 1e3, "0.005", "EPANET 2.2 manual table 3.2", True),
    "1 1/2 in": Row(lambda: _inside_in("1 1/2 in"), "1.590", "PVC Schedule 40, ASTM D1785, public table", True),
    "2 in": Row(lambda: _inside_in("2 in"), "2.047", "PVC Schedule 40, ASTM D1785, public table", True),
    "3 in": Row(lambda: _inside_in("3 in"), "3.042", "PVC Schedule 40, ASTM D1785, public table", True),
    "4 in": Row(lambda: _inside_in("4 in"), "3.998", "PVC Schedule 40, ASTM D1785, public table", True),
    "type A deg": Row(lambda: _angle_deg("type A"), "53", _OSHA, True),
    "type B deg": Row(lambda: _angle_deg("type B"), "45", _OSHA, True),
    "type C deg": Row(lambda: _angle_deg("type C"), "34", _OSHA, True),
    "no class deg": Row(lambda: _angle_deg("unknown"), "34", _OSHA, True),
    "c1 to 0.075": Row(lambda: _c1_ratio(-1), "0.075", "ISO 1438 form, constant from memory", False),
    "c2 to 0.602": Row(
        lambda: sources.contracted_crest_table()[-1].c2 / (2 / 3 * math.sqrt(2 * 9.80665)),
        "0.602",
        "ISO 1438 form",
        False,
    ),
    "10 km third order mm": Row(
        lambda: sources.misclosure_rule("third order").allowed_m(10_000) * 1000, "37.95", "12 mm by root km", False
    ),
    "10 km class I mm": Row(
        lambda: sources.misclosure_rule("second order class I").allowed_m(10_000) * 1000,
        "19.0",
        "6 mm by root km",
        False,
    ),
    "300 ft at 0.05 ft root mile": Row(
        lambda: sources.misclosure_rule("third order us").allowed_m(300 * 0.3048) / 0.3048,
        "0.0119",
        "0.05 ft by root mile, public pages",
        True,
    ),
    "construction in ft root mile": Row(
        lambda: sources.misclosure_rule("construction").allowed_m(5280 * 0.3048) / 0.3048,
        "0.1",
        "EM 1110-1-1005: 0.1 ft by root mile, from memory",
        False,
    ),
    "atmosphere 1500 m": Row(lambda: sources.atmosphere(1500) / 101325, "0.83450", "ISO 2533 form, from memory", False),
    "atmosphere 500 m": Row(lambda: sources.atmosphere(500) / 101325, "0.94213", "ISO 2533 form, from memory", False),
    "1500 m Pa": Row(lambda: sources.atmosphere(1500) / 1000, "84.556", "ISO 2533, 1500 m", False),
    "density 20": Row(
        lambda: sources.water_density(20), "998.2", "teaching package of the Santa Clara University", True
    ),
    "vapour 20": Row(lambda: sources.water_vapour_pressure(20) / 1e3, "2.339", "the same package prints 2339 Pa", True),
    "0.3631 psi at 70 F": Row(
        lambda: sources.water_vapour_pressure((70 - 32) / 1.8) / 6894.757,
        "0.36",
        "vapour table of a public page, its misprint 0.6331 mended by its own 0.839 ft",
        True,
    ),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_as_printed(row: Row) -> None:
    check(row)


@pytest.mark.parametrize(
    ("kind", "printed"),
    [
        ("globe valve", "10.0"),
        ("angle valve", "5.0"),
        ("swing check", "2.5"),
        ("gate", "0.2"),
        ("short elbow", "0.9"),
        ("medium elbow", "0.8"),
        ("long elbow", "0.6"),
        ("45 elbow", "0.4"),
        ("closed return", "2.2"),
        ("tee run", "0.6"),
        ("tee branch", "1.8"),
        ("entrance", "0.5"),
        ("exit", "1.0"),
    ],
)
def test_fittings_as_printed(kind: str, printed: str) -> None:
    check(Row(lambda: sources.fitting(kind).k, printed, "EPANET 2.2 User Manual, table 3.3", True))


def test_fittings_are_all_of_the_table_and_may_be_spelt_otherwise() -> None:
    assert len(sources.fittings()) == 13
    assert sources.fitting("Swing-check valve") is sources.fitting("swing_check")
    assert sources.fitting("elbow").kind == "short elbow"


@pytest.mark.parametrize(
    ("outside_in", "wall_in", "tolerance_in", "size"),
    [
        (1.050, 0.113, 0.020, "3/4 in"),
        (1.315, 0.133, 0.020, "1 in"),
        (1.660, 0.140, 0.020, "1 1/4 in"),
        (1.900, 0.145, 0.020, "1 1/2 in"),
        (2.375, 0.154, 0.020, "2 in"),
        (3.500, 0.216, 0.026, "3 in"),
        (4.500, 0.237, 0.028, "4 in"),
        (6.625, 0.280, 0.034, "6 in"),
    ],
)
def test_average_inside_is_outside_less_the_mean_wall(
    outside_in: float, wall_in: float, tolerance_in: float, size: str
) -> None:
    """ASTM D1785: diameters and least walls seen (tolerances from memory)."""
    pipe = _inch(size)
    assert pipe.outside_m == pytest.approx(outside_in * _INCH_M, abs=1e-9)
    assert pipe.inside_m / _INCH_M == pytest.approx(outside_in - 2 * (wall_in + tolerance_in / 2), abs=5e-4)
    assert pipe.seen


def test_3_in_wall_limits_give_the_mean_inside() -> None:
    """ASTM D1785-88 in millimetres (seen): outside 88.70 to 89.10, wall 5.49 to 6.15, so 77.26 inside."""
    inside = (88.70 + 89.10) / 2 - (5.49 + 6.15)
    assert _inch("3 in").inside_m * 1000 == pytest.approx(inside, abs=0.03)


@pytest.mark.parametrize("pipe", sources.pipes_metric(), ids=lambda pipe: pipe.name)
def test_metric_walls_are_sdr_17(pipe: sources.PipeSize) -> None:
    """EN 12201-2: the least wall is the diameter over 17, rounded up to 0.1 mm (2.0 mm at least)."""
    nominal = float(pipe.name.split()[0])
    assert pipe.wall_m * 1000 >= nominal / 17 - 0.06
    assert pipe.wall_m * 1000 <= nominal / 17 + 0.15
    assert nominal - 2 * pipe.wall_m * 1000 > pipe.inside_m * 1000 > 0.95 * (nominal - 2 * pipe.wall_m * 1000)


def test_pipes_rise() -> None:
    for table in (sources.pipes_inch(), sources.pipes_metric()):
        assert [pipe.inside_m for pipe in table] == sorted(pipe.inside_m for pipe in table)
        assert len({pipe.name for pipe in table}) == len(table)


def test_broad_crest_as_printed() -> None:
    """Brater and King in the SWMM Reference Manual Vol. II, table 6-3 (seen)."""
    table = sources.broad_crest_table()
    assert table.heads_m[0] == pytest.approx(0.2 * 0.3048)
    assert table.breadths_m[2] == pytest.approx(0.3048)
    us = [[c / math.sqrt(0.3048) for c in line] for line in table.c]
    assert us[0] == pytest.approx([2.80, 2.75, 2.69, 2.62, 2.54, 2.44, 2.34])
    assert us[3][0] == pytest.approx(3.32)
    # 0.2 ft on a crest 1 ft broad: 0.24060 cfs a foot is 0.022353 m2/s
    assert table.c[0][2] * table.heads_m[0] ** 1.5 == pytest.approx(0.022353, abs=1e-6)


def test_crest_band_is_inside_what_weirs_do() -> None:
    """The band of a stone crest spans the ideal broad crest, (2/3)^1.5 sqrt(g) = 1.705 (SDSU CIVE 530, seen)."""
    ideal = (2 / 3) ** 1.5 * math.sqrt(sources.STANDARD_GRAVITY_MS2)
    assert _number("crest.c_low") < ideal < _number("crest.c_high")


def test_soils_flattest_is_unknown() -> None:
    assert sources.soil("unknown").up_per_across == min(soil.up_per_across for soil in sources.soils())
    assert math.isinf(sources.soil("rock").up_per_across)
    assert all(soil.swell >= 1 for soil in sources.soils())


@pytest.mark.parametrize("gravel", sources.gradations(), ids=lambda gravel: gravel.number)
def test_gradations_are_envelopes(gravel: sources.Gradation) -> None:
    openings = [opening for opening, _, _ in gravel.sieves]
    assert openings == sorted(openings, reverse=True)
    assert all(0 <= least <= most <= 1 for _, least, most in gravel.sieves)
    for end in (1, 2):
        passing = [sieve[end] for sieve in gravel.sieves]
        assert passing == sorted(passing, reverse=True)
    assert openings[-1] < gravel.median_m < openings[0]


def test_no_57_as_printed() -> None:
    """ASTM C33 No. 57 as a city specification quotes it (seen): 1 in 95-100, 1/2 in 25-60, No. 4 0-10."""
    sieves = {round(opening * 1000, 2): (least, most) for opening, least, most in sources.gradation("57").sieves}
    assert sieves == {37.5: (1, 1), 25: (0.95, 1), 12.5: (0.25, 0.6), 4.75: (0, 0.1), 2.36: (0, 0.05)}
    assert 0.0125 < sources.gradation("57").median_m < 0.025  # 25-60 pass 12.5 mm, so half is just above it


def test_gravel_default_is_near_its_grading() -> None:
    assert sources.gradation("57").median_m == pytest.approx(_number("stream.grain"), rel=0.15)


def test_rock_densities_hold_the_default() -> None:
    assert {rock.rock for rock in sources.rock_densities()} == {"granite", "limestone", "sandstone", "basalt"}
    for rock in sources.rock_densities():
        assert 2000 < rock.low_kgm3 < rock.high_kgm3 < 3100
    assert 2300 < _number("stone.density") < 2700


@pytest.mark.parametrize(("length_m", "allowed_mm"), [(None, 3.0), (10.0, 3.0), (100.0, 3.79), (1500.0, 14.70)])
def test_garden_rule_has_a_floor(length_m: float | None, allowed_mm: float) -> None:
    """12 mm by root km: 3.79 mm at 100 m, 14.7 mm at 1.5 km; never below what a rod resolves (common practice)."""
    assert sources.misclosure_rule("garden").allowed_m(length_m) * 1000 == pytest.approx(allowed_mm, abs=0.006)


def test_third_order_agrees_in_both_units() -> None:
    metric, us = sources.misclosure_rule("third order"), sources.misclosure_rule("third order us")
    assert metric.m_per_root_m == pytest.approx(us.m_per_root_m, rel=0.005)


def test_machines_are_invented_and_said_to_be() -> None:
    assert len(sources.machines()) == 3
    for machine in sources.machines():
        assert machine.invented
        assert "invented" in machine.note
        assert 0 < machine.lift_radius_m <= machine.reach_m
    assert sources.machine("small loader").width_m < 1


@pytest.mark.parametrize(
    ("temperature_c", "density", "viscosity", "vapour"),
    [
        (5, 999.966, 1.5182, 872.6),
        (12, 999.497, 1.2340, 1403.0),
        (22, 997.770, 0.9544, 2644.9),
        (35, 994.03, 0.7234, 5629.0),
    ],
)
def test_water_between_the_rows(temperature_c: float, density: float, viscosity: float, vapour: float) -> None:
    """Between the rows of the table, against values of IAPWS-95 from memory of steam tables."""
    assert sources.water_density(temperature_c) == pytest.approx(density, abs=0.15)
    assert sources.water_viscosity(temperature_c) * 1e6 == pytest.approx(viscosity, rel=0.005)
    assert sources.water_vapour_pressure(temperature_c) == pytest.approx(vapour, rel=0.006)


def test_water_outside_the_table_is_refused() -> None:
    for call in (sources.water_density, sources.water_viscosity, sources.water_vapour_pressure):
        for temperature in (-0.1, 40.1, math.nan):
            with pytest.raises(ValueError, match="the table goes from 0 to 40"):
                call(temperature)
    with pytest.raises(ValueError, match="11000"):
        sources.atmosphere(12_000)


def test_colder_water_is_thicker_and_warmer_water_boils_sooner() -> None:
    degrees = [t / 2 for t in range(81)]
    thick = [sources.water_viscosity(t) for t in degrees]
    vapour = [sources.water_vapour_pressure(t) for t in degrees]
    assert thick == sorted(thick, reverse=True)
    assert vapour == sorted(vapour)
