"""A slip of a metre at one rim, from the book to the advice; figures invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from rillwright import job
from rillwright.assessment import Finding, Severity
from rillwright.cli.program import program
from rillwright.judge import matters, three_worst
from rillwright.units import METRIC, US

BOOK = """\
point,surface,backsight,intermediate,foresight,rod
pin,mark,1.500,,,metric
r1,ground,,1.600,
r2,ground,,1.640,
r3,ground,,{r3},
r4,ground,,1.570,
head,ground,,0.700,
pin,mark,,{last},
"""
FEATURE = """\
format: 1
name: Invented yard
invented: yes
units: metric
books: [books/a.csv]
marks: [{id: pin, role: paving}]
site: {access: [{width: 1.2 m}]}
pond:
  outline: {oval: [4 m, 3 m]}
  waterline: 250 mm below pin
  rims: [{id: n, ground: r1}, {id: e, ground: r2}, {id: s, ground: r3}, {id: w, ground: r4}]
stream:
  head: head
  head_ground: head
  course: [{bed: b1, length: 2 m}, {fall: f1, drop: 300 mm}, {bed: b2, length: 2 m}, {fall: f2}]
"""


def judged(folder: Path, *, r3: str = "1.610", last: str = "1.501", more: str = "") -> job.Judged:
    (folder / "books").mkdir()
    (folder / "feature.yaml").write_text(FEATURE)
    (folder / "books" / "a.csv").write_text(BOOK.format(r3=r3, last=last).replace("head,", more + "head,"))
    return job.judge(job.open(folder))


def of(found: job.Judged, code: str) -> list[Finding]:
    return [each for each in found.findings if each.code == code]


def test_a_rim_a_metre_out_stops_and_is_read_again_before_it_is_built_up(tmp_path: Path) -> None:
    found = judged(tmp_path, r3="2.610")
    (stray,) = of(found, "survey.stray")
    assert (stray.element, stray.severity) == ("rims/s", Severity.STOP)
    assert stray.value == pytest.approx(1.0, abs=0.05)
    low = next(each for each in of(found, "rim.low") if each.element == "rims/s")
    assert low.remedy.startswith("Read the ground at {name} again first")
    told = CliRunner().invoke(program, ["check", str(tmp_path), "--all"]).output
    assert "confirmed by its book" not in told


def test_rims_that_go_together_raise_nothing(tmp_path: Path) -> None:
    found = judged(tmp_path)
    assert of(found, "survey.stray") == []
    (once,) = of(found, "survey.once")
    text = job.text_of(once, METRIC)
    assert "r1, r2, r3, r4, head" in text
    assert "instrument" not in text  # the pin was shot again
    assert [each.severity for each in of(found, "survey.benchmark")] == [Severity.OK]


def test_a_low_side_that_was_read_twice_is_believed(tmp_path: Path) -> None:
    found = judged(tmp_path, r3="2.610", more="r3,ground,,2.611,\n")
    assert of(found, "survey.stray") == []
    (point,) = [each for each in of(found, "survey.unconfirmed") if each.element == "marks/r3"]
    assert point.severity is Severity.OK


def test_a_first_visit_is_not_called_checked_where_nothing_was_shot_twice(tmp_path: Path) -> None:
    """Of one set-up with one backsight there is nothing to add up, nothing shot again and nothing confirmed."""
    answers = job.Answers(benchmark_reading="4' 2\"", head_reading="1' 3 1/2\"", lowest_reading="4' 11\"")
    found = job.visit(answers, tmp_path / "yard").judged
    in_order = {each.code for each in found.findings if each.severity is Severity.OK}
    assert in_order.isdisjoint({"survey.page", "survey.benchmark", "survey.reshot", "survey.unconfirmed"})
    (once,) = of(found, "survey.once")
    assert not any(once in matter.findings for matter in three_worst(matters(found.findings, US)))
    text = job.text_of(once, METRIC)
    assert "no second shot of a benchmark" in text
    assert "head, low" in text
