"""Reading a level book: what is accepted, and what is refused with all its problems at once."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rillwright.errors import InputError, Problem
from rillwright.feature import Surface
from rillwright.survey import Book, Rod, Sight, read_book, reduce
from rillwright.survey.book import MOST_CHARACTERS, MOST_ROWS


def problems(text: str, rod: str | None = "metric") -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        read_book(text, file="b.csv", rod=rod)
    assert all(p.file == "b.csv" for p in caught.value.problems)
    return caught.value.problems


def setups(text: str) -> list[str]:
    return [r.setup for r in read_book(text, file="b.csv", rod="metric").readings]


def test_plain_case_needs_point_and_readings_alone() -> None:
    book = read_book("point,backsight,intermediate\nBM,1.2,\nP1,,1.5\nP2,,0.9\n", file="b.csv", rod="metric")
    assert [r.sight for r in book.readings] == [Sight.BACK, Sight.BETWEEN, Sight.BETWEEN]
    survey = reduce([book], datum=None)
    assert [round(survey.level(p).m, 9) for p in ("BM", "P1", "P2")] == [0.0, -0.3, 0.3]
    assert [p.level.surface for p in survey.points] == [Surface.MARK, Surface.GROUND, Surface.GROUND]
    assert survey.misclosure_m is None
    assert survey.adjusted == "none"


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffpoint,backsight,rod\r\nBM,1.2,metric\r\n",
        "# visit one\nrod,backsight,point\n\n# benchmark\nmetric,1.2,BM\n",
        "Point;BS;Rod\nBM;1.2;metric\n",
        "point\tbacksight\trod\nBM\t1.2\tmetric\n",
        '"point","backsight","rod"\n"BM","1.2","metric"\n',
        "point,backsight,rod,,\nBM,1.2,metric,,\n",
    ],
    ids=["byte order mark", "remarks", "semicolons", "tabs", "quotes", "empty columns"],
)
def test_shapes_of_the_sheet(text: str) -> None:
    book = read_book(text, file="b.csv")
    assert [(r.point, r.value_m, r.rod) for r in book.readings] == [("BM", Fraction(6, 5), Rod("metric"))]


def test_readings_are_exact_and_kept_as_typed() -> None:
    book = read_book("point,backsight,intermediate\nBM,4' 7 3/8\",\nP,,5'-0\"\n", file="b.csv", rod="ft-in")
    assert book.readings[0].value_m == Fraction(55 * 8 + 3, 8) * Fraction(254, 10000)
    assert book.readings[0].text == "4' 7 3/8\""


def test_every_problem_at_once_with_its_line() -> None:
    text = (
        "point,backsight,intermediate,surface,level,x,distance\n"
        "BM,1.2,,mark,10,,\n"
        ",,1.3,,,,\n"
        "P2,,nan,,,,\n"
        "P3,,,,,,\n"
        "P4,,1.1,sea,,,\n"
        "P5,,1.1,,,4,\n"
        "P6,1.1,1.2,,,,\n"
        "P7,,-1.1,,,,\n"
        "P8,,5' 7\",,,,\n"
        "P9,,1.1,,,,-3\n"
        "BM,,1.2,,10.5,,\n"
        "P\x07,,1.2,,,,\n"
    )
    found = {(p.line, p.field) for p in problems(text)}
    assert found == {
        (3, "point"), (4, "intermediate"), (5, "reading"), (6, "surface"), (7, "x"), (8, "intermediate"),
        (9, "intermediate"), (10, "intermediate"), (11, "distance"), (12, "level"), (13, "point"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "empty"),
        ("# nothing\n", "empty"),
        ("point,backsight\n", "no reading"),
        ("backsight\n1.2\n", "missing"),
        ("point,note\nBM,x\n", "no column holds readings"),
        ("point,backsight,colour\nBM,1.2,red\n", "unknown column"),
        ("point,backsight,backsight\nBM,1.2,1.2\n", "twice"),
        ("point,backsight\nBM,1.2,7\n", "more cells"),
        ('point,backsight\n"BM,1.2\n', "not a table"),
        ("point,level,backsight\nBM,10,\n", "no reading"),
    ],
    ids=["empty", "remarks", "header alone", "no point", "no sights", "unknown", "twice", "cells", "quote", "level"],
)
def test_sheet_that_cannot_be_used(text: str, word: str) -> None:
    assert any(word in p.message for p in problems(text))


@pytest.mark.parametrize(
    ("rod", "reading"),
    [("metric", "5' 7\""), ("ft-in", "5.7"), ("tenths", "1 3/8"), ("tenths", "5' 7\""), ("metric", "45.25")],
)
def test_reading_of_another_rod_is_refused(rod: str, reading: str) -> None:
    (problem,) = problems(f'point,backsight\nBM,"{reading.replace(chr(34), chr(34) * 2)}"\n', rod)
    assert (problem.line, problem.field) == (2, "backsight")


def test_the_rod_is_asked_for() -> None:
    assert problems("point,backsight\nBM,1.2\n", None)[0].field == "rod"
    assert problems("point,backsight,rod\nBM,1.2,yards\n", None)[0].field == "rod"
    assert problems("point,backsight\nBM,1.2\n", "laser")[0].field == "rod"


def test_where_rods_vary_each_row_says_its_own() -> None:
    (problem,) = problems("point,backsight,intermediate,rod\nBM,1.2,,metric\nP,,4.1,tenths\nQ,,1.3,\n")
    assert (problem.line, problem.field) == (4, "rod")


def test_setup_begins_at_a_backsight_after_a_foresight() -> None:
    assert setups("point,backsight,foresight\nA,1,\nT,,2\nT,1,\nB,,2\n") == ["1", "1", "2", "2"]
    assert setups("point,backsight,foresight\nA,1,\nT,1,2\nB,,2\n") == ["1", "1", "2", "2"]
    assert setups("point,backsight,foresight\nA,1,\nC,1,\nB,,2\n") == ["1", "1", "1"]


def test_setup_begins_where_its_name_changes() -> None:
    assert setups("setup,point,backsight,foresight\nam,A,1,\nam,T,,2\npm,T,1,\npm,B,,2\n") == ["am", "am", "pm", "pm"]
    assert setups("setup,point,backsight,foresight\nam,A,1,\n,T,,2\npm,T,1,\n,B,,2\n") == ["am", "am", "pm", "pm"]
    assert setups("setup,point,backsight,foresight\nam,A,1,\npm,T,1,2\npm,B,,2\n") == ["am", "am", "pm", "pm"]
    assert setups("setup,point,backsight,foresight\nam,A,1,\nam,T,1,2\npm,B,,2\n") == ["am", "am", "pm", "pm"]
    assert setups("setup,point,backsight,foresight\nam,A,1,\nam,T,,2\nam,A,1,\n") == ["am", "am", "am"]


def test_book_that_does_not_link_names_the_setup() -> None:
    (problem,) = problems("setup,point,backsight,intermediate\n1,A,1,\n1,P,,2\n2,X,1,\n2,Q,,2\n")
    assert (problem.line, problem.field) == (4, "setup")
    assert "X" in problem.found


def test_laser_rod_needs_a_benchmark_reading_of_its_own() -> None:
    """A direct rod has another zero: it never shares a height of instrument with a usual rod."""
    (problem,) = problems("point,backsight,intermediate,rod\nBM,1,,metric\nP,,2,laser metric\n")
    assert "laser" in problem.message


def test_huge_books_are_refused_clearly() -> None:
    many = "point,intermediate\n" + "P,1\n" * (MOST_ROWS + 1)
    assert "too large" in problems(many)[0].message
    assert "too large" in problems("x" * (MOST_CHARACTERS + 1))[0].message


def test_many_problems_are_cut_short() -> None:
    found = problems("point,intermediate\n" + ",1\n" * 5000)
    assert len(found) == 201
    assert "4800 more" in found[-1].message


CELLS = st.text(alphabet=st.sampled_from(list("abcPM0123456789.,;'\"-/ \n\r\t#\ufeff′½²\x00\ud800e")), max_size=12)
HEADER = st.sampled_from(
    ["point,backsight,intermediate", "setup,point,backsight,foresight,level,x,y", "point,backsight,rod,surface", ""]
)
TEXTS = st.one_of(
    st.text(max_size=200),
    st.builds(lambda head, cells: head + "\n" + ",".join(cells), HEADER, st.lists(CELLS, max_size=30)),
    st.builds(
        lambda rows: "setup,point,backsight,foresight\n" + "\n".join(",".join(r) for r in rows),
        st.lists(
            st.tuples(
                st.sampled_from(["", "1", "2"]),
                st.sampled_from(["A", "B", "C", ""]),
                st.sampled_from(["", "1", "2.5", "x"]),
                st.sampled_from(["", "1", "0.3"]),
            ),
            max_size=12,
        ),
    ),
)


def read_and_reduce(text: str) -> None:
    """Anything but an InputError comes through and fails the test."""
    problems: tuple[Problem, ...] = ()
    book: Book | None = None
    try:
        book = read_book(text, file="b.csv", rod="metric")
        reduce([book], datum=None)
    except InputError as error:
        problems = error.problems
    assert book is not None or problems
    assert all(str(p).isprintable() for p in problems)


@given(TEXTS)
def test_any_text_is_a_book_or_an_input_error(text: str) -> None:
    read_and_reduce(text)


@pytest.mark.deep
@settings(max_examples=10_000, deadline=None)
@given(TEXTS)
def test_any_text_is_a_book_or_an_input_error_deep(text: str) -> None:
    read_and_reduce(text)
