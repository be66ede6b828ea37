"""How deep the water runs: the depth along each stream, and the water station by station."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rillwright.assessment import Feature, Judged, NotRun, ReachWater, Stream, StreamProfile
from rillwright.drawings import SHOOTING, draw_depths
from rillwright.packet.blocks import Words, column, picture, run, table, title, words
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.say import Say, breakable
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
            *_lines(drawing.notes),
            _table(wet, Say(assessment.feature.system)),
        )
        yield Sheet(question=question, paper=paper, blocks=(*blocks, *_beyond(wet)))


def questions(judged: Judged) -> list[str]:
    """What stands on those sheets."""
    return [sheet.question for sheet in stream_sheets(judged)]


def question_of(feature: Feature, stream: Stream) -> str:
    """What stands on the sheet of one stream."""
    return QUESTION if len(feature.streams) == 1 else f"{QUESTION}: stream {stream.id}"


def _lines(notes: Sequence[str]) -> list[Block]:
    said = "; ".join(("dark: where the surface may be as well", *notes))
    return [words(run(f"{said[:1].upper()}{said[1:]}.", style="italic"), above=0.0, below=2.5)]


def _table(wet: Sequence[ReachWater], say: Say) -> Block:
    rows = [row for each in wet if each.profile is not None for row in _rows(each, each.profile, say)]
    heads = ("bed", "station", "its level", "water", "depth", "speed", "Froude", "energy", "in the gravel")
    widths = (-0.7, -0.8, -0.85, -0.85, -1.35, -1.5, -0.65, -0.85, -0.75)
    columns = [
        column(head, width, align="right" if i else "left")
        for i, (head, width) in enumerate(zip(heads, widths, strict=True))
    ]
    return table(columns, rows, pad=0.7)


def _rows(wet: ReachWater, profile: StreamProfile, say: Say) -> Iterator[list[Words]]:
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
            _band(profile.speeds_ms[n], "m/s", say),
            run(f"{profile.froudes[n]:.2g}", weight="semibold" if shoots else "regular"),
            say.level(profile.energies_m[n]),
            say.one(profile.hidden[n], "-", kind="share"),
        ]


def _band(band: Band, unit: str, say: Say) -> str:
    return say.span(band.low, band.high, unit)


def _beyond(wet: Sequence[ReachWater]) -> list[Block]:
    """Where a law was used outside what it was measured on; each note once, with its beds."""
    notes: dict[str, list[str]] = {}
    for each in wet:
        if each.profile is not None and each.profile.out_of_range:
            notes.setdefault(each.profile.out_of_range, []).append(each.reach)
    if not notes:
        return []
    said = [f"{', '.join(beds)}: {note}" for note, beds in notes.items()]
    return [words(f"Outside the data of the laws, so that the bands are wider: {'; '.join(said)}.", above=3.0)]
