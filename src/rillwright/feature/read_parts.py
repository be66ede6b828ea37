"""Plain values to the parts of a feature file, by what the parts say of their own keys; every complaint at once."""

from __future__ import annotations

from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, TypeVar, Union, get_args, get_origin

from msgspec import Struct
from msgspec.structs import FieldInfo, fields

from rillwright.errors import InputError
from rillwright.feature.fields import Either, Kind, Many
from rillwright.feature.yaml_text import Location

P = TypeVar("P", bound=Struct)

A_PART = "a part with keys"


class Before(Struct, frozen=True):
    """A value as it was typed in an earlier text, and what was read of it then."""

    typed: Any
    read: Any

    def of_key(self, part: type[Struct], key: str, name: str) -> Before | None:
        """What stood below it under a key of a part; `name` is the key's name in the part."""
        if type(self.read) is not part or key not in self.typed:
            return None
        return Before(self.typed[key], getattr(self.read, name))

    def of_place(self, place: str | int) -> Before | None:
        """What stood below it at a place of a list or of a mapping."""
        try:
            return Before(self.typed[place], self.read[place])
        except (KeyError, IndexError, TypeError):
            return None


class Complaint(Struct, frozen=True):
    """What is wrong at a place."""

    location: Location
    message: str
    found: str = ""
    allowed: str = ""


@cache
def keys_of(part: type[Struct]) -> dict[str, FieldInfo]:
    """The keys of a part, as they are typed."""
    return {field.encode_name: field for field in fields(part)}


def members_of(hint: Any) -> tuple[Any, ...]:
    """What a value may be, None last if at all: the members of a union, or the one thing."""
    return get_args(hint) if get_origin(hint) in (Union, UnionType) else (hint,)


def is_part(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, Struct)


class PartReader:
    """Reads a part and all below it. What cannot be read is None, with a complaint; no part is made of such values.

    What is the very object that was read `before` is not read again: the same words in the same place say the same.
    """

    def __init__(self) -> None:
        self.complaints: list[Complaint] = []

    def part(self, kind: type[P], typed: Any, at: Location, before: Before | None = None) -> P | None:
        if not isinstance(typed, dict):
            self._complain(at, f"{A_PART} is wanted here", typed)
            return None
        many = len(self.complaints)
        known = keys_of(kind)
        for key in [key for key in typed if key not in known]:
            self._complain((*at, key), "is not a key of this part", typed[key], allowed=", ".join(known))
        values: dict[str, Any] = {}
        for key, field in known.items():
            if key in typed:
                stood = None if before is None else before.of_key(kind, key, field.name)
                values[field.name] = self._value(field.type, typed[key], (*at, key), stood)
            elif field.required:
                self._complain((*at, key), "is missing", {})
        if len(self.complaints) > many:
            return None
        try:
            return kind(**values)
        except ValueError as error:  # the part's keys do not go together
            self._complain(at, str(error), typed)
            return None

    def _value(self, hint: Any, typed: Any, at: Location, before: Before | None) -> Any:
        if before is not None and typed is before.typed:
            return before.read
        members = members_of(hint)
        if typed is None and NoneType in members:
            return None
        members = tuple(member for member in members if member is not NoneType)
        if len(members) > 1:
            return self._one_of(members, typed, at, before)
        only = members[0]
        origin = get_origin(only)
        if origin is Annotated:
            return self._annotated(only, typed, at, before)
        if origin is Literal:
            return self._worded(only, typed, at)
        if origin in (list, tuple):
            return self._listed(only, typed, at, before)
        if origin is dict:
            return self._mapped(only, typed, at, before)
        return self.part(only, typed, at, before)

    def _annotated(self, hint: Any, typed: Any, at: Location, before: Before | None) -> Any:
        how = hint.__metadata__[0]
        if isinstance(how, Many):
            return self._listed(hint.__origin__, typed, at, before, size=how)
        if isinstance(how, Either):
            return self._either(how, members_of(hint.__origin__), typed, at, before)
        return self._read(how, typed, at)

    def _read(self, kind: Kind, typed: Any, at: Location, *, also: tuple[str, ...] = ()) -> Any:
        try:
            return kind.read(typed)
        except InputError as error:
            problem = error.problems[0]
            allowed = " or ".join((problem.allowed, *also) if problem.allowed else ())
            return self._complain(at, problem.message, typed, found=problem.found, allowed=allowed)

    def _worded(self, hint: Any, typed: Any, at: Location, *, also: str = "") -> Any:
        allowed = get_args(hint)
        if typed in allowed:
            return typed
        *first, last = [*([also] if also else []), *(repr(each) for each in allowed)]
        listed = f"{', '.join(first)} or {last}" if first else last
        return self._complain(at, "is none of the words allowed here", typed, allowed=listed)

    def _one_of(self, members: tuple[Any, ...], typed: Any, at: Location, before: Before | None) -> Any:
        """A part, a word of a few, or a value of some kind: at most one of each."""
        part = next((member for member in members if is_part(member)), None)
        if part is not None and isinstance(typed, dict):
            return self.part(part, typed, at, before)
        worded = next((member for member in members if get_origin(member) is Literal), None)
        kind = next((member.__metadata__[0] for member in members if get_origin(member) is Annotated), None)
        if kind is None or (worded is not None and typed in get_args(worded)):
            return self._worded(worded, typed, at, also=A_PART if part is not None else "")
        return self._read(kind, typed, at, also=tuple(repr(each) for each in get_args(worded)))

    def _either(
        self, how: Either, parts: tuple[type[Struct], ...], typed: Any, at: Location, before: Before | None
    ) -> Any:
        chosen = [part for key, part in zip(how.keys, parts, strict=True) if isinstance(typed, dict) and key in typed]
        if len(chosen) == 1:
            return self.part(chosen[0], typed, at, before)
        found = ", ".join(typed) if isinstance(typed, dict) else ""
        return self._complain(at, how.message, typed, found=found, allowed=how.allowed)

    def _listed(self, hint: Any, typed: Any, at: Location, before: Before | None, *, size: Many | None = None) -> Any:
        """A list of as many as there are, or a tuple with a place for each."""
        if not isinstance(typed, list):
            return self._complain(at, "a list is wanted here", typed)
        inner, count = get_args(hint), len(typed)
        if get_origin(hint) is tuple:
            if count < len(inner):
                return self._complain((*at, count), "a value is missing in this row", {})
            if count > len(inner):
                return self._complain(at, f"at most {len(inner)} entries are allowed here", typed)
            return tuple(self._value(each, typed[n], (*at, n), _at(before, n)) for n, each in enumerate(inner))
        if size is not None and count > size.most:
            return self._complain(at, f"at most {size.most:,} entries are allowed here", typed)
        if size is not None and count < size.least:
            self._complain(at, f"at least {size.least} entries are wanted here, not {count}", typed)
        return [self._value(inner[0], each, (*at, n), _at(before, n)) for n, each in enumerate(typed)]

    def _mapped(self, hint: Any, typed: Any, at: Location, before: Before | None) -> Any:
        if not isinstance(typed, dict):
            return self._complain(at, f"{A_PART} is wanted here", typed)
        inner = get_args(hint)[1]
        return {key: self._value(inner, each, (*at, key), _at(before, key)) for key, each in typed.items()}

    def _complain(self, at: Location, message: str, typed: Any, *, found: str = "", allowed: str = "") -> None:
        if not found and not isinstance(typed, dict | list):
            found = "nothing" if typed is None else repr(typed)
        self.complaints.append(Complaint(at, message, found, allowed))


def _at(before: Before | None, place: str | int) -> Before | None:
    return None if before is None else before.of_place(place)
