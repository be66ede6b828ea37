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
from rillwright.feature.read_parts import is_part, keys_of, members_of
from rillwright.feature.schema import FeatureSaid
from rillwright.feature.yaml_text import Location

_SHEET = ("across the sheet", "up the sheet")
_SIZE = ("length", "width")


class Listed(Struct, frozen=True):
    """How the entries of a list are called: `each` with the number of the entry, `parts` of a row with several."""

    each: str = ""
    parts: tuple[str, ...] = ()


LABELS: dict[str, dict[str, str | Listed]] = {
    "FeatureSaid": {
        "format": "format of the file",
        "name": "name",
        "note": "note for the papers",
        "invented": "invented, not a real job",
        "revision": "revision",
        "units": "units of the papers",
        "step": "marking step of falls",
        "datum": "mark to which levels are tied",
        "books": Listed("level book {n}"),
        "photos": Listed("photo {n}"),
        "marks": "marks",
        "site": "site",
        "liner": "liner",
        "pond": "pond",
        "ponds": "ponds",
        "stream": "stream",
        "streams": "streams",
        "run": "pipe run",
        "runs": "pipe runs",
        "pump_list": "pumps to be tried",
        "laps": "laps",
        "climate": "climate",
        "supply": "supply of water",
        "filled": "readings of the fill meter",
        "limits": "limits of its own",
        "built": "levels as built",
    },
    "MarkSaid": {
        "id": "name",
        "role": "what it serves as",
        "level": "level",
        "surface": "surface that was read",
        "at": Listed("place", _SHEET),
    },
    "SiteSaid": {
        "north": "north, clockwise from up the sheet",
        "soil": "soil",
        "groundwater": "level of the groundwater",
        "access": "accesses",
        "footings": "footings",
        "services": "buried services, date and ticket",
        "note": "note on the site",
        "crew": "people in the crew",
        "stake_offset": "from the work to a peg",
        "power": "power",
        "barrier": "barrier against drowning",
    },
    "PowerSaid": {
        "distance": "from the water to the power outlet",
        "residual_current_device": "residual current device on the pump's circuit",
    },
    "AccessSaid": {"id": "name", "width": "width", "at": Listed("place", _SHEET), "machine": "machine"},
    "MachineSaid": {
        "name": "machine",
        "width": "width of the machine",
        "reach": "reach of the machine",
        "lift": "lift of the machine",
        "lift_at": "reach at which it lifts that",
    },
    "FootingSaid": {
        "id": "name",
        "line": Listed("point {n} along the footing", _SHEET),
        "base": "level of the base",
    },
    "LinerSaid": {
        "name": "liner as ordered",
        "thickness": "thickness of the liner",
        "mass": "weight of the liner by area",
        "spare": "spare on each side",
        "underlay": "thickness of the underlay",
        "underlay_mass": "weight of the underlay by area",
    },
    "PondSaid": {
        "id": "name",
        "kind": "pond or buried reservoir",
        "outline": "outline at the waterline",
        "waterline": "waterline",
        "held": "when it is topped up",
        "depth": "depth, waterline to bed",
        "side": "sides, so many up to one across",
        "shelf": "shelf",
        "stone_share": "share taken by stone and gravel",
        "water_share": "share that water can fill before stone",
        "gravel": "gravel on the floor",
        "intake": "intake",
        "rims": "rims",
        "catchment": "ground that drains into it",
        "overflow": "overflow",
    },
    "CatchmentSaid": {"area": "area that drains into it", "share": "share of the rain that runs in"},
    "OverflowSaid": {
        "level": "level of the overflow",
        "width": "width of the overflow's notch",
        "pipe": "inside diameter of the overflow's pipe",
    },
    "ClimateSaid": {
        "latitude": "latitude",
        "elevation": "elevation above the sea",
        "months": "months",
        "design_rain": "heaviest rain that it is to take",
    },
    "MonthSaid": {
        "month": "month",
        "evaporation": "evaporation in the month",
        "high": "mean of the day's highest temperature",
        "low": "mean of the night's lowest temperature",
        "humidity": Listed("humidity", ("lowest", "highest")),
        "wind": "wind at 2 m above the ground",
        "sun": "hours of sunshine a day",
    },
    "RainSaid": {"depth": "depth of the heaviest rain", "lasts": "how long the heaviest rain lasts"},
    "SupplySaid": {"hose": "flow of the hose", "float_valve": "topped up by a float valve"},
    "FilledSaid": {
        "pond": "pond that was filled",
        "meter": "fill meter, from empty",
        "level": "level of the water then",
    },
    "OutlineSaid": {
        "oval": Listed("", _SIZE),
        "rectangle": Listed("", _SIZE),
        "points": Listed("corner {n} of the outline", _SHEET),
        "centre": Listed("middle of the outline", _SHEET),
        "turn": "turn of the outline",
    },
    "ShelfSaid": {"width": "width of the shelf", "depth": "water over the shelf"},
    "IntakeSaid": {
        "id": "name of the intake",
        "kind": "kind of intake",
        "low": "lowest water level at which it works",
        "high": "highest water level at which it works",
        "greatest_flow": "greatest flow that its maker allows",
    },
    "RimSaid": {
        "id": "name",
        "ground": "level of the ground",
        "berm": "height of the berm",
        "settlement": "share by which the berm settles",
        "at": Listed("place", _SHEET),
    },
    "StreamSaid": {
        "id": "name",
        "into": "pond into which it runs",
        "head": "level of the bed at the stream head",
        "head_ground": "level of the ground at the stream head",
        "width": "width",
        "gravel": "gravel on the liner",
        "grain": "median size of the gravel",
        "bank": "liner's edge above the bed",
        "look": "look and sound",
        "splash": "lined beyond the banks for splash",
        "path": Listed("point {n} along the stream", _SHEET),
        "course": "beds and falls",
    },
    "BedSaid": {
        "bed": "name",
        "length": "length",
        "pitch": "pitch, fall from start to end",
        "start": "level of its start",
        "width": "width",
        "gravel": "gravel on the liner",
        "bank": "liner's edge above the bed",
    },
    "FallSaid": {
        "fall": "name",
        "drop": "drop, bed to bed",
        "kind": "kind of fall",
        "crest": "level of the crest, top of the stone",
        "crest_width": "width of the crest",
        "spill_stone": "thickness of the spill stone",
        "stones": Listed("stone {n}"),
        "stone_depth": "spill stone along the flow",
        "sealed": "sealed under the spill stone",
        "ripple": "meant as a ripple",
        "tilt": "spill stone out of level, end to end",
        "station": "station, from the stream head",
    },
    "SpillStoneSaid": {"width": "width of the stone", "above": "its top above the crest"},
    "RunSaid": {
        "id": "name",
        "source": "pond from which it draws",
        "to": "stream or bed to which it leads",
        "wanted": "flow wanted",
        "pump": "pump",
        "pipe": "pipe",
        "length": "length of the pipe",
        "fittings": "number of fittings: {key}",
        "outlet": "level of the outlet",
        "outlet_under_water": "outlet under water",
        "check_valve": "check valve",
        "pumps": "pumps",
        "arrangement": "how the pumps stand to one another",
        "outlets": "outlets",
        "suction": "suction pipe",
        "summit": "highest point of the pipe",
        "valve": "valve as it is set",
        "temperature": "temperature of the water",
        "measured": "flow as measured",
    },
    "OutletSaid": {
        "id": "name",
        "to": "stream, bed or pond to which it leads",
        "wanted": "flow wanted",
        "pipe": "pipe",
        "length": "length of its pipe",
        "fittings": "number of fittings: {key}",
        "outlet": "level of the outlet",
        "outlet_under_water": "outlet under water",
        "valve": "valve as it is set",
    },
    "ValveSaid": {
        "k": "loss coefficient K",
        "kv": "flow coefficient Kv, m3/h at 1 bar",
        "cv": "flow coefficient Cv, gal/min at 1 psi",
    },
    "SuctionSaid": {
        "pipe": "pipe",
        "length": "length of the suction pipe",
        "fittings": "number of fittings: {key}",
        "pump_at": "level at which the pump stands",
    },
    "MeasuredSaid": {
        "flow": "flow off a meter",
        "volume": "volume of the bucket",
        "time": "time in which it filled",
    },
    "PumpSaid": {
        "id": "name of the pump",
        "box": "numbers on the pump's box",
        "curve": Listed("point {n} of the pump's curve", ("flow", "head")),
        "watts": "power that the pump takes",
        "speed": "speed, of its full one",
        "spread": "spread of the maker's curve, either way",
        "preferred": Listed(parts=("least flow preferred", "greatest flow preferred")),
        "npsh": "net positive suction head that the pump asks for",
    },
    "BoxSaid": {"shut_off": "shut-off head of the pump", "greatest_flow": "greatest flow of the pump"},
    "PipeSaid": {
        "name": "pipe as listed",
        "inside": "inside diameter of the pipe",
        "roughness": "roughness of the pipe",
    },
    "LapSaid": {
        "id": "name",
        "at": "fall behind whose face it lies",
        "upturn": "level of the upturn",
        "run": "length over which the pieces lie over each other",
        "sealed": "lap sealed",
    },
    "LimitSaid": {"limit": "which limit", "value": "figure of its own", "reason": "reason for it"},
    "BuiltSaid": {"at": "place", "level": "level as built", "note": "note"},
}

NOUNS = {
    "ponds": "pond",
    "streams": "stream",
    "reaches": "bed",
    "falls": "fall",
    "runs": "pipe run",
    "pumps": "pump",
    "rims": "rim",
    "laps": "lap",
    "intakes": "intake",
    "liners": "liner",
    "accesses": "access",
    "footings": "footing",
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
_NAMED_BY: dict[str, tuple[str, str]] = {  # what a part is called, and the key that holds its own name
    "MarkSaid": ("mark", "id"),
    "AccessSaid": ("access", "id"),
    "FootingSaid": ("footing", "id"),
    "PondSaid": ("pond", "id"),
    "RimSaid": ("rim", "id"),
    "StreamSaid": ("stream", "id"),
    "BedSaid": ("bed", "bed"),
    "FallSaid": ("fall", "fall"),
    "RunSaid": ("pipe run", "id"),
    "LapSaid": ("lap", "id"),
    "LimitSaid": ("limit", "limit"),
    "BuiltSaid": ("the level as built at", "at"),
    "SpillStoneSaid": ("stone", ""),
    "MonthSaid": ("month", "month"),
    "CatchmentSaid": ("catchment", ""),
    "FilledSaid": ("reading of the fill meter", ""),
    "ClimateSaid": ("the climate", ""),
    "SupplySaid": ("the supply of water", ""),
    "SiteSaid": ("the site", ""),
    "LinerSaid": ("the liner", ""),
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


def named(path: str, *, reservoirs: Collection[str] = ()) -> str:
    """An element in words: `rims/r2` and its parts are 'rim r2', the feature as a whole 'the feature'.

    Something that is called what it is, like a pond with the id 'pond', is 'the pond'. Bodies named in `reservoirs` are
    no ponds.
    """
    collection, _, id = path.partition("/")
    if path in _WHOLE:
        return _WHOLE[path]
    if collection not in NOUNS:
        return path
    id = id.partition(".")[0]
    noun = "reservoir" if collection == "ponds" and id in reservoirs else NOUNS[collection]
    return f"the {noun}" if id == noun.split()[-1] else f"{noun} {id}"


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
    noun, key = _NAMED_BY.get(part.__name__, ("", ""))
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
