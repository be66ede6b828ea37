"""One value of a text typed anew, without parsing the rest again: the very tree that a parser would give, or None."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from rillwright.feature.yaml_text import LARGEST_TEXT, Location, Span, YamlText, quoted

LONGEST = 500  # characters; a parser takes longer words for something else in places
_KEY = re.compile(r"[a-z][a-z_]*")
_BY_A_PARSER = (("format",),)  # it is compared, and kept as a number


def with_value(source: YamlText, location: Location, typed: str) -> YamlText | None:
    """The text with the scalar at `location` typed anew, parsed; None where only a parser can tell what it comes to."""
    span = source.spans.get(location)
    if span is None or location in _BY_A_PARSER or not _plain(typed):
        return None
    if not isinstance(_at(source.value, location), str) or not _of_one_line(source.text[span.start : span.end]):
        return None
    text = source.replaced(location, typed)
    longer = len(text) - len(source.text)
    if len(text) > LARGEST_TEXT:
        return None
    moved = {place: _after(each, span, longer) for place, each in source.spans.items()}
    moved[location] = Span(span.start, span.end + longer, span.line, span.column, False)
    return YamlText(text, source.file, _changed(source.value, location, lambda _: typed), moved)


def with_key(source: YamlText, location: Location, key: str, typed: str) -> YamlText | None:
    """The text with `key: typed` put first into the mapping at `location`, parsed; None as above."""
    span = source.spans.get(location)
    owner = _at(source.value, location)
    if span is None or not isinstance(owner, dict) or not owner or key in owner:
        return None
    if (*location, key) in _BY_A_PARSER or not _plain(typed) or not _KEY.fullmatch(key) or key == "null":
        return None
    text = source.with_key(location, key, typed)
    longer = len(text) - len(source.text)
    if len(text) > LARGEST_TEXT:
        return None
    at = Span(span.start + int(span.flow), span.start + int(span.flow), span.line, span.column + int(span.flow), False)
    moved: dict[Location, Span] = {}
    for place, each in source.spans.items():
        if location[: len(place)] == place:  # what it lies in begins where it did
            moved[place] = Span(each.start, each.end + longer, each.line, each.column, each.flow)
        elif span.flow:
            moved[place] = _after(each, at, longer)
        else:
            moved[place] = _below(each, span, longer)
    begins = at.start + len(key) + 2
    column = at.column + len(key) + 2
    moved[(*location, key)] = Span(begins, begins + len(quoted(typed)), at.line, column, False)
    return YamlText(text, source.file, _changed(source.value, location, lambda old: {key: typed, **old}), moved)


def _plain(typed: str) -> bool:
    """Whether a scalar of these letters reads back as itself wherever it stands."""
    return 0 < len(typed) <= LONGEST and typed.isprintable()


def _of_one_line(old: str) -> bool:
    """Whether a scalar in the text holds something, has no tag before it and ends where it seems to."""
    return old not in ("", "''", '""') and old[0] not in "!&*|>" and len(old.splitlines()) == 1


def _after(each: Span, edited: Span, longer: int) -> Span:
    """A span in the text whose line of `edited` has grown there."""
    start = each.start + longer if each.start >= edited.end and each.start > edited.start else each.start
    end = each.end + longer if each.end >= edited.end and each.end > edited.start else each.end
    on_its_line = each.line == edited.line and each.column > edited.column
    return Span(start, end, each.line, each.column + longer if on_its_line else each.column, each.flow)


def _below(each: Span, edited: Span, longer: int) -> Span:
    """A span in the text that has a line more where `edited` begins."""
    start = each.start + longer if each.start >= edited.start else each.start
    end = each.end + longer if each.end >= edited.start else each.end
    lower = each.line > edited.line or (each.line == edited.line and each.column >= edited.column)
    return Span(start, end, each.line + 1 if lower else each.line, each.column, each.flow)


def _at(value: Any, location: Location) -> Any:
    for part in location:
        value = value[part]
    return value


def _changed(value: Any, location: Location, change: Callable[[Any], Any]) -> Any:
    """A copy of nested lists and mappings with one place changed; all that does not hold it is the same object."""
    if not location:
        return change(value)
    first, *rest = location
    inner = _changed(value[first], tuple(rest), change)
    if isinstance(value, Mapping):
        return {key: inner if key == first else each for key, each in value.items()}
    return [inner if index == first else each for index, each in enumerate(value)]
