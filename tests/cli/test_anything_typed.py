"""Files with slips of every kind: read or refused in words, never a traceback, and the file stands as it was."""

from __future__ import annotations

import json
import math
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rillwright import job
from rillwright.errors import InputError

SCRAPS = [
    "", "\t", "\n", "  ", ":", "- ", "{", "}", "[", "]", "'", '"', "#", "&a ", "*a", "!!", "%", "|", ">", "\\",
    "\x00", "\x85", "\ud7ff", "\ufeff", "½", "5' 7 3/8\"", "-0 in", "1e9 ft", "nan", ".inf", "0", "-1",
    "99999999999999999999 m", "1/0 in",
    "4 in below", "above apron", "ponds/pond.waterline", "apron", "yes", "null", "~", "{{x}}", "$x$", "#panic()", "<b>",
    ",", ",,", ";", "\r\n", "\r", "bolt", "2 gal", "0 ft", "1e-300 m", "100 %", "vertical", "none", "at rest",
]  # fmt: skip


@cache
def typed(name: str, part: str) -> str:
    return (job.examples()[name] / part).read_text(encoding="utf-8")


@st.composite
def slips(draw: st.DrawFn, text: str) -> str:
    """The text with one to four slips: a piece left out, a scrap put in, a line moved or doubled."""
    for _ in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(["cut", "put", "value", "double", "move", "any"]))
        lines = text.split("\n")
        row = draw(st.integers(0, len(lines) - 1))
        if kind in ("cut", "put", "any"):
            at = draw(st.integers(0, len(text)))
            length = draw(st.integers(0, 30)) if kind == "cut" else 0
            scrap = (
                draw(st.sampled_from(SCRAPS)) if kind == "put" else draw(st.text(max_size=5)) if kind == "any" else ""
            )
            text = text[:at] + scrap + text[at + length :]
            continue
        if kind == "value":
            head, colon, _ = lines[row].partition(": ")
            lines[row] = head + colon + draw(st.sampled_from(SCRAPS)) if colon else lines[row]
        elif kind == "double":
            lines.insert(row, lines[row])
        else:
            lines.insert(draw(st.integers(0, len(lines) - 1)), lines.pop(row))
        text = "\n".join(lines)
    return text


def judged_or_refused(feature: str, book: str | None, name: str) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        (folder / "books").mkdir()
        file = folder / "feature.yaml"
        file.write_bytes(feature.encode("utf-8", "surrogatepass"))
        levels = typed(name, "books/levels.csv") if book is None else book
        (folder / "books" / "levels.csv").write_bytes(levels.encode("utf-8", "surrogatepass"))
        before = file.read_bytes()
        try:
            found: dict[str, Any] | None = job.to_json(job.judge(job.open(folder)))
        except InputError as error:
            told = [problem.message for problem in error.problems]
            found = None
        else:
            told = ["judged"]
        assert told
        assert all(told)
        if found is not None:
            json.dumps(found, allow_nan=False)
            assert all(finding["severity"] in ("stop", "watch", "ok") for finding in found["findings"])
        assert file.read_bytes() == before


def feature_with_slips(name: str) -> Callable[[st.DataObject], None]:
    def once(data: st.DataObject) -> None:
        judged_or_refused(data.draw(slips(typed(name, "feature.yaml"))), None, name)

    return once


NAMES = sorted(job.examples())


@pytest.mark.parametrize("name", NAMES)
@given(data=st.data())
@settings(max_examples=20, deadline=None)
def test_a_feature_file_with_slips(name: str, data: st.DataObject) -> None:
    feature_with_slips(name)(data)


@pytest.mark.deep
@pytest.mark.parametrize("name", NAMES)
@given(data=st.data())
@settings(max_examples=3_400, deadline=None)
def test_feature_files_with_slips_by_the_thousand(name: str, data: st.DataObject) -> None:
    feature_with_slips(name)(data)


@given(data=st.data())
@settings(max_examples=50, deadline=None)
def test_a_level_book_with_slips(data: st.DataObject) -> None:
    levels_or_refused(data.draw(slips(typed("orchard-press", "books/levels.csv"))))


@pytest.mark.deep
@given(data=st.data())
@settings(max_examples=10_000, deadline=None)
def test_level_books_with_slips_by_the_thousand(data: st.DataObject) -> None:
    levels_or_refused(data.draw(slips(typed("orchard-press", "books/levels.csv"))))


def levels_or_refused(book: str) -> None:
    with tempfile.TemporaryDirectory() as place:
        file = Path(place) / "book.csv"
        file.write_bytes(book.encode("utf-8", "surrogatepass"))
        before = file.read_bytes()
        try:
            survey = job.levels_of_book(file)
        except InputError:
            pass
        else:
            assert all(math.isfinite(point.level.m) for point in survey.points)
        assert file.read_bytes() == before
