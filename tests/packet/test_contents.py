"""Page 1 says where everything stands; sheets with less white space say the same; sides of sheets are sums."""

from __future__ import annotations

import re

import pytest

from rillwright import job
from rillwright.packet import assumed, drawn, orders, staking, worries
from rillwright.packet.orders import orders as orders_sheet
from rillwright.packet.staking import staking as staking_sheet
from rillwright.packet.tightened import tightened
from rillwright.units import parse
from tests.packet.test_packet import judged_of, packed, read_words

QUESTIONS = (worries.QUESTION, drawn.PLAN, drawn.SECTION, staking.QUESTION, orders.QUESTION, assumed.QUESTION)


@pytest.mark.parametrize("which", ["metric", "us"])
@pytest.mark.parametrize("question", QUESTIONS)
def test_the_first_page_names_the_page_that_answers_a_question(which: str, question: str) -> None:
    pages = read_words(which, "packet")
    first = packed(" ".join(word.text for word in pages[0]))
    found = re.search(re.escape(packed(question)) + r"(\d+)", first)
    assert found
    words = pages[int(found[1]) - 1]
    strip = max(word.bottom for word in words) - 16.0
    assert packed(question) in packed(" ".join(word.text for word in words if word.top > strip))
    assert packed("print on 11 by 17 in" if which == "us" else "print on A3") in first


def test_pages_to_take_along_say_whose_they_are() -> None:
    said = [packed(" ".join(word.text for word in page)) for page in read_words("us", "packet")]
    assert any(packed("for the rod") in page for page in said)
    assert any(packed("for the lead") in page for page in said)


def told(part: object) -> list[str]:
    """All words of some blocks, in order."""
    if isinstance(part, str):
        return [part]
    if isinstance(part, dict):
        return [text for value in part.values() for text in told(value)]
    return [text for one in part for text in told(one)] if isinstance(part, list | tuple) else []


def test_a_sheet_with_less_white_space_says_the_same() -> None:
    sheet = staking_sheet(judged_of("us"), None)
    less = tightened(sheet, 0.5)
    assert less != sheet
    assert told(less.blocks) == told(sheet.blocks)


@pytest.mark.parametrize("name", ["weavers-court", "orchard-press"])
def test_the_parts_of_a_sheets_side_make_the_side(name: str) -> None:
    """Printed parts add up to the printed side, each rounded by itself."""
    sheet = orders_sheet(job.judge(job.open(job.examples()[name])))
    sums = [text for text in told(sheet.blocks) if re.match(r"(length|width) .* = ", text)]
    assert len(sums) >= 4
    for text in sums:
        side, parts = text.split(" = ")
        numbers = [_metres(part) for part in (side.split(" ", 1)[1], *parts.split(" + "))]
        assert sum(numbers[1:]) == pytest.approx(numbers[0], abs=0.0055 * len(numbers))


def _metres(said: str) -> float:
    text = re.match(r"[\d.]+ m?m\b|(?:\d+′ ?)?(?:\d*[½¼¾⅛⅜⅝⅞]?″)?", said)
    assert text, said
    plain = text[0].replace("′", "'").replace("″", '"')
    for letter, part in zip("½¼¾⅛⅜⅝⅞", ("1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8"), strict=True):
        plain = re.sub(rf"(?<=\d){letter}", f" {part}", plain).replace(letter, part)
    return float(parse(plain, "length").si)
