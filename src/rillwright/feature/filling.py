"""Filling in what nobody typed, from named defaults, and remembering each."""

from __future__ import annotations

from rillwright.errors import Problem
from rillwright.feature.document import Document
from rillwright.feature.model import DefaultUsed
from rillwright.feature.yaml_text import Location
from rillwright.sources import default
from rillwright.units import Quantity


class Filling:
    """Collects the defaults used and the problems met while a document is completed."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.used: list[DefaultUsed] = []
        self.problems: list[Problem] = []

    def value(self, typed: Quantity | None, name: str, path: str) -> float:
        """The typed value, or that of the default `name`, in SI."""
        if typed is not None:
            return typed.si
        return self.number(name, path)

    def number(self, name: str, path: str) -> float:
        """The default `name` in SI, noted as used at `path`."""
        entry = default(name)
        self.used.append(DefaultUsed(path=path, default=name, value=entry.number, unit=entry.unit, source=entry.source))
        return entry.number

    def word(self, typed: str | None, name: str, path: str) -> str:
        """The typed word, or that of the default `name`."""
        if typed is not None:
            return typed
        entry = default(name)
        self.used.append(DefaultUsed(path=path, default=name, value=entry.word, unit=entry.unit, source=entry.source))
        return entry.word

    def computed(self, name: str, value: float | str, *, unit: str, path: str) -> None:
        """Note a value that was worked out by the rule `name` because nobody typed it. `value` is in SI `unit`."""
        self.used.append(DefaultUsed(path=path, default=name, value=value, unit=unit, source=default(name).source))

    def wrong(self, location: Location, message: str, *, found: str = "", allowed: str = "") -> None:
        """Note a problem at a place of the file."""
        self.problems.append(self.document.problem(location, message, found=found, allowed=allowed))
