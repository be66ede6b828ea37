"""The pages of the day: operator, mason, hold points; and the change order. Read back as ink."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from rillwright import job
from rillwright.assessment import Build, Judged, SiteDay, Surface
from rillwright.compare import change_order
from rillwright.job.staking import stakes_to_go
from rillwright.packet import change_order_paper
from rillwright.packet.holds_page import holds
from rillwright.packet.mason_page import mason
from rillwright.packet.operator_page import operator
from rillwright.packet.pdf import print_sheets
from rillwright.packet.strip import strip
from rillwright.units import show_rod
from tests.packet import ink
from tests.packet.test_packet import assert_apart, assert_inside, packed

QUESTIONS = ("What to dig", "What to set", "Before you go on")
NAMES = ("orchard-press", "weavers-court")
DAYS = {
    "orchard-press": SiteDay(date="4 May 2026", height_of_instrument_m=0.97, rod="ft-in"),
    "weavers-court": None,
}


@cache
def judged(name: str) -> Judged:
    return job.judge(job.open(job.examples()[name]))


@cache
def pages(name: str) -> list[Any]:
    state, day = judged(name), DAYS[name]
    rows = stakes_to_go(state, site_day=day)
    sheets = [operator(state, rows, day), mason(state, rows, day), holds(state, day)]
    foot = strip(state.assessment, (), "4 May 2026")
    return list(ink.read(print_sheets(sheets, title="t", strip=foot)).pages)


@cache
def order_pages() -> list[Any]:
    opened = job.open(job.examples()["orchard-press"])
    after = job.judge(opened.with_value(("pond", "depth"), "30 in"))
    order = change_order(judged("orchard-press"), after, date="4 May", asked_by="the owner", why="colder winters")
    return list(ink.read(change_order_paper(order, after)).pages)


def build(name: str) -> Build:
    found = judged(name).assessment.build
    assert isinstance(found, Build)
    return found


def words_of(question: str, name: str) -> list[list[ink.Word]]:
    """The words of every page whose strip bears that question."""
    found = []
    for page in pages(name):
        on_it = ink.words(page)
        strip_top = max(word.bottom for word in on_it) - 18.0
        foot = " ".join(word.text for word in on_it if word.top > strip_top)
        if packed(foot).startswith(packed(question)):
            found.append(on_it)
    assert found
    return found


@pytest.mark.parametrize("name", NAMES)
def test_nothing_lies_over_anything_or_out_of_its_frame(name: str) -> None:
    found = (*pages(name), *order_pages())
    assert len(found) > 3
    for page in found:
        on_it = ink.words(page)
        assert_apart([on_it])
        assert_inside(page, on_it)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("question", QUESTIONS)
def test_capitals_of_day_pages_are_read_at_arms_length(question: str, name: str) -> None:
    """2.5 mm at least; the rod readings more than half as high again (they are read from a cab)."""
    sizes = []
    for on_it in words_of(question, name):
        strip_top = max(word.bottom for word in on_it) - 18.0
        for word in on_it:
            if word.bottom < strip_top:
                assert word.size * ink.CAP * ink.MM_PER_PT >= 2.5, word
                sizes.append(word.size)
    if DAYS[name] is not None and question != "Before you go on":
        assert max(sizes) * ink.CAP * ink.MM_PER_PT >= 3.7


def test_every_dig_and_every_crest_stands_there_with_its_reading() -> None:
    day = DAYS["orchard-press"]
    assert day is not None
    texts = {
        question: packed(" ".join(word.text for page in words_of(question, "orchard-press") for word in page))
        for question in QUESTIONS
    }
    from rillwright.drawings import typeset

    for stake in build("orchard-press").stakes:
        for surface, question in ((Surface.DIG, "What to dig"), (Surface.STONE_TOP, "What to set")):
            level = stake.level_m(surface)
            if level is None or (surface is Surface.DIG and stake.path.startswith("falls/")):
                continue
            reading = packed(typeset(show_rod(day.height_of_instrument_m - level, day.rod)))
            assert re.search(re.escape(stake.id + packed(stake.text)), texts[question])
            assert reading in texts[question]
            if stake.peg is not None:
                assert packed(stake.peg.way) in texts[question]
    for hold in build("orchard-press").holds:
        assert packed(hold.text) in texts["Before you go on"]
        for line in (*hold.look, *hold.photograph):
            assert packed(line) in texts["Before you go on"]
        for who in hold.initials:
            assert who in texts["Before you go on"]


def test_fill_that_settles_is_built_higher_and_says_to_what_it_settles() -> None:
    """Nine inches of fill settle by a tenth: 7/8 in to the nearest eighth."""
    text = packed(" ".join(word.text for page in words_of("What to dig", "orchard-press") for word in page))
    assert "built⅞″high:itsettlesto−5½″" in text
    assert "fill9″" in text


def test_cautions_stand_where_the_danger_is() -> None:
    dig = packed(" ".join(word.text for page in words_of("What to dig", "orchard-press") for word in page))
    stone = packed(" ".join(word.text for page in words_of("What to set", "orchard-press") for word in page))
    assert packed("No machine in the ground before buried services are located") in dig
    assert packed("ticket OP-2207") in dig
    assert packed("Nobody under or between a hanging stone and the hole") in stone
    for text in (dig, stone):
        assert packed("Local codes and licensed practice come first") in text


def test_readings_to_come_have_room_to_be_written() -> None:
    """Without a height of instrument there is a line beside every level."""
    page = next(p for p in pages("weavers-court") if "What to dig" in p.extract_text())
    assert "height of instrument" in page.extract_text()
    assert len(page.lines) + len(page.curves) > 8


def test_the_packet_holds_them_all(tmp_path: Path) -> None:
    opened = job.open(job.examples()["weavers-court"])
    made = job.papers(opened, judged("weavers-court"), tmp_path / "p.pdf")
    read = ink.read(made.pdf.read_bytes()).pages
    narrow = [page for page in read if page.width < page.height]  # drawings are wide, and hold none of it
    text = packed(" ".join("".join(char["text"] for char in page.chars) for page in narrow))
    assert all(packed(question) in text for question in QUESTIONS)
    assert (tmp_path / "p-surveyor.csv").read_text(encoding="utf-8").startswith("point,northing")
