"""Limits against which findings judge, with their sources."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from rillwright.sources.packaged import grouped, picked
from rillwright.sources.typed import UNIT_OF_KIND, to_si


class Limit(Struct, frozen=True, kw_only=True):
    """One limit in SI `unit`. On the good side of `good` all is well; from there to `bad` it is to be watched;
    beyond `bad` it takes `severity` (stop | watch). `sense` is at_least or at_most. `text` says what it asks for, its
    figures left open as {good} and {bad}.
    """

    name: str
    kind: str
    unit: str
    sense: str
    good: float
    bad: float
    severity: str
    source: str
    text: str
    people: bool


def asked(entry: Limit, good: str, bad: str) -> str:
    """What a limit asks for in words, its two figures as they are to be read."""
    return entry.text.replace("{good}", good).replace("{bad}", bad)


@cache
def limit(name: str) -> Limit:
    """The limit of that name. Raises KeyError with near matches."""
    entry = picked(grouped("limits.toml"), name, "limit")
    return Limit(
        name=name,
        kind=entry["kind"],
        unit=UNIT_OF_KIND[entry["kind"]],
        sense=entry["sense"],
        good=to_si(entry["good"], entry["kind"]),
        bad=to_si(entry.get("bad", entry["good"]), entry["kind"]),
        severity=entry.get("severity", "watch"),
        source=entry["source"],
        text=entry["text"],
        people=entry.get("people", False),
    )


def limits() -> tuple[Limit, ...]:
    """All limits, in the order of the file."""
    return tuple(limit(name) for name in grouped("limits.toml"))
