"""Judged as JSON: what `check --json` prints."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping
from decimal import Decimal
from enum import Enum
from typing import Any

from msgspec import Struct

from rillwright import __version__
from rillwright.assess import STEPS
from rillwright.assessment import Assessment, Feature, Finding, Judged, NotRun
from rillwright.judge.fields import field_of
from rillwright.judge.matters import matters_json
from rillwright.judge.rendering import render_with_numbers
from rillwright.units import Band, Style, style_for

FORMAT = 1
MOST_VALUES = 5000
_BRANCHES = ("survey", "shots", *(step.name for step in STEPS))


def to_json(judged: Judged, *, visit: bool = False) -> dict[str, Any]:
    """The whole result as plain JSON values.

    A value with a band stands under its own name, its ends beside it with `_low` and `_high`. A part that was not
    computed is `{"not_run": reason}`. The `field` of a default is where it is typed in the file; empty for none.
    A number that has no bound or none at all is null. An array of more than 5,000 values is given by its shape, range
    and digest. Levels are in metres above the feature's datum. `matters` gathers the
    findings that say the same, `worst` names the three worst of these; of a first `visit` as `three_worst` has it.
    """
    assessment = judged.assessment
    style = style_for(assessment.feature.system)
    return {
        "format": FORMAT,
        "engine": __version__,
        "digest": assessment.digest,
        "feature": _feature(assessment.feature),
        "findings": [finding_json(each, style) for each in judged.findings],
        **matters_json(judged.findings, style, visit=visit),
        **{name: _branch(assessment, name) for name in _BRANCHES},
        "defaults_used": [
            {**plain(used), "field": field_of(used, assessment.feature)} for used in assessment.defaults_used
        ],
        "limits_used": plain(assessment.limits_used),
        "out_of_range": plain(assessment.out_of_range),
    }


def _feature(feature: Feature) -> dict[str, Any]:
    found = _fields(feature, leave=("system", "defaults_used"))
    return {"name": found.pop("name"), "units": feature.system, **found}


def finding_json(finding: Finding, style: Style) -> dict[str, Any]:
    """One finding as plain JSON values, its words in the reader's units.

    `text_numbers` and `remedy_numbers` say where numbers stand in these: start, end, and the name of the parameter, in
    units of UTF-16.
    """
    found = _fields(finding, leave=("text", "remedy", "parameters"))
    for name in ("text", "remedy"):
        found[name], numbers = render_with_numbers(getattr(finding, name), finding.parameters, style)
        found[f"{name}_numbers"] = [list(number) for number in numbers]
    found["parameters"] = [
        {"name": name, "value": plain(value), "unit": unit} for name, value, unit in finding.parameters
    ]
    return found


def _branch(assessment: Assessment, name: str) -> dict[str, Any]:
    branch = getattr(assessment, name)
    if not isinstance(branch, NotRun):
        return _fields(branch)
    found: dict[str, Any] = {"not_run": branch.reason}
    return found | {"misclosure_m": None, "loops": []} if name == "survey" else found


def _fields(thing: Any, *, leave: tuple[str, ...] = ()) -> dict[str, Any]:
    found: dict[str, Any] = {}
    said = type(thing).__annotations__
    for name in thing.__struct_fields__:
        if name in leave:
            continue
        value = getattr(thing, name)
        found[name] = plain(value.value if isinstance(value, Band) else value)
        if isinstance(value, Band) or (value is None and "Band" in str(said[name])):
            found[f"{name}_low"] = plain(value.low if value is not None else None)
            found[f"{name}_high"] = plain(value.high if value is not None else None)
    return found


def plain(value: Any) -> Any:
    """A value as JSON has it: finite numbers or null, text, lists, objects."""
    if value is None or (isinstance(value, bool | int | str) and not isinstance(value, Enum)):
        return value
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, float | Decimal):
        return float(value) if math.isfinite(value) else None
    if isinstance(value, Struct):
        return _fields(value)
    if isinstance(value, Mapping):
        return {str(key): plain(each) for key, each in value.items()}
    if hasattr(value, "tobytes"):  # an array: this layer knows no library for them
        return _of_numbers(value)
    return _array([plain(each) for each in value])


def _array(values: list[Any]) -> list[Any] | dict[str, Any]:
    """A list as it is, or what is to be known of it where it holds too many values."""
    flat = _flat(values)
    if len(flat) <= MOST_VALUES:
        return values
    numbers = [each for each in flat if isinstance(each, int | float)]
    shape = [len(values)] + ([len(values[0])] if isinstance(values[0], list) else [])
    text = json.dumps(values, separators=(",", ":"), sort_keys=True)
    return {
        "shape": shape,
        "range": [min(numbers), max(numbers)] if numbers else None,
        "digest": hashlib.sha256(text.encode()).hexdigest(),
    }


def _of_numbers(values: Any) -> Any:
    """The same of an array of numbers, without a word for each of them."""
    if values.size <= MOST_VALUES:
        return plain(values.tolist())
    return {
        "shape": list(values.shape),
        "range": [plain(each.item()) for each in (values.min(), values.max())],
        "digest": hashlib.sha256(values.tobytes()).hexdigest(),
    }


def _flat(values: list[Any]) -> list[Any]:
    """All plain values of nested lists; an object counts by itself, its own lists were looked at already."""
    found: list[Any] = []
    for each in values:
        if isinstance(each, list):
            found += _flat(each)
        elif not isinstance(each, dict):
            found.append(each)
    return found
