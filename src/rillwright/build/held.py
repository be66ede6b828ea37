"""Which hold points are still open: from what was ticked, and from what was shot there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from rillwright.build.result import HoldPoint, HoldShot, HoldTape
from rillwright.build.to_go import AS_READ_M
from rillwright.survey import ReducedShot, Taped, Tick, as_set, newest, taped_doubt


class HoldItem(Struct, frozen=True, kw_only=True):
    """One line of a hold point by its name.

    `found_m` [m] is what was shot there, against `wanted_m` [m] of the plan; `met` says whether within tolerance.
    `asked` says what is odd about a line that was taped: it counts as done, and is asked about.
    """

    name: str
    done: bool
    ticked: bool | None = None  # what was said of it last; None where nothing was
    initials: str = ""
    time: str = ""
    note: str = ""  # what was taped, or seen
    wanted_m: float | None = None
    found_m: float | None = None
    met: bool | None = None
    asked: Taped = ""


class HoldState(Struct, frozen=True, kw_only=True):
    """A hold point and how it stands: `done` once each of its lines is, the initials that it asks for among them.

    `initials` are those put to it, and `time` is when the last word was said, once it is done.
    """

    hold: HoldPoint
    done: bool
    initials: str
    time: str
    items: tuple[HoldItem, ...]

    def item(self, name: str) -> HoldItem:
        """The line of that name. Raises KeyError."""
        return {item.name: item for item in self.items}[name]


def item_names(hold: HoldPoint) -> tuple[str, ...]:
    """The lines of a hold point by name, which says what is done and where: `shoot falls/r3.crest@left stone top`."""
    return (
        *(shot_name(shot) for shot in hold.shoot),
        *(tape_name(tape) for tape in hold.tape),
        *(f"look {text}" for text in hold.look),
        *(f"photograph {text}" for text in hold.photograph),
        *(initial_name(who) for who in hold.initials),
    )


def shot_name(shot: HoldShot) -> str:
    """The name of the line that asks for a level."""
    return f"shoot {shot.path} {shot.surface.value}"


def tape_name(tape: HoldTape) -> str:
    """The name of the line that asks for something to be taped."""
    return f"tape {tape.text}"


def initial_name(who: str) -> str:
    """The name of the line on which somebody, as the lead, puts his initials."""
    return f"initial {who}"


def hold_states(
    holds: Iterable[HoldPoint], ticks: Sequence[Tick], shots: Sequence[ReducedShot], *, day: str = ""
) -> tuple[HoldState, ...]:
    """How every hold point stands; of several ticks of a line the last one set counts.

    A row without an item speaks of all lines: done ticks each of them, undone takes back what was said of any. Those of
    a benchmark come every day anew: of them the ticks of `day` count, such as 2026-05-04, and none without it. A level
    that was shot and lies within its tolerance marks its line as done.
    """
    found = {(str(shot.path), shot.surface): shot for shot in newest(shots)}
    in_order = as_set(ticks)
    states = []
    for hold in holds:
        daily = hold.at.startswith("marks/")
        mine = [tick for tick in in_order if tick.hold == hold.id and (not daily or tick.time[:10] == day != "")]
        said = _said(hold, mine)
        shot = {} if daily else {shot_name(one): found.get((one.path, one.surface)) for one in hold.shoot}
        items = tuple(_items(hold, said, shot))
        done = bool(said) and all(item.done for item in items)
        signed = (said[name].initials for who in hold.initials if (name := initial_name(who)) in said)
        states.append(
            HoldState(
                hold=hold,
                done=done,
                initials=", ".join(dict.fromkeys(signed)) if done else "",
                time=mine[-1].time if done else "",
                items=items,
            )
        )
    return tuple(states)


def _said(hold: HoldPoint, ticks: Sequence[Tick]) -> dict[str, Tick]:
    """The word that counts on each line, where there is one."""
    said: dict[str, Tick] = {}
    for tick in ticks:
        if tick.item:
            said[tick.item] = tick
        else:
            said = dict.fromkeys(item_names(hold), tick) if tick.state == "done" else {}
    return said


def _items(hold: HoldPoint, last: dict[str, Tick], shot: dict[str, ReducedShot | None]) -> Iterator[HoldItem]:
    asked = {shot_name(one): one for one in hold.shoot}
    taped = {tape_name(one): one.wanted_m for one in hold.tape}
    for name in item_names(hold):
        level, met, wanted = None, None, asked[name].wanted_m if name in asked else None
        read = shot.get(name)
        if read is not None and read.level_m is not None:
            wanted = asked[name].wanted_m if read.planned_m is None else read.planned_m
            level, met = read.level_m, abs(read.level_m - wanted) <= asked[name].tolerance_m + AS_READ_M
        tick = last.get(name)
        ticked = tick is not None and tick.state == "done"
        yield HoldItem(
            name=name,
            done=ticked if tick is not None else bool(met),
            ticked=None if tick is None else ticked,
            initials=tick.initials if tick is not None and ticked else "",
            time=tick.time if tick is not None and ticked else read.shot.time if read is not None else "",
            note=tick.note if tick is not None else "",
            wanted_m=wanted,
            found_m=level,
            met=met,
            asked=taped_doubt(tick.note, taped[name]) if tick is not None and ticked and name in taped else "",
        )


def gone_past(states: Sequence[HoldState]) -> tuple[tuple[HoldState, HoldState], ...]:
    """Open hold points, each with the first later one of the same place that is done: the work went on unchecked."""
    pairs = []
    for index, state in enumerate(states):
        if state.done or state.hold.at.startswith("marks/"):
            continue
        later = (
            one for one in states[index + 1 :] if one.done and (one.hold.at == state.hold.at or _of_all(state, one))
        )
        first = next(later, None)
        if first is not None:
            pairs.append((state, first))
    return tuple(pairs)


def open_before(states: Sequence[HoldState], hold: HoldPoint) -> tuple[HoldState, ...]:
    """Open hold points that come before this one, at its place or for the whole site; none before a benchmark's."""
    if hold.at.startswith("marks/"):
        return ()
    ids = [state.hold.id for state in states]
    earlier = states[: ids.index(hold.id)] if hold.id in ids else ()
    return tuple(one for one in earlier if not one.done and one.hold.at in (hold.at, "site/whole"))


def _of_all(state: HoldState, later: HoldState) -> bool:
    """What is checked for the whole site comes before every dig."""
    return state.hold.at == "site/whole" and not later.hold.at.startswith("marks/")
