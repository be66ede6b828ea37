"""What every drawing is handed, and how: an assessment, judged or not, room on paper, and a hand."""

from __future__ import annotations

from typing import TypeVar

from msgspec import Struct

from rillwright.assessment import Assessment, Judged, NotRun
from rillwright.drawings.display import Drawing
from rillwright.drawings.palette import PAPER_CAP_MM

Branch = TypeVar("Branch")


class DrawingStyle(Struct, frozen=True, kw_only=True):
    """The hand of one drawing: height of capitals [mm], heights drawn `exaggeration` times [-], grid, bar, stairs.

    Without `still` it is for water that is moved: that, and levels of it, are left out.
    """

    cap_mm: float = PAPER_CAP_MM
    exaggeration: float = 1.0
    grid: bool = True
    bar: bool = True
    stairs: bool = True
    still: bool = True


PLAIN = DrawingStyle()


def assessment_of(source: Judged | Assessment) -> Assessment:
    """The assessment, whether judged or not."""
    return source.assessment if isinstance(source, Judged) else source


def branch(value: Branch | NotRun) -> Branch | None:
    """A branch if it was computed."""
    return None if isinstance(value, NotRun) else value


def nothing(name: str, frame_mm: tuple[float, float], reason: str, *, style: DrawingStyle = PLAIN) -> Drawing:
    """A sheet that says why there is nothing to draw, in as many lines as the words need."""
    from rillwright.drawings.display import Text
    from rillwright.drawings.measure import width_mm

    width, height = frame_mm
    lines: list[str] = []
    for word in f"Not drawn: {reason}".split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, style.cap_mm) <= width - 4.0:
            lines[-1] = longer
        else:
            lines.append(word)
    step = 2.0 * style.cap_mm
    items = tuple(
        Text(x=2.0, y=2.0 + step * index, text=line, size_mm=style.cap_mm)
        for index, line in enumerate(lines, start=1)
        if 2.0 + step * index < height
    )
    return Drawing(name=name, alt=f"{name}: not drawn, {reason}", width_mm=width, height_mm=height, items=items)
