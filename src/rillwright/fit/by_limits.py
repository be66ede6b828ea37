"""The question as it is asked of a stream: by the limits that its falls are judged by, at a visit and ever after."""

from __future__ import annotations

import math

from msgspec.structs import replace

from rillwright.fit.problem import Character, FitProblem, Span, Unit, standard_problem
from rillwright.fit.whole_units import PER_M
from rillwright.sources import limit

_CREW_INCH_M = {"1/16 in": 0.0254, "1 mm": 0.025}  # as crews count, and as the limits are judged


def problem_by_limits(
    unit: Unit, *, height: int, character: Character, least_last_m: float | None = None
) -> FitProblem:
    """The standard problem with a last fall as high as it must be, ripples no higher than they may, all height spent.

    Parameters
    ----------
    unit
        The whole unit.
    height
        Bed at the stream head less the held water, in the unit [-].
    character
        quiet, lively or loud.
    least_last_m
        Least height of the last fall as it is seen [m]; None: by the limit. What the limit asks for holds for any
        character: the last fall is the one most looked at.
    """
    usual = standard_problem(unit, height=height)
    ripple_high = limit("falls.ripple_high").good / 0.0254 * _CREW_INCH_M[unit]
    last_m = limit("falls.last").bad if least_last_m is None else least_last_m
    return replace(
        usual,
        character=character,
        ripple=Span(usual.ripple.low, min(usual.ripple.high, int(ripple_high * PER_M[unit] + 1e-6))),
        least_last=math.ceil(last_m * PER_M[unit] - 1e-6),
        most_left=usual.step - 1,
    )
