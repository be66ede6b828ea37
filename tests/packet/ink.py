"""What a PDF reader finds on the pages: words with the boxes that their ink takes, and lines."""

from __future__ import annotations

import io
import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

import pdfplumber
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

MM_PER_PT = 25.4 / 72.0
CAP = 0.66  # of the size of Source Sans 3 is the height of a capital (OS/2 sCapHeight 660 of 1000)


@dataclass(frozen=True, slots=True)
class Word:
    """Letters that stand side by side: ink box [mm] from the top left of the page, size [pt]."""

    text: str
    left: float
    top: float
    right: float
    bottom: float
    size: float

    def overlaps(self, other: Word, *, by_mm: float = 0.05) -> bool:
        return (
            self.left < other.right - by_mm
            and other.left < self.right - by_mm
            and self.top < other.bottom - by_mm
            and other.top < self.bottom - by_mm
        )


def read(pdf: bytes) -> Any:
    """The PDF opened by a reader that has no part in making it."""
    return pdfplumber.open(io.BytesIO(pdf))


@cache
def _face() -> tuple[Any, Any]:
    path = files("rillwright.drawings") / "fonts" / "SourceSans3.ttf"
    face = TTFont(str(path))
    return face.getBestCmap(), face.getGlyphSet(location={"wght": 600})


@cache
def _ink(letter: str) -> tuple[float, float, float, float] | None:
    """Left, low, right, high of the ink of one letter, of the font's size."""
    names, glyphs = _face()
    if ord(letter) not in names:
        return (0.0, 0.0, 0.5, 0.66)
    pen = BoundsPen(glyphs)
    glyphs[names[ord(letter)]].draw(pen)
    return None if pen.bounds is None else tuple(edge / 1000.0 for edge in pen.bounds)


@cache
def _advance(letter: str) -> float:
    """From one letter to the next, of the font's size."""
    names, glyphs = _face()
    return float(glyphs[names[ord(letter)]].width) / 1000.0 if ord(letter) in names else 0.5


@dataclass(frozen=True, slots=True)
class _Letter:
    """One letter: direction of its line, place along and across it, where it ends [pt], corners of its ink [pt]."""

    text: str
    direction: tuple[float, float]
    along: float
    across: float
    end: float
    size: float
    corners: tuple[tuple[float, float], ...]

    def follows(self, other: _Letter) -> bool:
        return (
            self.direction == other.direction
            and abs(self.size - other.size) < 0.02
            and abs(self.across - other.across) < 0.1
            and -0.2 * self.size < self.along - other.end < 0.34 * self.size
        )


def _letters(page: Any) -> Iterator[_Letter]:
    for char in page.chars:
        box = _ink(char["text"][:1])
        if box is None:
            continue
        a, b, _, _, x, y = char["matrix"]
        turn = math.hypot(a, b)
        c, s = round(a / turn, 6), round(b / turn, 6)
        size = round(float(char["size"] if abs(s) < 0.5 else char["x1"] - char["x0"]), 3)
        if min(abs(c), abs(s)) > 1e-3:  # turned: the letter's box is its way along the line and its size across it
            way, high, flat = float(char["adv"]) * turn, char["y1"] - char["y0"], char["x1"] - char["x0"]
            size = (high - way * abs(s)) / abs(c) if abs(c) > abs(s) else (flat - way * abs(c)) / abs(s)
        y = float(page.height) - y
        corners = tuple((x + size * (u * c - v * s), y - size * (u * s + v * c)) for u in box[::2] for v in box[1::2])
        along = x * c - y * s
        yield _Letter(
            char["text"], (c, s), along, x * s + y * c, along + size * _advance(char["text"][:1]), size, corners
        )


def words(page: Any) -> list[Word]:
    """The words of a page: letters on one line with no wider gap than a third of their size."""
    groups: list[list[_Letter]] = []
    for letter in _letters(page):
        if groups and letter.follows(groups[-1][-1]):
            groups[-1].append(letter)
        else:
            groups.append([letter])
    return [_word(group) for group in groups]


def _word(letters: list[_Letter]) -> Word:
    xs, ys = zip(*(corner for letter in letters for corner in letter.corners), strict=True)
    left, top, right, bottom = (edge * MM_PER_PT for edge in (min(xs), min(ys), max(xs), max(ys)))
    return Word("".join(letter.text for letter in letters), left, top, right, bottom, letters[0].size)


def paths(page: Any) -> Iterator[list[tuple[float, float]]]:
    """Every line of a page as its points [mm]."""
    for item in (*page.curves, *page.lines):
        yield [(x * MM_PER_PT, y * MM_PER_PT) for x, y in item["pts"]]


def has_lengths(page: Any, wanted_mm: list[float], within_mm: float) -> bool:
    """Whether some line of the page has just these lengths [mm] one after the other, each within `within_mm` [mm]."""
    for points in paths(page):
        found = [math.dist(a, b) for a, b in itertools.pairwise(points)]
        for start in range(len(found) - len(wanted_mm) + 1):
            here = found[start : start + len(wanted_mm)]
            if all(abs(x - y) <= within_mm for x, y in zip(here, wanted_mm, strict=True)):
                return True
    return False
