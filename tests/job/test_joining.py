"""A job on which streams join: its papers, drawings, numbers, hold points and what fits. Invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.feature.joining import SITE
from tests.job.test_tracing import fine

from rillwright import job
from rillwright.assessment import Build, Stone, Water
from rillwright.drawings import draw_long_section, draw_plan, draw_rim_strip, draw_spill_plan
from rillwright.drawings.expand import texts
from rillwright.job import Job, Judged, fit_job, told_in_drawing, told_in_finding
from rillwright.judge import finding_json, text_of
from rillwright.units import style_for


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> tuple[Job, Judged]:
    folder: Path = tmp_path_factory.mktemp("becks")
    (folder / "feature.yaml").write_text(SITE, encoding="utf-8")
    opened = job.open(folder)
    return opened, job.judge(opened)


def test_it_is_judged_as_one_water(judged: tuple[Job, Judged]) -> None:
    _, result = judged
    found = {(each.code, each.element): each for each in result.findings}
    joins = found["stream.joins", "streams/side"]
    style = style_for(result.assessment.feature.system)
    assert joins.severity.value == "ok"
    assert "into bed meeting of stream main, 3.60 m from the head of that" in text_of(joins, style)
    assert not {code for code, _ in found} & {"plan.overlap", "stream.ends", "run.away"}
    assert ("fall.last", "falls/mouth") not in found
    assert "crest of fall last" in text_of(found["falls.uphill", "falls/mouth"], style)
    assert "bed meeting" in text_of(found["crest.throw", "falls/mouth"], style)


@pytest.mark.parametrize("stream", ["main", "side"])
def test_every_number_of_its_drawings_is_told(judged: tuple[Job, Judged], stream: str) -> None:
    opened, result = judged
    drawn = [draw_long_section(result, stream=stream), draw_plan(result), draw_rim_strip(result)]
    for drawing in [*drawn, draw_spill_plan(result)]:
        for of in {text.of for text, _ in texts(drawing) if text.of}:
            found = told_in_drawing(opened, result, of)
            assert len(found) == of.count("; ") + 1
            for each in found:
                fine(each)


def test_every_number_of_its_findings_is_told(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    style = style_for(result.assessment.feature.system)
    for finding in result.findings:
        printed = finding_json(finding, style)
        for part in ("text", "remedy"):
            for _, _, name in printed[f"{part}_numbers"]:
                found = told_in_finding(opened, result, code=finding.code, element=finding.element, name=name)
                assert found
                for each in found:
                    fine(each)


def test_the_long_section_says_what_it_falls_into(judged: tuple[Job, Judged]) -> None:
    """Bed and water of the joined bed stand at its end, and nothing of the pond."""
    _, result = judged
    said = [text.text for text, _ in texts(draw_long_section(result, stream="side"))]
    assert said.count("bed meeting of main") == 2
    assert "pond" not in said
    assert "floor" not in said
    assert "pond" in [text.text for text, _ in texts(draw_long_section(result, stream="main"))]


def test_what_fits_goes_down_to_the_running_water_of_the_bed(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    main, side = fit_job(opened, judged=result)
    assert main.down_to == "the held water"
    assert side.down_to == "the running water of bed meeting"
    assert isinstance(result.assessment.water, Water)
    crest = next(each for each in result.assessment.water.crests if each.fall == "mouth")
    water = opened.feature.stream("side").falls[-1].crest.m - crest.fall_height_m.value
    assert side.metres(side.problem.height) == pytest.approx(0.80 - water, abs=1e-3)
    assert side.problem.least_last == 0


def test_the_lower_piece_lies_before_the_one_that_joins_it(judged: tuple[Job, Judged]) -> None:
    _, result = judged
    assert isinstance(result.assessment.build, Build)
    ids = [hold.id for hold in result.assessment.build.holds]
    assert ids.index("lap.last-lap") < ids.index("lap.mouth-lap")
    assert ids.index("dig.main") < ids.index("dig.side")
    text = next(hold.text for hold in result.assessment.build.holds if hold.id == "lap.mouth-lap")
    assert text.endswith("side-above-mouth over main-at-meeting")


def test_edge_stone_leaves_the_mouth_open(judged: tuple[Job, Judged]) -> None:
    """Both sides of six metres, less the 0.8 m of the bed that comes in; the side has all of its own."""
    _, result = judged
    assert isinstance(result.assessment.stone, Stone)
    lots = {lot.id: {term.name: term.value for term in lot.because} for lot in result.assessment.stone.lots}
    assert lots["edge-main"]["length of the edge"] == pytest.approx(2 * 6.0 - 0.8)
    side = result.assessment.feature.stream("side")
    assert lots["edge-side"]["length of the edge"] == pytest.approx(2 * side.length_m)


def test_its_papers_are_printed(judged: tuple[Job, Judged], tmp_path: Path) -> None:
    import pypdfium2

    opened, result = judged
    job.papers(opened, result, tmp_path / "p.pdf", date="2026-05-01")
    pdf = pypdfium2.PdfDocument(tmp_path / "p.pdf")
    pages = [page.get_textpage().get_text_range() for page in pdf]
    assert any("Where the water stands: stream side" in page and "bed meeting of main" in page for page in pages)


def test_set_as_wished_the_flow_of_both_runs_at_the_foot(judged: tuple[Job, Judged]) -> None:
    """3 and 2 m3/h are wished for: 1.39 L/s at the foot of the one that is joined."""
    from rillwright.packet.flows import flow_of

    assessment = judged[1].assessment
    assert "set as wished, 1.39 L/s at its foot" in flow_of(assessment, assessment.feature.stream("main"))
    assert "set as wished, 0.556 L/s" in flow_of(assessment, assessment.feature.stream("side"))
