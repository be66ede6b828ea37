"""Pipes in plan: each outlet of a run has its way, and its place where one is given."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import Assessment
from rillwright.drawings import draw_plan
from rillwright.drawings.expand import texts
from rillwright.drawings.plan_parts import pipe_ways

EXAMPLES = Path(__file__).parents[2] / "examples"
FT = 0.3048


def drawn(name: str) -> Assessment:
    return job.judge(job.open(EXAMPLES / name / "feature.yaml")).assessment


def test_a_branching_run_is_drawn_to_each_outlet() -> None:
    done = drawn("orchard-press")
    (to_head, beside), (to_stone, stone) = pipe_ways(done)
    assert (to_head, to_stone) == ("runs/supply", "runs/supply")
    assert beside[0] == pytest.approx(done.feature.streams[0].path[0])
    assert stone[0] == pytest.approx((9.5 * FT, 9.5 * FT))
    assert stone[-1] in done.feature.bodies[0].outline
    nearest = min(math.dist(stone[0], point) for point in done.feature.bodies[0].outline)
    assert math.dist(*stone) == pytest.approx(nearest)


def test_the_outlet_is_named_with_its_level() -> None:
    """14 in above the apron, which lies 6 1/2 in under the bolt."""
    said = [text.text for text, _ in texts(draw_plan(drawn("orchard-press")))]
    assert "millstone +7½″ outlet" in said


def test_runs_to_one_place_each_are_drawn_as_before() -> None:
    ways = dict(pipe_ways(drawn("weavers-court")))
    assert list(ways) == ["runs/long", "runs/short"]
    assert len(ways["runs/long"]) > 3
