"""The same question answered by walking every arrangement, written from the method note alone and slow on purpose."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any

from rillwright.fit import FitProblem, Kind

Sequence = tuple[tuple[Kind, int], ...]


def count_all(problem: FitProblem) -> int:
    """How many arrangements fit."""
    return sum(1 for _ in _walk(problem))


def best_of_all(problem: FitProblem, best: int) -> list[dict[str, Any]]:
    """The best arrangements that fit as JSON objects, in order, out of all of them."""
    made = sum(part.drop is not None for part in problem.built)
    keyed = []
    for sequence, left in _walk(problem):
        last = sequence[-1][1] + problem.spill_stone + problem.running_below_held
        order = [(drop, kind == "fall") for kind, drop in sequence[made:]]
        keyed.append((_cost(problem, sequence, left, last), order, sequence, left))
    return [_described(problem, sequence, left) for _, _, sequence, left in sorted(keyed)[:best]]


def _walk(problem: FitProblem) -> Iterator[tuple[Sequence, int]]:
    """Every arrangement that fits, with the least that any choice of pitches leaves over."""
    built = tuple(_named(problem, part.drop) for part in problem.built if part.drop is not None)
    for number in range(max(problem.drops.low, len(built) + 1), problem.drops.high + 1):
        if any(isinstance(wish.at, int) and wish.at > number for wish in problem.wishes):
            continue
        sums = _sums([_allowed_pitches(problem, index) for index in range(number)])
        for new in product(*(list(_may_stand(problem, at, number)) for at in range(len(built) + 1, number + 1))):
            rest = problem.height - sum(drop for _, drop in built + new)
            left = min((rest - total for total in sums if total <= rest), default=-1)
            if left >= 0 and (problem.most_left is None or left <= problem.most_left):
                yield built + new, left


def least_height(problem: FitProblem) -> int:
    """The least height that anything needs, by the same walk."""
    built = sum(part.drop for part in problem.built if part.drop is not None)
    made = sum(part.drop is not None for part in problem.built)
    needs = []
    for number in range(max(problem.drops.low, made + 1), problem.drops.high + 1):
        choices = [list(_may_stand(problem, at, number)) for at in range(made + 1, number + 1)]
        wished = any(isinstance(wish.at, int) and wish.at > number for wish in problem.wishes)
        if all(choices) and not wished:
            pitches = sum(min(_allowed_pitches(problem, index)) for index in range(number))
            needs.append(built + pitches + sum(min(drop for _, drop in choice) for choice in choices))
    return min(needs)


def _named(problem: FitProblem, drop: int) -> tuple[Kind, int]:
    return ("ripple", drop) if drop <= problem.ripple.high else ("fall", drop)


def _may_stand(problem: FitProblem, at: int, number: int) -> Iterator[tuple[Kind, int]]:
    """Multiples of the marking step, each named by its height, that every wish for this place admits."""
    adds = problem.spill_stone + problem.running_below_held if at == number else 0
    wishes = [wish for wish in problem.wishes if wish.at == at or (wish.at == "last" and at == number)]
    kinds: tuple[tuple[Kind, tuple[int, int]], ...] = (("ripple", problem.ripple), ("fall", problem.fall))
    for drop in range(problem.step, problem.fall.high + problem.ripple.high + 1, problem.step):
        for kind, (low, high) in kinds:
            if not low <= drop + adds <= high or (at == number and drop + adds < problem.least_last):
                continue
            if all((w.kind or kind) == kind and (not w.drop or w.drop.low <= drop <= w.drop.high) for w in wishes):
                yield kind, drop


def _allowed_pitches(problem: FitProblem, index: int) -> list[int]:
    if index < len(problem.built):
        return [problem.built[index].pitch]
    low, high = problem.pitch
    if index < len(problem.beds):
        bed = problem.beds[index]
        if bed.pitch is not None:
            low, high = bed.pitch
        elif bed.length is not None and problem.grade is not None:
            among = range(-bed.length, bed.length + 1)
            inside = [p for p in among if bed.length * problem.grade[0] <= p * 1000 <= bed.length * problem.grade[1]]
            low, high = min(inside), max(inside)
    return [low] if low == high else [p for p in range(low, high + 1) if p % problem.pitch_step == 0]


def _sums(pitches: list[list[int]]) -> set[int]:
    sums = {0}
    for allowed in pitches:
        sums = {total + pitch for total in sums for pitch in allowed}
    return sums


def _described(problem: FitProblem, sequence: Sequence, left: int) -> dict[str, Any]:
    allowed = [_allowed_pitches(problem, index) for index in range(len(sequence))]
    pitches = [min(bed) for bed in allowed]
    while sum(pitches) + sum(drop for _, drop in sequence) + left < problem.height:
        _, index = min((pitch, index) for index, pitch in enumerate(pitches) if pitch < max(allowed[index]))
        pitches[index] += problem.pitch_step
    seen = _heights_seen(problem, [drop for _, drop in sequence], pitches, left)
    return {
        "drops": [
            {"kind": kind, "drop": drop, "height_seen": height}
            for (kind, drop), height in zip(sequence, seen, strict=True)
        ],
        "pitches": pitches,
        "left_over": left,
        "last_height": seen[-1],
        "cost": _cost(problem, sequence, left, seen[-1]),
    }


def _heights_seen(problem: FitProblem, drops: list[int], pitches: list[int], left: int) -> list[int]:
    """By levels above the running pond: crest less the water or the bare bed below it."""
    bed = problem.height - left + problem.running_below_held
    crests, feet = [], []
    for pitch, drop in zip(pitches, drops, strict=True):
        bed -= pitch
        crests.append(bed + problem.spill_stone)
        bed -= drop
        feet.append(bed)
    pools = [max(foot, crest) for foot, crest in zip(feet, crests[1:], strict=False)] + [0]
    return [crest - pool for crest, pool in zip(crests, pools, strict=True)]


def _cost(problem: FitProblem, sequence: Sequence, left: int, last: int) -> list[int]:
    heights = [drop for _, drop in sequence[:-1]] + [last]
    squares = sum(height**2 for height in heights)
    ripples = sum(kind == "ripple" for kind, _ in sequence)
    if problem.character == "quiet":
        middle = [-ripples, len(sequence) - ripples, squares]
    elif problem.character == "lively":
        middle = [sum((height - problem.lively_fall) ** 2 for height in heights), len(sequence)]
    else:
        middle = [len(sequence), -last, -sum(heights[:-1]), squares]
    return [left // problem.step, *middle, left]
