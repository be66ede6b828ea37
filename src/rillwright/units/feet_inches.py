"""Feet, inches and fractions for the eye, with the carry right."""

from __future__ import annotations

import math
from fractions import Fraction

from rillwright.units.table import INCH_M

_SIXTEENTH = Fraction(1, 16)
_EIGHTH = Fraction(1, 8)
_FINE = 10**9
_LOST = 1  # of so many parts of a step: a half that lost its last bit on the way through a float still goes up


def whole_steps(value: float | Fraction, step: Fraction) -> int:
    """How many steps `value` is from nothing, to the nearest, a half away from nothing; both in one unit [-]."""
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"cannot print {value}")
    if step <= 0:
        raise ValueError(f"a step must be above nothing, not {step}")
    above, below = value.as_integer_ratio()  # exact; whole numbers from here on
    above, below = abs(above) * step.denominator, below * step.numerator
    more = below * _LOST if isinstance(value, float) else 0
    count = (above * _FINE + below * (_FINE // 2) + more) // (below * _FINE)
    return -count if value < 0 else count


def _inches(m: float | Fraction, step: Fraction) -> Fraction:
    inches = m / INCH_M if isinstance(m, Fraction | int) else m / float(INCH_M)
    return whole_steps(inches, step) * step


def _mixed(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)


def feet_inches(m: float | Fraction, step: Fraction = _SIXTEENTH, *, short: bool = True) -> str:
    """Write a length `m` [m] to the nearest `step` [in]: `5' 7 3/8"`, and below one foot `4 1/2 in` if `short`."""
    inches = _inches(m, step)
    sign, size = ("-" if inches < 0 else ""), abs(inches)
    if short and size < 12:
        return f"{sign}{_mixed(size)} in"
    feet, rest = divmod(size, 12)
    nought = "0 " if 0 < rest < 1 else ""  # a fraction right beside the feet is easily misread
    return f"{sign}{feet}' {nought}{_mixed(rest)}\""


def inches_only(m: float | Fraction, step: Fraction = _SIXTEENTH) -> str:
    """Write a length `m` [m] in inches alone to the nearest `step` [in]: `55 3/8 in`."""
    inches = _inches(m, step)
    return f"{'-' if inches < 0 else ''}{_mixed(abs(inches))} in"


def eighths_on_rod(m: float | Fraction) -> str:
    """Write a rod reading `m` [m] to 1/8 in, always with its foot: `0' 4 1/2"`."""
    return feet_inches(m, _EIGHTH, short=False)


def fixed(value: float, places: int) -> str:
    """Write `value` [-] with so many places, a half away from nothing, and never a minus before nothing."""
    count = whole_steps(value, Fraction(1, 10**places))
    digits = f"{abs(count):0{places + 1}d}"
    return ("-" if count < 0 else "") + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)
