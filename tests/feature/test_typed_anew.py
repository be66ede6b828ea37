"""A value typed anew without parsing the rest: always what parsing the new text from its beginning gives."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rillwright.errors import InputError
from rillwright.feature import Document
from rillwright.feature.typed_anew import with_key, with_value
from rillwright.feature.yaml_text import YamlText, read_yaml
from tests.feature.courtyard import TEXT
from tests.house.tree import ROOT

ODD = """# kinds of scalars, and of places, that a feature file may hold
format: 1
plain: some words here   # a comment
'quoted key': 'it''s'
double: "a\\tb" # and
empty:
tilde: ~
nothing: ''
tagged: !!str 12
folded: >-
  two
  lines
wrapped: one
  two
'''multi''': 'one

  two'
flow: {a: 1, b: [x, 'y, z', {c: 2}], d: , e: {}}
lines: [
  1, 2,   3,
  {deep: 4, other: 5}, 6]
list:
- a: 1
  b: 2
- - nested: 3
    more: 4
  - 5
-   wide: 6
    last: "7"
? asked
: answer
inner:
    far:
        end: of it"""
TEXTS = [
    TEXT, TEXT.replace("\n", "\r\n"), "\ufeff" + ODD, ODD, ODD + "\n", ODD + " # end",
    *(file.read_text(encoding="utf-8") for file in sorted((ROOT / "examples").glob("*/feature.yaml"))),
]  # fmt: skip
ODDLY_TYPED = [
    "1.2 m", "4 ft 3 1/2 in", "0", "null", "~", "", " ", "a: b", "# c", "- x", "]", "&a", "*a", "!!str", "'", '"',
]  # fmt: skip
WORDS = st.one_of(
    st.sampled_from(ODDLY_TYPED),
    st.text(max_size=12),
    st.text("abz019 '\"\\:#,[]{}&*!|>%@`?-~.\t\n\u00e9\u2028\u0085\U0001f980", max_size=9),
)


def parsed(text: str) -> YamlText:
    return read_yaml(text, file="feature.yaml")


SOURCES = [parsed(text) for text in TEXTS]


def places(value: Any, location: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Where something stands, the whole included."""
    inner: Any = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [location, *(place for key, each in inner for place in places(each, (*location, key)))]


def same(anew: YamlText | None, text: str) -> None:
    if anew is None:
        return
    whole = parsed(text)
    assert (anew.text, anew.value) == (text, whole.value)
    assert anew.spans == whole.spans
    assert repr(anew.value) == repr(whole.value), "keys in the same order"


@given(st.data(), st.sampled_from(SOURCES), WORDS)
def test_a_value_in_place_of_another(data: Any, source: YamlText, typed: str) -> None:
    location = data.draw(st.sampled_from(places(source.value)))
    anew = with_value(source, location, typed)
    if anew is not None:
        same(anew, source.replaced(location, typed))


@given(st.data(), st.sampled_from(SOURCES), st.sampled_from(["depth", "a", "null", "x y", "yes", "held"]), WORDS)
def test_a_key_that_was_not_there(data: Any, source: YamlText, key: str, typed: str) -> None:
    location = data.draw(st.sampled_from(places(source.value)))
    anew = with_key(source, location, key, typed)
    if anew is not None:
        same(anew, source.with_key(location, key, typed))


@pytest.mark.parametrize("source", SOURCES, ids=range(len(SOURCES)))
def test_every_place_of_every_text(source: YamlText) -> None:
    taken = 0
    for location in places(source.value):
        for typed in ("7", "a longer text: with # signs"):
            anew = with_value(source, location, typed)
            taken += anew is not None
            if anew is not None:
                same(anew, source.replaced(location, typed))
        anew = with_key(source, location, "depth", "1.2 m")
        if anew is not None:
            same(anew, source.with_key(location, "depth", "1.2 m"))
    assert taken > 20


DOCUMENT = Document.read(TEXT, file="feature.yaml")
WELL_TYPED = ["1.2 m", "30 in", "0.5", "metric", "at rest", "none", "stacked", "1 : 2", "2"]
SAID = st.one_of(st.sampled_from(WELL_TYPED), WORDS)
NEW_KEYS = st.sampled_from(["depth", "width", "held", "kind", "note", "gravel"])


@given(st.data(), st.lists(SAID, min_size=1, max_size=3))
def test_a_document_set_again_and_again_is_what_its_text_says(data: Any, all_typed: list[str]) -> None:
    document = DOCUMENT
    for typed in all_typed:
        location = data.draw(st.sampled_from(places(document.source.value)[1:]))
        if data.draw(st.booleans()):
            location = (*location[:-1], data.draw(NEW_KEYS))
        told = ""
        try:
            set_anew = document.set(location, typed)
        except InputError as error:
            told = str(error)
        if told:
            document = again(document, location, typed, told)
            continue
        whole = Document.read(set_anew.text, file="feature.yaml")
        assert (set_anew.said, set_anew.source) == (whole.said, whole.source)
        document = set_anew


def again(document: Document, location: tuple[str | int, ...], typed: str, told: str) -> Document:
    """What was refused is refused in the same words where the text is read from its beginning."""
    source = document.source
    anew = with_value(source, location, typed) or (
        with_key(source, location[:-1], str(location[-1]), typed) if location[:-1] in source.spans else None
    )
    if anew is not None:
        with pytest.raises(InputError) as caught:
            Document.read(anew.text, file="feature.yaml")
        assert str(caught.value) == told
    return document
