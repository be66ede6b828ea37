"""Which values of a feature file can be typed anew, and of which element each speaks."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from rillwright.feature import BodyKind, DefaultUsed, named, wording
from rillwright.job.opening import Job
from rillwright.units import show, style_for

Location = tuple[str | int, ...]

_COLLECTIONS = {  # key of a part in the file to its collection in paths
    "pond": "ponds", "ponds": "ponds", "stream": "streams", "streams": "streams", "run": "runs", "runs": "runs",
    "rims": "rims", "laps": "laps", "marks": "marks", "intake": "intakes", "pump": "pumps", "access": "accesses",
    "footings": "footings", "paving": "paving", "buildings": "buildings", "trees": "trees", "service_lines": "services",
    "site": "site", "liner": "liners",
}  # fmt: skip
_OF_A_COURSE = {"bed": "reaches", "fall": "falls"}
_NOT_TYPED_ANEW = ("id", "format")
_FILED = ("photos",)  # files by their digests, which nobody types


class FieldOfFile(Struct, frozen=True, kw_only=True):
    """One value of the feature file: where it stands, of which element it speaks, and what is typed.

    `words` is what it is called, `kind` the kind of value it is, `of` what it belongs to, `element` the element's name.
    A default is not typed: it is what is taken, and typing it writes it into the file.
    """

    location: Location
    path: str
    words: str
    kind: str
    of: str
    element: str
    typed: str
    is_default: bool = False


def fields_of(job: Job) -> tuple[FieldOfFile, ...]:
    """Every single value of the job's file in its order, then what was taken where nothing is typed.

    Ids are left out, for other parts go by them; so are photos, and defaults that only a part yet to be written could
    hold.
    """
    walk = _Walk(job)
    walk.through(job.document.source.value, (), "feature/whole")
    taken = [_taken(job, used, walk.homes) for used in job.planned.defaults_used]
    return (*walk.found, *(each for each in taken if each is not None))


class _Walk:
    """The values met on the way through a file, and where each element stands."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.found: list[FieldOfFile] = []
        self.homes: dict[str, Location] = {}

    def through(self, value: Any, location: Location, path: str) -> None:
        if isinstance(value, dict):
            path = _path_of(value, location, path)
            self.homes.setdefault(path, location)
            for key, each in value.items():
                self.through(each, (*location, key), path)
        elif isinstance(value, list):
            for index, each in enumerate(value):
                self.through(each, (*location, index), path)
        elif value is not None and location and _is_typed_anew(location):
            self.found.append(_field(self.job, location, path, str(value)))


def _taken(job: Job, used: DefaultUsed, homes: dict[str, Location]) -> FieldOfFile | None:
    """A default as a value that could be typed, if its element stands in the file and has a place for it."""
    element, _, key = used.path.replace("site/site.", "site/whole.").partition(".")
    home = homes.get(element)
    said = None if home is None else _said_at(job.document.said, home)
    if home is None or not isinstance(said, Struct) or getattr(said, key, said) is not None:
        return None
    if key == "fittings":  # these are counted one by one
        return None
    if isinstance(used.value, str):
        typed = used.value
    elif used.unit == "m":
        typed = show(used.value, "length", style_for(job.planned.system))
    else:
        return None
    return _field(job, (*home, key), element, typed, is_default=True)


def _field(job: Job, location: Location, path: str, typed: str, *, is_default: bool = False) -> FieldOfFile:
    said = wording(location, job.document.source.value)
    reservoirs = [body.id for body in job.feature.bodies if body.kind is BodyKind.RESERVOIR]
    element = _as_drawn(named(path, reservoirs=reservoirs), job)
    return FieldOfFile(
        location=location,
        path=path,
        words=said.label,
        kind=said.kind,
        of=_as_drawn(said.of, job),
        element=element,
        typed=typed,
        is_default=is_default,
    )


def _as_drawn(element: str, job: Job) -> str:
    """A small drop is a ripple wherever it is named."""
    ripples = {f"fall {fall.id}" for fall in job.planned.falls if fall.wished_ripple}
    return element.replace("fall", "ripple", 1) if element in ripples else element


def _said_at(said: Any, location: Location) -> Any:
    for part in location:
        said = said[part] if isinstance(part, int) else getattr(said, part, None)
        if said is None:
            return None
    return said


def _is_typed_anew(location: Location) -> bool:
    return location[0] not in _FILED and location[-1] not in _NOT_TYPED_ANEW and not _names_itself(location)


def _names_itself(location: Location) -> bool:
    """Whether it is the name of a bed or a fall of a course, by which other parts go."""
    return len(location) >= 3 and location[-3] == "course" and location[-1] in _OF_A_COURSE


def _path_of(value: dict[str, Any], location: Location, path: str) -> str:
    for key, course in _OF_A_COURSE.items():
        if isinstance(value.get(key), str) and "course" in location:
            return f"{course}/{value[key]}"
    keys = [part for part in location if isinstance(part, str)]
    collection = _COLLECTIONS.get(keys[-1]) if keys else None
    if collection is None:
        return path
    if isinstance(value.get("id"), str):
        return f"{collection}/{value['id']}"
    if collection == "site":
        return "site/whole" if len(location) == 1 else path
    return f"{collection}/{keys[-1]}" if len(location) == 1 else path  # the only one goes by its kind
