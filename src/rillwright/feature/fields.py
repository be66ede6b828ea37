"""The kinds of value in a feature file: how each is read from what was typed, which a quantity keeps."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any

from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.feature.references import ALLOWED, LevelRef, parse_level
from rillwright.units import Quantity, parse

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")
_WHOLE = re.compile(r"[+-]?[0-9]{1,18}")
_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]{1,3})?")
_NUMBER_ABOVE = "a number above 0"
_YES_OR_NO = {"yes": True, "no": False, "true": True, "false": False}


class Kind(Struct, frozen=True, eq=False):
    """Reads one typed value, or raises InputError with one problem; what the JSON Schema says of it, and its name."""

    read: Callable[[Any], Any]
    schema: dict[str, Any]
    name: str


class Many(Struct, frozen=True):
    """Least and greatest number of entries in a list."""

    least: int
    most: int


class Either(Struct, frozen=True):
    """Parts told apart by the one key, of these in their order, that each of them has and the others lack."""

    keys: tuple[str, ...]
    message: str
    allowed: str


def words(*, least: int = 0, most: int = 2000) -> Kind:
    """Text, without the blanks round it."""

    def read(typed: Any) -> str:
        text = _text(typed, "one word or text is wanted here").strip()
        if len(text) < least:
            raise InputError(f"at least {least} character{' is' if least == 1 else 's are'} wanted here")
        if len(text) > most:
            raise InputError(f"at most {most:,} characters are allowed here")
        return text

    return Kind(read, {"type": "string", "minLength": least, "maxLength": most}, "words")


def whole(least: int, most: int) -> Kind:
    """A whole number."""
    allowed = f"{least} to {most:,}"

    def read(typed: Any) -> int:
        text = _text(typed, "a whole number is wanted here")
        if not _WHOLE.fullmatch(text):
            raise InputError(Problem(message="a whole number is wanted here", allowed=allowed))
        number = int(text)
        if not least <= number <= most:
            bound = f"at least {least}" if number < least else f"at most {most:,}"
            raise InputError(Problem(message=f"must be {bound}", allowed=allowed))
        return number

    return Kind(read, {"type": "integer", "minimum": least, "maximum": most}, "whole number")


def _above_zero(typed: Any) -> float:
    text = _text(typed, "a number is wanted here")
    if not _NUMBER.fullmatch(text) or not math.isfinite(float(text)):
        raise InputError(Problem(message="a number is wanted here", allowed=_NUMBER_ABOVE))
    if float(text) <= 0:
        raise InputError(Problem(message="must be more than 0", allowed=_NUMBER_ABOVE))
    return float(text)


def _id(typed: Any) -> str:
    text = _text(typed, "one word or text is wanted here")
    if not _ID.fullmatch(text):
        raise InputError("an id is letters, digits, '-' and '_', and begins with a letter")
    if len(text) > 60:
        raise InputError("at most 60 characters are allowed here")
    return text


def _level(typed: Any) -> LevelRef:
    return parse_level(_text(typed, "one level is wanted here"))


def _yes_or_no(typed: Any) -> bool:
    found = _YES_OR_NO.get(_text(typed, "yes or no is wanted here").lower())
    if found is None:
        raise InputError("yes or no is wanted here")
    return found


def _day(typed: Any) -> str:
    text = _text(typed, "one day is wanted here").strip()
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        message, allowed = "a day is wanted here", "year, month and day, as in 2026-05-06"
        raise InputError(Problem(message=message, found=text, allowed=allowed)) from None


def _text(typed: Any, wanted: str) -> str:
    if not isinstance(typed, str):
        raise InputError(wanted)
    return typed


def _quantity(kind: str, *, allowed: str = "") -> Kind:
    """A quantity of that kind; `allowed` is "zero or more", "more than zero", or nothing where it may be negative."""

    def read(typed: Any) -> Quantity:
        quantity = parse(_text(typed, "one value with its unit is wanted here"), kind)
        if allowed and (quantity.si < 0 or (quantity.si == 0 and allowed == _MORE)):
            raise InputError(Problem(message=f"must be {allowed}", found=quantity.text, allowed=allowed))
        return quantity

    name = kind.replace("_", " ")
    return Kind(read, {"type": ["string", "number"], "description": f"a {name} with its unit"}, name)


_MORE, _OR_ZERO = "more than zero", "zero or more"

AnyLength = Annotated[Quantity, _quantity("length")]
Length = Annotated[Quantity, _quantity("length", allowed=_MORE)]
LengthOrZero = Annotated[Quantity, _quantity("length", allowed=_OR_ZERO)]
Flow = Annotated[Quantity, _quantity("flow", allowed=_MORE)]
FlowOrZero = Annotated[Quantity, _quantity("flow", allowed=_OR_ZERO)]
Mass = Annotated[Quantity, _quantity("mass", allowed=_MORE)]
MassPerArea = Annotated[Quantity, _quantity("mass_per_area", allowed=_MORE)]
Power = Annotated[Quantity, _quantity("power", allowed=_MORE)]
Area = Annotated[Quantity, _quantity("area", allowed=_MORE)]
Volume = Annotated[Quantity, _quantity("volume", allowed=_OR_ZERO)]
Speed = Annotated[Quantity, _quantity("speed", allowed=_OR_ZERO)]
Time = Annotated[Quantity, _quantity("time", allowed=_OR_ZERO)]
Temperature = Annotated[Quantity, _quantity("temperature")]
Angle = Annotated[Quantity, _quantity("angle")]
Share = Annotated[Quantity, _quantity("share", allowed=_OR_ZERO)]
LevelSaid = Annotated[LevelRef, Kind(_level, {"type": "string", "description": ALLOWED}, "level")]
YesNo = Annotated[bool, Kind(_yes_or_no, {"enum": [True, False, *_YES_OR_NO], "description": "yes or no"}, "yes or no")]
Number = Annotated[float, Kind(_above_zero, {"type": "number", "exclusiveMinimum": 0}, "number")]
Day = Annotated[str, Kind(_day, {"type": "string", "format": "date"}, "day")]
Id = Annotated[str, Kind(_id, {"type": "string", "pattern": f"^{_ID.pattern}$", "maxLength": 60}, "name")]
Words = Annotated[str, words()]
