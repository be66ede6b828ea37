"""A finding's sentences with its numbers in the reader's units."""

from __future__ import annotations

import re

from rillwright.assessment import Finding
from rillwright.packet.say import Say


def sentence(template: str, finding: Finding, system: str) -> str:
    """A finding's template in words."""
    say = Say(system)
    values = {
        name: value if isinstance(value, str) else say.one(value, unit) for name, value, unit in finding.parameters
    }
    return re.sub(r"\{(\w+)\}", lambda match: values.get(match[1], match[0]), template)
