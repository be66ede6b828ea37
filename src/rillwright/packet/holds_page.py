"""Before you go on: the hold points, with boxes to tick and room for initials."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import (
    HoldItem,
    HoldShot,
    HoldState,
    Judged,
    NotRun,
    SiteDay,
    hold_states,
    initial_name,
    shot_name,
)
from rillwright.packet.blocks import Words, beside, blank, column, run, table, title, whole, words
from rillwright.packet.day_rows import BOX, rod_words
from rillwright.packet.paper import DAY_PT, READING, Block, Sheet
from rillwright.packet.say import Say, breakable

QUESTION = "Before you go on"
_INITIALS_MM = 26.0
_MOST_TOGETHER = 12  # rows


def holds(judged: Judged, day: SiteDay | None) -> Sheet:
    """Every hold point in the order of the work, each unbroken on its page."""
    assessment = judged.assessment
    say = Say(assessment.feature.system)
    blocks: list[Block] = [title(QUESTION)]
    if isinstance(assessment.build, NotRun):
        blocks.append(words(run(f"No hold points: {assessment.build.reason}", pt=DAY_PT)))
    else:
        text = "The work waits at each of these until every box is ticked and the names below have put their initials."
        blocks.append(words(run(text, pt=DAY_PT)))
        for state in hold_states(assessment.build.holds, assessment.ticks, assessment.shots.shots):
            blocks += _hold(state, day, say)
    return Sheet(question=QUESTION, paper=READING[say.system], blocks=tuple(blocks))


def _hold(state: HoldState, day: SiteDay | None, say: Say) -> Iterator[Block]:
    """One hold point, kept on one page unless it is longer than most pages."""
    hold, items = state.hold, {item.name: item for item in state.items}
    wait = f"done: {state.initials}, {_moment(state.time)}" if state.done else f"the work waits: {hold.when.value}"
    head = [
        run(breakable(hold.text), pt=12.0, weight="semibold"),
        run(wait, pt=DAY_PT, colour="quiet"),
    ]
    names = () if state.done else hold.initials
    signed: list[Block] = [
        words([run(who, pt=DAY_PT, colour="quiet"), _initials(items[initial_name(who)])], above=0.5, below=0.5)
        for who in names
    ]
    widths = (-1.0, *(_INITIALS_MM for _ in signed))
    blocks: list[Block] = [beside(widths, ([words(head, above=0.0, below=0.5)], *([one] for one in signed)))]
    rows = [*_shots(state, day, say), *_tapes(state, say)]
    columns = [column("", 12.0), column("", -1.0), column("wanted", 46.0, align="right"), column("found", 34.0)]
    if rows:
        blocks.append(table(columns, rows, pt=DAY_PT, pad=1.2))
    for kind, told in (("look", hold.look), ("photograph", hold.photograph)):
        for one in told:
            mark = _mark(state.done, items[f"{kind} {one}"])
            blocks.append(words(run(breakable(f"{mark}  {kind}: {one}"), pt=DAY_PT), above=2.0, below=2.0))
    if len(rows) <= _MOST_TOGETHER:
        yield whole(blocks, above=6.0)
    else:
        yield whole(blocks[:1], above=6.0)
        yield from blocks[1:]


def _initials(item: HoldItem) -> Words:
    """What was put there, else room for it."""
    return run(item.initials, pt=DAY_PT, weight="semibold") if item.done else blank(6.0)


def _moment(time: str) -> str:
    """Day and time to the minute, as the device said it."""
    return time[:16].replace("T", " ")


def _mark(done: bool, item: HoldItem) -> str:
    """A box to tick, or by whom and when it was done."""
    if not done and not item.done:
        return BOX
    return f"done ({item.initials}, {_moment(item.time)})" if item.initials else "done"


def _shots(state: HoldState, day: SiteDay | None, say: Say) -> Iterator[list[Words]]:
    """One row for all places of one name at one level that nobody has shot yet; one for each that was shot."""
    groups: dict[tuple[str, ...], list[tuple[HoldShot, str]]] = {}
    for shot in state.hold.shoot:
        name, _, where = shot.text.rpartition(", ")
        item = state.item(shot_name(shot))
        own = shot.path if item.found_m is not None or item.done else ""
        key = (name or where, shot.surface.value, f"{shot.wanted_m:.4f} {shot.tolerance_m}", own)
        groups.setdefault(key, []).append((shot, where if name else ""))
    for (name, surface, *_), places in groups.items():
        told = ", ".join(place for _, place in places if place)
        what = [run(breakable(f"shoot {name} ({surface})"), pt=DAY_PT)]
        if told:
            what.append(run(breakable(told), pt=DAY_PT, colour="quiet"))
        shot = places[0][0]
        item = state.item(shot_name(shot))
        mark = run("done", pt=DAY_PT) if state.done or item.done else run(BOX, pt=13.0)
        yield [mark, what, _wanted(shot, item, day, say=say), _found(item, say)]


def _wanted(shot: HoldShot, item: HoldItem, day: SiteDay | None, *, say: Say) -> Words:
    wanted = shot.wanted_m if item.wanted_m is None else item.wanted_m
    within = f"{say.level(wanted)} ±{say.one(shot.tolerance_m, 'm')}"
    if day is None:
        return run(within, pt=DAY_PT, weight="semibold")
    reads = rod_words(day.height_of_instrument_m - wanted, day.rod, pt=DAY_PT, lead="rod ")
    return [reads, run(within, pt=DAY_PT, colour="quiet")]


def _found(item: HoldItem, say: Say) -> Words:
    """What was shot there, and whether that will do; else room to write it."""
    if item.found_m is None:
        return blank(6.0)
    return [
        run(say.level(item.found_m), pt=DAY_PT, weight="semibold"),
        run("within" if item.met else "not within", pt=DAY_PT, colour="quiet"),
    ]


def _tapes(state: HoldState, say: Say) -> Iterator[list[Words]]:
    for tape in state.hold.tape:
        wanted = "" if tape.wanted_m is None else say.one(tape.wanted_m, "m")
        item = state.item(f"tape {tape.text}")
        done = state.done or item.done
        yield [
            run("done", pt=DAY_PT) if done else run(BOX, pt=13.0),
            run(breakable(f"tape: {tape.text}"), pt=DAY_PT),
            run(wanted, pt=DAY_PT, weight="semibold"),
            _taped(item),
        ]


def _taped(item: HoldItem) -> Words:
    """What was taped, and whether it is asked about; else room to write it."""
    odd = [run("asked about", pt=DAY_PT, colour="quiet")] if item.asked else []
    if not item.note:
        return odd or blank(6.0)
    return [run(breakable(item.note), pt=DAY_PT, weight="semibold"), *odd]
