"""What each value of a feature file is called: a label in the trade's words, its kind, and what it belongs to.

The one table of it: screens, errors and papers name a value by this, never by its keys.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from types import NoneType
from typing import Annotated, Any, Literal, get_args, get_origin

from msgspec import Struct

from rillwright.feature.fields import Either, Kind
from rillwright.feature.labels import LABELS, NAMED_BY, Listed
from rillwright.feature.model import BodyKind, Feature
from rillwright.feature.read_parts import is_part, keys_of, members_of
from rillwright.feature.schema import FeatureSaid
from rillwright.feature.yaml_text import Location

NOUNS = {
    "ponds": "pond",
    "streams": "stream",
    "reaches": "bed",
    "falls": "fall",
    "runs": "pipe run",
    "pumps": "pump",
    "rims": "rim",
    "laps": "lap",
    "penetrations": "penetration",
    "islands": "island",
    "intakes": "intake",
    "liners": "liner",
    "accesses": "access",
    "footings": "footing",
    "paving": "paving",
    "buildings": "building",
    "trees": "tree",
    "services": "service line",
    "marks": "mark",
    "books": "level book",
    "points": "point",
}
_WHOLE = {"feature/whole": "the feature", "site/whole": "the site", "feature/feature": "the feature"}
_PARTS = {  # of a path that has a level, which no value of the file need give by itself
    "waterline": "the waterline",
    "head": "the stream head",
    "crest": "the crest",
    "foot": "the foot",
    "start": "the start",
    "end": "the end",
    "upturn": "the upturn",
    "top": "the top",
    "floor": "the floor",
    "level": "the level",
    "ground": "the ground",
    "head_ground": "the ground at the head",
    "low": "the lowest working level",
    "high": "the highest working level",
    "base": "the base",
    "groundwater": "the groundwater",
}
_PATH = re.compile(r"\b(?P<collection>[a-z]+)/(?P<id>[A-Za-z0-9_-]+)(?:\.(?P<part>[a-z_]+))?")


class Wording(Struct, frozen=True, kw_only=True):
    """What a value is called, the kind of value it is, and what it belongs to: 'depth', 'length', 'the pond'."""

    label: str
    kind: str
    of: str

    @property
    def whole(self) -> str:
        """Both in one: 'depth of the pond'; of the feature itself the label alone."""
        return self.label if self.of == "the feature" else f"{self.label}, {self.of}"


def wording(location: Location, value: Any) -> Wording:
    """What stands at a location of a feature file is called; what the file does not know is called by its keys.

    Parameters
    ----------
    location
        Keys and places in lists, from the top.
    value
        The whole file as plain values, from which parts have their names.
    """
    hint: Any = FeatureSaid
    label, of = "", "the feature"
    entry: str | Listed = ""
    numbers: list[int] = []
    for step in location:
        value = _inside(value, step)
        part = _part_of(hint)
        if part is not None and isinstance(step, str):
            key = keys_of(part).get(step)
            if key is None:
                return Wording(label=step.replace("_", " "), kind="", of=of)
            hint, entry, numbers = key.type, LABELS.get(part.__name__, {}).get(key.name, step.replace("_", " ")), []
            label = _label(entry, numbers)
        elif isinstance(step, int):
            numbers.append(step)
            hint = _entry(hint, step)
            label = _label(entry, numbers) or label
        else:  # a key of the person's own, as of a fitting
            hint = get_args(_plain(hint))[-1] if get_args(_plain(hint)) else None
            label = label.replace("{key}", str(step))
        chosen = _choose(hint, value)
        if chosen is not None:
            hint = chosen
            of = _called(chosen, value, numbers, within=of) or of
    return Wording(label=label.partition(": {key}")[0], kind=_kind(hint), of=of)


def named(path: str, *, reservoirs: Collection[str] = (), ripples: Collection[str] = ()) -> str:
    """An element in words: `rims/r2` and its parts are 'rim r2', the feature as a whole 'the feature'.

    Something that is called what it is, like a pond with the id 'pond', is 'the pond'. Bodies named in `reservoirs` are
    no ponds, and falls named in `ripples` are small drops.
    """
    collection, _, id = path.partition("/")
    if path in _WHOLE:
        return _WHOLE[path]
    if collection not in NOUNS:
        return path
    id = id.partition(".")[0]
    noun = NOUNS[collection]
    if collection == "ponds" and id in reservoirs:
        noun = "reservoir"
    elif collection == "falls" and id in ripples:
        noun = "ripple"
    return f"the {noun}" if id == noun.split()[-1] else f"{noun} {id}"


def named_in(feature: Feature, path: str) -> str:
    """An element of a feature in words: what is buried is a reservoir, a small drop that was meant so a ripple."""
    reservoirs = [body.id for body in feature.bodies if body.kind is BodyKind.RESERVOIR]
    ripples = [fall.id for fall in feature.falls if fall.wished_ripple]
    return named(path, reservoirs=reservoirs, ripples=ripples)


def spoken(text: str) -> str:
    """A text with its paths in words: '10 cm above ponds/basin.waterline' is above the waterline of pond basin."""
    return _PATH.sub(_spoken, text)


def _spoken(match: re.Match[str]) -> str:
    path = f"{match['collection']}/{match['id']}"
    if (match["collection"] not in NOUNS and path not in _WHOLE) or match["collection"] == "books":  # a folder, too
        return match[0]
    whole = named(path)
    part = match["part"]
    return whole if not part else f"{_PARTS.get(part, part.replace('_', ' '))} of {whole}"


def _inside(value: Any, step: str | int) -> Any:
    try:
        return value[step]
    except (KeyError, IndexError, TypeError):
        return None


def _plain(hint: Any) -> Any:
    """What a hint comes to without its notes and without None."""
    while True:
        if get_origin(hint) is Annotated and not isinstance(hint.__metadata__[0], Kind):
            hint = hint.__origin__
            continue
        members = [member for member in members_of(hint) if member is not NoneType]
        if len(members) == 1 and members[0] is not hint:
            hint = members[0]
            continue
        return hint


def _part_of(hint: Any) -> type[Struct] | None:
    plain = _plain(hint)
    return next((member for member in members_of(plain) if is_part(member)), None)


def _choose(hint: Any, value: Any) -> type[Struct] | None:
    """The part that a value is: of several it is the one whose own key it has."""
    parts: list[type[Struct]] = [member for member in members_of(_plain(hint)) if is_part(member)]
    if not parts or (value is not None and not isinstance(value, dict)):
        return None
    either = next((each for each in getattr(hint, "__metadata__", ()) if isinstance(each, Either)), None)
    if either is not None and isinstance(value, dict):
        return next((part for key, part in zip(either.keys, parts, strict=True) if key in value), parts[0])
    return parts[0]


def _entry(hint: Any, index: int) -> Any:
    plain = _plain(hint)
    inner = get_args(plain)
    if get_origin(plain) is tuple:
        return inner[min(index, len(inner) - 1)]
    return inner[0] if inner else None


def _label(entry: str | Listed, numbers: list[int]) -> str:
    if isinstance(entry, str):
        return entry
    if not numbers:
        return entry.each.replace(" {n}", "") or "size"
    if not entry.each or "{n}" not in entry.each:  # one row: its parts are its entries
        part = entry.parts[numbers[0]] if numbers[0] < len(entry.parts) else str(numbers[0] + 1)
        return f"{entry.each}, {part}" if entry.each else part
    words = entry.each.replace("{n}", str(numbers[0] + 1))
    if len(numbers) > 1 and numbers[1] < len(entry.parts):
        words += f", {entry.parts[numbers[1]]}"
    return words


def _called(part: type[Struct], value: Any, numbers: list[int], *, within: str) -> str:
    noun, key = NAMED_BY.get(part.__name__, ("", ""))
    if part.__name__ == "PumpSaid" and not numbers:  # a run's only pump is called by its run
        return ""
    if part.__name__ in ("PumpSaid", "OutletSaid", "SuctionSaid"):  # their names are their run's
        id = value.get(key) if key and isinstance(value, dict) else ""
        name = f"{noun} {id}".strip() if isinstance(id, str) else f"{noun} {numbers[-1] + 1}"
        return name if within == "the feature" else f"{name}, {within}"
    if not key:
        return f"{noun} {numbers[-1] + 1}, {within}" if noun and numbers else noun
    id = value.get(key) if isinstance(value, dict) else None
    if not isinstance(id, str):
        return f"{noun} {numbers[-1] + 1}" if numbers else f"the {noun}"
    if noun == "pond" and value.get("kind") == "reservoir":
        noun = "reservoir"
    if part.__name__ == "BuiltSaid":
        return f"{noun} {spoken(id)}"
    return f"the {noun}" if id == noun.split()[-1] else f"{noun} {id}"


def _kind(hint: Any) -> str:
    """The kind of value: a length, a level, or the words that may stand there."""
    found = []
    for member in members_of(_plain(hint)):
        if get_origin(member) is Literal:
            found += [str(each) for each in get_args(member)]
        elif get_origin(member) is Annotated and isinstance(member.__metadata__[0], Kind):
            found.append(member.__metadata__[0].name)
    return " or ".join([", ".join(found[:-1]), found[-1]]) if len(found) > 1 else "".join(found)
