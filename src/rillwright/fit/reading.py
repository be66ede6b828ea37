"""Reads whole numbers, spans and choices out of a JSON object and gathers everything that is wrong on the way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal, TypeVar

from rillwright.errors import InputError, Problem

Word = TypeVar("Word", bound=str)


class Reader:
    """One JSON object under reading: asks for fields by name, answers with the default where one cannot be used."""

    def __init__(self, data: object, *, path: str = "", problems: list[Problem] | None = None) -> None:
        self._path = path
        self._problems: list[Problem] = [] if problems is None else problems
        self._asked: set[str] = set()
        self._inner: list[Reader] = []
        self._data: Mapping[str, Any] = data if isinstance(data, Mapping) else {}
        if not isinstance(data, Mapping):
            self._report(path, data, "an object with named fields")

    def has(self, name: str) -> bool:
        """Whether the field is there and not null."""
        self._asked.add(name)
        return self._data.get(name) is not None

    def whole(self, name: str, default: int, *, needed: bool = False) -> int:
        """The field as a whole number."""
        value = self.maybe_whole(name)
        if value is None and needed and not self.has(name):
            self._report(self._name(name), None, "a whole number")
        return default if value is None else value

    def maybe_whole(self, name: str) -> int | None:
        """The field as a whole number, or None where it is left out or null."""
        if not self.has(name):
            return None
        value = self._data[name]
        if _is_whole(value):
            return int(value)
        self._report(self._name(name), value, "a whole number")
        return None

    def span(self, name: str, default: tuple[int, int]) -> tuple[int, int]:
        """The field as a pair of whole numbers, low and high."""
        return self.maybe_span(name) or default

    def maybe_span(self, name: str) -> tuple[int, int] | None:
        """The field as a pair of whole numbers, or None where it is left out or null; one number stands for both."""
        if not self.has(name):
            return None
        value = self._data[name]
        if _is_whole(value):
            return (value, value)
        if isinstance(value, list | tuple) and len(value) == 2 and all(_is_whole(end) for end in value):
            return (value[0], value[1])
        self._report(self._name(name), value, "a whole number, or [low, high]")
        return None

    def choice(self, name: str, words: tuple[Word, ...], *, default: Word, needed: bool = False) -> Word:
        """The field as one of `words`."""
        if not self.has(name):
            if needed:
                self._report(self._name(name), None, " | ".join(words))
            return default
        for word in words:
            if self._data[name] == word:
                return word
        self._report(self._name(name), self._data[name], " | ".join(words))
        return default

    def position(self, name: str) -> int | Literal["last"]:
        """The field as a position counted from 1, or 'last'."""
        value = self._data.get(name)
        self._asked.add(name)
        if value == "last" or _is_whole(value):
            return "last" if value == "last" else int(value)  # type: ignore[arg-type]
        self._report(self._name(name), value, "1, 2, ... | last")
        return "last"

    def parts(self, name: str) -> Iterator[Reader]:
        """A reader for each object in the field's list."""
        if not self.has(name):
            return
        value = self._data[name]
        if not isinstance(value, list | tuple):
            self._report(self._name(name), value, "a list")
            return
        for index, part in enumerate(value):
            inner = Reader(part, path=f"{self._name(name)}[{index}]", problems=self._problems)
            self._inner.append(inner)
            yield inner

    def close(self) -> None:
        """Report fields that nobody asked for, and raise if anything was wrong.

        Raises
        ------
        InputError
            With everything found since the reader was opened.
        """
        self._report_unknown()
        if self._problems:
            raise InputError(self._problems)

    def _report_unknown(self) -> None:
        for name in self._data:
            if name not in self._asked:
                allowed = ", ".join(sorted(self._asked))
                self._problems.append(Problem(message="unknown field", field=self._name(str(name)), allowed=allowed))
        for inner in self._inner:
            inner._report_unknown()

    def _name(self, name: str) -> str:
        return f"{self._path}.{name}" if self._path else name

    def _report(self, field: str, value: object, allowed: str) -> None:
        message = "missing" if value is None else "cannot be used"
        found = "" if value is None else repr(value)[:80]
        self._problems.append(Problem(message=message, field=field, found=found, allowed=allowed))


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)
