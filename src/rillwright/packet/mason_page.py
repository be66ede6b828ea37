"""What to set: the mason's page, spill stones one by one from the foot up, then the gravel."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Fall, Judged, Lift, NotRun, SiteDay, SpillStone, Surface, ToGo
from rillwright.packet.blocks import Words, column, heading, run, table, title, words
from rillwright.packet.day_rows import BOX, cautions, instrument, left, place, reading
from rillwright.packet.paper import DAY_PT, READING, Block, Sheet
from rillwright.packet.say import Say, breakable

QUESTION = "What to set"
_ALWAYS = (
    "Nobody under or between a hanging stone and the hole; slings and machine by their own charts; hands by what each "
    "can carry. People step on stone: it must not rock. Local codes and licensed practice come first.",
)


def mason(judged: Judged, rows: Sequence[ToGo], day: SiteDay | None) -> Sheet:
    """Every spill stone with its crest, size and seal; then where the gravel ends."""
    feature = judged.assessment.feature
    say = Say(feature.system)
    blocks: list[Block] = [title(QUESTION), *instrument(judged.assessment, day)]
    blocks += cautions(judged, ("lift.", "people.loads", "crest.seal", "crest.tilt"), _ALWAYS)
    crests = {row.stake.path: row for row in rows if row.surface is Surface.STONE_TOP}
    falls = [fall for stream in feature.streams for fall in reversed(stream.falls) if f"falls/{fall.id}" in crests]
    if falls:
        blocks.append(heading("Spill stones, from the foot up", pt=DAY_PT + 1.0))
        text = "Shoot both ends of every crest, after it is bedded and again when the stones round it are in."
        blocks.append(words(run(text, pt=DAY_PT)))
        blocks.append(_stones(judged, falls, crests, day))
    else:
        blocks.append(words(run("No spill stones: none was worked out.", pt=DAY_PT)))
    beds = [row for row in rows if row.surface is Surface.BED]
    if beds:
        blocks += [heading("Gravel up to", pt=DAY_PT + 1.0), _gravel(beds, day, say)]
    return Sheet(question=QUESTION, paper=READING[say.system], blocks=tuple(blocks))


def _stones(judged: Judged, falls: Sequence[Fall], crests: dict[str, ToGo], day: SiteDay | None) -> Block:
    assessment, say = judged.assessment, Say(judged.assessment.feature.system)
    stones = () if isinstance(assessment.stone, NotRun) else assessment.stone.spill_stones
    lifts = {} if isinstance(assessment.build, NotRun) else {one.path: one for one in assessment.build.lifts}
    rows: list[list[Words]] = []
    for fall in falls:
        row = crests[f"falls/{fall.id}"]
        told: list[object] = [run(breakable(row.stake.text), pt=DAY_PT, weight="semibold")]
        told += _stone(fall, [one for one in stones if one.fall == fall.id], lifts.get(f"falls/{fall.id}"), say)
        level = [run("end to end level", pt=DAY_PT), run(f"within {say.one(row.tolerance_m, 'm')}", pt=DAY_PT)]
        ends = [run(f"{BOX} left  {BOX} right", pt=DAY_PT), *level]
        rows.append(
            [
                run(breakable(row.stake.id), pt=13.0, weight="semibold"),
                told,
                reading(row, day, say),
                _met(row, say, ends),
            ]
        )
    columns = [
        column("stake", 14.0),
        column("stone", -1.0),
        column("rod must read" if day else "level; rod", 34.0, align="right"),
        column("set", 34.0, align="right"),
    ]
    return table(columns, rows, pt=DAY_PT, pad=2.0)


def _met(row: ToGo, say: Say, ends: list[dict[str, object]]) -> Words:
    found = left(row, say) if row.met is not None else []
    return [*found, *ends] if isinstance(found, list) else ends


def _stone(fall: Fall, stones: Sequence[SpillStone], lift: Lift | None, say: Say) -> list[object]:
    lines = []
    for i, stone in enumerate(stones):
        if len(stones) > 1:
            above = f"its top {say.one(stone.above_m, 'm')} over the crest" if stone.above_m > 0.0 else "at the crest"
            lines.append(f"stone {i + 1} of {len(stones)} from the left, looking downstream: {above}")
        size = f"{say.one(stone.across_m, 'm')} across, {say.one(stone.along_m, 'm')} along the flow"
        thick = say.span(stone.thick_low_m, stone.thick_high_m, "m")
        mass = say.span(stone.mass_low_kg, stone.mass_high_kg, "kg")
        slab = f", a flat slab up to {say.one(stone.heaviest_kg, 'kg')}"
        by = ""
        if lift is not None:
            by = f"; {lift.machine or 'the crew by hand'} lifts {say.one(lift.allowed_kg, 'kg')}"
        lines += [
            f"{size}, {thick} thick; {say.one(fall.stone_m, 'm')} at the lip as drawn",
            f"weighs {mass}{slab}{by}",
        ]
    lines.append(f"crest {say.one(fall.crest_width_m, 'm')} wide, {fall.kind.value} fall")
    lines.append(
        "felt under it; sealed under it and at both sides" if fall.sealed else "felt under it; not sealed, as planned"
    )
    return [run(breakable(line), pt=DAY_PT) for line in lines]


def _gravel(rows: Sequence[ToGo], day: SiteDay | None, say: Say) -> Block:
    columns = [
        column("stake", 14.0),
        column("where", -1.0),
        column("rod must read" if day else "level; rod", 40.0, align="right"),
        column("to go", 40.0, align="right"),
    ]
    told: list[list[Words]] = [
        [
            run(breakable(row.stake.id), pt=13.0, weight="semibold"),
            place(row.stake, say),
            reading(row, day, say),
            left(row, say),
        ]
        for row in rows
    ]
    return table(columns, told, pt=DAY_PT, pad=1.8)
