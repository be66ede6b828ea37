"""The kinds of value in a feature file, for the document's models. What was typed is kept in each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from msgspec import Struct
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, StringConstraints
from pydantic_core import PydanticCustomError
from pydantic_core.core_schema import CoreSchema, no_info_plain_validator_function

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


class Typed(Struct, frozen=True, eq=False):
    """How a value is read from what was typed, and how the JSON Schema says so.

    Written out, because the library's own annotation would also build a schema for the type that is read.
    """

    read: Callable[[Any], Any]
    schema: tuple[tuple[str, Any], ...]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return dict(self.schema)


def _of(kind: str, read: Callable[[Any], Any]) -> Typed:
    described = f"a {kind.replace('_', ' ')} with its unit"
    return Typed(read, (("type", ["string", "number"]), ("description", described)))


AnyLength = Annotated[Quantity, _of("length", _quantity("length"))]
Length = Annotated[Quantity, _of("length", _at_least_nothing("length", zero=False))]
LengthOrZero = Annotated[Quantity, _of("length", _at_least_nothing("length", zero=True))]
Flow = Annotated[Quantity, _of("flow", _at_least_nothing("flow", zero=False))]
FlowOrZero = Annotated[Quantity, _of("flow", _at_least_nothing("flow", zero=True))]
Mass = Annotated[Quantity, _of("mass", _at_least_nothing("mass", zero=False))]
MassPerArea = Annotated[Quantity, _of("mass_per_area", _at_least_nothing("mass_per_area", zero=False))]
Power = Annotated[Quantity, _of("power", _at_least_nothing("power", zero=False))]
Angle = Annotated[Quantity, _of("angle", _quantity("angle"))]
Share = Annotated[Quantity, _of("share", _at_least_nothing("share", zero=True))]
LevelSaid = Annotated[LevelRef, Typed(_level, (("type", "string"), ("description", ALLOWED)))]
YesNo = Annotated[bool, Typed(_yes_or_no, (("enum", [True, False, *_YES_OR_NO]), ("description", "yes or no")))]
Id = Annotated[str, StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_-]*$", max_length=60)]
Words = Annotated[str, StringConstraints(max_length=2000, strip_whitespace=True)]
