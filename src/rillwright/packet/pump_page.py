"""What the pump gives: curves, cases, what comes out of each outlet, other pipes and other pumps."""

from __future__ import annotations

from collections.abc import Sequence

from rillwright.assessment import Judged, NotRun, PumpPoint, Water
from rillwright.drawings import draw_pump
from rillwright.packet.blocks import Words, beside, column, facts, heading, picture, run, table, title, whole, words
from rillwright.packet.paper import READING, Block, Sheet
from rillwright.packet.pump_rows import (
    CASES_OVER,
    OUTLETS_OVER,
    SIZES_OVER,
    TRIED_OVER,
    cases_table,
    outlets_table,
    pump_facts,
    settings_said,
    sizes_table,
    tried_table,
)
from rillwright.packet.say import Say
from rillwright.packet.water_rows import WaterTable, plain

QUESTION = "What the pump gives"
_PUMP_MM, _ASIDE_MM = 74.0, 66.0  # height of a drawing across the page, and with what is told beside it
_ASIDE_SHARE = 0.6  # of the page's width, for a drawing with what is told beside it


def pumps(judged: Judged, *, close: bool = False) -> Sheet | None:
    """Pump curves, and what each pipe run asks for, told beside its drawing if `close`; None without a run."""
    water = judged.assessment.water
    system = judged.assessment.feature.system
    paper = READING[system]
    if isinstance(water, NotRun) or not water.circuit.pumps:
        return None
    say = Say(system)
    blocks: list[Block] = [title(QUESTION)]
    for point in water.circuit.pumps:
        told = [(label, plain(value), plain(note)) for label, value, note in pump_facts(point, say)]
        half = (len(told) + 1) // 2
        if close:
            wide = _ASIDE_SHARE * paper.room[0]
            drawing = draw_pump(judged, frame_mm=(wide, _ASIDE_MM), run=point.run)
            body = [beside((wide, -1.0), ((picture(drawing),), (facts(told, label=21.0, gap=1.0),)))]
        else:
            drawing = draw_pump(judged, frame_mm=(paper.room[0], _PUMP_MM), run=point.run)
            sides = ((facts(told[:half], label=30.0),), (facts(told[half:], label=30.0),))
            body = [picture(drawing), beside((-1.0, -1.0), sides)]
        blocks.append(whole([heading(f"Pipe run {point.run}", above=1.0), *body]))
        blocks += _tables(point, water, say)
    return Sheet(question=QUESTION, paper=paper, blocks=tuple(blocks))


def _tables(point: PumpPoint, water: Water, say: Say) -> list[Block]:
    """Two beside each other as far as there are any, so that none runs across the page for three short columns."""
    blocks: list[Block] = []
    outlets = outlets_table(point, water, say)
    if outlets is not None:
        listed = _table(outlets, (-0.9, -0.7, -1.1, -0.5, -1.1, -2.6, -1.1), words_in=-2)
        blocks.append(whole([_head(OUTLETS_OVER), listed, *_settings(point, say)]))
    small = [
        [_head(words_over), _table(found, widths[: len(found.heads)])]
        for words_over, found, widths in (
            (CASES_OVER, cases_table(point, say), (-1.1, -1.25, -0.9, -1.0)),
            (SIZES_OVER, sizes_table(point, say), (-2.2, -1.05, -1.0, -1.1, -0.8)),
        )
        if found is not None
    ]
    if small:
        blocks.append(whole([beside((-1.0,) * len(small), small)], above=3.0))
    tried = tried_table(point, say)
    if tried is not None:
        blocks.append(whole([_head(TRIED_OVER), _table(tried, (-1.3, -1.0, -0.8, -1.2, -0.9, -1.0))], above=3.0))
    return blocks


def _head(text: str) -> Block:
    return words(run(text, weight="semibold", pt=10.0), above=1.0, below=1.0, sticky=True)


def _table(found: WaterTable, widths: Sequence[float], *, words_in: int | None = None) -> Block:
    """Rows under their heads; numbers to the right, but for the first column and the one that holds words."""
    columns = [
        column(head, width, align="right" if i else "left")
        for i, (head, width) in enumerate(zip(found.heads, widths, strict=True))
    ]
    if words_in is not None:
        columns[words_in]["align"] = "left"
    rows: list[list[Words]] = [
        [run(plain(first), weight="semibold") if row.main else plain(first), *map(plain, others)]
        for row in found.rows
        for first, *others in (row.cells,)
    ]
    return table(columns, rows, pad=0.9)


def _settings(point: PumpPoint, say: Say) -> list[Block]:
    """What the settings come to, where the outlets cannot have all that is wanted or it lies outside a range."""
    notes = [plain(note) for note in settings_said(point, say)]
    return [words(" ".join(notes), above=1.0, below=1.0)] if notes else []
