"""The kinds of value in a feature file, for the document's models. What was typed is kept in each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import PlainValidator, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError

from rillwright.errors import InputError
from rillwright.feature.references import ALLOWED, LevelRef, parse_level
from rillwright.units import Quantity, parse


def _refuse(error: InputError) -> PydanticCustomError:
    problem = error.problems[0]
    return PydanticCustomError(
        "quantity", "{message}", {"message": problem.message, "found": problem.found, "allowed": problem.allowed}
    )


def _quantity(kind: str) -> Callable[[Any], Quantity]:
    def read(typed: Any) -> Quantity:
        if not isinstance(typed, str):
            raise PydanticCustomError("quantity", "one value with its unit is wanted here", {})
        try:
            return parse(typed, kind)
        except InputError as error:
            raise _refuse(error) from error

    return read


def _at_least_nothing(kind: str, *, zero: bool) -> Callable[[Any], Quantity]:
    read_any = _quantity(kind)

    def read(typed: Any) -> Quantity:
        quantity = read_any(typed)
        if quantity.si < 0 or (quantity.si == 0 and not zero):
            allowed = "zero or more" if zero else "more than zero"
            raise PydanticCustomError(
                "quantity",
                "{message}",
                {"message": f"must be {allowed}", "found": quantity.text, "allowed": allowed},
            )
        return quantity

    return read


def _level(typed: Any) -> LevelRef:
    if not isinstance(typed, str):
        raise PydanticCustomError("quantity", "one level is wanted here", {})
    try:
        return parse_level(typed)
    except InputError as error:
        raise _refuse(error) from error


_YES_OR_NO = {"yes": True, "no": False, "true": True, "false": False}


def _yes_or_no(typed: Any) -> bool:
    if isinstance(typed, str) and typed.lower() in _YES_OR_NO:
        return _YES_OR_NO[typed.lower()]
    raise PydanticCustomError("quantity", "{message}", {"message": "yes or no is wanted here", "found": repr(typed)})


def _said(kind: str) -> WithJsonSchema:
    return WithJsonSchema({"type": ["string", "number"], "description": f"a {kind} with its unit"})


AnyLength = Annotated[Quantity, PlainValidator(_quantity("length")), _said("length")]
Length = Annotated[Quantity, PlainValidator(_at_least_nothing("length", zero=False)), _said("length")]
LengthOrZero = Annotated[Quantity, PlainValidator(_at_least_nothing("length", zero=True)), _said("length")]
Flow = Annotated[Quantity, PlainValidator(_at_least_nothing("flow", zero=False)), _said("flow")]
FlowOrZero = Annotated[Quantity, PlainValidator(_at_least_nothing("flow", zero=True)), _said("flow")]
Mass = Annotated[Quantity, PlainValidator(_at_least_nothing("mass", zero=False)), _said("mass")]
MassPerArea = Annotated[
    Quantity, PlainValidator(_at_least_nothing("mass_per_area", zero=False)), _said("mass per area")
]
Power = Annotated[Quantity, PlainValidator(_at_least_nothing("power", zero=False)), _said("power")]
Angle = Annotated[Quantity, PlainValidator(_quantity("angle")), _said("angle")]
Share = Annotated[Quantity, PlainValidator(_at_least_nothing("share", zero=True)), _said("share, as 0.1 or 10 %")]
LevelSaid = Annotated[LevelRef, PlainValidator(_level), WithJsonSchema({"type": "string", "description": ALLOWED})]
YesNo = Annotated[
    bool, PlainValidator(_yes_or_no), WithJsonSchema({"enum": [True, False, *_YES_OR_NO], "description": "yes or no"})
]
Id = Annotated[str, StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_-]*$", max_length=60)]
Words = Annotated[str, StringConstraints(max_length=2000, strip_whitespace=True)]
