"""Named defaults: what is taken where nobody typed anything, and on whose word."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from msgspec import Struct

from rillwright.sources.packaged import COMMON_PRACTICE, grouped, picked
from rillwright.sources.typed import UNIT_OF_KIND, to_si
from rillwright.units import Band


class Default(Struct, frozen=True, kw_only=True):
    """One default in SI `unit`; a word stays a word. `low` and `high` are its band, where it has one.

    `typed` is the value as the file has it ('4 in'), for showing it the way a person would say it.
    """

    name: str
    kind: str
    unit: str
    value: float | str
    low: float | None
    high: float | None
    text: str
    source: str
    typed: str

    @property
    def number(self) -> float:
        """The value as a number in `unit`. Raises TypeError if it is a word."""
        if isinstance(self.value, str):
            raise TypeError(f"the default {self.name} is a word, {self.value!r}")
        return self.value

    @property
    def band(self) -> Band:
        """The value with its band in `unit`; an end that is not given is the value. Raises TypeError for a word."""
        return Band(
            self.number,
            self.number if self.low is None else self.low,
            self.number if self.high is None else self.high,
        )

    @property
    def word(self) -> str:
        """The value as a word. Raises TypeError if it is a number."""
        if not isinstance(self.value, str):
            raise TypeError(f"the default {self.name} is a number, {self.value!r} {self.unit}")
        return self.value


def _end(entry: dict[str, Any], end: str) -> float | None:
    return to_si(entry[end], entry["kind"]) if end in entry else None


@cache
def default(name: str) -> Default:
    """The default of that name. Raises KeyError with near matches."""
    entry = picked(grouped("defaults.toml"), name, "default")
    kind, typed = entry["kind"], entry["value"]
    return Default(
        name=name,
        kind=kind,
        unit=UNIT_OF_KIND[kind],
        value=str(typed) if kind == "word" else to_si(typed, kind),
        low=_end(entry, "low"),
        high=_end(entry, "high"),
        text=entry["text"],
        source=entry.get("source", COMMON_PRACTICE),
        typed=str(typed),
    )


def defaults() -> tuple[Default, ...]:
    """All defaults, in the order of the file."""
    return tuple(default(name) for name in grouped("defaults.toml"))


def default_fittings(name: str = "pipe.fittings") -> tuple[tuple[str, int], ...]:
    """Kinds and counts of the fittings that a pipe has where nobody listed them, by a default; exit not included."""
    parts = re.findall(r"(\d+) ([^,]+)", default(name).word)
    return tuple((kind.strip(), int(count)) for count, kind in parts)
