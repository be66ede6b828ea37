"""What the water does, for a screen: pump and valves in words, every crest and every bed, each number with its name."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from rillwright.assessment import Assessment, Judged, NotRun, PumpPoint, Stream, Water
from rillwright.feature import named_in
from rillwright.packet import (
    CASES_OVER,
    OUTLETS_OVER,
    SIZES_OVER,
    THIN,
    TRIED_OVER,
    Cell,
    Say,
    WaterTable,
    bed_table,
    cases_table,
    crest_table,
    outlets_table,
    pump_facts,
    pump_said,
    sizes_table,
    stream_said,
    thin_notes,
    tried_table,
    unbroken,
)


class Words(Struct, frozen=True, kw_only=True):
    """A text, and where in it which number stands: from the letter, up to the letter, its name."""

    text: str
    numbers: tuple[tuple[int, int, str], ...] = ()


class FactTold(Struct, frozen=True, kw_only=True):
    """What a pipe run comes to: label, value, what is to be said of it."""

    label: str
    value: Words
    note: Words


class RowTold(Struct, frozen=True, kw_only=True):
    """The element that a row is of, "" for a part of the row above it, and its cells under the heads."""

    path: str
    main: bool
    cells: tuple[Words, ...]


class TableTold(Struct, frozen=True, kw_only=True):
    """A table with what stands over it and what is to be said of all its rows."""

    over: str
    heads: tuple[str, ...]
    rows: tuple[RowTold, ...]
    notes: tuple[Words, ...] = ()


class RunTold(Struct, frozen=True, kw_only=True):
    """One pipe run: sentences of where it works and which valve to turn, all of it as facts, and its tables."""

    id: str
    path: str
    called: str
    said: tuple[Words, ...]
    facts: tuple[FactTold, ...]
    tables: tuple[TableTold, ...]


class StreamTold(Struct, frozen=True, kw_only=True):
    """One stream: sentences of its flow and how it reads, its crests and its beds."""

    id: str
    path: str
    called: str
    said: tuple[Words, ...]
    crests: TableTold
    beds: TableTold


class WaterTold(Struct, frozen=True, kw_only=True):
    """All pipe runs and all streams; or the reason why nothing is known of the water."""

    runs: tuple[RunTold, ...] = ()
    streams: tuple[StreamTold, ...] = ()
    reason: str = ""


def water_told(judged: Judged) -> WaterTold:
    """What the water of a job does, steadily, with its valves as they are."""
    assessment = judged.assessment
    water = assessment.water
    if isinstance(water, NotRun):
        return WaterTold(reason=water.reason)
    return WaterTold(
        runs=tuple(_run(assessment, point, water) for point in water.circuit.pumps),
        streams=tuple(_stream(assessment, stream) for stream in assessment.feature.streams),
    )


def _run(assessment: Assessment, point: PumpPoint, water: Water) -> RunTold:
    say, path = Say(assessment.feature.system), f"runs/{point.run}"
    tables = (
        (OUTLETS_OVER, outlets_table(point, water, say)),
        (CASES_OVER, cases_table(point, say)),
        (SIZES_OVER, sizes_table(point, say)),
        (TRIED_OVER, tried_table(point, say)),
    )
    return RunTold(
        id=point.run,
        path=path,
        called=named_in(assessment.feature, path),
        said=_all(pump_said(point, water, say)),
        facts=tuple(
            FactTold(label=label, value=_words(value), note=_words(note))
            for label, value, note in pump_facts(point, say)
        ),
        tables=tuple(_table(over, found) for over, found in tables if found is not None),
    )


def _stream(assessment: Assessment, stream: Stream) -> StreamTold:
    path = f"streams/{stream.id}"
    return StreamTold(
        id=stream.id,
        path=path,
        called=named_in(assessment.feature, path),
        said=_all(stream_said(assessment, stream)),
        crests=_table("Crests", crest_table(assessment, stream), also=thin_notes(assessment, stream)),
        beds=_table("Beds", bed_table(assessment, stream)),
    )


def _table(over: str, found: WaterTable, *, also: Sequence[Cell] = ()) -> TableTold:
    rows = (RowTold(path=row.path, main=row.main, cells=_all(row.cells)) for row in found.rows)
    return TableTold(over=over, heads=found.heads, rows=tuple(rows), notes=_all((*found.notes, *also)))


def _all(cells: Iterable[Cell]) -> tuple[Words, ...]:
    return tuple(_words(one) for one in cells)


def _words(cell: Cell) -> Words:
    """A cell as one text: no word of it is parted where paper would part it, no number from its unit."""
    text, numbers = "", []
    for piece in cell:
        start, text = len(text), text + unbroken(piece.words.replace(THIN, ""))
        if piece.of:
            numbers.append((start, len(text), piece.of))
    return Words(text=text, numbers=tuple(numbers))
