"""Numbers as they stand on a drawing: the reader's units, fractions set as fractions, primes for feet and inches."""

from __future__ import annotations

import re
from fractions import Fraction

from rillwright.units import show, style_for

_SINGLE = {"1/2": "½", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞"}
_OVER = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_UNDER = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
FINE = Fraction(1, 8)  # of an inch: as fine as a rod is read


def typeset(quantity: str) -> str:
    """A printed quantity with true fractions, primes and a true minus: 5'-7 3/8" becomes 5′-7⅜″."""
    text = re.sub(r" ?(?<![\d/.])(\d{1,2})/(\d{1,2})(?![\d/.])", lambda m: _fraction(m[1], m[2]), quantity)
    text = text.replace("'", "′").replace('"', "″")
    text = re.sub(r"(?<=[\d½¼¾⅛⅜⅝⅞₀-₉]) in$", "″", text)
    return re.sub(r"^-(?=[\d½¼¾⅛⅜⅝⅞⁰¹²³⁴-⁹])", "−", text)


def _fraction(over: str, under: str) -> str:
    return _SINGLE.get(f"{over}/{under}") or f"{over.translate(_OVER)}⁄{under.translate(_UNDER)}"


def length(length_m: float, system: str) -> str:
    """A length [m] as people of that system write it, with its unit."""
    return typeset(show(length_m, "length", style_for(system)))


def along(distance_m: float, system: str) -> str:
    """A distance along a rim [m] as a tape tells it: in metres to 10 mm, or in feet and inches to the inch."""
    if system == "metric":
        return f"{distance_m:.2f} m"
    return typeset(show(distance_m, "length", style_for(system), step=Fraction(1)))


def level(level_m: float, system: str) -> str:
    """A level [m] above the datum: metres to the millimetre, or feet, inches and eighths; the sign always said."""
    if system == "metric":
        text = f"{level_m:+.3f}"
        return "±0.000" if float(text) == 0.0 else text.replace("-", "−")
    text = typeset(show(abs(level_m), "length", style_for(system), step=FINE))
    nothing = not re.search(r"[1-9½¼¾⅛⅜⅝⅞¹²³⁴-⁹]", text)
    return "±0″" if nothing else ("−" if level_m < 0 else "+") + text


def quantity(value: float, kind: str, system: str) -> str:
    """Any other quantity in SI of that kind [SI] in the reader's units."""
    return typeset(show(value, kind, style_for(system)))
