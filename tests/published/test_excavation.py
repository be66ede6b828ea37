"""Depths from which a cut asks for more, at and beside the printed edge; the code's figures as our limits hold them."""

from __future__ import annotations

from typing import Any

import pytest
from tests.findings.sample import changed, worst
from tests.published.rows import Row, check

from rillwright.assessment import Severity
from rillwright.sources import default, limit
from rillwright.units import parse

FT = 0.3048
OSHA = "29 CFR 1926 subpart P, by public mirrors of its text"
OK, WATCH, STOP = Severity.OK, Severity.WATCH, Severity.STOP
DIG = "earth.digs.0"

ROWS = {
    "ladder or ramp": Row(lambda: limit("dig.egress_depth").good / FT, "4.00", OSHA + ": 4 ft", seen=True),
    "protection": Row(lambda: limit("dig.protect_depth").good / FT, "5.00", OSHA + ": 5 ft", seen=True),
    "engineer": Row(lambda: limit("dig.engineer_depth").good / FT, "20.00", OSHA + ": 20 ft", seen=True),
    "spoil back": Row(lambda: default("earth.spoil_back").number / FT, "2.00", OSHA + ": 2 ft", seen=True),
}


@pytest.mark.parametrize("row", ROWS.values(), ids=ROWS.keys())
def test_printed(row: Row) -> None:
    check(row)


def hole(depth: str, *, up: float, allowed: float, soil: str) -> dict[str, Any]:
    return {
        f"{DIG}.deepest_m": parse(depth, "length").si,
        f"{DIG}.side_up_per_across": up,
        f"{DIG}.soil_up_per_across": allowed,
        "feature.site.soil": soil,
    }


def steep(depth: str) -> dict[str, Any]:
    """Type B soil cut twice as steep as it may be."""
    return hole(depth, up=2.0, allowed=1.0, soil="type B")


EDGES = (
    ("dig.ladder", "3.99 ft", OK),
    ("dig.ladder", "4 ft", WATCH),  # 4 ft or more
    ("dig.ladder", "4.01 ft", WATCH),
    ("dig.protect", "4.99 ft", OK),  # less than 5 ft
    ("dig.protect", "5 ft", STOP),
    ("dig.protect", "5.01 ft", STOP),
    ("dig.engineer", "19.99 ft", OK),
    ("dig.engineer", "20 ft", OK),  # greater than 20 ft
    ("dig.engineer", "20.01 ft", STOP),
    ("dig.side", "3.99 ft", OK),
    ("dig.side", "4 ft", WATCH),
    ("dig.side", "4.99 ft", WATCH),
    ("dig.side", "5 ft", STOP),
    ("dig.side", "5.01 ft", STOP),
)


@pytest.mark.parametrize(("code", "depth", "severity"), EDGES)
def test_at_and_beside_the_edge(code: str, depth: str, severity: Severity) -> None:
    """Ladder at 4 ft or more, no protection at less than 5 ft, an engineer at more than 20 ft (29 CFR 1926.651(c)(2),
    1926.652(a)(1) and appendix B, wording from memory). A side too steep is graded with them: our own.
    """
    assert worst(changed(steep(depth)), code).severity is severity


@pytest.mark.parametrize("soil", [("type A", 0.75), ("type B", 1.0), ("type C", 1.5)])
@pytest.mark.parametrize(("more", "severity"), [(0.99, OK), (1.0, OK), (1.01, STOP)])
def test_the_steepest_side_of_each_class(soil: tuple[str, float], more: float, severity: Severity) -> None:
    """Table B-1: 3/4, 1 and 1 1/2 across to one down is allowed, steeper is not; 6 ft deep."""
    key, across = soil
    found = worst(changed(hole("6 ft", up=more / across, allowed=1 / across, soil=key)), "dig.side")
    assert found.severity is severity


def test_a_ladder_is_within_25_ft() -> None:
    assert "within 25 ft (7.6 m)" in limit("dig.egress_depth").text, OSHA
    assert parse("25 ft", "length").si == pytest.approx(7.6, abs=0.05)
