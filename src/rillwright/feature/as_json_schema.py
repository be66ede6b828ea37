"""The JSON Schema of the feature file, made from what its parts say of their keys."""

from __future__ import annotations

import inspect
from types import NoneType
from typing import Annotated, Any, Literal, get_args, get_origin

from msgspec import NODEFAULT, Struct

from rillwright.feature.fields import Either, Kind, Many
from rillwright.feature.read_parts import is_part, keys_of, members_of
from rillwright.feature.schema import FeatureSaid

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def json_schema() -> dict[str, Any]:
    """The feature file's JSON Schema (draft 2020-12)."""
    parts: dict[str, dict[str, Any]] = {}
    whole = _part(FeatureSaid, parts)
    return {"$schema": DIALECT, "title": "Feature file, format 1", **whole, "$defs": parts}


def _part(part: type[Struct], parts: dict[str, dict[str, Any]]) -> dict[str, Any]:
    keys = keys_of(part)
    properties = {key: _value(field.type, parts) for key, field in keys.items()}
    for key, field in keys.items():
        if field.default is not NODEFAULT and field.default is not None:
            properties[key] |= {"default": field.default}
    return {
        **({"description": inspect.cleandoc(part.__doc__)} if part.__doc__ else {}),
        "type": "object",
        "properties": properties,
        "required": [key for key, field in keys.items() if field.required],
        "additionalProperties": False,
    }


def _value(hint: Any, parts: dict[str, dict[str, Any]]) -> dict[str, Any]:
    members = members_of(hint)
    if len(members) > 1:
        return {"anyOf": [_value(member, parts) for member in members]}
    origin, inner = get_origin(hint), get_args(hint)
    if hint is NoneType:
        return {"type": "null"}
    if is_part(hint):
        if hint.__name__ not in parts:
            parts[hint.__name__] = {}
            parts[hint.__name__] = _part(hint, parts)
        return {"$ref": f"#/$defs/{hint.__name__}"}
    if origin is Annotated:
        return _annotated(hint.__origin__, hint.__metadata__[0], parts)
    if origin is Literal:
        return {"enum": list(inner)}
    if origin is tuple:
        bounds = {"minItems": len(inner), "maxItems": len(inner)}
        return {"type": "array", "prefixItems": [_value(each, parts) for each in inner], **bounds}
    if origin is list:
        return {"type": "array", "items": _value(inner[0], parts)}
    return {"type": "object", "additionalProperties": _value(inner[1], parts)}


def _annotated(hint: Any, how: Kind | Many | Either, parts: dict[str, dict[str, Any]]) -> dict[str, Any]:
    if isinstance(how, Kind):
        return dict(how.schema)
    if isinstance(how, Many):
        return {**_value(hint, parts), "minItems": how.least, "maxItems": how.most}
    return _value(hint, parts)
