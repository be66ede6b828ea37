"""The PDF read back by another program: ink, lengths, fonts, and that everything judged stands in it."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.assessment import Build, Judged, NotRun, Shape
from rillwright.drawings import Drawing, Text
from rillwright.errors import NoAnswer
from rillwright.packet import packet, tables_csv, visit_page
from rillwright.packet.blocks import picture
from rillwright.packet.drawn import plan
from rillwright.packet.paper import READING, Sheet
from rillwright.packet.pdf import print_sheets
from rillwright.packet.worries import worst_of
from tests.drawings import sample as drawn
from tests.drawings.test_drawings import MANY
from tests.packet import ink, sample

ROOT = Path(__file__).resolve().parents[2]
SPECS = {"metric": drawn.METRIC, "us": drawn.FEET, "reservoir": drawn.RESERVOIR, "twelve drops": MANY}
LONG = "The long garden between the old wall and the orchard path, with the well at its end " * 2 + "X" * 60
NAMES = {"markup": sample.MARKUP, "long": LONG[:200]}
DATE = "25 Nov 2026"


@cache
def judged_of(which: str) -> Judged:
    return sample.judged(SPECS.get(which, drawn.METRIC), name=NAMES.get(which))


@cache
def made(which: str, paper: str) -> bytes:
    judged = judged_of(which)
    if paper == "visit":
        few = replace(judged.assessment, defaults_used=judged.assessment.defaults_used[:50])
        return visit_page(replace(judged, assessment=few), date=DATE)
    day = None if which == "metric" else sample.site_day(judged, rod="ft-in" if which == "us" else "metric")
    return packet(judged, date=DATE, site_day=day)


@cache
def pages(which: str, paper: str) -> list[Any]:
    return list(ink.read(made(which, paper)).pages)


@cache
def read_words(which: str, paper: str) -> list[list[ink.Word]]:
    return [ink.words(page) for page in pages(which, paper)]


def text_of(which: str, paper: str = "packet") -> str:
    """All words of a paper on one line, without the places where a word may be broken."""
    return " ".join(word.text for page in read_words(which, paper) for word in page)


def packed(text: str) -> str:
    """Words without any white space or break, as a reader may find them on one line or on two."""
    return re.sub(r"[\s\u200b\u202f\u00a0]", "", text)


PAPERS = [(which, "packet") for which in (*SPECS, *NAMES)] + [(which, "visit") for which in (*SPECS, *NAMES)]
IDS = [f"{paper} {which}" for which, paper in PAPERS]


def assert_apart(pages_of_words: list[list[ink.Word]]) -> None:
    for number, words in enumerate(pages_of_words, start=1):
        rows = sorted(words, key=lambda word: word.top)
        for index, word in enumerate(rows):
            for other in itertools.takewhile(lambda o, w=word: o.top < w.bottom, rows[index + 1 :]):  # type: ignore[misc]
                assert not word.overlaps(other), f"page {number}: {word.text!r} over {other.text!r}"


@pytest.mark.parametrize(("which", "paper"), PAPERS, ids=IDS)
def test_no_two_texts_overlap(which: str, paper: str) -> None:
    assert_apart(read_words(which, paper))


EXAMPLES = ("orchard-press", "weavers-court", "clinic-forecourt")


@pytest.mark.parametrize("name", [EXAMPLES[0], *(pytest.param(name, marks=pytest.mark.deep) for name in EXAMPLES[1:])])
def test_an_example_from_its_book_to_its_papers(name: str) -> None:
    """The whole line: nothing over anything, nothing out of its frame, every finding, stake and default said."""
    opened = job.open(ROOT / "examples" / name)
    judged = job.judge(opened)
    found = ink.read(packet(judged, readings=job.readings_of(opened), date=DATE))
    words = [ink.words(page) for page in found.pages]
    assert_apart(words)
    for page, on_it in zip(found.pages, words, strict=True):
        assert_inside(page, on_it)
    text = packed(" ".join(word.text for page in words for word in page))
    for finding in judged.findings:
        assert packed(finding.element.partition("/")[2]) in text
        assert packed(finding.title[1:]) in text
    build = judged.assessment.build
    assert isinstance(build, Build)
    for stake in build.stakes:
        assert packed(stake.id + stake.text) in text
    for used in judged.assessment.defaults_used:
        assert packed(used.path.rpartition(".")[2]) in text
    assert "{" not in text


def test_ink_that_lies_over_ink_is_found() -> None:
    """The check itself: the same two lines, apart and one over the other."""

    def printed(y: float) -> list[ink.Word]:
        texts = (Text(x=5.0, y=10.0, text="level"), Text(x=7.0, y=y, text="water", angle_deg=0.0))
        drawing = Drawing(name="", alt="", width_mm=60.0, height_mm=30.0, items=texts)
        foot = {"feature": "a", "levels": "b", "checked": "c", "said": "page "}
        sheet = Sheet(question="q", paper=READING["metric"], blocks=(picture(drawing),))
        return ink.words(ink.read(print_sheets([sheet], title="t", strip=foot)).pages[0])

    for y, over in ((10.0, True), (11.5, True), (14.0, False)):
        level, water = (next(w for w in printed(y) if w.text == text) for text in ("level", "water"))
        assert level.overlaps(water) is over


def assert_inside(page: Any, words: list[ink.Word]) -> None:
    frame = max(page.rects, key=lambda rect: rect["width"] * rect["height"])
    left, top, right, bottom = (frame[edge] * ink.MM_PER_PT for edge in ("x0", "top", "x1", "bottom"))
    assert left >= 7.9
    assert right <= float(page.width) * ink.MM_PER_PT - 7.9
    strip = bottom - 18.0
    for word in words:
        said = f"page {page.page_number}: {word.text!r}"
        assert left + 1.0 < word.left, said
        assert word.right < right - 1.0, said
        assert top + 1.0 < word.top, said
        assert word.bottom < strip or (strip < word.top and word.bottom < bottom - 1.0), said


@pytest.mark.parametrize(("which", "paper"), PAPERS, ids=IDS)
def test_no_text_leaves_its_frame(which: str, paper: str) -> None:
    for page, words in zip(pages(which, paper), read_words(which, paper), strict=True):
        assert_inside(page, words)


@pytest.mark.parametrize(("which", "paper"), PAPERS, ids=IDS)
def test_capitals_are_high_enough(which: str, paper: str) -> None:
    for page in read_words(which, paper):
        least = 2.5 if page[0].text == "Whattodigandset" else 2.0
        strip = max(word.bottom for word in page) - 18.0
        for word in page:
            wanted = least if word.bottom < strip else 2.0
            assert word.size * ink.CAP * ink.MM_PER_PT >= wanted - 1e-3, word


@pytest.mark.parametrize(("which", "paper"), PAPERS, ids=IDS)
def test_one_family_of_type_is_embedded_and_no_other(which: str, paper: str) -> None:
    names = {char["fontname"] for page in pages(which, paper) for char in page.chars}
    assert names
    assert all(re.fullmatch(r"[A-Z]{6}\+SourceSans3-(Roman|Italic)", name) for name in names)
    for page in pages(which, paper):
        for font in _fonts(page):
            assert "FontFile2" in font or "FontFile3" in font


def _fonts(page: Any) -> Iterator[Any]:
    from pdfminer.pdftypes import resolve1

    for font in (resolve1(page.page_obj.resources).get("Font") or {}).values():
        for heir in resolve1(resolve1(font)["DescendantFonts"]):
            yield resolve1(resolve1(heir)["FontDescriptor"])


@pytest.mark.parametrize("which", ["us"])
def test_the_same_job_gives_the_same_bytes(which: str) -> None:
    judged = sample.judged(SPECS[which])
    day = None if which == "metric" else sample.site_day(judged, rod="ft-in")
    assert packet(judged, date=DATE, site_day=day) == made(which, "packet")
    assert b"CreationDate" not in made(which, "packet")


@pytest.mark.parametrize("which", SPECS)
def test_known_lengths_are_right(which: str) -> None:
    assessment = judged_of(which).assessment
    sheet = page_of(which, "What lies where")
    outline = assessment.feature.bodies[0].outline
    scale = scale_of(sheet)
    sides = [math.dist(a, b) * 1000 / scale for a, b in itertools.pairwise(outline)]
    assert ink.has_lengths(sheet, sides, 0.2)
    section = page_of(which, "Where the water stands")
    scale = scale_of(section)
    assert isinstance(assessment.shape, Shape)
    bed = assessment.shape.sections[0].bed
    assert ink.has_lengths(section, [math.dist(a, b) * 1000 / scale for a, b in itertools.pairwise(bed)], 0.2)


def page_of(which: str, question: str) -> Any:
    """The page whose strip bears that question."""
    for page, words in zip(pages(which, "packet"), read_words(which, "packet"), strict=True):
        strip = max(word.bottom for word in words) - 16.0
        if packed(question) in packed(" ".join(word.text for word in words if word.top > strip)):
            return page
    raise AssertionError(f"no page answers {question!r}")


def scale_of(page: Any) -> float:
    """The scale as it is printed on the page."""
    found = re.search(r"1:(\d+)", page.extract_text())
    assert found
    return float(found[1])


@pytest.mark.parametrize("which", SPECS)
def test_every_finding_stands_in_the_packet(which: str) -> None:
    text = packed(text_of(which))
    for finding in judged_of(which).findings:
        assert packed(finding.title[1:]) in text
        assert packed(finding.element.partition("/")[2]) in text
    assert "{" not in text


@pytest.mark.parametrize("which", SPECS)
def test_every_stake_stands_in_the_packet_with_its_levels(which: str) -> None:
    judged = judged_of(which)
    build = judged.assessment.build
    assert isinstance(build, Build)
    page = page_of(which, "What to dig and set").extract_text().replace("\u00a0", " ")
    for stake in build.stakes:
        assert re.search(rf"^{stake.id} ", page, flags=re.MULTILINE)
        assert stake.text in page
    if which == "us":
        return
    for stake in build.stakes:
        for level in (stake.dig_m, stake.liner_m, stake.stone_top_m, stake.water_m):
            assert level is not None
            assert f"{level:+.3f}".replace("-", "−") in page
            if which != "metric":  # height of instrument 1.842
                assert f"{1.842 - level:.3f} m" in page


def test_feet_and_inches_on_the_rod() -> None:
    """Height of instrument 6' 0 1/2" less 1' 8 3/8" is 4' 4 1/8": arithmetic on paper, in eighths of an inch."""
    page = page_of("us", "What to dig and set").extract_text().replace("\u00a0", " ")
    assert "+1′ 8⅜″" in page
    assert "4′ 4⅛″" in page


@pytest.mark.parametrize("which", NAMES)
def test_names_are_words_and_never_markup(which: str) -> None:
    name = judged_of(which).assessment.feature.name
    assert packed(name) in packed(text_of(which))
    assert packed(name) in packed(text_of(which, "visit")) or which == "long"
    assert {(float(p.width), float(p.height)) for p in pages(which, "packet")} == {
        (float(p.width), float(p.height)) for p in pages("metric", "packet")
    }


@pytest.mark.parametrize("which", [*SPECS, *NAMES])
def test_the_visit_is_one_page(which: str) -> None:
    assert len(pages(which, "visit")) == 1
    text = text_of(which, "visit")
    for matter in worst_of(judged_of(which)):
        assert packed(matter.finding.text.partition("{")[0]) in packed(text)


def test_the_visit_is_one_page_however_much_was_assumed() -> None:
    judged = sample.judged(drawn.FEET, most=None)
    assert len(judged.assessment.defaults_used) > 80
    assert len(ink.read(visit_page(judged, date=DATE)).pages) == 1


@pytest.mark.parametrize("paper", ["packet", "visit"])
def test_what_is_invented_says_so(paper: str) -> None:
    text = packed(text_of("metric", paper))
    assert packed("Invented example") in text
    assert packed("from an invented example price book") in text


def test_it_says_what_it_was_checked_against_and_what_not() -> None:
    for words in read_words("metric", "packet"):
        said = packed(" ".join(word.text for word in words))
        assert packed(f"Checked against these readings on {DATE}: books/levels.csv, 12 Nov 2026") in said
        assert packed("tied to mark BM1") in said
    text = " ".join(page.extract_text() for page in pages("metric", "packet"))
    assert "Not checked: first start; design rain" in text
    assert not re.search(r"\b(safe|proved|proven|guaranteed)\b", text, flags=re.IGNORECASE)


def test_what_was_not_run_says_why() -> None:
    why = NotRun("the water did not settle")
    bare = replace(
        judged_of("metric").assessment,
        survey=why, shape=why, water=why, liner=why, containment=why, stone=why, earth=why, takeoff=why, build=why,
        price=why,
    )  # fmt: skip
    judged = Judged(assessment=bare, findings=())
    for pdf in (packet(judged), visit_page(judged)):
        assert why.reason in " ".join(page.extract_text() for page in ink.read(pdf).pages)


def test_a_feature_too_large_for_paper_still_has_its_other_pages() -> None:
    judged = judged_of("metric")
    body = judged.assessment.feature.bodies[0]
    far = replace(body, outline=tuple((1e4 * x, 1e4 * y) for x, y in body.outline))
    feature = replace(judged.assessment.feature, bodies=(far,))
    large = replace(judged, assessment=replace(judged.assessment, feature=feature))
    assert "too large to be drawn" in str(plan(large).blocks)
    assert packet(large).startswith(b"%PDF")


def test_progress_is_told() -> None:
    heard: list[float] = []

    def progress(share: float, doing: str) -> bool:
        heard.append(share)
        return True

    packet(judged_of("metric"), progress=progress)
    assert heard == sorted(heard)
    assert heard[0] == 0.0
    assert heard[-1] < 1.0


def test_it_can_be_stopped() -> None:
    with pytest.raises(NoAnswer, match="stopped"):
        packet(judged_of("metric"), progress=lambda share, doing: share < 0.3)


def test_tables_say_their_units_and_hold_every_line() -> None:
    judged = judged_of("metric")
    tables = tables_csv(judged)
    assert set(tables) == {"takeoff", "stakes", "levels"}
    takeoff, build = judged.assessment.takeoff, judged.assessment.build
    assert not isinstance(takeoff, NotRun)
    assert not isinstance(build, NotRun)
    assert len(tables["takeoff"].splitlines()) == len(takeoff.lines) + 1
    assert len(tables["stakes"].splitlines()) == len(build.stakes) + 1
    assert tables["stakes"].startswith("id,path,text,x_m,y_m,station_m,dig_m,liner_m,stone_top_m,water_m")
    assert "marks/BM1,mark,0.62," in tables["levels"]


def test_a_name_is_no_formula_to_a_spreadsheet() -> None:
    judged = judged_of("metric")
    build = judged.assessment.build
    assert not isinstance(build, NotRun)
    stakes = tuple(replace(stake, text="=1+1") for stake in build.stakes)
    evil = replace(judged, assessment=replace(judged.assessment, build=replace(build, stakes=stakes)))
    assert ",'=1+1," in tables_csv(evil)["stakes"]
