"""How many arrangements fit, exactly: one pass per drop over the height used, with running sums."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate

from rillwright.fit.frame import Frame, Window


def count_arrangements(frame: Frame) -> int:
    """The number of sequences of (kind, drop) that fit, each with at least one choice of pitches."""
    return sum(
        many
        for number, ways in _ways(frame)
        for many, left in zip(ways, frame.left_over(number), strict=True)
        if left >= 0
    )


def least_left_over(frame: Frame) -> int | None:
    """The least that any arrangement leaves over, or None where none fits."""
    lefts = (
        left
        for number, ways in _ways(frame)
        for many, left in zip(ways, frame.left_over(number), strict=True)
        if many and left >= 0
    )
    return min(lefts, default=None)


def _ways(frame: Frame) -> Iterator[tuple[int, list[int]]]:
    """For each number of drops that may be: in how many ways the new ones use up 0, 1, 2, ... steps."""
    if frame.size == 0:
        return
    ways = [1] + [0] * (frame.size - 1)
    for number in range(frame.first + 1, frame.numbers[-1] + 1):
        if number in frame.numbers:
            yield number, _after_one_more(ways, frame.last[number])
        ways = _after_one_more(ways, frame.inner[number])


def _after_one_more(ways: list[int], windows: tuple[Window, ...]) -> list[int]:
    """Ways to each height used once a drop from one of the windows is added."""
    size = len(ways)
    below = [0, *accumulate(ways)]  # below[u]: ways to use less than u
    after = [0] * size
    for window in windows:
        for used in range(window.low, min(window.high, size)):
            after[used] += below[used - window.low + 1]
        for used in range(window.high, size):
            after[used] += below[used - window.low + 1] - below[used - window.high]
    return after
