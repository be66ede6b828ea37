"""The drawings on paper: plan, and long section of each stream."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import partial

from msgspec.structs import replace

from rillwright.assessment import Feature, Judged
from rillwright.drawings import Drawing, DrawingStyle, draw_long_section, draw_plan, draw_staircase
from rillwright.errors import InputError
from rillwright.packet.blocks import beside, heading, picture, words
from rillwright.packet.crests_and_beds import crests_and_beds
from rillwright.packet.paper import DRAWING, Block, Paper, Sheet
from rillwright.packet.pdf import page_count
from rillwright.packet.say import breakable
from rillwright.packet.trimming import trimmed

PLAN = "What lies where"
SECTION = "Where the water stands"
_STAIRS_MM = (140.0, 46.0)
_SHARES = (0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.75)  # of the sheet's height
_HAND = DrawingStyle(bar=False)  # the bar stands in the strip
_BLANK = {"feature": "", "levels": "", "checked": "", "said": ""}


def plan(judged: Judged) -> Sheet:
    """The plan to scale, on the sheet laid across or upright, whichever shows it larger."""
    across = DRAWING[judged.assessment.feature.system]
    upright = Paper(across.height, across.width)
    sheets = [
        _sheet(PLAN, paper, lambda frame: draw_plan(judged, frame_mm=frame, style=_HAND)) for paper in (across, upright)
    ]
    return min(sheets, key=lambda sheet: sheet.one_to or math.inf)


def sections(judged: Judged) -> Iterator[Sheet]:
    """The long section of each stream."""
    feature = judged.assessment.feature
    for stream, question in zip(feature.streams, section_questions(feature), strict=True):

        def drawn(frame: tuple[float, float], id: str = stream.id, style: DrawingStyle = _HAND) -> Drawing:
            return draw_long_section(judged, frame_mm=frame, stream=id, style=style)

        paper = DRAWING[feature.system]
        usual = _sheet(question, paper, drawn, crests_and_beds(judged.assessment, stream))
        alone = partial(drawn, style=replace(_HAND, stairs=False))
        stairs = trimmed(draw_staircase(judged, frame_mm=_STAIRS_MM, stream=stream.id))
        parted = _sheet(question, paper, alone, crests_and_beds(judged.assessment, stream, stairs))
        larger = (parted.one_to or math.inf) < (usual.one_to or math.inf)
        yield (
            parted if larger and len(parted.blocks) > 1 and page_count([parted], title="", strip=_BLANK) == 1 else usual
        )


def section_questions(feature: Feature) -> list[str]:
    """What stands on the sheet of each stream's long section."""
    if len(feature.streams) == 1:
        return [SECTION]
    return [f"{SECTION}: stream {stream.id}" for stream in feature.streams]


def _sheet(
    question: str, paper: Paper, draw: Callable[[tuple[float, float]], Drawing], below: Sequence[Block] = ()
) -> Sheet:
    """A drawing as large as the sheet lets it be; what stands `below` only where it needs no smaller scale for that."""
    width, height = paper.room
    try:
        drawing = draw((width, height - 1.0))
        if below:
            drawing, below = _lower(draw, drawing, below, paper)
        if drawing.key and not below:
            drawing = draw((width, height - 1.0 - _key_mm(drawing)))
    except InputError as error:
        return Sheet(question=question, paper=paper, blocks=(words(f"Not drawn: {error}"),))
    blocks: list[Block] = [picture(drawing)]
    if drawing.key:
        lines = [words(f"{number}  {breakable(text)}", above=0.5, below=0.5) for number, text in drawing.key]
        blocks += [heading("Numbers on the drawing", above=1.0), beside((-1.0,) * 4, [lines[i::4] for i in range(4)])]
    return Sheet(
        question=question, paper=paper, blocks=(*blocks, *below), scale=drawing.scale_text, one_to=drawing.scale
    )


def _lower(
    draw: Callable[[tuple[float, float]], Drawing], most: Drawing, below: Sequence[Block], paper: Paper
) -> tuple[Drawing, Sequence[Block]]:
    """The lowest drawing that shows as much at the same scale, if the sheet then has room for what stands below."""
    width, height = paper.room
    for share in _SHARES:
        try:
            drawing = draw((width, share * height))
        except InputError:
            continue
        if (drawing.scale, drawing.notes) != (most.scale, most.notes) or len(drawing.key) > len(most.key):
            continue
        room = Paper(paper.width, paper.height - (_key_mm(drawing) if drawing.key else 0.0))
        sheet = Sheet(question="", paper=room, blocks=(picture(drawing), *below))
        return (drawing, below) if page_count([sheet], title="", strip=_BLANK) == 1 else (most, ())
    return most, ()


def _key_mm(drawing: Drawing) -> float:
    """Height of the key below a drawing [mm]."""
    return 12.0 + 5.0 * -(-len(drawing.key) // 4)
