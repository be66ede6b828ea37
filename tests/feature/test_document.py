"""The file comes back as typed, and what is wrong with it is said with its place."""

from __future__ import annotations

import json
import re
from typing import Any

import jsonschema
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from rillwright.errors import InputError
from rillwright.feature import Document, json_schema
from tests.feature.courtyard import TEXT


def read(text: str) -> Document:
    return Document.read(text, file="feature.yaml")


def problems(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(text)
    assert all(problem.file == "feature.yaml" for problem in caught.value.problems)
    return [str(problem) for problem in caught.value.problems]


def test_typed_text_and_unit_are_kept() -> None:
    depth = read(TEXT).said.ponds[0].depth
    assert depth is not None
    assert (depth.text, depth.unit) == ("70 cm", "cm")
    assert depth.si == pytest.approx(0.7)


def test_reading_and_writing_changes_no_byte() -> None:
    assert read(TEXT).text == TEXT


@pytest.mark.parametrize(
    ("location", "typed"),
    [
        (("ponds", 0, "depth"), "2' 3 1/2\""),
        (("streams", 0, "course", 1, "drop"), "180 mm"),
        (("marks", 3, "level"), "15 cm below terrace"),
        (("name",), 'Court: #2 "new"'),
    ],
)
def test_a_set_value_changes_its_own_line_alone(location: tuple[str | int, ...], typed: str) -> None:
    changed = read(TEXT).set(location, typed)
    before, after = TEXT.splitlines(), changed.text.splitlines()
    assert len(before) == len(after)
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 1
    value: Any = YAML(typ="safe", pure=True).load(changed.text)
    for part in location:
        value = value[part]
    assert value == typed
    assert "# brass pin" in changed.text


def test_a_new_key_is_put_into_its_part() -> None:
    changed = read(TEXT).set(("streams", 0, "course", 1, "kind"), "stacked").set(("ponds", 0, "held"), "at rest")
    assert "{kind: stacked, fall: f1, drop: 200 mm}" in changed.text
    assert "  - held: at rest\n    id: basin\n" in changed.text
    assert changed.said.ponds[0].held == "at rest"


def test_missing_ids_are_written_in_and_the_rest_left_alone() -> None:
    document = read(TEXT).with_ids()
    assert document.with_ids().text == document.text
    assert [run.id for run in document.said.runs] == ["run", "run2"]
    assert document.said.ponds[0].rims[0].id == "r1"
    assert re.sub(r"id: (run2?|r1|p1|l1|a1|f1|intake|pump)(, |\n +)", "", document.text) == TEXT


def test_what_cannot_be_set_is_refused_and_harms_nothing() -> None:
    document = read(TEXT)
    for location in [("ponds",), ("ponds", 7, "depth"), ("streams", 0, "course")]:
        with pytest.raises(InputError):
            document.set(location, "1 m")
    with pytest.raises(InputError, match="depth"):
        document.set(("ponds", 0, "depth"), "0 m")
    assert document.text == TEXT


@pytest.mark.parametrize(
    ("was", "becomes", "place", "says"),
    [
        ("format: 1", "format: 9", "2:9: format", "allowed: 1"),
        ("depth: 70 cm", "depth: 70", "depth", "needs a unit"),
        ("depth: 70 cm", "depth: .nan", "depth", "found .nan"),
        ("depth: 70 cm", "depht: 70 cm", "depht", "not a key"),
        ("depth: 70 cm", "depth: 70 L", "depth", "L"),
        ("units: metric", "units: imperial", "5:8: units", "'us' or 'metric'"),
        ("name: Weavers' Court", "note: x", "name", "is missing"),
        ("[6 m, 0 m], [6 m, 1 m], [8 m, 1 m], [8 m, 0 m]", "[6 m, 0 m]", "points", "at least 3"),
        ("{fall: f1, drop: 200 mm}", "{drop: 200 mm}", "course[1]", "either a bed or a fall"),
        ("{fall: f1, drop: 200 mm}", "{fall: f1, drop: 200 mm, bed: b}", "course[1]", "either a bed or a fall"),
        (
            "pump: {box: {shut_off: 6 m, greatest_flow: 9 m3/h}",
            "pump: {box: {shut_off: 6 m}",
            "greatest_flow",
            "missing",
        ),
        ("side: 2", "side: 0", "side", "more than 0"),
        ("side: 2", "side: steep", "side", "a number above 0 or 'vertical'"),
        ("shelf: {width: 30 cm, depth: 25 cm}", "shelf: wide", "shelf", "a part with keys or 'none'"),
        ("name: Weavers' Court", "name: ' '", "name", "at least 1 character is wanted"),
        ("pipe: {name: 63 mm}", "pipe: {}", "pipe, pipe run", "'name' or its 'inside'"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(was: str, becomes: str, place: str, says: str) -> None:
    assert was in TEXT
    found = problems(TEXT.replace(was, becomes, 1))
    assert any(place in line and says in line for line in found), found


def test_a_wrong_key_of_a_part_that_may_be_a_word_is_told_once() -> None:
    assert len(problems(TEXT.replace("shelf: {width: 30 cm, depth: 25 cm}", "shelf: {wide: 1 m}"))) == 1


def test_all_problems_are_told_at_once() -> None:
    text = TEXT.replace("70 cm", "70").replace("metric", "ells").replace("drop: 200 mm", "drop: x")
    assert len(problems(text)) == 3


@pytest.mark.parametrize(
    "text",
    ["", "just words", "- a\n- b", "a: [1, 2", "a: b: c", "\t x", "a: &x 1\nb: *x", "a: !!python/name:os.system 1",
     "format: 1\nformat: 1", "{" * 3000, "\x00", "format: 1\n? [a]\n: b"],
)  # fmt: skip
def test_what_is_not_a_feature_file_is_refused_in_words(text: str) -> None:
    assert problems(text)


def test_a_huge_file_is_refused_before_it_is_parsed() -> None:
    assert "too long" in problems("a: 1\n" * 500_000)[0]


def test_the_schema_accepts_the_file_and_refuses_a_wrong_key() -> None:
    schema = json_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    value = json.loads(json.dumps(YAML(typ="safe", pure=True).load(TEXT), default=str))
    jsonschema.validate(value, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**value, "colour": "blue"}, schema)


def garble(text: str, cuts: list[tuple[int, str]]) -> str:
    for at, put in cuts:
        at %= len(text) + 1
        text = text[:at] + put + text[at + len(put) :]
    return text


cuts = st.lists(st.tuples(st.integers(0, 5000), st.text(max_size=6)), max_size=6)


def reads_or_says_why(text: str) -> bool:
    try:
        return read(text).text == text
    except InputError as error:
        return len(error.problems) > 0


@given(cuts)
@example([(3, "\ud7ff")])
@settings(deadline=None)
def test_no_text_makes_it_fall_over(cuts: list[tuple[int, str]]) -> None:
    assert reads_or_says_why(garble(TEXT, cuts))


@pytest.mark.deep
@given(cuts)
@settings(deadline=None)
def test_no_text_makes_it_fall_over_deep(cuts: list[tuple[int, str]]) -> None:
    assert reads_or_says_why(garble(TEXT, cuts))


typed_texts = st.text(min_size=1, max_size=40).filter(lambda t: t.strip() == t and t.isprintable())


@given(typed_texts)
@settings(max_examples=100, deadline=None)
def test_any_printable_words_survive_being_written(words: str) -> None:
    assert read(TEXT).set(("revision",), words).said.revision == words
