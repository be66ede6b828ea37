"""Limits against which findings judge, with their sources."""

from __future__ import annotations

from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from rillwright.sources.packaged import COMMON_PRACTICE, grouped, picked
from rillwright.sources.typed import UNIT_OF_KIND, to_si

_HAIR = 1e-9  # what a length in inches loses on its way through floats


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


def limit_as_met(name: str, system: str) -> Limit:
    """The limit of that name as crews of a `system` (us | metric) meet it. Raises KeyError with near matches.

    Where people measure in metres, a length in inches on nobody's word but the trade's is taken at 25 mm to the inch:
    24 in is 600 mm.
    """
    usual = limit(name)
    if system != "metric" or usual.kind != "length" or usual.source != COMMON_PRACTICE:
        return usual
    return replace(usual, good=_metric(usual.good), bad=_metric(usual.bad))


def _metric(value_m: float) -> float:
    """A length [m] of whole eighths of an inch at 25 mm to the inch; any other as it is."""
    eighths = value_m / to_si("1/8 in", "length")
    whole = round(eighths)
    eighth_m = to_si("25 mm", "length") / 8
    return whole * eighth_m if abs(eighths - whole) < _HAIR * max(1.0, abs(eighths)) else value_m


def limits() -> tuple[Limit, ...]:
    """All limits, in the order of the file."""
    return tuple(limit(name) for name in grouped("limits.toml"))
