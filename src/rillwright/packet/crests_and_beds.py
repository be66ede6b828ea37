"""Every crest and every bed of a stream in two small tables, for the sheet of its long section."""

from __future__ import annotations

from rillwright.assessment import Assessment, CrestWater, NotRun, Stream
from rillwright.drawings import Drawing
from rillwright.packet.blocks import Words, beside, column, picture, run, table, words
from rillwright.packet.paper import Block
from rillwright.packet.say import Say, breakable


def crests_and_beds(assessment: Assessment, stream: Stream, stairs: Drawing | None = None) -> list[Block]:
    """Crests with the water on them and the height that is seen, beside beds with pitch, gravel and water.

    Before them the staircase of the height, where it has no room beside the section.
    """
    crests, beds = (_head("Crests"), _crests(assessment, stream)), (_head("Beds"), _beds(assessment, stream))
    if stairs is None:
        return [beside((-1.15, -1.0), (crests, beds))]
    return [beside((stairs.width_mm, -1.15, -1.0), ((picture(stairs),), crests, beds))]


def _head(text: str) -> Block:
    return words(run(text, weight="semibold", pt=10.0), above=2.0, below=1.0, sticky=True)


def _crests(assessment: Assessment, stream: Stream) -> Block:
    say = Say(assessment.feature.system)
    wet = {} if isinstance(assessment.water, NotRun) else {one.fall: one for one in assessment.water.crests}
    rows: list[list[Words]] = []
    for fall in stream.falls:
        water = wet.get(fall.id)
        rows.append(
            [
                run(breakable(fall.id), weight="semibold"),
                "ripple" if fall.wished_ripple else fall.kind.value,
                say.one(fall.drop_m, "m"),
                say.level(fall.crest.m),
                say.one(fall.crest_width_m, "m"),
                "–" if water is None else say.one(water.depth_m.value, "m"),
                "–" if water is None else say.one(water.fall_height_m.value, "m"),
                "–" if water is None else _face(water, say),
            ]
        )
        rows += [] if water is None else _stones(water, say)
    heads = ("crest", "kind", "drop", "stone top", "wide", "water on it", "seen over the water", "comes down")
    return table(
        [column(head, -1.0, align="right" if i > 1 else "left") for i, head in enumerate(heads)], rows, pad=0.9
    )


def _face(water: CrestWater, say: Say) -> str:
    """How the water comes down: how far a sheet lands, how round a stack wants its lips, how fast a slide lets it go."""
    if water.throw_m is not None:
        return f"{say.one(water.throw_m.high, 'm')} out"
    if water.cling_radius_m is not None:
        return f"round {say.one(water.cling_radius_m.high, 'm')} lips"
    if water.foot_speed_ms is not None:
        return f"{say.one(water.foot_speed_ms.value, 'm/s')} at its foot"
    return "–"


def _stones(water: CrestWater, say: Say) -> list[list[Words]]:
    """Of several stones each in a row of its own: how far over the crest, how wide, the water on it, its share."""
    return [
        [
            "",
            f"stone {i}",
            "",
            f"+ {say.one(stone.above_m, 'm')}" if stone.above_m > 0.0 else "",
            say.one(stone.width_m, "m"),
            say.one(stone.depth_m.value, "m") if stone.depth_m.value > 0.0 else "dry",
            f"{stone.share.value:.0%} of it",
            "",
        ]
        for i, stone in enumerate(water.stones, start=1)
    ]


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
                "–" if water is None else say.one(water.depth_m.value, "m"),
            ]
        )
    heads = ("bed", "long", "falls by", "wide", "gravel", "water, running")
    return table([column(head, -1.0, align="right" if i else "left") for i, head in enumerate(heads)], rows, pad=0.9)
