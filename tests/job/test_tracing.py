"""Every number of the job screen can be touched: it says what it is, whose, how well known, where it came from."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from rillwright import job
from rillwright.drawings import draw_earth_plan, draw_long_section, draw_plan, draw_rim_strip, draw_spill_plan
from rillwright.drawings.expand import texts
from rillwright.errors import InputError
from rillwright.job import Job, Judged, told_in_drawing, told_in_finding
from rillwright.judge import finding_json
from rillwright.units import style_for

ROOT = Path(__file__).parents[2] / "examples"
EXAMPLES = sorted(path.name for path in ROOT.iterdir())
RAW = re.compile(r"\b(ponds|streams|reaches|falls|rims|laps|runs|marks|intakes|site)/")


@pytest.fixture(scope="module", params=EXAMPLES)
def judged(request: pytest.FixtureRequest) -> tuple[Job, Judged]:
    opened = job.open(ROOT / request.param)
    return opened, job.judge(opened)


@pytest.fixture(scope="module")
def court() -> tuple[Job, Judged]:
    opened = job.open(ROOT / "weavers-court")
    return opened, job.judge(opened)


def fine(told: job.Told) -> None:
    assert told.what
    assert told.came
    for words in (told.what, told.value, told.band, *told.came, *(field.words for field in told.typed)):
        assert not RAW.search(words), words
        assert "_" not in words, words


def test_every_number_of_the_drawings_is_told(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    drawn = [draw_long_section(result), draw_plan(result), draw_rim_strip(result), draw_spill_plan(result)]
    made = job.finish(opened, result)
    for drawing in [*drawn, draw_earth_plan(made)]:
        for of in {text.of for text, _ in texts(drawing) if text.of}:
            found = told_in_drawing(opened, result, of)
            assert len(found) == of.count("; ") + 1
            for each in found:
                fine(each)


def test_what_an_edge_has_to_spare_is_what_the_strip_says(judged: tuple[Job, Judged]) -> None:
    """Values and bands of what is told stand in the words that were touched."""
    opened, result = judged
    seen = 0
    for text, _ in texts(draw_rim_strip(result)):
        if text.of and text.of.endswith((" liner", " height to spare")):
            (told,) = told_in_drawing(opened, result, text.of)
            assert told.value.removesuffix(" under water") in text.text
            assert told.typed, "something is typed that moves it"
            seen += 1
    assert seen > 2


def test_an_edge_that_is_not_there_is_told(court: tuple[Job, Judged]) -> None:
    for of in ("rims/none liner", "rims/none raise", "reaches/none.bank height to spare", "ponds/none water"):
        with pytest.raises(InputError, match="no such number"):
            told_in_drawing(*court, of)


def test_a_level_in_a_drawing_is_the_one_that_is_told(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    shown = {
        text.of: text.text for text, _ in texts(draw_long_section(result)) if text.of and text.weight == "semibold"
    }
    told = {of: told_in_drawing(opened, result, of)[0].value for of in shown}
    levels = {of: value for of, value in told.items() if value}
    assert len(levels) > 10
    assert {of: shown[of] for of in levels} == levels


def test_every_number_of_every_finding_is_told(judged: tuple[Job, Judged]) -> None:
    opened, result = judged
    style = style_for(opened.feature.system)
    seen: set[tuple[str, str]] = set()
    for finding in result.findings:
        printed = finding_json(finding, style)
        for part in ("text", "remedy"):
            for start, end, name in printed[f"{part}_numbers"]:
                assert printed[part][start:end].strip()
                if (finding.code, name) in seen:
                    continue
                seen.add((finding.code, name))
                fine(told_in_finding(opened, result, code=finding.code, element=finding.element, name=name)[0])
    assert len(seen) > 40


def test_a_level_is_followed_to_the_reading_it_hangs_from(court: tuple[Job, Judged]) -> None:
    """Planned above the waterline, that below the paving, and the paving read in a book: line 5 of it."""
    told = told_in_drawing(*court, "streams/rill.head bed")[0]
    assert told.value == "+11.163"
    assert told.came[0] == "Planned at 1.30 m above the waterline of pond basin."
    assert told.came[1] == "The waterline of pond basin: planned at 150 mm below mark paving."
    assert "books/levels.csv, line 5" in told.came[2]
    assert "1.470" in told.came[2], "the reading itself"
    assert [field.location for field in told.typed] == [("stream", "head")]


def test_a_default_is_told_with_its_source(court: tuple[Job, Judged]) -> None:
    told = told_in_finding(*court, code="lift.heavy", element="falls/f1", name="load")[0]
    assert any("Nobody typed it: taken as usual, 18 in." in line.replace("nobody", "Nobody") for line in told.came)
    assert any("common practice, no source" in line for line in told.came)
    assert any(field.is_default and field.location[-1] == "stone_depth" for field in told.typed)


def test_a_limit_says_on_whose_word(court: tuple[Job, Judged]) -> None:
    told = told_in_finding(*court, code="dig.ladder", element="ponds/basin", name="good")[0]
    assert told.what.startswith("limit: ")
    assert "Occupational Safety and Health Administration" in told.came[0]
    assert told.typed == ()


def test_a_limit_of_the_files_own_leads_to_its_figure() -> None:
    opened = job.open(ROOT / "orchard-press").with_value(("stream", "look"), "lively")
    result = job.judge(opened)
    told = told_in_finding(opened, result, code="fall.last", element="falls/last", name="good")[0]
    assert told.came == ("The file gives this limit itself, in place of the usual one.",)
    assert [field.location for field in told.typed] == [("limits", 0, "value")]


def test_a_level_as_built_leads_to_what_was_given(tmp_path: Path) -> None:
    opened = job.open(ROOT / "orchard-press")
    told = told_in_drawing(opened, job.judge(opened), "falls/r1.crest stone top")[0]
    assert told.came == ("Given in the file as built: 24 5/8 in above bolt.",)
    assert [field.location for field in told.typed] == [("built", 0, "level")]


def test_a_shot_is_told_by_set_up_rod_and_reader(tmp_path: Path) -> None:
    folder = tmp_path / "court"
    shutil.copytree(ROOT / "weavers-court", folder)
    columns = "uuid,time,who,setup,rod,path,surface,reading,state,re,note"
    row = "11111111-1111-4111-8111-1111111111{},2026-05-04T08:{}:00+00:00,EF,2026-05-04/1,metric,{},{},{},kept,,"
    benchmark = row.format(11, "00", "marks/pin", "mark", "1.500")
    shot = row.format(12, "10", "falls/f6.crest", "stone top", "1.205")
    (folder / "shots.csv").write_text("\n".join((columns, benchmark, shot, "")), encoding="utf-8")
    opened = job.open(folder)
    told = told_in_drawing(opened, job.judge(opened), "falls/f6.crest stone top")[0]
    assert told.value == "+10.295", "10.000 at the pin + 1.500 - 1.205"
    assert told.came[0].startswith(
        "Read on built work: 1.205 on a rod in metric, set-up 2026-05-04/1, by EF, 2026-05-04"
    )
    assert told.typed == (), "a reading is taken again, not typed"


@pytest.mark.parametrize("of", ["", "falls/f1", "falls/f1.nothing", "nothing/f1.crest", "ponds/nobody.running water"])
def test_what_is_no_number_is_refused(court: tuple[Job, Judged], of: str) -> None:
    with pytest.raises(InputError):
        told_in_drawing(*court, of)


def test_what_is_no_number_of_a_finding_is_refused(court: tuple[Job, Judged]) -> None:
    for code, element, name in (
        ("lap.short", "laps/at-f4", "nonsense"),
        ("lap.short", "laps/none", "value"),
        ("", "", ""),
    ):
        with pytest.raises(InputError):
            told_in_finding(*court, code=code, element=element, name=name)
