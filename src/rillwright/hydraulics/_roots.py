"""A bracketed root with a bound on its work."""

from __future__ import annotations

import math
from collections.abc import Callable

from rillwright.errors import NoAnswer

_MOST_STEPS = 200


def bracketed_root(
    function: Callable[[float], float],
    low: float,
    high: float,
    *,
    what: str,
    relative: float = 4e-16,
    absolute: float = 1e-300,
) -> float:
    """Where a continuous function crosses zero between two ends of different sign (Chandrupatla 1997).

    Bisection wherever inverse quadratic interpolation is not to be trusted, so the bracket always shrinks.

    Parameters
    ----------
    function : callable
        Continuous on the bracket.
    low, high : float
        Ends of the bracket [the unit of what is sought].
    what : str
        What is sought, for the message of a failure.
    relative : float
        Width of the last bracket over the root [-].
    absolute : float
        Width of bracket that is narrow enough even near zero [the unit of what is sought].

    Returns
    -------
    float
        The root [same unit as the ends].

    Raises
    ------
    NoAnswer
        If the ends do not differ in sign, or after 200 steps.

    References
    ----------
    Chandrupatla 1997, Advances in Engineering Software 28, 145-149 (from memory); tests hold it against closed forms.
    """
    a, b = low, high
    fa, fb = function(a), function(b)
    if fa == 0.0:
        return a
    if fb == 0.0:
        return b
    if not (math.isfinite(fa) and math.isfinite(fb)) or (fa > 0) == (fb > 0):
        raise NoAnswer(f"{what}: no crossing between {low:g} and {high:g} (ends give {fa:g} and {fb:g})")
    step = 0.5
    for _ in range(_MOST_STEPS):
        x = a + step * (b - a)
        fx = function(x)
        if (fx > 0) == (fa > 0):
            c, fc, a, fa = a, fa, x, fx
        else:
            c, fc, b, fb, a, fa = b, fb, a, fa, x, fx
        best, f_best = (a, fa) if abs(fa) < abs(fb) else (b, fb)
        least = 2 * relative * abs(best) + absolute
        share = 0.5 * least / abs(b - a) if b != a else 1.0
        if f_best == 0.0 or share > 0.5:
            return best
        step = min(max(_next_share(a, b, c, fa, fb, fc), share), 1 - share)
    raise NoAnswer(f"{what}: not settled after {_MOST_STEPS} steps, between {a:.9g} and {b:.9g}")


def _next_share(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    """Where in the bracket to look next [-]: inverse quadratic where it is monotone, else the middle."""
    if fb == fa or fc in (fa, fb) or c == b:
        return 0.5
    xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
    if not (1 - math.sqrt(max(0.0, 1 - xi)) < phi < math.sqrt(max(0.0, xi))):
        return 0.5
    return (fa / (fb - fa)) * (fc / (fb - fc)) + ((c - a) / (b - a)) * (fa / (fc - fa)) * (fb / (fc - fb))


def rising_root(function: Callable[[float], float], start: float, *, what: str, least: float = 1e-12) -> float:
    """Where a function that rises with its argument crosses zero, sought by halving and doubling from `start`.

    Parameters
    ----------
    function : callable
        Below zero at `least` or a little above it, rising.
    start : float
        A guess of the right order [the unit of what is sought].
    what : str
        For the message of a failure.
    least : float
        Never looked below [same unit].

    Returns
    -------
    float
        The root [same unit].

    Raises
    ------
    NoAnswer
        If there is no crossing between `least` and a million times the guess.
    """
    low = high = max(start, least)
    while low > least and function(low) > 0:
        low = max(low / 2, least)
    while high < 1e6 * start and function(high) < 0:
        high *= 2
    return bracketed_root(function, low, high, what=what)
