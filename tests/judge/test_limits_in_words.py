"""Limits as people read them: their own units, and the direction in words."""

from __future__ import annotations

import re

import pytest

from rillwright.assessment import Finding, Severity
from rillwright.judge import limit_of, limit_words
from rillwright.sources import asked, limits
from rillwright.units import METRIC, US, Style

INCH = 0.0254


def finding(low: float, high: float, sense: str, unit: str = "m") -> Finding:
    return Finding(
        code="a.b", severity=Severity.OK, element="falls/f1", title="A thing", value=1.0, value_low=1.0, value_high=1.0,
        limit=low, limit_low=low, limit_high=high, margin=0.0, unit=unit, limit_origin="default",
        source="common practice", text="", remedy="", parameters=(), limit_sense=sense,
    )  # fmt: skip


CASES = (
    (finding(8 * INCH, 10 * INCH, "at_least"), US, "at least 10 in, 8 in at worst"),
    (finding(0.2, 0.25, "at_least"), METRIC, "at least 250 mm, 200 mm at worst"),
    (finding(1.5 * INCH, 2 * INCH, "at_most"), US, "at most 1 1/2 in, 2 in at worst"),
    (finding(0.3, 0.3, "at_most", "-"), US, "at most 30 %"),
    (finding(6 * 0.03390575, 8 * 0.03390575, "at_least", "kg/m2"), US, "at least 8 oz/sq yd, 6 oz/sq yd at worst"),
    (finding(6 * 0.03390575, 8 * 0.03390575, "at_least", "kg/m2"), METRIC, "at least 270 g/m², 200 g/m² at worst"),
)


@pytest.mark.parametrize(("found", "style", "words"), CASES, ids=[words for _, _, words in CASES])
def test_a_limit_says_its_direction(found: Finding, style: Style, words: str) -> None:
    assert limit_of(found, style) == words


def test_the_worst_that_is_let_pass_is_told_by_direction() -> None:
    assert limit_words("3", "2", sense="at_least") == "at least 3, 2 at worst"
    assert limit_words("3", "3", sense="at_most") == "at most 3"


def test_no_limit_has_figures_of_length_or_mass_in_its_words() -> None:
    for limit in limits():
        said = asked(limit, "GOOD", "BAD")
        assert "{" not in said, limit.name
        for figure in re.findall(r"\d+ (?:in|ft|ft/s|lb|oz|mm)\b(?! 10,000)[^)]{0,12}", said):
            assert "(" in said, f"{limit.name}: {figure} is said in one system's units alone"
