"""Feet, inches and fractions, apart from all other units because people leave half of them out."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from rillwright.units.number import NUMBER, read_number
from rillwright.units.quantity import refuse

EXAMPLES = "5' 7 3/8\", 67 3/8 in, 5.61 ft, 1.71 m, 171 cm, 1711 mm"


@cache
def _feet_and_inches() -> re.Pattern[str]:
    feet = r"(?:'|ft\.?|feet|foot)"
    inches = r'(?:"|in\.?|inch|inches)'
    return re.compile(rf"([+-]?) ?({NUMBER}) ?{feet} ?-? ?({NUMBER}) ?{inches}?", re.IGNORECASE)


def feet_and_inches(plain: str, typed: object) -> Fraction | None:
    """Feet, exactly, from a text that has both feet and inches; None if it is no such text.

    The inches' own sign may be left out (`5'7`). Feet with a decimal or a fraction and inches beside them are
    refused, and so are twelve inches or more beside feet: both are slips, and nobody can tell which way.
    """
    match = _feet_and_inches().fullmatch(plain)
    if match is None:
        return None
    sign, feet, inches = match.groups()
    if not feet.isdigit():
        refuse("decimal or broken feet stand beside inches: write 5.7 ft or 5' 8 3/8\"", str(typed), EXAMPLES)
    small = read_number(inches, typed)
    if small >= 12:
        refuse("twelve inches or more stand beside feet: write 6' 1\" or 73 in", str(typed), EXAMPLES)
    value = int(feet) + small / 12
    return -value if sign == "-" else value
