"""Numbers that a formula cannot use are refused, all at once."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rillwright.errors import InputError, Problem

_NONE: Mapping[str, float] = {}


def refuse_unusable(*, positive: Mapping[str, float] = _NONE, not_negative: Mapping[str, float] = _NONE) -> None:
    """Raise InputError naming every value that is not a number, or not on the allowed side of zero [its unit]."""
    if _usable(positive, not_negative):
        return
    problems = [
        Problem(message="cannot be used", field=name, found=f"{value:g}", allowed="a number above 0")
        for name, value in positive.items()
        if not (value > 0 and math.isfinite(value))
    ]
    problems += [
        Problem(message="cannot be used", field=name, found=f"{value:g}", allowed="0 or a number above it")
        for name, value in not_negative.items()
        if not (value >= 0 and math.isfinite(value))
    ]
    if problems:
        raise InputError(problems)


def _usable(positive: Mapping[str, float], not_negative: Mapping[str, float]) -> bool:
    """Whether there is nothing to say; asked some thousand times for one feature, so by plain loops."""
    for value in positive.values():
        if not 0.0 < value < math.inf:
            return False
    for value in not_negative.values():  # noqa: SIM110
        if not 0.0 <= value < math.inf:
            return False
    return True


def refuse_outside(name: str, value: float, low: float, high: float) -> None:
    """Raise InputError unless low < value < high [its unit]."""
    if not low < value < high:
        raise InputError(
            Problem(message="cannot be used", field=name, found=f"{value:g}", allowed=f"between {low:g} and {high:g}")
        )


def notes(*pairs: tuple[bool, str]) -> str:
    """The texts whose condition holds, joined; empty when the value lies inside every range."""
    return "; ".join(text for outside, text in pairs if outside)
