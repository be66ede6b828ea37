"""Assessment to Judged, and its words in the reader's units."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from rillwright.assessment import Severity
from rillwright.judge import judge, remedy_of, render, text_of
from rillwright.units import METRIC, US, Style
from tests.findings.sample import changed, exact, whole, worst
from tests.findings.test_rules import CASES

STYLES = pytest.mark.parametrize("style", [US, METRIC], ids=["us", "metric"])


def test_judging_adds_the_limits_used_and_changes_nothing_else() -> None:
    judged = judge(whole())
    assert judged.assessment.limits_used
    assert replace(judged.assessment, limits_used=()) == whole()
    assert judge(judged.assessment) == judged


@STYLES
@pytest.mark.parametrize(("code", "changes"), [(code, changes) for code, changes, _ in CASES])
def test_every_sentence_is_whole(code: str, changes: dict[str, Any], style: Style) -> None:
    found = worst(changed(changes), code)
    for sentence in (text_of(found, style), remedy_of(found, style)):
        assert "{" not in sentence
        assert "--" not in sentence
    assert text_of(found, style)[0].isupper() or text_of(found, style)[0].isdigit()
    assert bool(remedy_of(found, style)) == (found.severity is not Severity.OK)


def test_a_low_rim_says_what_to_build() -> None:
    low = changed({"containment.tops.0.freeboard_m": exact("-1/2 in")})
    found = worst(low, "rim.low")
    assert text_of(found, US) == (
        "The top of rim low stands 1/2 in below the highest water (stopped, topped up while running): "
        "water leaves there."
    )
    assert remedy_of(found, US).startswith("Build the berm at rim low 3 in high above the ground before it settles")
    assert remedy_of(found, METRIC).startswith("Build the berm at rim low 76 mm high")


def test_a_band_prints_as_a_range_and_one_value_as_one() -> None:
    parameters = (("low", 0.0127, "m"), ("high", 0.0254, "m"), ("value", 0.02, "m"))
    assert render("About {range}.", parameters, US) == "About 1/2 to 1 in."
    assert render("About {range}.", (("low", 0.0254, "m"), ("high", 0.0254, "m")), US) == "About 1 in."
    assert render("{range}", (("low", 1.0, "m"), ("high", float("inf"), "m")), METRIC) == "1.00 m or more"


def test_names_are_never_read_as_templates() -> None:
    parameters = (("name", "{value} <b>&amp; \\1 {name}", ""), ("value", 0.5, "-"))
    assert render("{name} is {value}.", parameters, US) == "{value} <b>&amp; \\1 {name} is 50 %."


@given(st.text(), st.floats())
def test_whatever_is_put_in_comes_out(name: str, value: float) -> None:
    done = render("x {name} y {value}", (("name", name, ""), ("value", value, "s")), US)
    assert done.startswith(f"X {name} y ")


def test_a_name_without_a_parameter_is_an_error_of_ours() -> None:
    with pytest.raises(KeyError):
        render("{nothing}", (), US)
    with pytest.raises(KeyError):
        render("{flow_range}", (("low", 1.0, "m"), ("high", 2.0, "m")), US)


def test_words_have_a_range_too() -> None:
    assert render("{a_range}", (("a_low", "2 in", ""), ("a_high", "3 in", "")), US) == "2 in to 3 in"
    assert render("{range}", (("low", "2 in", ""), ("high", "2 in", "")), US) == "2 in"
