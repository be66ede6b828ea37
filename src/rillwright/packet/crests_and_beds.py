"""Every crest and every bed of a stream in two small tables, for the sheet of its long section."""

from __future__ import annotations

from rillwright.assessment import Assessment, NotRun, Stream
from rillwright.drawings import Drawing
from rillwright.packet.blocks import Words, beside, column, picture, run, table, words
from rillwright.packet.crest_rows import CRESTS, crest_table
from rillwright.packet.flows import flow_of
from rillwright.packet.paper import Block
from rillwright.packet.say import Say, breakable
from rillwright.packet.water_rows import plain

_DOWN = -2.2  # width of the column that says how water comes down, against one


def crests_and_beds(assessment: Assessment, stream: Stream, stairs: Drawing | None = None) -> list[Block]:
    """Crests with the water on them and the height that is seen, beside beds with pitch, gravel and water.

    Before them the staircase of the height, where it has no room beside the section.
    """
    flow = flow_of(assessment, stream)
    crests = (_head(f"Crests, {flow}" if flow else "Crests"), *_crests(assessment, stream))
    beds = (_head("Beds"), _beds(assessment, stream))
    if stairs is None:
        return [beside((-1.5, -1.0), (crests, beds))]
    return [beside((stairs.width_mm, -1.5, -1.0), ((picture(stairs),), crests, beds))]


def _head(text: str) -> Block:
    return words(run(text, weight="semibold", pt=10.0), above=2.0, below=1.0, sticky=True)


def _crests(assessment: Assessment, stream: Stream) -> list[Block]:
    found = crest_table(assessment, stream)
    rows: list[list[Words]] = [
        [run(plain(first), weight="semibold") if row.main else plain(first), *map(plain, others)]
        for row in found.rows
        for first, *others in (row.cells,)
    ]
    columns = [
        column(head, _DOWN if head == CRESTS[-1] else -1.0, align="right" if 1 < i < len(CRESTS) - 1 else "left")
        for i, head in enumerate(CRESTS)
    ]
    notes = [words(run(plain(note), style="italic"), above=1.0, below=0.0) for note in found.notes]
    return [table(columns, rows, pad=0.9), *notes]


def _beds(assessment: Assessment, stream: Stream) -> Block:
    say = Say(assessment.feature.system)
    wet = {} if isinstance(assessment.water, NotRun) else {one.reach: one for one in assessment.water.reaches}
    rows: list[list[Words]] = []
    for reach in stream.reaches:
        water = wet.get(reach.id)
        rows.append(
            [
                run(breakable(reach.id), weight="semibold"),
                say.one(reach.length_m, "m"),
                say.one(reach.pitch_m, "m"),
                say.one(reach.width_m, "m"),
                say.one(reach.gravel_m, "m"),
                "–" if water is None else say.band(water.depth_m, "m"),
            ]
        )
    heads = ("bed", "long", "falls by", "wide", "gravel", "water, running")
    return table([column(head, -1.0, align="right" if i else "left") for i, head in enumerate(heads)], rows, pad=0.9)
