"""The best arrangements in order, without walking them all.

Backward, the least cost to finish from every (drops made, steps used); forward, a best-first walk led by those costs,
which therefore only ever steps onto prefixes of the answer. Siblings are opened one by one, in their order.
"""

from __future__ import annotations

from heapq import heappop, heappush
from operator import add

from msgspec.structs import replace

from rillwright.fit.frame import Frame, Window
from rillwright.fit.preference import drop_terms, left_terms, packed, term_bits
from rillwright.fit.problem import KINDS, FitProblem, Kind

Entry = tuple[int, int, int]  # steps of the drop, index of its kind, whether others follow
Choice = tuple[int, Entry, int]  # least cost of finishing through a next drop, that drop, its own cost
Offer = tuple[int, list[int], list[Entry]]  # least steps of a window, then for each drop in it cost and entry


def best_sequences(problem: FitProblem, frame: Frame, best: int) -> list[list[tuple[Kind, int]]]:
    """The `best` sequences of new drops as (kind, marking steps), least cost first.

    Ties go by the drops from the head: the smaller first, a ripple before a fall, a sequence before its longer one.
    """
    if frame.size == 0 or best == 0:
        return []
    # Whole steps left over cost most of all, so wherever enough arrangements leave none, no other needs a look.
    most = frame.step - 1 if frame.most_left is None else min(frame.most_left, frame.step - 1)
    found = _best_first(_Table(problem, replace(frame, most_left=most)), best)
    return found if len(found) == best else _best_first(_Table(problem, frame), best)


def _best_first(table: _Table, best: int) -> list[list[tuple[Kind, int]]]:
    heap: list[tuple[int, tuple[Entry, ...], int, list[Choice], int]] = []

    def open_choice(path: tuple[Entry, ...], spent: int, choices: list[Choice], index: int) -> None:
        if index < len(choices) and choices[index][0] < table.hopeless:
            through, entry, _ = choices[index]
            heappush(heap, (spent + through, (*path, entry), spent, choices, index))

    open_choice((), 0, table.choices(0, 0), 0)
    found: list[list[tuple[Kind, int]]] = []
    while heap and len(found) < best:
        _, path, spent, choices, index = heappop(heap)
        open_choice(path[:-1], spent, choices, index + 1)
        if path[-1][2]:
            used = sum(entry[0] for entry in path)
            open_choice(path, spent + choices[index][2], table.choices(len(path), used), 0)
        else:
            found.append([(KINDS[kind], steps) for steps, kind, _ in path])
    return found


class _Table:
    """Least cost to finish, by drops made and steps used; `hopeless` or more where nothing finishes."""

    def __init__(self, problem: FitProblem, frame: Frame) -> None:
        self._problem, self._frame = problem, frame
        self._bits = term_bits(problem)
        self._never = 1 << (self._bits * 8)
        self.hopeless = self._never >> 1  # costs may be negative, so what never finishes may stand a little below
        self._offered: dict[tuple[tuple[Window, ...], int], list[Offer]] = {}
        most = frame.numbers[-1]
        self._ends = {n: self._end_row(n) for n in frame.numbers}
        self._last = {n: self._offers(frame.last[n], goes_on=0) for n in frame.numbers}
        self._inner = {n: self._offers(frame.inner[n], goes_on=1) for n in range(frame.first + 1, most)}
        self._finish: dict[int, list[int]] = {}
        self._known: dict[tuple[int, int], list[Choice]] = {}
        for made in range(most - 1, frame.first, -1):
            self._finish[made] = self._finish_row(made)

    def choices(self, new: int, used: int) -> list[Choice]:
        """The next drops after `new` new ones that took `used` steps, best first, hopeless ones at the end."""
        made = self._frame.first + new
        key = (made, used)
        if key not in self._known:
            found: list[Choice] = []
            for offers, rows in ((self._last, self._ends), (self._inner, self._finish)):
                row = rows.get(made + 1, [])
                for low, costs, entries in offers[made + 1] if row else ():
                    found += zip(
                        map(add, costs, row[used + low : used + low + len(costs)]), entries, costs, strict=False
                    )
            found.sort()
            self._known[key] = found
        return self._known[key]

    def _finish_row(self, made: int) -> list[int]:
        """Least cost to finish for every number of steps used, with `made` drops made."""
        row = [self._never] * self._frame.size
        least, most = self._reach(made)
        for offers, rows in ((self._last, self._ends), (self._inner, self._finish)):
            after = rows.get(made + 1, [])
            hopeful = [steps for steps, cost in enumerate(after) if cost < self.hopeless]
            for low, costs in _merged(offers[made + 1], self._never) if hopeful else ():
                many = len(costs)
                first, stop = hopeful[0] - low - many + 1, hopeful[-1] - low + 1
                for used in range(max(least, first), min(most + 1, stop)):
                    through = min(map(add, costs, after[used + low : used + low + many]))
                    if through < row[used]:
                        row[used] = through
        return row

    def _reach(self, made: int) -> tuple[int, int]:
        """The fewest and the most steps that the new ones of `made` drops can take."""
        above = [self._frame.inner[n] for n in range(self._frame.first + 1, made + 1)]
        if not all(above):
            return 0, -1
        return sum(min(w.low for w in ws) for ws in above), sum(max(w.high for w in ws) for ws in above)

    def _end_row(self, number: int) -> list[int]:
        step, whole = self._problem.step, packed(left_terms(self._problem, self._problem.step), self._bits)
        by_rest = [packed(left_terms(self._problem, rest), self._bits) for rest in range(step)]
        return [
            left // step * whole + by_rest[left % step] if left >= 0 else self._never
            for left in self._frame.left_over(number)
        ]

    def _offers(self, windows: tuple[Window, ...], *, goes_on: int) -> list[Offer]:
        if (windows, goes_on) not in self._offered:
            self._offered[windows, goes_on] = [self._offer(window, goes_on) for window in windows]
        return self._offered[windows, goes_on]

    def _offer(self, window: Window, goes_on: int) -> Offer:
        kind, low, high = window
        steps = range(low, high + 1)
        terms = (drop_terms(self._problem, kind, s * self._problem.step, is_last=not goes_on) for s in steps)
        entries = [(s, KINDS.index(kind), goes_on) for s in steps]
        return low, [packed(term, self._bits) for term in terms], entries


def _merged(offers: list[Offer], never: int) -> list[tuple[int, list[int]]]:
    """The offers as one run of least costs, where that is no longer than they are apart."""
    if not offers:
        return []
    low = min(start for start, _, _ in offers)
    high = max(start + len(costs) for start, costs, _ in offers)
    if high - low > sum(len(costs) for _, costs, _ in offers):
        return [(start, costs) for start, costs, _ in offers]
    run = [never] * (high - low)
    for start, costs, _ in offers:
        for index, cost in enumerate(costs, start - low):
            run[index] = min(run[index], cost)
    return [(low, run)]
