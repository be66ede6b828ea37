"""Every crest and every bed of a stream in two small tables, for the sheet of its long section."""

from __future__ import annotations

from collections.abc import Iterator

from rillwright.assessment import Assessment, CrestWater, NotRun, Stream
from rillwright.drawings import Drawing
from rillwright.packet.blocks import Words, beside, column, picture, run, table, words
from rillwright.packet.flows import flow_of
from rillwright.packet.paper import Block
from rillwright.packet.say import Say, breakable

_FREE = 0.995  # of the flow over a crest that nothing stands against: nearer one nobody can tell [-]
_DOWN = -2.2  # width of the column that says how water comes down, against one


def crests_and_beds(assessment: Assessment, stream: Stream, stairs: Drawing | None = None) -> list[Block]:
    """Crests with the water on them and the height that is seen, beside beds with pitch, gravel and water.

    Before them the staircase of the height, where it has no room beside the section.
    """
    flow = flow_of(assessment, stream)
    crests = (_head(f"Crests, {flow}" if flow else "Crests"), _crests(assessment, stream), *_beyond(assessment, stream))
    beds = (_head("Beds"), _beds(assessment, stream))
    if stairs is None:
        return [beside((-1.5, -1.0), (crests, beds))]
    return [beside((stairs.width_mm, -1.5, -1.0), ((picture(stairs),), crests, beds))]


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
        [
            column(head, _DOWN if head == heads[-1] else -1.0, align="right" if 1 < i < len(heads) - 1 else "left")
            for i, head in enumerate(heads)
        ],
        rows,
        pad=0.9,
    )


def _beyond(assessment: Assessment, stream: Stream) -> list[Block]:
    """The crests whose water lies outside what was ever measured, each note once."""
    if isinstance(assessment.water, NotRun):
        return []
    here = {fall.id for fall in stream.falls}
    notes: dict[str, list[str]] = {}
    for water in assessment.water.crests:
        if water.fall in here and water.range_note:
            notes.setdefault(water.range_note, []).append(breakable(water.fall))
    said = "; ".join(f"{note} ({', '.join(falls)})" for note, falls in notes.items())
    return [words(run(f"Outside what was measured: {said}.", style="italic"), above=1.0, below=0.0)] if said else []


def _face(water: CrestWater, say: Say) -> str:
    """How the water comes down, and what takes from it: drowned, dry at one end, under the stone."""
    return "; ".join([_way(water, say), *_losses(water, say)])


def _way(water: CrestWater, say: Say) -> str:
    """How far a sheet lands, how round a stack wants its lips, how fast a slide lets it go."""
    if water.throw_m is not None:
        low = water.throw_low_m.low if water.throw_low_m is not None else water.throw_m.low
        speed = "" if water.impact_ms is None else f" at {say.one(water.impact_ms, 'm/s')}"
        return f"lands {say.span(low, water.throw_m.high, 'm')} out{speed}"
    if water.cling_radius_m is not None:
        tread = "" if water.tread_m is None else f", sharp ones {say.one(water.tread_m.high, 'm')} treads"
        return f"clings to {say.one(water.cling_radius_m.high, 'm')} round lips{tread}"
    if water.foot_speed_ms is not None:
        depth = "" if water.foot_depth_m is None else f", {say.one(water.foot_depth_m.value, 'm')} deep"
        return f"{say.one(water.foot_speed_ms.value, 'm/s')} at its foot{depth}"
    return "–"


def _losses(water: CrestWater, say: Say) -> Iterator[str]:
    if water.drowned < _FREE:
        yield f"drowned from below, {say.one(1.0 - water.drowned, '-', kind='share')} less than free"
    if water.dry_share > 0.0:
        yield f"{say.one(water.dry_share, '-', kind='share')} of the stone runs dry"
    if water.under is not None and water.under.high > 0.0:
        yield f"{say.span(water.under.low, water.under.high, '-', kind='share')} goes under the stone"


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
