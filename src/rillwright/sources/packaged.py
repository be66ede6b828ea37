"""Reading what lies beside this module: each file once, when it is first asked for."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

_HERE = Path(__file__).parent
_Value = TypeVar("_Value")

COMMON_PRACTICE = "common practice"


def text_of(file: str) -> str:
    """The text of a packaged file."""
    return (_HERE / file).read_text(encoding="utf-8")


@cache
def grouped(file: str) -> dict[str, dict[str, Any]]:
    """Entries of a packaged TOML file by their two-part name: `[falls.last]` is 'falls.last'."""
    import tomllib

    groups = tomllib.loads(text_of(file))
    return {f"{group}.{name}": entry for group, entries in groups.items() for name, entry in entries.items()}


def listed(file: str) -> Iterator[dict[str, str]]:
    """Rows of a packaged CSV file; lines that begin with # are remarks, empty fields stay empty."""
    lines = (line for line in text_of(file).splitlines() if line.strip() and not line.startswith("#"))
    for row in csv.DictReader(lines, strict=True):
        yield {name: value.strip() for name, value in row.items()}


def picked(table: dict[str, _Value], name: str, what: str) -> _Value:
    """The entry of that name.

    Raises
    ------
    KeyError
        If there is none; the message names those that are spelled nearly so.
    """
    if name in table:
        return table[name]
    from difflib import get_close_matches

    near = get_close_matches(name, table, n=3, cutoff=0.5)
    hint = f"; near: {', '.join(near)}" if near else f"; there are: {', '.join(sorted(table)[:12])}"
    raise KeyError(f"no {what} named {name!r}{hint}")
