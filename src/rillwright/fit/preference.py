"""What is liked: three named characters, each an ordered list of cost terms; the first that differs decides.

Every term is a whole number, a sum over drops, and least is best; so a dynamic programme can carry all of them in one
integer.
"""

from __future__ import annotations

from rillwright.fit.problem import Character, FitProblem, Kind

COST_NAMES: dict[Character, tuple[str, ...]] = {
    "quiet": ("whole steps left over", "minus ripples", "falls", "squared heights", "left over"),
    "lively": ("whole steps left over", "squared distance from the lively fall", "drops", "left over"),
    "loud": (
        "whole steps left over",
        "drops",
        "minus last height",
        "minus other drops",
        "squared heights",
        "left over",
    ),
}


def drop_terms(problem: FitProblem, kind: Kind, drop: int, *, is_last: bool) -> tuple[int, ...]:
    """The cost terms of one drop; the last counts with its height as seen, every other one bed to bed."""
    height = drop + problem.last_adds if is_last else drop
    if problem.character == "quiet":
        ripple = kind == "ripple"
        return (0, -int(ripple), int(not ripple), height * height, 0)
    if problem.character == "lively":
        return (0, (height - problem.lively_fall) ** 2, 1, 0)
    return (0, 1, -height if is_last else 0, 0 if is_last else -height, height * height, 0)


def left_terms(problem: FitProblem, left_over: int) -> tuple[int, ...]:
    """The cost terms of what is left over: whole marking steps first of all, the rest last of all."""
    middle = (0,) * (len(COST_NAMES[problem.character]) - 2)
    return (left_over // problem.step, *middle, left_over)


def term_bits(problem: FitProblem) -> int:
    """Bits for each term, so that no sum of a lower term ever reaches into a higher one."""
    tallest = max(problem.ripple.high, problem.fall.high) + problem.last_adds + problem.lively_fall
    return max(problem.drops.high * tallest * tallest, abs(problem.height) + tallest).bit_length() + 2


def packed(terms: tuple[int, ...], bits: int) -> int:
    """The terms as one integer that adds and compares as they do."""
    total = 0
    for term in terms:
        total = (total << bits) + term
    return total
