"""A problem laid out for counting and ranking: which drops may stand where, and what is left over after them.

Everything that must be walked is in whole marking steps; what is finer (built drops, pitches, an odd height) enters
only once, as the height that remains for new drops at each number of drops.
"""

from __future__ import annotations

from typing import NamedTuple

from msgspec import Struct

from rillwright.fit.problem import KINDS, FitProblem, Kind, Span


class Window(NamedTuple):
    """Drops of one kind from `low` to `high` marking steps."""

    kind: Kind
    low: int
    high: int


class Frame(Struct, frozen=True, kw_only=True):
    """Windows per position (1, 2, ...) for drops that others follow and for last ones; heights per number of drops."""

    step: int
    pitch_step: int
    first: int  # drops that are built
    numbers: tuple[int, ...]  # numbers of drops for which every position has a drop that may stand there
    inner: dict[int, tuple[Window, ...]]
    last: dict[int, tuple[Window, ...]]
    available: dict[int, int]  # height for new drops, with every bed at its least pitch
    pitch_steps: dict[int, int]  # pitch steps that the beds can take above their least
    most_left: int | None

    @property
    def size(self) -> int:
        """One more than the most marking steps that new drops can use up."""
        return max((self.available[n] // self.step + 1 for n in self.numbers if self.available[n] >= 0), default=0)

    def left_over(self, number: int) -> list[int]:
        """What is left over of `number` drops, by the steps that the new ones take; negative where they do not fit."""
        pitch_step, most_pitch = self.pitch_step, self.pitch_step * self.pitch_steps[number]
        available = self.available[number]
        row = []
        for spare in range(available, available - self.size * self.step, -self.step):
            left = spare % pitch_step if spare < most_pitch else spare - most_pitch
            row.append(-1 if spare < 0 or (self.most_left is not None and left > self.most_left) else left)
        return row

    def least_steps(self, number: int) -> int:
        """The fewest marking steps that the new drops of `number` drops can take."""
        inner = sum(min(w.low for w in self.inner[at]) for at in range(self.first + 1, number))
        return inner + min(w.low for w in self.last[number])


def make_frame(problem: FitProblem) -> Frame:
    """The problem laid out by position and by number of drops."""
    first = sum(built.drop is not None for built in problem.built)
    positions = range(first + 1, problem.drops.high + 1)
    inner = {at: _windows(problem, at, is_last=False) for at in positions}
    last = {at: _windows(problem, at, is_last=True) for at in positions}
    wished = max((w.at for w in problem.wishes if isinstance(w.at, int)), default=0)
    built = sum(part.drop or 0 for part in problem.built)
    pitches = pitch_spans(problem, problem.drops.high)
    numbers, open_so_far = [], True
    for at in positions:
        if open_so_far and last[at] and at >= max(problem.drops.low, wished):
            numbers.append(at)
        open_so_far = open_so_far and bool(inner[at])
    return Frame(
        step=problem.step,
        pitch_step=problem.pitch_step,
        first=first,
        numbers=tuple(numbers),
        inner=inner,
        last=last,
        available={n: problem.height - built - sum(span.low for span in pitches[:n]) for n in positions},
        pitch_steps={n: sum((s.high - s.low) // problem.pitch_step for s in pitches[:n]) for n in positions},
        most_left=problem.most_left,
    )


def pitch_spans(problem: FitProblem, number: int) -> list[Span]:
    """The pitch that each of the first `number` beds may have, ends on the pitch step; low above high: none may."""
    return [_pitch_span(problem, index) for index in range(number)]


def _pitch_span(problem: FitProblem, index: int) -> Span:
    if index < len(problem.built):
        return Span(problem.built[index].pitch, problem.built[index].pitch)
    bed = problem.beds[index] if index < len(problem.beds) else None
    low, high = problem.pitch
    if bed is not None and bed.pitch is not None:
        low, high = bed.pitch
    elif bed is not None and bed.length is not None and problem.grade is not None:
        low = _up(bed.length * problem.grade.low, 1000)
        high = bed.length * problem.grade.high // 1000
    if low == high:
        return Span(low, high)  # a pitch that is given exactly need not lie on the step
    return Span(_up(low, problem.pitch_step) * problem.pitch_step, high // problem.pitch_step * problem.pitch_step)


def _windows(problem: FitProblem, at: int, *, is_last: bool) -> tuple[Window, ...]:
    """What may stand at a position. A drop's kind goes by its height: for the last one, that is its height as seen."""
    wishes = [w for w in problem.wishes if w.at == at or (is_last and w.at == "last")]
    adds = problem.last_adds if is_last else 0
    lows = [w.drop.low for w in wishes if w.drop is not None] + [problem.least_last - adds if is_last else 1]
    highs = [w.drop.high for w in wishes if w.drop is not None]
    found = []
    for kind, span in zip(KINDS, (problem.ripple, problem.fall), strict=True):
        if any(w.kind not in (None, kind) for w in wishes):
            continue
        low = max(_up(max(span.low - adds, *lows), problem.step), 1)
        high = min([span.high - adds, *highs]) // problem.step
        if low <= high:
            found.append(Window(kind, low, high))
    return tuple(found)


def _up(value: int, step: int) -> int:
    return -(-value // step)
