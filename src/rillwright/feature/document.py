"""The Document: a feature file as typed, checked, and written back as typed."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.feature.explain import check_format, problem_at, problems
from rillwright.feature.ids import first_without_id
from rillwright.feature.read_parts import Before, PartReader
from rillwright.feature.schema import FeatureSaid
from rillwright.feature.typed_anew import with_key, with_value
from rillwright.feature.yaml_text import Location, YamlText, read_yaml


class Document(Struct, frozen=True):
    """A feature file: its text, its typed values, and where each stands."""

    source: YamlText
    said: FeatureSaid

    @classmethod
    def read(cls, text: str, *, file: str) -> Document:
        """Read and check a feature file's text.

        Raises
        ------
        InputError
            With every problem found, each with file, line, field, what was found and what is allowed.
        """
        source = read_yaml(text, file=file)
        check_format(source)
        return cls._read(source, None)

    @classmethod
    def _read(cls, source: YamlText, before: Before | None) -> Document:
        reader = PartReader()
        said = reader.part(FeatureSaid, source.value, (), before)
        if said is None:
            raise InputError(problems(reader.complaints, source))
        return cls(source, said)

    @property
    def text(self) -> str:
        """The file as it stands."""
        return self.source.text

    @property
    def file(self) -> str:
        """Its name, for messages."""
        return self.source.file

    def problem(self, location: Location, message: str, *, found: str = "", allowed: str = "") -> Problem:
        """A problem at a place of this file."""
        return problem_at(self.source, location, message, found=found, allowed=allowed)

    def set(self, location: Location, typed: str) -> Document:
        """A copy in which one value is `typed`; everything else stays byte for byte.

        It is what `read` makes of the new text; where that is certain, the rest of the text is not parsed again.

        Raises
        ------
        InputError
            If the part does not exist or the value is not allowed there.
        """
        source = self.source
        if location in source.spans and not isinstance(_at(source.value, location), (dict, list)):
            anew = with_value(source, location, typed)
            text = source.replaced(location, typed) if anew is None else anew.text
        elif (
            isinstance(within := _at(source.value, location[:-1]), dict)
            and isinstance(location[-1], str)
            and location[-1] not in within
        ):
            anew = with_key(source, location[:-1], location[-1], typed)
            text = source.with_key(location[:-1], location[-1], typed) if anew is None else anew.text
        else:
            raise InputError(self.problem(location, "there is no single value here that could be set"))
        if anew is None:
            return Document.read(text, file=self.file)
        return Document._read(anew, Before(source.value, self.said))

    def with_entry(self, location: Location, typed: str) -> Document:
        """A copy in which the list at `location` has one more entry, its first; the list is made where there is none.

        Raises
        ------
        InputError
            If no list may stand there, or not with that entry.
        """
        at, part = _at(self.source.value, location), _at(self.source.value, location[:-1])
        if not isinstance(at, list) and (not isinstance(part, dict) or location[-1] in part):
            raise InputError(self.problem(location, "there is no list here that could be added to"))
        return Document.read(self.source.with_entry(location, typed), file=self.file)

    def with_ids(self) -> Document:
        """A copy in which every element has an id; those missing are written in."""
        text, file = self.source.text, self.file
        while missing := first_without_id(Document.read(text, file=file).said):
            location, id = missing
            text = read_yaml(text, file=file).with_key(location, "id", id)
        return Document.read(text, file=file)


def _at(value: Any, location: Location) -> Any:
    for key in location:
        try:
            value = value[key]
        except (KeyError, IndexError, TypeError):
            return None
    return value
