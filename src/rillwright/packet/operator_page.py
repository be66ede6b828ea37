"""What to dig: the operator's page, stake by stake in walking order, readings that are read from a cab."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Judged, Services, SiteDay, Surface, ToGo
from rillwright.packet.blocks import Words, column, heading, run, table, title, words
from rillwright.packet.day_rows import cautions, instrument, left, place, reading, settles
from rillwright.packet.paper import DAY_PT, READING, Block, Sheet
from rillwright.packet.say import Say, breakable

QUESTION = "What to dig"
_ALWAYS = (
    "No machine in the ground before buried services are located and marked; by hand near the marks. Nobody in a cut "
    "that the soil does not hold, nobody between machine and hole, spoil and machines back from its edge; watch "
    "overhead wires. Local codes and licensed practice come first.",
)


def operator(judged: Judged, rows: Sequence[ToGo], day: SiteDay | None) -> Sheet:
    """The dig at every stake, then the fill at every rim. Under a crest the dig is that of the bed that ends there."""
    feature = judged.assessment.feature
    say = Say(feature.system)
    blocks: list[Block] = [title(QUESTION), *instrument(judged.assessment, day)]
    blocks += cautions(judged, ("dig.", "access.", "groundwater."), _ALWAYS)
    if feature.site.services:
        blocks.append(words(run(breakable(f"Services, as said: {_as_said(feature.site.services)}."), pt=DAY_PT)))
    digs = [row for row in rows if row.surface is Surface.DIG and not row.stake.path.startswith("falls/")]
    fills = [row for row in rows if row.stake.path.startswith("rims/") and row.surface is Surface.LINER]
    if digs:
        blocks += [heading("Dig to, in the order in which you walk", pt=DAY_PT + 1.0), _table(digs, day, say)]
    else:
        blocks.append(words(run("No stakes: nothing to dig was worked out.", pt=DAY_PT)))
    if fills:
        blocks += [heading("Build rims up to, in trodden layers", pt=DAY_PT + 1.0), _table(fills, day, say)]
    return Sheet(question=QUESTION, paper=READING[say.system], blocks=tuple(blocks))


def _as_said(services: Services) -> str:
    found = {True: "located", False: "not located", None: ""}[services.located]
    ticket = f"ticket {services.ticket}" if services.ticket else ""
    on = f"marked on {services.on}" if services.on else ""
    return "; ".join(part for part in (found, on, ticket, services.note.rstrip(".")) if part)


def _table(rows: Sequence[ToGo], day: SiteDay | None, say: Say) -> Block:
    columns = [
        column("stake", 14.0),
        column("where", -1.0),
        column("rod must read" if day else "level; rod", 40.0, align="right"),
        column("to go", 40.0, align="right"),
    ]
    return table(columns, [_row(row, day, say) for row in rows], pt=DAY_PT, pad=1.8)


def _row(row: ToGo, day: SiteDay | None, say: Say) -> list[Words]:
    return [
        run(breakable(row.stake.id), pt=13.0, weight="semibold"),
        [*place(row.stake, say), *settles(row, say)],
        reading(row, day, say),
        left(row, say),
    ]
