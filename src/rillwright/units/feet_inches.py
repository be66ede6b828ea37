"""Feet, inches and fractions for the eye, with the carry right."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from rillwright.units.table import INCH_M

_SIXTEENTH = Fraction(1, 16)
_EIGHTH = Fraction(1, 8)


def whole_steps(value: float | Fraction, step: Fraction) -> int:
    """How many steps `value` is from nothing, to the nearest, a half away from nothing; both in one unit [-]."""
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"cannot print {value}")
    if step <= 0:
        raise ValueError(f"a step must be above nothing, not {step}")
    count = abs(Fraction(value)) / step + Fraction(1, 2)
    if isinstance(value, float):
        count += Fraction(1, 10**9)  # a half that lost its last bit on the way through a float still goes up
    return math.floor(count) * (-1 if value < 0 else 1)


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
    return str((Decimal(count) / 10**places).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP))
