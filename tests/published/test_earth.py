"""Soil: cuttings of a railway, slopes of a code, swell, against printed and independently computed values."""

from __future__ import annotations

import itertools
import math

import pytest
from msgspec.structs import replace
from tests.published.rows import Row, check
from tests.shape import sample

from rillwright.earth import (
    above_line_m,
    bank_m3,
    cut_area_m2,
    loose_m3,
    move_earth,
    prismoid_m3,
    root_radius_m,
    shrink_of,
    swell_of,
    truckloads,
)
from rillwright.earth.section import stream_earth
from rillwright.feature import Reach
from rillwright.shape import LongSection, shape
from rillwright.sources import soil
from rillwright.units import parse

FT = 0.3048
OSHA = "29 CFR 1926 subpart P, appendix B, table B-1, by a public mirror"
VOSE = "Vose 1857, Handbook of Railroad Construction, art. 108"
FM = "US Army FM 5-434, soil conversion (from memory)"
FHWA = "FHWA Project Development and Design Manual 9.4.C: 25 percent is a swell factor of 1.25"
FHWA_SHRINK = FHWA + ", a shrink factor of 1 / 1.25; others subtract and have 0.75"

CLAY = "a worked exercise on a public page: clay 3,000 bank, 2,310 loose, 3,750 placed lb/cu yd"
ESTIMATING = "an estimating text, examples 9-2 and 9-3, on a public page"
AREAS = "a public page: 100 ft between areas of 150, 190 and 250 ft2; its own text misprints 716.4"
SWELLS = "a table that cites Mireles, Alaska DOT 1983, Abel 1961"
BS = "BS 5837:2012, 4.6 (from memory)"
CU_YD = 0.9144**3
CU_FT = FT**3

DEPTHS_FT = (0.0, 5.0, 10.0, 15.0, 0.0)  # every 50 ft; base 20 ft, sides 1 1/2 across to 1 up
SIDE = 1 / 1.5


def area_ft2(depth_ft: float) -> float:
    return cut_area_m2(20 * FT, depth_ft * FT, up_per_across=SIDE) / FT**2


def cutting_ft3() -> float:
    """The railway's cutting as a stream of one bed 200 ft long and 20 ft wide, its ground so far above the dig."""
    stream = sample.four_drops().streams[0]
    first = stream.links[0]
    assert isinstance(first, Reach)
    bed = replace(first, length_m=200 * FT, width_m=20 * FT, bank_m=0.0, pitch_m=0.0)
    ground = tuple((50.0 * FT * i, depth * FT) for i, depth in enumerate(DEPTHS_FT))
    section = LongSection(
        stream=stream.id,
        length_m=200 * FT,
        ground=ground,
        ground_guessed=False,
        dig=((0.0, 0.0), (200 * FT, 0.0)),
        liner=(),
        bed=(),
        stones=(),
    )
    bed = replace(bed, bed_start=sample.level(-1.0), bed_end=sample.level(-1.0))  # banks below ground: nothing to fill
    found = stream_earth(replace(stream, links=(bed,)), section, cut_side=SIDE, crest_m=0.3, fill_side=1.0)
    assert found.fill_m3 == 0.0
    assert found.deepest_m == pytest.approx(15 * FT)
    return found.cut_m3 / FT**3


def end_area_ft3() -> float:
    areas = [area_ft2(depth) for depth in DEPTHS_FT]
    return sum(50 * 0.5 * (a + b) for a, b in itertools.pairwise(areas))


def angle_deg(key: str) -> float:
    return math.degrees(math.atan(soil(key).up_per_across))


def top_width_ft(key: str) -> float:
    """Top of a cut 4 ft deep with a 3 ft floor, from its area: mean width is half of floor and top."""
    return 2.0 * cut_area_m2(3 * FT, 4 * FT, up_per_across=soil(key).up_per_across) / (4 * FT**2) - 3.0


ROWS = {
    "cut 10 ft": Row(lambda: area_ft2(10), "350", VOSE, seen=True),
    "cut 5 ft": Row(lambda: area_ft2(5), "137.5", VOSE + " (printed 137)", seen=True),
    "cut 15 ft": Row(lambda: area_ft2(15), "637.5", VOSE + " (printed 637)", seen=True),
    "by end areas": Row(end_area_ft3, "56250", VOSE + " (printed 56,200; exact computed)", seen=True),
    "by prismoids": Row(cutting_ft3, "52500", VOSE + "; prismoidal, computed independently"),
    "type A": Row(lambda: angle_deg("type A"), "53.13", OSHA + ": 3/4 to 1, 53 degrees", seen=True),
    "type B": Row(lambda: angle_deg("type B"), "45", OSHA + ": 1 to 1, 45 degrees", seen=True),
    "type C": Row(lambda: angle_deg("type C"), "33.69", OSHA + ": 1 1/2 to 1, 34 degrees", seen=True),
    "not classed": Row(lambda: angle_deg("unknown"), "33.69", OSHA + ": as type C", seen=True),
    "rock": Row(lambda: angle_deg("rock"), "90", OSHA + ": vertical", seen=True),
    "top width, type A": Row(lambda: top_width_ft("type A"), "9.0", "3 ft + 2 x 4 ft x 3/4, computed"),
    "top width, type B": Row(lambda: top_width_ft("type B"), "11.0", "3 ft + 2 x 4 ft x 1, computed"),
    "top width, type C": Row(lambda: top_width_ft("type C"), "15.0", "3 ft + 2 x 4 ft x 1 1/2, computed"),
    "three areas": Row(lambda: prismoid_m3(100, areas_m2=(150, 190, 250)), "19333.3", AREAS, seen=True),
    "three areas, cu yd": Row(lambda: prismoid_m3(100, areas_m2=(150, 190, 250)) / 27, "716.05", AREAS + ", computed"),
    "end areas are 3.4 % more": Row(
        lambda: 100 * (50 * (150 + 250) / prismoid_m3(100, areas_m2=(150, 190, 250)) - 1), "3.4", AREAS, seen=True
    ),
    "clay swells": Row(lambda: 100 * (swell_of(3000, 2310) - 1), "29.87", CLAY + ": swell", seen=True),
    "clay shrinks": Row(lambda: 100 * (1 - shrink_of(3000, 3750)), "20.0", CLAY + ": shrink", seen=True),
    "load factor": Row(lambda: 1 / swell_of(3000, 2310), "0.770", CLAY + ": load factor", seen=True),
    "165,000 cu ft, loose": Row(
        lambda: loose_m3(165000 * CU_FT, swell_of(3000, 2310)) / CU_YD, "7937", CLAY + ", computed"
    ),
    "in trucks of 12": Row(
        lambda: truckloads(loose_m3(165000 * CU_FT, swell_of(3000, 2310)), 12 * CU_YD), "662", CLAY + ", computed"
    ),
    "1,000 cu yd of dense clay": Row(lambda: loose_m3(1000.0, 1.30), "1300", ESTIMATING, seen=True),
    "in trucks of 7": Row(lambda: truckloads(loose_m3(1000.0, 1.30), 7.0), "186", ESTIMATING, seen=True),
    "500 placed, of sand and gravel": Row(lambda: bank_m3(500.0, 0.95), "526", ESTIMATING, seen=True),
    "that in trucks of 7": Row(
        lambda: truckloads(loose_m3(bank_m3(500.0, 0.95), 1.15), 7.0), "87", ESTIMATING + ", computed"
    ),
    "FHWA, 25 percent": Row(lambda: swell_of(1.25, 1.0), "1.25", FHWA, seen=True),
    "FHWA, shrink factor of 25 percent": Row(lambda: bank_m3(1.0, swell_of(1.25, 1.0)), "0.8", FHWA_SHRINK, seen=True),
    "165,000 cu ft, bank": Row(
        lambda: parse("165000 cu ft", "volume").si / parse("1 cu yd", "volume").si, "6111", CLAY + ", computed"
    ),
    "500 placed, loose": Row(lambda: loose_m3(bank_m3(500.0, 0.95), 1.15), "605", ESTIMATING + ", computed"),
    "rock, between granite's 70 and limestone's 60": Row(
        lambda: 100 * (soil("rock").swell - 1), "65", SWELLS + ": gneiss 65", seen=True
    ),
    "rock placed": Row(lambda: soil("rock").shrink, "1.30", FM),
    "gravel placed, as sand": Row(lambda: soil("gravel").shrink, "0.95", FM),
    "cut 2 1/2 ft": Row(lambda: area_ft2(2.5), "59.4", VOSE + ": middle, exact (printed 59)"),
    "cut 7 1/2 ft": Row(lambda: area_ft2(7.5), "234.4", VOSE + ": middle, exact (printed 236)"),
    "cut 12 1/2 ft": Row(lambda: area_ft2(12.5), "484.4", VOSE + ": middle, exact (printed 483)"),
    "by end areas, cu yd": Row(lambda: end_area_ft3() / 27, "2083.3", VOSE + ", computed"),
    "by prismoids, cu yd": Row(lambda: cutting_ft3() / 27, "1944.4", VOSE + ", computed"),
    "damp clay": Row(lambda: 100 * (soil("clay").swell - 1), "40", SWELLS, seen=True),
    "dry gravel": Row(lambda: 100 * (soil("gravel").swell - 1), "15", SWELLS, seen=True),
    "sand placed": Row(lambda: soil("sand").shrink, "0.95", FM),
    "common earth placed": Row(lambda: soil("loam").shrink, "0.90", FM),
    "clay placed": Row(lambda: soil("clay").shrink, "0.90", FM),
    "roots of a trunk of 40 cm": Row(lambda: root_radius_m(0.40, trunks=12.0, most_m=15.0), "4.8", BS),
    "roots of a trunk of 1.5 m": Row(lambda: root_radius_m(1.50, trunks=12.0, most_m=15.0), "15", BS),
    "common earth": Row(lambda: soil("loam").swell, "1.25", FM),
    "sand": Row(lambda: soil("sand").swell, "1.11", FM),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


@pytest.mark.parametrize(("key", "swell"), [("loam", 1.25), ("sand", 1.11), ("unknown", 1.25)])
def test_what_is_carted_away_is_loose(key: str, swell: float) -> None:
    """Loose is bank times swell, as FHWA and FM 5-434 have it; it is not bank divided by (1 - swell)."""
    feature = sample.four_drops()
    feature = replace(feature, site=replace(feature.site, soil=key))
    earth = move_earth(feature, shape(feature))
    dug = sum(dig.bank_m3 for dig in earth.digs)
    shrink = {"sand": 0.95}.get(key, 0.90)
    left = dug - earth.berm_fill_m3 / shrink + earth.brought_in_m3
    assert earth.soil_out_m3 == pytest.approx(swell * left, abs=1e-9), FHWA


def test_berms_that_take_more_than_is_dug_have_soil_brought_in() -> None:
    """Nothing is left to cart away, and never less than nothing: what is dug and brought in makes the fill."""
    feature = sample.four_drops()
    high = replace(feature.bodies[0], rims=tuple(replace(rim, berm_m=2.0) for rim in feature.bodies[0].rims))
    built_up = replace(feature, bodies=(high, *feature.bodies[1:]))
    earth = move_earth(built_up, shape(built_up))
    assert earth.soil_out_m3 == 0.0
    assert earth.brought_in_m3 > 0.0
    assert 0.90 * (earth.berm_bank_m3 + earth.brought_in_m3) == pytest.approx(earth.berm_fill_m3)


def test_one_to_one_line_from_a_footing() -> None:
    """Common practice, no source: 3 ft away from a base at 2 ft below datum, digging to 5 ft below just meets it."""
    assert above_line_m(base_m=-2 * FT, distance_m=3 * FT, dig_m=-5 * FT) == pytest.approx(0.0)
    assert above_line_m(base_m=-2 * FT, distance_m=3 * FT, dig_m=-4 * FT) == pytest.approx(FT)
    assert above_line_m(base_m=-2 * FT, distance_m=1 * FT, dig_m=-4 * FT) == pytest.approx(-FT)


@pytest.mark.parametrize(("volume", "loads"), [(0.0, 0), (6.999, 1), (7.0, 1), (7.0 + 1e-12, 1), (7.001, 2), (21.0, 3)])
def test_loads_are_rounded_up_and_an_exact_multiple_is_no_load_more(volume: float, loads: int) -> None:
    """Common practice, no source."""
    assert truckloads(volume, 7.0) == loads


def test_loads_of_a_feature() -> None:
    """Common practice, no source: 10 loose cubic yards on a truck."""
    earth = move_earth(sample.four_drops(), shape(sample.four_drops()))
    assert earth.truckloads == math.ceil(earth.soil_out_m3 / (10 * CU_YD))


@pytest.mark.parametrize("key", ["loam", "sand", "clay", "gravel", "rock", "unknown"])
def test_what_is_dug_leaves_or_lies_in_the_berms(key: str) -> None:
    """Bank volume is kept: out over swell, and fill over shrink less what is brought, make the dig."""
    feature = sample.four_drops()
    feature = replace(feature, site=replace(feature.site, soil=key))
    earth = move_earth(feature, shape(feature))
    row = soil(key)
    bank = earth.soil_out_m3 / row.swell + earth.berm_fill_m3 / row.shrink - earth.brought_in_m3
    assert bank == pytest.approx(sum(dig.bank_m3 for dig in earth.digs))
