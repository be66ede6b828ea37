"""The price book reader: what it takes, and what it says of what it does not."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError, Problem
from rillwright.sources import price_book

_HEADER = "item,unit,low,high,currency,hours_low,hours_high,note\n"
_PIPE = "pipe_m,m,9.00,22.00,USD,0.1,0.25,laid\n"


def test_packaged_book_is_invented_and_says_so() -> None:
    book = price_book()
    assert book.invented
    assert book.currency == "USD"
    assert len({row.item for row in book.rows}) == len(book.rows)
    for item in ("liner_m2", "underlay_m2", "spill_stone_each", "edge_stone_kg", "dig_m3", "pump_each", "start_up"):
        assert book.find(item) is not None, item


def test_item_keys_end_in_the_unit_of_the_take_off() -> None:
    for row in price_book().rows:
        ending = row.item.rsplit("_", 1)[-1]
        if ending in ("m", "m2", "m3", "kg", "each"):
            assert row.si_unit == ending, row.item


def test_a_persons_book() -> None:
    book = price_book(_HEADER + _PIPE + 'liner_m2,sq ft,0.90,1.40,USD,0,0.01,"cut, laid"\n', "mine.csv")
    assert (book.file, book.invented) == ("mine.csv", False)
    pipe, liner = book.rows
    assert (pipe.low, pipe.high, pipe.line) == (Decimal("9.00"), Decimal("22.00"), 2)
    assert liner.note == "cut, laid"
    assert liner.si_unit == "m2"
    assert liner.si_per_unit == pytest.approx(0.09290304)
    assert book.find("gravel_kg") is None


@pytest.mark.parametrize(
    ("unit", "si_unit", "size"),
    [
        ("t", "kg", 1000),
        ("ton", "kg", 907.18474),
        ("cu yd", "m3", 0.764554857984),
        ("ft", "m", 0.3048),
        ("lot", "each", 1),
    ],
)
def test_units_of_sale(unit: str, si_unit: str, size: float) -> None:
    """Sizes by NIST SP 811."""
    (row,) = price_book(_HEADER + f"x,{unit},1,2,EUR,0,0,\n").rows
    assert row.si_unit == si_unit
    assert row.si_per_unit == pytest.approx(size)


def test_mark_of_byte_order_line_ends_and_remarks() -> None:
    text = "# made in spring\r\n" + _HEADER.replace("\n", "\r\n") + "\r\n# stone\r\n" + _PIPE.replace("\n", "\r\n")
    book = price_book(b"\xef\xbb\xbf" + text.encode())
    assert book.rows[0].line == 5
    assert not book.invented
    assert price_book("# an INVENTED book\n" + _HEADER + _PIPE).invented


@pytest.mark.parametrize(
    ("text", "line", "field", "message"),
    [
        ("", None, "", "is empty"),
        ("# only a remark\n", None, "", "is empty"),
        (_HEADER, 1, "", "no items"),
        ("item,unit,low,high,currency,hours_low,note\n" + _PIPE, 1, "hours_high", "column is missing"),
        (_HEADER.replace("note", "note,colour") + _PIPE, 1, "colour", "no such column"),
        (_HEADER.replace("note", "note,low") + _PIPE, 1, "low", "stands twice"),
        (_HEADER.replace(",", ";") + _PIPE, 1, "", "parted by ;"),
        (_HEADER + _PIPE + "gravel_kg,t,nan,5,USD,0,0,\n", 3, "low", "not a plain number"),
        (_HEADER + "gravel_kg,t,inf,inf,USD,0,0,\n", 2, "low", "not a plain number"),
        (_HEADER + "gravel_kg,t,about 5,6,USD,0,0,\n", 2, "low", "not a plain number"),
        (_HEADER + "gravel_kg,t,-5,6,USD,0,0,\n", 2, "low", "not a plain number"),
        (_HEADER + 'gravel_kg,t,"1,200",1300,USD,0,0,\n', 2, "low", "not a plain number"),
        (_HEADER + "gravel_kg,t,,6,USD,0,0,\n", 2, "low", "not a plain number"),
        (_HEADER + "gravel_kg,t,1e3,6e3,USD,0,0,\n", 2, "low", "not a plain number"),
        (_HEADER + "gravel_kg,t,9,6,USD,0,0,\n", 2, "low", "more than high"),
        (_HEADER + "gravel_kg,t,5,6,USD,2,1,\n", 2, "hours_low", "more than hours_high"),
        (_HEADER + "gravel_kg,bucket,5,6,USD,0,0,\n", 2, "unit", "not a unit of sale"),
        (_HEADER + "gravel_kg,t,5,6,dollars,0,0,\n", 2, "currency", "not a currency code"),
        (_HEADER + "<b>gravel</b>,t,5,6,USD,0,0,\n", 2, "item", "not the key of an item"),
        (_HEADER + "gravel_kg,t,5,6,USD\n", 2, "", "5 fields where the header has 8"),
        (_HEADER + _PIPE + "\n" + _PIPE, 4, "item", "already stands in line 2"),
        (_HEADER + _PIPE + "gravel_kg,t,5,6,EUR,0,0,\n", 3, "currency", "one currency"),
        (_HEADER + 'gravel_kg,t,5,6,USD,0,0,"open\n', 2, "", "not readable as CSV"),
        (_HEADER + "gravel_kg,t,5,6,USD,0,0,\x00\n", 2, "", "wrong encoding"),
        (_HEADER + "gravel_kg,t,5,6,USD,0,0,gr\ufffdvel\n", 2, "", "wrong encoding"),
        ((_HEADER + _PIPE + "gravel_kg,t,5,6,EUR,0,0,").encode() + b"\xe9\n", 3, "", "not UTF-8"),
        ((_HEADER + _PIPE).encode("utf-16"), 1, "", "not UTF-8"),
    ],
)
def test_what_is_wrong_is_named(text: str | bytes, line: int | None, field: str, message: str) -> None:
    with pytest.raises(InputError, match=message) as caught:
        price_book(text, "mine.csv")
    first = next(problem for problem in caught.value.problems if message in problem.message)
    assert (first.file, first.line, first.field) == ("mine.csv", line, field)


def test_all_problems_come_at_once() -> None:
    with pytest.raises(InputError) as caught:
        price_book(_HEADER + "a,bucket,x,y,USD,0,0,\n" + _PIPE + _PIPE + "b,m,2,1,USD,0,0,\n")
    assert [(p.line, p.field) for p in caught.value.problems] == [
        (2, "low"),
        (2, "high"),
        (2, "unit"),
        (4, "item"),
        (5, "low"),
    ]


def test_a_huge_book_is_refused() -> None:
    lines = "".join(f"item{n},m,1,2,USD,0,0,\n" for n in range(5001))
    with pytest.raises(InputError, match="more than 5000 items"):
        price_book(_HEADER + lines)
    with pytest.raises(InputError, match="not readable as CSV"):
        price_book(_HEADER + "x,m,1,2,USD,0,0," + "n" * 200_000 + "\n")


def _problems(text: str | bytes) -> tuple[Problem, ...] | None:
    """What is wrong with a book; None if nothing is."""
    try:
        price_book(text)
    except InputError as error:
        return error.problems
    return None


@given(st.text(max_size=200) | st.binary(max_size=200))
def test_no_text_brings_it_down(text: str | bytes) -> None:
    assert _problems(text)


@given(st.lists(st.text(alphabet='a1,."\n-;#é', max_size=12), max_size=12))
def test_no_line_under_a_good_header_brings_it_down(lines: list[str]) -> None:
    problems = _problems(_HEADER + "\n".join(lines))
    assert problems
    assert all(problem.file == "prices.csv" for problem in problems)


_MONEY = st.decimals(min_value=0, max_value=10**6, places=2)


@given(st.lists(st.tuples(_MONEY, _MONEY), min_size=1, max_size=8))
def test_money_is_read_to_the_cent(amounts: list[tuple[Decimal, Decimal]]) -> None:
    pairs = [sorted(pair) for pair in amounts]
    lines = "".join(f"item{n},m,{low},{high},EUR,0,0,\n" for n, (low, high) in enumerate(pairs))
    assert [[row.low, row.high] for row in price_book(_HEADER + lines).rows] == pairs


def test_stone_takes_the_hours_that_crews_take() -> None:
    """Common practice, no source: four to eight hours of one person for a short ton (0.907 t) in a fall's face; edge
    stone takes less, and never less than half of that."""
    face, edge = price_book().find("face_stone_kg"), price_book().find("edge_stone_kg")
    assert face is not None
    assert edge is not None
    assert (0.907 * face.hours_low, 0.907 * face.hours_high) == pytest.approx((4.0, 8.0), rel=0.05)
    assert 0.5 * face.hours_low <= edge.hours_low < face.hours_low
    assert 0.5 * face.hours_high <= edge.hours_high < face.hours_high
