"""What is wrong with a feature file, in plain sentences with place, found and allowed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import reduce
from operator import getitem
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from rillwright.errors import InputError, Problem
from rillwright.feature.schema import FORMAT, FeatureSaid
from rillwright.feature.yaml_text import Location, YamlText, field_name

_PLAIN = {
    "missing": "is missing",
    "extra_forbidden": "is not a key of this part",
    "list_type": "a list is wanted here",
    "model_type": "a part with keys is wanted here",
    "dict_type": "a part with keys is wanted here",
    "string_type": "one word or text is wanted here",
    "literal_error": "is none of the words allowed here",
    "string_pattern_mismatch": "an id is letters, digits, '-' and '_', and begins with a letter",
    "bool_parsing": "yes or no is wanted here",
    "int_parsing": "a whole number is wanted here",
    "float_parsing": "a number is wanted here",
}
_BOUNDS = {
    "greater_than": ("more than", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("less than", "lt"),
    "less_than_equal": ("at most", "le"),
}


def check_format(source: YamlText) -> None:
    found = source.value.get("format")
    if found != str(FORMAT):
        line, column = source.where(("format",))
        raise InputError(
            Problem(
                message="the file does not say a format that can be read",
                file=source.file,
                line=line,
                column=column,
                field="format",
                found=repr(found) if found is not None else "no format",
                allowed=str(FORMAT),
            )
        )
    source.value["format"] = FORMAT


def problems(error: ValidationError, source: YamlText) -> list[Problem]:
    """Every complaint once, in the order of the file."""
    seen: dict[tuple[str, str], Problem] = {}
    for detail in error.errors(include_url=False):
        location = _location(detail, source)
        if location is None:
            continue
        problem = _neither_bed_nor_fall(location, source) or _problem(
            location, source, _message(detail), found=_found(detail), allowed=_allowed(detail, location)
        )
        seen.setdefault((problem.field, problem.message), problem)
    return sorted(seen.values(), key=lambda p: (p.line or 0, p.column or 0))


def _problem(location: Location, source: YamlText, message: str, *, found: str, allowed: str) -> Problem:
    line, column = source.where(location)
    field = field_name(location)
    return Problem(
        message=message, file=source.file, line=line, column=column, field=field, found=found, allowed=allowed
    )


def _neither_bed_nor_fall(location: Location, source: YamlText) -> Problem | None:
    """A row of a course that is not one of the two: one plain sentence instead of two lists of missing keys."""
    if "course" not in location or len(location) < location.index("course") + 2:
        return None
    place = location[: location.index("course") + 2]
    row: Any = reduce(getitem, place, source.value)  # type: ignore[arg-type]
    if isinstance(row, Mapping) and ("bed" in row) != ("fall" in row):
        return None
    return _problem(
        place,
        source,
        "a row of a course is either a bed or a fall",
        found=", ".join(row) if isinstance(row, Mapping) else repr(row),
        allowed="'bed: ID' with its length, or 'fall: ID' with its drop",
    )


def _location(detail: ErrorDetails, source: YamlText) -> Location | None:
    """The place in the file, without the names of union members; None where another member of the union is meant."""
    location: list[str | int] = []
    value: Any = source.value
    for part in detail["loc"]:
        inside = (isinstance(value, Mapping) and part in value) or (
            isinstance(value, list) and isinstance(part, int) and part < len(value)
        )
        if inside:
            value = value[part]
            location.append(part)
        elif part in ("BedSaid", "FallSaid"):
            if isinstance(value, Mapping) and ("bed" in value) != (part == "BedSaid"):
                return None
        elif part == detail["loc"][-1] and detail["type"] == "missing" and not isinstance(value, list):
            location.append(part)
    return tuple(location)


def _message(detail: ErrorDetails) -> str:
    context = detail.get("ctx") or {}
    if detail["type"] == "too_short":
        return f"at least {context['min_length']} entries are wanted here, not {context['actual_length']}"
    if detail["type"] == "too_long":
        return f"at most {context['max_length']} entries are allowed here"
    if detail["type"] == "missing" and isinstance(detail["loc"][-1], int):
        return "a value is missing in this row"
    bound = _BOUNDS.get(detail["type"])
    if bound is not None:
        return f"must be {bound[0]} {context[bound[1]]}"
    if detail["type"] in _PLAIN:
        return _PLAIN[detail["type"]]
    return detail["msg"].removeprefix("Value error, ")


def _found(detail: ErrorDetails) -> str:
    context = detail.get("ctx") or {}
    if context.get("found"):
        return str(context["found"])
    found = detail.get("input")
    if detail["type"] in ("missing", "value_error") or isinstance(found, (Mapping, list, BaseModel)):
        return ""
    return "nothing" if found is None else repr(found)


def _allowed(detail: ErrorDetails, location: Location) -> str:
    context = detail.get("ctx") or {}
    for key in ("allowed", "expected"):
        if context.get(key):
            return str(context[key])
    if detail["type"] == "extra_forbidden":
        return ", ".join(_keys(location[:-1]))
    return ""


def _keys(location: Location) -> Sequence[str]:
    """Keys allowed in the part at `location`, by walking the models."""
    model: Any = FeatureSaid
    for part in location:
        if isinstance(part, int):
            continue
        field = next((f for n, f in model.model_fields.items() if part in (n, f.alias)), None)
        found = None if field is None else _model_in(field.annotation)
        if found is None:
            return ()
        model = found
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _model_in(inner)
        if found is not None:
            return found
    return None
