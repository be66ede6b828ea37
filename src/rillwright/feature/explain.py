"""What is wrong with a feature file, in plain sentences with place, found and allowed."""

from __future__ import annotations

from rillwright.errors import InputError, Problem
from rillwright.feature.read_parts import Complaint
from rillwright.feature.schema import FORMAT
from rillwright.feature.wording import wording
from rillwright.feature.yaml_text import Location, YamlText, field_name


def check_format(source: YamlText) -> None:
    """Refuse another format in one sentence: nothing else could be said of its keys."""
    found = source.value.get("format")
    if found != str(FORMAT):
        said = repr(found) if found is not None else "no format"
        message = "the file does not say a format that can be read"
        raise InputError(problem_at(source, ("format",), message, found=said, allowed=str(FORMAT)))
    source.value["format"] = FORMAT


def problems(complaints: list[Complaint], source: YamlText) -> list[Problem]:
    """Every complaint with its place, in the order of the file."""
    found = [problem_at(source, c.location, c.message, found=c.found, allowed=c.allowed) for c in complaints]
    return sorted(found, key=lambda p: (p.line or 0, p.column or 0))


def problem_at(source: YamlText, location: Location, message: str, *, found: str = "", allowed: str = "") -> Problem:
    """A problem at a place of the file."""
    line, column = source.where(location)
    return Problem(
        message=message,
        file=source.file,
        line=line,
        column=column,
        field=field_name(location),
        words=wording(location, source.value).whole if location else "",
        found=found,
        allowed=allowed,
    )
