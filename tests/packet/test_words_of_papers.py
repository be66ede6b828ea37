"""Figures as a reader takes them: no range that is one figure, no bound that there is not, hours that can be worked."""

from __future__ import annotations

import math

import pytest

from rillwright.packet.orders import _hours
from rillwright.packet.say import Say
from rillwright.units import Band

US, METRIC = Say("us"), Say("metric")


def test_what_prints_as_one_figure_is_not_said_twice() -> None:
    assert US.may_be(Band(180.0, 180.0, 180.0), "W") == ""
    assert US.may_be(Band(180.0, 150.0, 210.0), "W").startswith("may be 150 ")


@pytest.mark.parametrize("say", [US, METRIC], ids=["us", "metric"])
def test_a_range_without_an_end_is_that_or_more(say: Say) -> None:
    assert say.span(1.0, math.inf, "-", kind="share").endswith("or more")
    assert "bound" not in say.span(1.0, math.inf, "-", kind="share")


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(0.099, 0.25, "0.1 to 0.2"), (0.01, 0.02, "0.1"), (0.0, 0.0, "0"), (2.0, 3.46, "2 to 3.5"),
     (12.4, 31.0, "12 to 31")],
)  # fmt: skip
def test_hours_to_the_tenth(low: float, high: float, said: str) -> None:
    assert _hours(low, high) == said
