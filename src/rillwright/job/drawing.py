"""One drawing of a judged job as SVG for a screen, in its light or dark colours."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal

from rillwright.assessment import Judged
from rillwright.errors import InputError, Problem

if TYPE_CHECKING:
    from rillwright.drawings import Drawing

DrawingName = Literal["plan", "long-section", "staircase", "rims", "spills", "pump", "depths"]
Theme = Literal["light", "dark"]

_FAMILY = "'Rillwright Sans', sans-serif"  # the screens' own cut of the drawings' font
_STYLE = re.compile(r' style="font-variation-settings:[^"]*"')  # no inline style: screens refuse it
_FRAMES_MM = {"plan": (200.0, 150.0), "long-section": (300.0, 180.0), "staircase": (95.0, 60.0)}
_FRAMES_MM |= {"rims": (270.0, 180.0), "spills": (200.0, 150.0), "pump": (200.0, 84.0), "depths": (220.0, 84.0)}
_NARROW_MM = {"plan": (99.0, 125.0), "rims": (120.0, 400.0), "spills": (99.0, 125.0)}  # on a phone, upright
_NARROW_MM |= {"pump": (110.0, 100.0), "depths": (160.0, 90.0)}
_CAPS_MM = {
    "plan": 2.4,
    "long-section": 2.6,
    "staircase": 2.0,
    "rims": 2.4,
    "spills": 2.4,
    "pump": 2.4,
    "depths": 2.4,
}  # on a desk about 8 px and more
_LARGER = (1.0, 1.35, 1.8)  # frames that are tried, where what is drawn does not fit the usual one


def drawing_svg(
    judged: Judged,
    name: DrawingName,
    *,
    theme: Theme = "light",
    stream: str | None = None,
    rim: str | None = None,
    run: str | None = None,
    narrow: bool = False,
) -> str:
    """A drawing of the job as the text of an SVG; its groups bear the paths of elements.

    `stream` says of which stream, `rim` of which edge of liner, `run` of which pipe run. Narrow, it is drawn for a
    phone where that can be done.

    Raises
    ------
    InputError
        If there is no such stream, edge or run, or nothing can be drawn.
    """
    feature = judged.assessment.feature
    _known("stream", stream, [each.id for each in feature.streams])
    _known("pipe run", run, [each.id for each in feature.runs])
    if rim is not None:
        _known("edge of liner", rim, _edges(judged))
    return on_screen(_drawn(judged, name, stream or rim or run, narrow), theme=theme)


def _known(what: str, asked: str | None, there: list[str]) -> None:
    if asked is not None and asked not in there:
        raise InputError(Problem(message=f"there is no such {what}", found=asked[:60], allowed=", ".join(there)))


def _edges(judged: Judged) -> list[str]:
    from rillwright.drawings import profiles_of

    return [profile.path for profile in profiles_of(judged.assessment)]


def on_screen(drawing: Drawing, *, theme: Theme = "light") -> str:
    """A drawing as SVG in the screens' own font, without styles in it."""
    from rillwright.drawings import DARK, LIGHT, write_svg

    written = _STYLE.sub("", write_svg(drawing, colours=DARK if theme == "dark" else LIGHT, background=True))
    return re.sub(r'font-family="[^"]*"', f'font-family="{_FAMILY}"', written, count=1)


def _drawn(judged: Judged, name: DrawingName, which: str | None, narrow: bool) -> Drawing:
    """In the usual frame, or in the first larger one that has room: on a screen it is moved about."""
    from rillwright.drawings import (
        DrawingStyle,
        draw_depths,
        draw_long_section,
        draw_plan,
        draw_pump,
        draw_rim_strip,
        draw_spill_plan,
        draw_staircase,
    )

    style = DrawingStyle(cap_mm=_CAPS_MM[name])
    wide, high = _NARROW_MM.get(name, _FRAMES_MM[name]) if narrow else _FRAMES_MM[name]
    for larger in _LARGER:
        frame = (wide * larger, high * larger)
        try:
            if name == "plan":
                return draw_plan(judged, frame_mm=frame, style=style, key_below=True)
            if name == "rims":
                return draw_rim_strip(judged, frame_mm=frame, rim=which, style=style)
            if name == "spills":
                return draw_spill_plan(judged, frame_mm=frame, style=style)
            if name == "pump":
                return draw_pump(judged, frame_mm=frame, run=which, style=style)
            if name == "depths":
                return draw_depths(judged, frame_mm=frame, stream=which, style=style)
            if name == "long-section":
                return draw_long_section(judged, frame_mm=frame, stream=which, style=style)
            return draw_staircase(judged, frame_mm=frame, stream=which, style=style)
        except InputError:
            if larger == _LARGER[-1]:
                raise
    raise AssertionError("the last frame was drawn, or refused")
