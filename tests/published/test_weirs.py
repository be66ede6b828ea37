"""Flow over crests against printed values; gravity is that of each page.

'Computed independently' rows were worked out by plain arithmetic apart from this code.
"""

from __future__ import annotations

import math

import pytest
from tests.published.rows import Row, check

from rillwright.hydraulics import (
    FRANCIS_C,
    ROUGH_CREST_C,
    broad_crest_coefficient,
    broad_crest_ideal,
    broad_crest_square_edge,
    critical_depth,
    flow_on_crest,
    francis,
    head_on_crest,
    kindsvater_carter,
    kindsvater_carter_coefficients,
    rehbock,
    rough_lip,
    submerged_share,
    tilt_flow_ratio,
    weber_number,
)

G = 9.81
FT = 0.3048
INCH = 0.0254
US_GAL = 3.785411784e-3
GPH_PER_INCH = US_GAL / 3600 / INCH  # [m2/s]
SWMM = "SWMM Reference Manual Vol. II"
COMPUTED = "computed independently"


def _us_broad(head_ft: float, breadth_ft: float) -> float:
    return float(broad_crest_coefficient(head_ft * FT, breadth_ft * FT).c / FT**0.5)


def _added_head_ft() -> float:
    """kh [ft], solved from the flows at two heads over a crest so high that only (h + kh)^1.5 counts."""
    low, high = (kindsvater_carter(head, 1.0, crest_height_m=1e9).flow_m3s for head in (0.03, 0.06))
    ratio = math.pow(high / low, 2 / 3)
    return (0.06 - ratio * 0.03) / (ratio - 1.0) / FT


ROWS = {
    "3.33 ft^0.5 in SI": Row(lambda: 3.33 * FT**0.5, "1.83845", COMPUTED),
    "Francis in feet": Row(lambda: FRANCIS_C / FT**0.5, "3.33", f"{SWMM} sec. 6.3.2", seen=True),
    "ideal broad crest 1.7049": Row(lambda: broad_crest_ideal(1, 1, gravity_ms2=G).flow_m3s, "1.7049", COMPUTED),
    "ideal broad crest 3.087 US": Row(
        lambda: broad_crest_ideal(1, 1, gravity_ms2=32.174 * FT).flow_m3s / FT**0.5,
        "3.09",
        "San Diego State Univ., CIVE 530, solved midterms: 3.087, 3.09",
        seen=True,
    ),
    "square-edged broad crest 1.473": Row(
        lambda: broad_crest_square_edge(
            0.2, 1, crest_length_m=1, crest_height_m=1, gravity_ms2=G
        ).flow_m3s / 0.2**1.5,
        "1.473",
        "ISO 3846, from memory",
    ),
    "K-C c1 at full width": Row(lambda: kindsvater_carter_coefficients(1.0)[0], "0.0748", COMPUTED),
    "K-C c2 at full width": Row(lambda: kindsvater_carter_coefficients(1.0)[1], "0.6021", COMPUTED),
    "1a Kindsvater-Carter": Row(
        lambda: kindsvater_carter(0.3, 2, crest_height_m=0.4, width_correction_m=-0.001).flow_m3s,
        "0.641560",
        "fluids 1.3, Q_weir_rectangular_full_Kindsvater_Carter docstring (g 9.80665, kb -0.001)",
        seen=True,
    ),
    "1b Rehbock": Row(
        lambda: rehbock(0.3, 2, crest_height_m=0.4).flow_m3s,
        "0.648686",
        "fluids 1.3, Q_weir_rectangular_full_Rehbock docstring (g 9.80665)",
        seen=True,
    ),
    "W4 kh in feet": Row(_added_head_ft, "0.003", "USBR Water Measurement Manual, ch. 7 sec. 6", seen=True),
    "1d Francis": Row(lambda: francis(0.05, 1).flow_m3s, "0.020572", COMPUTED),
    "1d Francis in feet": Row(lambda: francis(0.05, 1, coefficient=3.33 * FT**0.5).flow_m3s, "0.020554", COMPUTED),
    "1e ideal broad crest": Row(lambda: broad_crest_ideal(0.05, 1, gravity_ms2=G).flow_m3s, "0.019061", COMPUTED),
    "1f broad table, C": Row(lambda: _us_broad(0.2, 1.0), "2.69", f"{SWMM} table 6-3 (Brater & King)", seen=True),
    "1f broad table, cfs/ft": Row(lambda: _us_broad(0.2, 1.0) * 0.2**1.5, "0.24060", COMPUTED),
    "1f broad table, m2/s": Row(
        lambda: flow_on_crest(0.2 * FT, 1, broad_crest_coefficient(0.2 * FT, FT).c), "0.022353", COMPUTED
    ),
    "1g Villemonte 0.5": Row(lambda: submerged_share(0.5, 1), "0.84539", f"{SWMM} eq. 6-26, {COMPUTED}", seen=True),
    "1g Villemonte 0.8": Row(lambda: submerged_share(0.8, 1), "0.61631", f"{SWMM} eq. 6-26, {COMPUTED}", seen=True),
    "bridge deck 2.6 US": Row(lambda: ROUGH_CREST_C, "1.435", "HEC-RAS 1-D Technical Reference", seen=True),
    "embankment 3.0 US": Row(lambda: 3.0 * FT**0.5, "1.656", "HEC-RAS 1-D Technical Reference", seen=True),
    "Weber at 10 mm": Row(lambda: weber_number(0.010, gravity_ms2=G), "13", COMPUTED),
    "Weber at 30 mm": Row(lambda: weber_number(0.030, gravity_ms2=G), "121", COMPUTED),
    "1/4 in out under 100 gph per inch": Row(
        lambda: tilt_flow_ratio(head_on_crest(100 * GPH_PER_INCH, 1, 1.6375), 0.25 * INCH) or 0.0,
        "1.7",
        "common practice, no source",
    ),
}  # fmt: skip


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


BROAD_TABLE = """
0.2: 2.80 2.75 2.69 2.62 2.54 2.44 2.34
0.4: 2.92 2.80 2.72 2.64 2.61 2.58 2.50
0.6: 3.08 2.89 2.75 2.64 2.61 2.68 2.70
1.0: 3.32 3.14 2.98 2.75 2.66 2.65 2.68
"""
BREADTHS = (0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0)
CELLS = [
    (float(line.split(":")[0]), breadth, printed)
    for line in BROAD_TABLE.split("\n")
    if line
    for breadth, printed in zip(BREADTHS, line.split(":")[1].split(), strict=True)
]


@pytest.mark.parametrize(("head_ft", "breadth_ft", "printed"), CELLS)
def test_broad_crest_table(head_ft: float, breadth_ft: float, printed: str) -> None:
    check(Row(lambda: _us_broad(head_ft, breadth_ft), printed, f"{SWMM} table 6-3 (Brater & King)", seen=True))


CONTRACTED_TABLE = (
    ("0.2", "-0.0087", "3.152"), ("0.4", "0.0317", "3.164"), ("0.5", "0.0612", "3.173"), ("0.6", "0.0995", "3.178"),
    ("0.7", "0.1602", "3.182"), ("0.8", "0.2376", "3.189"), ("0.9", "0.3447", "3.205"), ("1.0", "0.4000", "3.220"),
)  # fmt: skip


@pytest.mark.parametrize(("share", "c1", "c2"), CONTRACTED_TABLE)
def test_kindsvater_carter_table(share: str, c1: str, c2: str) -> None:
    us = 2 / 3 * math.sqrt(2 * 9.80665 / FT)
    ours = kindsvater_carter_coefficients(float(share))
    check(Row(lambda: ours[0] * us, c1, f"{SWMM} table 6-2", seen=True))
    check(Row(lambda: ours[1] * us, c2, f"{SWMM} table 6-2", seen=True))


@pytest.mark.parametrize(
    ("name", "ours", "low", "high"),
    [
        ("Kindsvater-Carter, ISO kb", kindsvater_carter(0.1, 1, crest_height_m=0.3, gravity_ms2=G), 0.059377, 0.059377),
        (
            "Kindsvater-Carter, kb -0.001",
            kindsvater_carter(0.1, 1, crest_height_m=0.3, width_correction_m=-0.001),
            0.059361,
            0.059361,
        ),
        ("Rehbock", rehbock(0.1, 1, crest_height_m=0.3), 0.05986, 0.0599),
        ("Francis", francis(0.1, 1, crest_height_m=0.3), 0.058186, 0.058186),
    ],
)
def test_1c_at_one_head(name: str, ours: object, low: float, high: float) -> None:
    """Computed independently, 1e-4 relative: 0.10 m of water, crest 0.30 m high and 1 m wide."""
    flow = getattr(ours, "flow_m3s")  # noqa: B009
    assert low * (1 - 1e-4) <= flow <= high * (1 + 1e-4), name


def test_1c_methods_agree_within_3_percent() -> None:
    """Computed independently: Francis, Kindsvater-Carter and Rehbock at 0.10 m of water."""
    flows = [
        francis(0.1, 1).flow_m3s,
        kindsvater_carter(0.1, 1, crest_height_m=0.3).flow_m3s,
        rehbock(0.1, 1, crest_height_m=0.3).flow_m3s,
    ]
    assert max(flows) / min(flows) < 1.03


# Head [in]; US gal/h per inch and L/min per inch for C 1.84, ideal broad, 2.6 US. Computed independently.
PER_INCH = (
    (0.25, "22.5", "1.42", "20.8", "1.31", "17.5", "1.11"),
    (0.5, "63.6", "4.01", "58.9", "3.72", "49.6", "3.13"),
    (0.75, "116.9", "7.37", "108.3", "6.83", "91.2", "5.75"),
    (1.0, "179.9", "11.35", "166.7", "10.52", "140.4", "8.86"),
    (1.5, "330.5", "20.85", "306.3", "19.32", "257.9", "16.27"),
    (2.0, "508.9", "32.11", "471.5", "29.75", "397.0", "25.05"),
)


@pytest.mark.parametrize("row", PER_INCH, ids=lambda row: f"{row[0]} in")
def test_flow_per_inch_of_crest(row: tuple[float, str, str, str, str, str, str]) -> None:
    head_m = row[0] * INCH
    flows = (
        francis(head_m, INCH).flow_m3s,
        broad_crest_ideal(head_m, INCH, gravity_ms2=G).flow_m3s,
        flow_on_crest(head_m, INCH, 2.6 * FT**0.5),
    )
    pairs = zip(flows, row[1::2], row[2::2], strict=True)
    for flow, gallons_an_hour, litres_a_minute in pairs:
        _near(flow / US_GAL * 3600, str(gallons_an_hour))
        _near(flow * 60000, str(litres_a_minute))


def _near(value: float, printed: str) -> None:
    check(Row(lambda: value, printed, COMPUTED))


@pytest.mark.parametrize(
    ("gph", "head_mm", "critical_mm"),
    [(100, "17.2", "12.0"), (150, "22.5", "15.8"), (200, "27.3", "19.1"), (300, "35.7", "25.1")],
)
def test_water_on_the_crest_per_inch(gph: float, head_mm: str, critical_mm: str) -> None:
    q = gph * GPH_PER_INCH
    check(Row(lambda: head_on_crest(q, 1, 1.84) * 1000, head_mm, COMPUTED))
    check(Row(lambda: critical_depth(q, gravity_ms2=G) * 1000, critical_mm, COMPUTED))


def test_everett_form_agrees_with_kindsvater_carter() -> None:
    """C = 3.27 + 0.40 H/P with two contractions, (L - 0.2 H): city stormwater manual Vol. III fig. 3.2.13, Dec 2014."""
    head_ft, length_ft, crest_ft = 0.5, 4.0, 2.0
    printed_cfs = (3.27 + 0.40 * head_ft / crest_ft) * (length_ft - 0.2 * head_ft) * head_ft**1.5
    ours = francis(
        head_ft * FT, length_ft * FT, contractions=2, coefficient=(3.27 + 0.40 * head_ft / crest_ft) * FT**0.5
    )
    assert ours.flow_m3s / FT**3 == pytest.approx(printed_cfs, rel=1e-12)
    full = kindsvater_carter(head_ft * FT, length_ft * FT, crest_height_m=crest_ft * FT, width_ratio=0.5)
    assert full.flow_m3s / FT**3 == pytest.approx(printed_cfs, rel=0.03)


def test_garden_heads_lie_below_every_published_range() -> None:
    """30 mm: ISO 1438, from memory, and the limits fluids prints; 0.2 ft: classic texts, from memory."""
    for head_m in (0.005, 0.012, 0.029):
        assert "range" in francis(head_m, 1).outside
        assert "range" in kindsvater_carter(head_m, 1, crest_height_m=0.3).outside
        assert "range" in rehbock(head_m, 1, crest_height_m=0.3).outside
        assert broad_crest_ideal(head_m, 1).outside
        assert rough_lip().outside(head_m)
    assert not francis(0.07, 1, crest_height_m=0.3).outside
    assert not kindsvater_carter(0.03, 1, crest_height_m=0.3).outside


def test_brink_is_not_the_head() -> None:
    """The depth read at the lip, 0.715 of critical (Rouse, from memory), gives a third of the flow."""
    q = 0.02
    brink = 0.715 * critical_depth(q, gravity_ms2=G)
    assert broad_crest_ideal(brink, 1, gravity_ms2=G).flow_m3s / q == pytest.approx(0.329, abs=0.0005)
