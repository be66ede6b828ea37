"""YAML as text with places: every scalar stays what was typed, every key knows its line, edits touch nothing else."""

from __future__ import annotations

import re
import warnings
from typing import Any

from msgspec import Struct

from rillwright.errors import InputError, Problem

Location = tuple[str | int, ...]
Plain = None | str | list[Any] | dict[str, Any]

LARGEST_TEXT = 2_000_000  # characters; a feature is some hundred lines, a survey belongs in books
_PLAIN_SAFE = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ./_-]*")
_NULLS = ("", "~", "null")


class Span(Struct, frozen=True):
    """Where a node stands in the text: offsets, and line and column from 1. `flow` nodes are in braces or brackets."""

    start: int
    end: int
    line: int
    column: int
    flow: bool


class YamlText(Struct, frozen=True):
    """A parsed text: plain values (all scalars as text) and the place of each."""

    text: str
    file: str
    value: dict[str, Any]
    spans: dict[Location, Span]

    def where(self, location: Location) -> tuple[int | None, int | None]:
        """Line and column of the nearest thing that stands in the text."""
        for length in range(len(location), -1, -1):
            span = self.spans.get(location[:length])
            if span is not None:
                return span.line, span.column
        return None, None

    def replaced(self, location: Location, typed: str) -> str:
        """The text with the scalar at `location` replaced by `typed`, all else byte for byte.

        Raises
        ------
        KeyError
            If nothing stands there.
        """
        span = self.spans[location]
        tail = "\n" if self.text[span.start : span.end].endswith("\n") else ""
        return self.text[: span.start] + quoted(typed) + tail + self.text[span.end :]

    def with_key(self, location: Location, key: str, typed: str) -> str:
        """The text with `key: typed` put first into the mapping at `location`, all else byte for byte."""
        return self._put_first(location, f"{key}: {quoted(typed)}")

    def with_entry(self, location: Location, typed: str) -> str:
        """The text with `typed` put first into the list at `location`, which is made where its part has none."""
        if location in self.spans:
            return self._put_first(location, quoted(typed) if self.spans[location].flow else f"- {quoted(typed)}")
        return self._put_first(location[:-1], f"{location[-1]}: [{quoted(typed)}]")

    def _put_first(self, location: Location, entry: str) -> str:
        span = self.spans[location]
        if span.flow:
            at = span.start + 1
            rest = self.text[at:].lstrip()
            return self.text[:at] + entry + ("" if rest.startswith(("}", "]")) else ", ") + self.text[at:]
        indent = " " * (span.column - 1)
        return self.text[: span.start] + f"{entry}\n{indent}" + self.text[span.start :]


def quoted(typed: str) -> str:
    """The scalar as YAML that reads back as the same text."""
    if _PLAIN_SAFE.fullmatch(typed) and typed == typed.strip() and typed.lower() not in _NULLS:
        return typed
    if "'" not in typed and "\n" not in typed:
        return f"'{typed}'"
    return '"' + typed.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'


def read_yaml(text: str, *, file: str) -> YamlText:
    """Parse a feature file's text.

    Raises
    ------
    InputError
        If it is too long, not YAML, not a mapping, uses anchors or tags, or says a key twice.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.error import MarkedYAMLError, YAMLError

    if len(text) > LARGEST_TEXT:
        raise InputError(
            Problem(
                message="the file is too long for a feature",
                file=file,
                found=f"{len(text):,} characters",
                allowed=f"up to {LARGEST_TEXT:,}; long lists of points belong in books/*.csv",
            )
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of anchors, which are refused below
            root = YAML(typ="safe", pure=True).compose(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        raise InputError(
            Problem(
                message=f"not readable as YAML: {error.problem or error.context}",
                file=file,
                line=None if mark is None else mark.line + 1,
                column=None if mark is None else mark.column + 1,
            )
        ) from error
    except (YAMLError, RecursionError, ValueError) as error:
        message = f"not readable as YAML: {str(error).splitlines()[0] if str(error) else type(error).__name__}"
        raise InputError(Problem(message=message, file=file)) from error
    if root is None or root.id != "mapping":
        found = "nothing" if root is None else f"a {root.id}"
        raise InputError(
            Problem(message="a feature file is a list of 'key: value' lines", file=file, line=1, found=found)
        )
    walk = _Walk(file)
    try:
        value = walk.plain(root, ())
    except RecursionError as error:
        raise InputError(Problem(message="nested too deeply", file=file)) from error
    if walk.problems:
        raise InputError(walk.problems)
    return YamlText(text, file, value, walk.spans)


class _Walk:
    """One pass over the node tree."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.spans: dict[Location, Span] = {}
        self.problems: list[Problem] = []
        self.seen: set[int] = set()

    def plain(self, node: Any, location: Location) -> Any:
        if id(node) in self.seen or node.anchor:
            self.complain(node, "anchors and aliases are not used in a feature file", location)
            return None
        self.seen.add(id(node))
        flow = node.id != "scalar" and bool(node.flow_style)
        mark = node.start_mark
        self.spans[location] = Span(mark.index, node.end_mark.index, mark.line + 1, mark.column + 1, flow)
        if node.id == "scalar":
            return self.scalar(node, location)
        if node.id == "sequence":
            return [self.plain(child, (*location, index)) for index, child in enumerate(node.value)]
        return self.mapping(node, location)

    def scalar(self, node: Any, location: Location) -> str | None:
        if "yaml.org,2002" not in str(node.tag):
            self.complain(node, "tags are not used in a feature file", location)
        if node.style is None and node.value.lower() in _NULLS:
            return None
        return str(node.value)

    def mapping(self, node: Any, location: Location) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key_node, value_node in node.value:
            if key_node.id != "scalar":
                self.complain(key_node, "a key must be a word", location)
                continue
            key = str(key_node.value)
            if key in result:
                self.complain(key_node, f"'{key}' stands here twice", location)
                continue
            result[key] = self.plain(value_node, (*location, key))
            end = self.spans.get((*location, key))  # None: an anchor, refused
            if end is not None and value_node.id == "scalar" and not value_node.value:  # point at the key
                mark = key_node.start_mark
                self.spans[(*location, key)] = Span(end.start, end.end, mark.line + 1, mark.column + 1, False)
        return result

    def complain(self, node: Any, message: str, location: Location) -> None:
        mark = node.start_mark
        self.problems.append(
            Problem(
                message=message, file=self.file, line=mark.line + 1, column=mark.column + 1, field=field_name(location)
            )
        )


def field_name(location: Location) -> str:
    """A location as people read it: 'streams[0].course[2].drop'."""
    text = ""
    for part in location:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text
