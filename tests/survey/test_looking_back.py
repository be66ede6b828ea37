"""Whether a book looks back at its benchmark: a day's work does, a visit of a few shots need not. Common practice."""

from __future__ import annotations

import pytest

from rillwright.survey import LookBack, read_book, reduce

HEAD = "setup,point,backsight,intermediate,foresight,surface\n"


def look(rows: str) -> LookBack:
    (found,) = reduce([read_book(HEAD + rows, file="b.csv", rod="metric")], datum=None).looks
    return found


def shots(count: int) -> str:
    return "1,BM,1.500,,,\n" + "".join(f"1,p{i},,1.{i:03d},,ground\n" for i in range(count))


@pytest.mark.parametrize(
    ("rows", "shots", "again", "closed", "due"),
    [
        (shots(5), 5, 0, 0, False),
        (shots(6), 6, 0, 0, False),
        (shots(7), 7, 0, 0, True),
        (shots(20) + "1,BM,,1.500,,\n", 20, 1, 0, False),
        ("1,BM,1.500,,,\n1,T,,,1.400,mark\n2,T,1.200,,,\n2,p,,1.0,,ground\n", 2, 0, 0, True),
        ("1,BM,1.500,,,\n1,T,,,1.400,mark\n2,T,1.200,,,\n2,BM,,,1.300,\n", 1, 0, 1, False),
    ],
    ids=["five", "six", "seven", "twenty, and again", "two set-ups, open", "two set-ups, closed"],
)
def test_a_look_back_is_due(rows: str, shots: int, again: int, closed: int, due: bool) -> None:
    found = look(rows)
    assert (found.shots, found.again, found.closed, found.due) == (shots, again, closed, due)


def test_each_book_is_looked_at_by_itself() -> None:
    books = [read_book(HEAD + shots(9), file="a.csv", rod="metric")]
    books.append(read_book(HEAD + "1,BM,1.400,,,\n1,q,,1.2,,ground\n1,BM,,1.400,,\n", file="b.csv", rod="metric"))
    assert [(each.book, each.due) for each in reduce(books, datum="BM").looks] == [("a.csv", True), ("b.csv", False)]
