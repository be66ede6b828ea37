"""How wide words are on paper, measured from the font that prints them."""

from __future__ import annotations

import math
import threading
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from typing import Any

from rillwright.drawings.display import Box, Text

FAMILY = "Source Sans 3"
WEIGHTS: Mapping[str, int] = {"regular": 400, "semibold": 600}
DESCENT = 0.33  # of the height of a capital, for the tails of g, p, y and commas
ASCENT = 1.12  # of the same, for b, d, accents and brackets

_READING = threading.RLock()  # a font is read piece by piece, and two drawings at once would read one piece half
_FONTS = {False: "SourceSans3.ttf", True: "SourceSans3-Italic.ttf"}


@cache
def _face(italic: bool) -> Any:
    from fontTools.ttLib import TTFont

    with as_file(files("rillwright.drawings") / "fonts" / _FONTS[italic]) as path:
        return TTFont(path, lazy=True)


@cache
def _advances(weight: str, italic: bool) -> tuple[dict[int, str], Any, dict[str, float], float, float]:
    with _READING:
        face = _face(italic)
        glyphs = face.getGlyphSet(location={"wght": WEIGHTS[weight]})
        units = float(face["head"].unitsPerEm)
        return face.getBestCmap(), glyphs, {}, units, float(face["OS/2"].sCapHeight) / units


def cap_height(*, italic: bool = False) -> float:
    """Height of a capital over the font's size [-]."""
    return float(_advances("regular", italic)[4])


def font_size_mm(cap_mm: float, *, italic: bool = False) -> float:
    """Size at which to set the font [mm] so that its capitals are `cap_mm` [mm] high."""
    return cap_mm / cap_height(italic=italic)


@cache
def _em_width(text: str, weight: str, italic: bool) -> float:
    names, glyphs, known, units, _ = _advances(weight, italic)
    total = 0.0
    for letter in text:
        name = names.get(ord(letter))
        if name is None:  # drawn by some other font: a full square is the widest that it will be
            total += 1.0
            continue
        if name not in known:
            with _READING:
                known[name] = float(glyphs[name].width) / units
        total += known[name]
    return total


def width_mm(text: str, cap_mm: float, *, weight: str = "regular", italic: bool = False) -> float:
    """Width on paper [mm] of words whose capitals are `cap_mm` [mm] high, without kerning."""
    return _em_width(text, weight, italic) * font_size_mm(cap_mm, italic=italic)


def text_box(text: Text) -> Box:
    """The box on paper that a line of words takes, tails and all."""
    width = width_mm(text.text, text.size_mm, weight=text.weight, italic=text.italic)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    corners = [(left + x, y) for x in (0.0, width) for y in (-ASCENT * text.size_mm, DESCENT * text.size_mm)]
    if text.angle_deg:
        turn = math.radians(-text.angle_deg)
        c, s = math.cos(turn), math.sin(turn)
        corners = [(x * c - y * s, x * s + y * c) for x, y in corners]
    box = Box.round(corners)
    return Box(left=text.x + box.left, top=text.y + box.top, right=text.x + box.right, bottom=text.y + box.bottom)
