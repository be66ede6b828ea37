"""A finding's sentences with its numbers in the reader's units, fractions set as fractions."""

from __future__ import annotations

from rillwright.assessment import Finding
from rillwright.judge import render
from rillwright.packet.say import Say
from rillwright.units import style_for


def sentence(template: str, finding: Finding, system: str) -> str:
    """A finding's template in words; only its numbers are set, so that names stay as they were typed."""
    say = Say(system)
    said = [
        (name, value if isinstance(value, str) else say.one(value, unit, kind=kind_of(unit)), "")
        for name, value, unit in finding.parameters
    ]
    known = {name: (value, unit) for name, value, unit in finding.parameters}
    (low, unit), (high, _) = known.get("low", ("", "")), known.get("high", ("", ""))
    if not isinstance(low, str) and not isinstance(high, str):
        said.append(("low_to_high", say.span(low, high, unit, kind=kind_of(unit)), ""))
    return render(template.replace("{range}", "{low_to_high}"), said, style_for(system))


def kind_of(unit: str) -> str | None:
    """The kind of a finding's value where its unit alone does not say it: a share."""
    return "share" if unit == "-" else None
