"""Sheets of paper: their sizes by system, what stands on each, and the room for a picture."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from rillwright.drawings import font_size_mm

Block = Mapping[str, object]

MARGIN = {"left": 20.0, "right": 13.0, "top": 14.0, "pad": 5.0, "edge": 8.0, "gap": 4.0}  # [mm]
STRIP_MM = 18.0
MM_PER_PT = 25.4 / 72.0
SMALL_PT = 8.8  # capitals 2.05 mm high
DAY_PT = 11.0  # capitals 2.56 mm high


class Paper(Struct, frozen=True):
    """A size of paper [mm]."""

    width: float
    height: float

    @property
    def room(self) -> tuple[float, float]:
        """Width and height inside the frame, clear of the strip along the foot [mm]."""
        high = self.height - MARGIN["top"] - MARGIN["edge"] - STRIP_MM - MARGIN["gap"]
        return self.width - MARGIN["left"] - MARGIN["right"], high


READING = {"metric": Paper(210.0, 297.0), "us": Paper(215.9, 279.4)}
DRAWING = {"metric": Paper(420.0, 297.0), "us": Paper(431.8, 279.4)}


class Sheet(Struct, frozen=True, kw_only=True):
    """One question and what answers it; runs over several pages where it must."""

    question: str
    paper: Paper
    blocks: tuple[Block, ...] = field(default=())
    scale: str = ""
    one_to: float | None = None  # the scale 1:n of its drawing [-]
    whose: str = ""  # who takes it along


def pt(cap_mm: float) -> float:
    """Size at which to set the font [pt] so that its capitals are `cap_mm` [mm] high."""
    return font_size_mm(cap_mm) / MM_PER_PT
