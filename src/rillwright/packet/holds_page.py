"""Before you go on: the hold points, with boxes to tick and room for initials."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.assessment import HoldPoint, HoldShot, Judged, NotRun, SiteDay
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
        for hold in assessment.build.holds:
            blocks += _hold(hold, day, say)
    return Sheet(question=QUESTION, paper=READING[say.system], blocks=tuple(blocks))


def _hold(hold: HoldPoint, day: SiteDay | None, say: Say) -> Iterator[Block]:
    """One hold point, kept on one page unless it is longer than most pages."""
    head = [
        run(breakable(hold.text), pt=12.0, weight="semibold"),
        run(f"the work waits: {hold.when.value}", pt=DAY_PT, colour="quiet"),
    ]
    signed: list[Block] = [
        words([run(who, pt=DAY_PT, colour="quiet"), blank(6.0)], above=0.5, below=0.5) for who in hold.initials
    ]
    widths = (-1.0, *(_INITIALS_MM for _ in signed))
    blocks: list[Block] = [beside(widths, ([words(head, above=0.0, below=0.5)], *([one] for one in signed)))]
    rows = [*_shots(hold.shoot, day, say), *_tapes(hold, say)]
    columns = [column("", 8.0), column("", -1.0), column("wanted", 46.0, align="right"), column("found", 34.0)]
    if rows:
        blocks.append(table(columns, rows, pt=DAY_PT, pad=1.2))
    lines = [f"look: {one}" for one in hold.look] + [f"photograph: {one}" for one in hold.photograph]
    blocks += [words(run(breakable(f"{BOX}  {line}"), pt=DAY_PT), above=2.0, below=2.0) for line in lines]
    if len(rows) <= _MOST_TOGETHER:
        yield whole(blocks, above=6.0)
    else:
        yield whole(blocks[:1], above=6.0)
        yield from blocks[1:]


def _shots(shots: Sequence[HoldShot], day: SiteDay | None, say: Say) -> Iterator[list[Words]]:
    """One row for all places of one name at one level: the edge of the floor, to the north, east, south and west."""
    groups: dict[tuple[str, str, float, float], list[str]] = {}
    for shot in shots:
        name, _, where = shot.text.rpartition(", ")
        key = (name or where, shot.surface.value, round(shot.wanted_m, 4), shot.tolerance_m)
        groups.setdefault(key, []).append(where if name else "")
    for (name, surface, wanted, tolerance), places in groups.items():
        told = ", ".join(place for place in places if place)
        what = [run(breakable(f"shoot {name} ({surface})"), pt=DAY_PT)]
        if told:
            what.append(run(breakable(told), pt=DAY_PT, colour="quiet"))
        within = f"{say.level(wanted)} ±{say.one(tolerance, 'm')}"
        if day is None:
            value: Words = run(within, pt=DAY_PT, weight="semibold")
        else:
            reads = rod_words(day.height_of_instrument_m - wanted, day.rod, pt=DAY_PT, lead="rod ")
            value = [reads, run(within, pt=DAY_PT, colour="quiet")]
        yield [run(BOX, pt=13.0), what, value, blank(6.0)]


def _tapes(hold: HoldPoint, say: Say) -> Iterator[list[Words]]:
    for tape in hold.tape:
        wanted = "" if tape.wanted_m is None else say.one(tape.wanted_m, "m")
        yield [
            run(BOX, pt=13.0),
            run(breakable(f"tape: {tape.text}"), pt=DAY_PT),
            run(wanted, pt=DAY_PT, weight="semibold"),
            blank(6.0),
        ]
