"""Every number with a unit in a drawing of a screen says what it is: whose, and of which surface."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import ElementPath, Judged, Surface
from rillwright.drawings import draw_long_section, draw_plan, draw_staircase, write_svg
from rillwright.drawings.display import Drawing
from rillwright.drawings.expand import texts

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*/feature.yaml"))
WITH_UNIT = re.compile(r"\d[^ ]*(′|″| m\b| mm\b)|[+−±]\d")
NOT_OF_THE_WORK = re.compile(r"^scale |^[\d.]+ (m|ft)$|^0$")


@pytest.fixture(scope="module", params=EXAMPLES, ids=lambda file: file.parent.name)
def judged(request: pytest.FixtureRequest) -> Judged:
    return job.judge(job.open(request.param))


def drawn(judged: Judged) -> list[Drawing]:
    sheets = [draw_long_section(judged, stream=stream.id) for stream in judged.assessment.feature.streams]
    return [*sheets, draw_plan(judged), draw_staircase(judged)]


def test_every_number_says_what_it_is(judged: Judged) -> None:
    told = 0
    for drawing in drawn(judged):
        for text, _ in texts(drawing):
            if WITH_UNIT.search(text.text) and not NOT_OF_THE_WORK.search(text.text) and text.size_mm >= 1.9:
                assert text.of, (drawing.name, text.text)
                told += 1
    assert told > 40


def test_what_it_says_is_a_path_and_a_surface(judged: Judged) -> None:
    for drawing in drawn(judged):
        for text, _ in texts(drawing):
            for one in text.of.split("; ") if text.of else ():
                path, _, surface = one.partition(" ")
                assert ElementPath.parse(path).part
                assert not surface or Surface(surface)


def test_it_stands_in_the_svg(judged: Judged) -> None:
    written = write_svg(draw_plan(judged))
    body = judged.assessment.feature.bodies[0].id
    assert f'data-of="ponds/{body}.waterline water"' in written
