"""Templates of findings to sentences in the reader's own units."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from rillwright.assessment import Finding
from rillwright.units import KIND_OF_SI_UNIT, Style, show, show_range, significant

_FIELD = re.compile(r"\{(\w+)\}")
_KIND_OF_UNIT = {**KIND_OF_SI_UNIT, "-": "share"}
_PLANE = 0xFFFF  # letters beyond it take two units of UTF-16
Parameters = Sequence[tuple[str, float | str, str]]
Number = tuple[int, int, str]


def render(template: str, parameters: Parameters, style: Style) -> str:
    """A template with its parameters, (name, value [unit], unit), in the reader's own units.

    `{range}` is low to high, and `{flow_range}` flow_low to flow_high, as one where they print alike. Parameters are
    put in once and never read as templates, so that braces in a name stay as they are. Raises KeyError for a name that
    has no parameter.
    """
    return render_with_numbers(template, parameters, style)[0]


def render_with_numbers(template: str, parameters: Parameters, style: Style) -> tuple[str, tuple[Number, ...]]:
    """The sentence that `render` makes, and every number in it.

    A number is (start, end, name of its parameter), counted in units of UTF-16 as a browser counts letters.
    """
    known = {name: (value, unit) for name, value, unit in parameters}
    numbers: list[Number] = []
    done, at = "", 0
    for match in _FIELD.finditer(template):
        done += template[at : match.start()]
        shown, at = _shown(match[1], known, style), match.end()
        if _is_number(match[1], known):
            numbers.append((_units(done), _units(done + shown), match[1]))
        done += shown
    done += template[at:]
    return done[:1].upper() + done[1:], tuple(numbers)


def _is_number(name: str, known: dict[str, tuple[float | str, str]]) -> bool:
    if name == "range" or name.endswith("_range"):
        name = f"{name.removesuffix('range')}low"
    return not isinstance(known[name][0], str)


def _units(text: str) -> int:
    """Length of a text in units of UTF-16."""
    return len(text) + sum(1 for letter in text if ord(letter) > _PLANE) if not text.isascii() else len(text)


def text_of(finding: Finding, style: Style) -> str:
    """What was found, as a sentence."""
    return render(finding.text, finding.parameters, style)


def remedy_of(finding: Finding, style: Style) -> str:
    """What to do, as a sentence; nothing where all is well."""
    return render(finding.remedy, finding.parameters, style)


def limit_words(good: str, bad: str, *, sense: str) -> str:
    """A limit in words, with its direction: at least 10 in, 8 in at worst."""
    first = {"at_least": "at least ", "at_most": "at most "}.get(sense, "") + good
    return first if bad == good else f"{first}, {bad} at worst"


def limit_of(finding: Finding, style: Style) -> str:
    """The limit of a finding in words and in the reader's own units; nothing where it has none."""
    if finding.limit is None or finding.limit_low is None or finding.limit_high is None:
        return ""
    ends = [_quantity(value, finding.unit, style) for value in (finding.limit_low, finding.limit_high)]
    bad, good = ends if finding.limit_sense == "at_least" else ends[::-1]
    return limit_words(good, bad, sense=finding.limit_sense)


def _shown(name: str, known: dict[str, tuple[float | str, str]], style: Style) -> str:
    if name == "range" or name.endswith("_range"):
        return _range(known, name.removesuffix("range"), style)
    value, unit = known[name]
    return value if isinstance(value, str) else _quantity(value, unit, style)


def _range(known: dict[str, tuple[float | str, str]], prefix: str, style: Style) -> str:
    (low, unit), (high, _) = known[f"{prefix}low"], known[f"{prefix}high"]
    if isinstance(low, str) or isinstance(high, str):
        return str(low) if low == high else f"{low} to {high}"
    kind = _KIND_OF_UNIT.get(unit)
    if kind is not None and math.isfinite(low) and math.isfinite(high):
        return show_range(low, high, kind, style=style)
    ends = (_quantity(low, unit, style), _quantity(high, unit, style))
    if math.isfinite(low) and not math.isfinite(high):
        return f"{ends[0]} or more"
    return ends[0] if ends[0] == ends[1] else " to ".join(ends)


def _quantity(value: float, unit: str, style: Style) -> str:
    if not math.isfinite(value):
        return "without bound"
    kind = _KIND_OF_UNIT.get(unit)
    return show(value, kind, style) if kind else f"{significant(value, 3)} {unit}".rstrip()
