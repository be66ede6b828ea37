"""One drawing of a judged job as SVG for a screen, in its light or dark colours."""

from __future__ import annotations

import re
from typing import Literal

from rillwright.assessment import Judged
from rillwright.errors import InputError, Problem

DrawingName = Literal["plan", "long-section", "staircase"]
Theme = Literal["light", "dark"]

_FAMILY = "'Rillwright Sans', sans-serif"  # the screens' own cut of the drawings' font
_STYLE = re.compile(r' style="font-variation-settings:[^"]*"')  # no inline style: screens refuse it
_FRAMES_MM = {"plan": (200.0, 150.0), "long-section": (300.0, 150.0), "staircase": (95.0, 60.0)}


def drawing_svg(judged: Judged, name: DrawingName, *, theme: Theme = "light", stream: str | None = None) -> str:
    """The plan, the long section or the staircase as the text of an SVG; its groups bear the paths of elements.

    Raises
    ------
    InputError
        If there is no such stream, or nothing can be drawn.
    """
    from rillwright.drawings import DARK, LIGHT, draw_long_section, draw_plan, draw_staircase, write_svg

    known = [each.id for each in judged.assessment.feature.streams]
    if stream is not None and stream not in known:
        raise InputError(Problem(message="there is no such stream", found=stream[:60], allowed=", ".join(known)))
    frame = _FRAMES_MM[name]
    if name == "plan":
        drawing = draw_plan(judged, frame_mm=frame)
    elif name == "long-section":
        drawing = draw_long_section(judged, frame_mm=frame, stream=stream)
    else:
        drawing = draw_staircase(judged, frame_mm=frame, stream=stream)
    written = _STYLE.sub("", write_svg(drawing, colours=DARK if theme == "dark" else LIGHT, background=True))
    return re.sub(r'font-family="[^"]*"', f'font-family="{_FAMILY}"', written, count=1)
