"""Ticks of several hands: in which order they were set, and what is to be asked about them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from rillwright.survey.shot_result import Question
from rillwright.survey.shots import moment
from rillwright.survey.ticks import Tick


def as_set(ticks: Sequence[Tick]) -> tuple[Tick, ...]:
    """The ticks, those of each hold point in the order in which they were set.

    That is the order of their times: a phone that was without signal all day must not speak over a later word. Where
    a time cannot be read, or somebody's clock went back, the order of the file holds.
    """
    unsure = {tick.who for tick in ticks if _when(tick) is None} | {tick.who for tick, _ in _backs(ticks)}
    groups: dict[str, list[Tick]] = {}
    for tick in ticks:
        groups.setdefault(tick.hold, []).append(tick)
    found: list[Tick] = []
    for group in groups.values():
        sure = not any(tick.who in unsure for tick in group)
        found += sorted(group, key=lambda tick: _when(tick) or datetime.min) if sure else group
    return tuple(found)


def tick_questions(ticks: Sequence[Tick]) -> tuple[Question, ...]:
    """What is odd about ticks in the order of the file: none is dropped for it."""
    found = [
        Question(code="time", text=f"{tick.time!r} is no time with an offset; the order of the file holds",
                 uuid=tick.uuid, doubts=False)
        for tick in ticks
        if _when(tick) is None
    ]  # fmt: skip
    for tick, back in _backs(ticks):
        text = f"the clock went back by {back} since the tick before; the order of the file holds"
        found.append(Question(code="clock", text=text, uuid=tick.uuid, doubts=False))
    return (*found, *_overtaken(ticks))


def _overtaken(ticks: Sequence[Tick]) -> Iterable[Question]:
    """Rows that came late: somebody had said otherwise of the same line, after they were set."""
    came = {tick.cells: number for number, tick in enumerate(ticks)}
    lines: dict[tuple[str, str], list[Tick]] = {}
    for tick in as_set(ticks):
        lines.setdefault((tick.hold, tick.item), []).append(tick)
    for set_ in lines.values():
        last = set_[-1]
        for tick in set_[:-1]:
            if came[tick.cells] > came[last.cells] and tick.state != last.state:
                text = f"{last.initials} said {last.state!r} of it at {last.time[:16]}, after this; that counts"
                yield Question(code="overtaken", text=text, uuid=tick.uuid, doubts=False)


def _backs(ticks: Iterable[Tick]) -> list[tuple[Tick, str]]:
    """Each tick that its person's clock puts before the one before it, and by how much."""
    last: dict[str, datetime] = {}
    found = []
    for tick in ticks:
        when = _when(tick)
        if when is None:
            continue
        before = last.get(tick.who)
        if before is not None and when < before:
            found.append((tick, str(before - when).split(".")[0]))
        last[tick.who] = when
    return found


def _when(tick: Tick) -> datetime | None:
    return moment(tick.time)
