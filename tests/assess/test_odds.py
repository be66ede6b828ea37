"""The step that draws odds: with the full check alone, of what the examples come to, told in plain words."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from rillwright import job
from rillwright.assess import STEPS
from rillwright.assessment import NotRun
from rillwright.cli.program import program


def test_it_belongs_to_the_full_check() -> None:
    step = next(step for step in STEPS if step.name == "odds")
    assert step.tier == "full"
    judged = job.judge(job.open(job.examples()["weavers-court"]))
    assert isinstance(judged.assessment.odds, NotRun)
    assert "rim.odds" not in {each.code for each in judged.findings}


@pytest.mark.parametrize("name", sorted(job.examples()))
def test_of_every_example_some_samples_are_confirmed(name: str) -> None:
    from rillwright.containment import spill_odds

    made = job.judge(job.open(job.examples()[name])).assessment
    assert not isinstance(made.water, NotRun)
    assert not isinstance(made.surface, NotRun)
    found = spill_odds(made.feature, made.water, surface=made.surface, samples=500)
    assert found.confirmed.samples >= 3
    assert found.confirmed.agree == found.confirmed.samples
    assert {each.water for each in found.waters} >= {f"reaches/{reach.id}" for reach in made.feature.reaches}


def test_the_full_check_tells_it_for_the_builder_alone() -> None:
    folder = str(job.examples()["clinic-forecourt"])
    said = CliRunner().invoke(program, ["check", folder, "--full"], standalone_mode=False)
    assert said.exception is None
    assert "For the builder alone:" in said.output
    assert "crews' work" in said.output
    quick = CliRunner().invoke(program, ["check", folder], standalone_mode=False)
    assert "For the builder alone" not in quick.output
