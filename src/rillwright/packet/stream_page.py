"""How deep the water runs: the depth along each stream, and the water station by station."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.assessment import Feature, Judged, NotRun, ReachWater, Stream, StreamProfile
from rillwright.drawings import SHOOTING, draw_depths
from rillwright.packet.blocks import Words, column, picture, run, table, title, words
from rillwright.packet.crest_rows import beyond, speed_words
from rillwright.packet.flows import flow_of
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.say import Say, breakable
from rillwright.packet.water_rows import plain
from rillwright.units import Band

QUESTION = "How deep the water runs"
_DEPTHS_MM = 66.0


def stream_sheets(judged: Judged) -> Iterator[Sheet]:
    """One sheet a stream in which water runs over the bed."""
    assessment = judged.assessment
    if isinstance(assessment.water, NotRun):
        return
    paper = READING[assessment.feature.system]
    for stream in assessment.feature.streams:
        wet = [found for reach in stream.reaches if (found := assessment.water.wet(reach.id)) is not None]
        if not any(each.profile for each in wet):
            continue
        question = question_of(assessment.feature, stream)
        drawing = draw_depths(judged, frame_mm=(paper.room[0], _DEPTHS_MM), stream=stream.id)
        blocks = (
            title(question),
            picture(drawing),
            *_lines(flow_of(assessment, stream), drawing.notes),
            _table(wet, Say(assessment.feature.system)),
        )
        said = [words(plain(note), above=3.0) for note in beyond(wet)]
        yield Sheet(question=question, paper=paper, blocks=(*blocks, *said))


def questions(judged: Judged) -> list[str]:
    """What stands on those sheets."""
    return [sheet.question for sheet in stream_sheets(judged)]


def question_of(feature: Feature, stream: Stream) -> str:
    """What stands on the sheet of one stream."""
    return QUESTION if len(feature.streams) == 1 else f"{QUESTION}: stream {stream.id}"


def _lines(flow: str, notes: Sequence[str]) -> list[Block]:
    """At which flow it runs, in plain letters; how to read the drawing, in slanted ones."""
    told = [words(run(f"Running {flow}.", weight="semibold"), above=0.0, below=1.0)] if flow else []
    said = "; ".join(("dark band: from the lowest to the highest that the surface may run", *notes))
    return [*told, words(run(f"{said[:1].upper()}{said[1:]}.", style="italic"), above=0.0, below=2.5)]


def _table(wet: Sequence[ReachWater], say: Say) -> Block:
    """The head of energy has a column of its own only where it is not that of the water as levels are read."""
    profiles = [(each, each.profile) for each in wet if each.profile is not None]
    energy = any(
        say.level(head) != say.level(water.value)
        for _, profile in profiles
        for head, water in zip(profile.energies_m, profile.levels_m, strict=True)
    )
    rows = [row for each, profile in profiles for row in _rows(each, profile, say, energy=energy)]
    heads = ["bed", "station", "its level", "water", "depth", "speed", "Froude", "energy", "in the gravel"]
    widths = [-0.7, -0.8, -0.85, -0.85, -1.35, -1.5, -0.65, -0.85, -0.75]
    columns = [
        column(head, width, align="right" if i else "left")
        for i, (head, width) in enumerate(zip(heads, widths, strict=True))
        if energy or head != "energy"
    ]
    return table(columns, rows, pad=0.7)


def _rows(wet: ReachWater, profile: StreamProfile, say: Say, *, energy: bool) -> Iterator[list[Words]]:
    """Its upper end, its middle, its lower end, and where the water is fastest."""
    last = len(profile.stations_m) - 1
    fastest = max(range(last + 1), key=lambda n: profile.froudes[n])
    for index, n in enumerate(sorted({0, last // 2, last, fastest})):
        shoots = profile.froudes[n] >= SHOOTING
        yield [
            run(breakable(wet.reach) if index == 0 else "", weight="semibold"),
            say.one(profile.stations_m[n], "m"),
            say.level(profile.beds_m[n]),
            say.level(profile.levels_m[n].value),
            _band(profile.depths_m[n], "m", say),
            speed_words(profile.speeds_ms[n], say),
            run(f"{profile.froudes[n]:.2g}", weight="semibold" if shoots else "regular"),
            *([say.level(profile.energies_m[n])] if energy else []),
            say.one(profile.hidden[n], "-", kind="share"),
        ]


def _band(band: Band, unit: str, say: Say) -> str:
    return say.span(band.low, band.high, unit)
