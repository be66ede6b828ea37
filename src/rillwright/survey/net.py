"""Least squares of a levelling net: weighted, with fixed marks, and honest about marks that hang in the air."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.errors import InputError, NoAnswer, Problem

MOST_UNKNOWNS = 3000


class NetObservation(Struct, frozen=True, kw_only=True):
    """An observed rise [m] from `start` to `end`, weighted by its standard error [m] or by the length [m] levelled."""

    start: str
    end: str
    rise_m: float
    sigma_m: float | None = None
    length_m: float | None = None


class NetMark(Struct, frozen=True, kw_only=True):
    """An adjusted mark: level [m]; standard error by the weights alone [m], and by S0 [m] where there is redundancy."""

    id: str
    level_m: float
    sigma_prior_m: float
    sigma_m: float | None


class AdjustedNet(Struct, frozen=True, kw_only=True):
    """An adjusted net: residuals [m], adjusted less observed, in the order of observations; `s0` [-] of unit weight."""

    marks: tuple[NetMark, ...]
    residuals_m: tuple[float, ...]
    redundancy: int
    weighted_square_sum: float
    s0: float | None

    def level_m(self, mark: str) -> float:
        """Adjusted level [m] of a mark by id. Raises KeyError."""
        return {m.id: m.level_m for m in self.marks}[mark]


def adjust_net(observations: Sequence[NetObservation], *, fixed: Mapping[str, float]) -> AdjustedNet:
    """Adjusted levels of a levelling net by weighted least squares: the least sum of w v^2, v = adjusted - observed.

    Parameters
    ----------
    observations : sequence of NetObservation
        Observed rises [m]. All have a standard error (weight 1/sigma^2), or all a length (weight 1/length), or
        none (weight 1).
    fixed : mapping of str to float
        Levels [m] of the marks that are held.

    Returns
    -------
    AdjustedNet
        Levels [m] of the marks that were not held, residuals [m], S0 and standard errors [m].

    Raises
    ------
    InputError
        If weights are mixed, a number is not finite, or marks hang in the air (no path to a held one); it names them.
    NoAnswer
        If the net is too large for a dense solution, or the normal equations cannot be solved.

    References
    ----------
    Ghilani and Wolf, Adjustment Computations, 4th ed. 2006, ch. 12 (N = A'WA, S0 = sqrt(v'Wv / r)).
    """
    weights = _weights(observations)
    unknown = list(dict.fromkeys(end for o in observations for end in (o.start, o.end) if end not in fixed))
    _refuse(observations, fixed, unknown)
    if len(unknown) > MOST_UNKNOWNS:
        raise NoAnswer(f"the net has {len(unknown)} unknown marks; at most {MOST_UNKNOWNS} are adjusted at once")
    column = {mark: i for i, mark in enumerate(unknown)}
    normal = np.zeros((len(unknown), len(unknown)))
    right = np.zeros(len(unknown))
    for o, w in zip(observations, weights, strict=True):
        _add(normal, right, (o, w, column, fixed))
    try:
        cofactor = np.linalg.inv(normal)
    except np.linalg.LinAlgError:
        raise NoAnswer("the normal equations of the net are singular: its weights differ too much") from None
    levels = dict(fixed) | dict(zip(unknown, (float(x) for x in cofactor @ right), strict=True))
    residuals = tuple(levels[o.end] - levels[o.start] - o.rise_m for o in observations)
    squares = math.fsum(w * v * v for w, v in zip(weights, residuals, strict=True))
    redundancy = len(observations) - len(unknown)
    s0 = math.sqrt(squares / redundancy) if redundancy > 0 else None
    return AdjustedNet(
        marks=tuple(_mark(m, levels[m], float(cofactor[i, i]), s0) for i, m in enumerate(unknown)),
        residuals_m=residuals,
        redundancy=redundancy,
        weighted_square_sum=squares,
        s0=s0,
    )


def _mark(name: str, level_m: float, cofactor: float, s0: float | None) -> NetMark:
    prior = math.sqrt(max(cofactor, 0.0))
    return NetMark(id=name, level_m=level_m, sigma_prior_m=prior, sigma_m=None if s0 is None else s0 * prior)


def _add(
    normal: NDArray[np.float64],
    right: NDArray[np.float64],
    what: tuple[NetObservation, float, dict[str, int], Mapping[str, float]],
) -> None:
    """Add one observation to the normal equations; what is held goes to the right-hand side."""
    o, w, column, fixed = what
    rise = o.rise_m + fixed.get(o.start, 0.0) - fixed.get(o.end, 0.0)
    ends = [(column[mark], sign) for mark, sign in ((o.end, 1.0), (o.start, -1.0)) if mark in column]
    for i, sign in ends:
        right[i] += sign * w * rise
        for j, other in ends:
            normal[i, j] += sign * other * w


def _weights(observations: Sequence[NetObservation]) -> list[float]:
    by_sigma = [o.sigma_m for o in observations if o.sigma_m is not None]
    by_length = [o.length_m for o in observations if o.length_m is not None]
    if not by_sigma and not by_length:
        return [1.0] * len(observations)
    given = by_sigma or by_length
    if len(given) != len(observations) or (by_sigma and by_length):
        raise InputError("weights of a net are by standard error or by length, the same for all observations")
    if not all(math.isfinite(x) and x > 0 for x in given):
        raise InputError("standard errors and lengths of a net must be greater than nothing")
    return [1 / (x * x) for x in by_sigma] if by_sigma else [1 / x for x in by_length]


def _refuse(observations: Sequence[NetObservation], fixed: Mapping[str, float], unknown: Sequence[str]) -> None:
    problems = [
        Problem(message="the observed rise is not a number", field=f"{o.start} to {o.end}", found=str(o.rise_m))
        for o in observations
        if not math.isfinite(o.rise_m)
    ]
    problems += [
        Problem(message="the held level is not a number", field=mark, found=str(level))
        for mark, level in fixed.items()
        if not math.isfinite(level)
    ]
    problems += [
        Problem(message="a mark is levelled to itself", field=o.start) for o in observations if o.start == o.end
    ]
    hanging = hanging_marks([(o.start, o.end) for o in observations], fixed)
    if hanging:
        held = ", ".join(fixed) or "no mark at all"
        message = f"no observation leads from these marks to a held one: {', '.join(hanging)}"
        problems.append(Problem(message=message, found=f"held: {held}", allowed="at least one held mark in each part"))
    if not unknown and not problems:
        problems.append(Problem(message="the net has no mark to be adjusted"))
    if problems:
        raise InputError(problems)


def hanging_marks(pairs: Sequence[tuple[str, str]], fixed: Mapping[str, float]) -> tuple[str, ...]:
    """The marks that no chain of `pairs` ties to a held one, in order of appearance."""
    near: dict[str, list[str]] = {}
    for a, b in pairs:
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    reached = {mark for mark in near if mark in fixed}
    edge = list(reached)
    while edge:
        for mark in near[edge.pop()]:
            if mark not in reached:
                reached.add(mark)
                edge.append(mark)
    return tuple(mark for mark in near if mark not in reached)
