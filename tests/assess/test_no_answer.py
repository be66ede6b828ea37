"""A step that ends without an answer, followed through everything that reads it: never a traceback, always in words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from msgspec.structs import replace

from rillwright import job
from rillwright.assess import STEPS, assessing
from rillwright.assessment import Judged, NotRun, Severity
from rillwright.cli.program import program
from rillwright.errors import NoAnswer
from rillwright.units import US

WHY = "two figures did not agree after 50 rounds"
NAMES = [step.name for step in STEPS if step.tier == "quick"]
PRINTED = ("shape", "water", "price")  # the others are printed by the deep tests: each takes a second or two
every_step = pytest.mark.parametrize("broken", NAMES)


def stop_at(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the step of that name end without an answer from now on."""

    def no_answer(*_: object) -> object:
        raise NoAnswer(WHY)

    steps = tuple(replace(step, make=no_answer) if step.name == name else step for step in STEPS)
    monkeypatch.setattr(assessing, "STEPS", steps)


def reads(name: str) -> set[str]:
    """The step itself and all that reads it, however far down."""
    found = {name}
    for step in STEPS:
        if found & set(step.branches) and step.name in NAMES:
            found.add(step.name)
    return found


def judged_without(name: str, monkeypatch: pytest.MonkeyPatch) -> tuple[job.Job, Judged]:
    stop_at(name, monkeypatch)
    opened = job.open(job.examples()["orchard-press"])
    return opened, job.judge(opened)


@every_step
def test_what_reads_it_is_not_run_and_the_rest_is(broken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    _, judged = judged_without(broken, monkeypatch)
    stopped = {name for name in NAMES if isinstance(getattr(judged.assessment, name), NotRun)}
    assert stopped == reads(broken)
    for name in stopped:
        assert getattr(judged.assessment, name).reason == f"{broken}: {WHY}"


@every_step
def test_findings_say_what_is_not_known(broken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    _, judged = judged_without(broken, monkeypatch)
    of_water = bool({"shape", "water", "containment"} & reads(broken))
    (unchecked,) = [finding for finding in judged.findings if finding.code in ("unchecked.part", "unchecked.water")]
    assert unchecked.severity is Severity.WATCH
    assert (unchecked.code == "unchecked.water") == of_water
    assert WHY in job.text_of(unchecked, US)
    worst = job.three_worst(job.matters(judged.findings, US))
    if of_water:  # nothing is known of the main thing: that leads, whatever else is well
        stops = [finding for finding in judged.findings if finding.severity is Severity.STOP]
        assert stops or unchecked in [matter.finding for matter in worst]
    assert any(finding.code == "people.drown" for finding in judged.findings)  # cautions stand all the same


@every_step
def test_json_says_so(broken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    _, judged = judged_without(broken, monkeypatch)
    found = json.loads(json.dumps(job.to_json(judged), allow_nan=False))
    for name in NAMES:
        assert (found[name].get("not_run") == f"{broken}: {WHY}") == (name in reads(broken))


@every_step
def test_the_terminal_tells_it(broken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    opened, judged = judged_without(broken, monkeypatch)
    told = CliRunner().invoke(program, ["check", str(opened.path), "--all"], standalone_mode=False)
    assert told.exception is None
    assert told.return_value == int(any(finding.severity is Severity.STOP for finding in judged.findings))
    words = " ".join(told.output.split())
    assert WHY in words
    assert not {"NotRun", "None", "nan"} & set(words.replace("(", " ").replace(",", " ").split())
    assert not any(mark in words for mark in "{}")


@pytest.mark.parametrize(
    "broken", [name if name in PRINTED else pytest.param(name, marks=pytest.mark.deep) for name in NAMES]
)
def test_the_papers_tell_it(broken: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    import pdfplumber

    opened, judged = judged_without(broken, monkeypatch)
    written = job.papers(opened, judged, tmp_path / "papers.pdf", date="2031-05-03")
    with pdfplumber.open(written.pdf) as pdf:
        words = "".join((page.extract_text() or "") for page in pdf.pages[:4]).replace("\n", " ")
    assert "did not agree" in words
    assert "NotRun" not in words


def test_what_had_an_answer_before_is_not_taken_for_one_now(monkeypatch: pytest.MonkeyPatch) -> None:
    opened = job.open(job.examples()["orchard-press"])
    before = job.judge(opened)
    stop_at("water", monkeypatch)
    after = job.judge(opened.with_value(("pond", "depth"), "30 in"), earlier=before)
    assert isinstance(after.assessment.water, NotRun)
    assert isinstance(after.assessment.price, NotRun)
    assert after.assessment.liner != before.assessment.liner
