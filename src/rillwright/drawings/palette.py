"""Colours, pens and sizes by meaning: the one place where a drawing's hand is kept."""

from __future__ import annotations

from types import MappingProxyType

from msgspec import Struct

PAPER_CAP_MM = 2.0  # least height of a capital on paper
DAY_CAP_MM = 2.5  # the same on pages that are read at the hole

LIGHT = MappingProxyType(
    {
        "ink": "#20282b",
        "quiet": "#5d666a",  # ink held back: dimensions, captions
        "grid": "#dfe3e1",
        "paper": "#ffffff",
        "water": "#1b6b86",
        "water wash": "#d5e8ee",
        "water band": "#8fbccb",
        "liner": "#20282b",
        "stone": "#857a6c",
        "stone word": "#6a6054",  # the same colour, dark enough for small words
        "stone wash": "#dbd4c8",
        "earth": "#a5814b",
        "earth word": "#7d5c28",
        "built": "#c05518",
        "stop": "#8e1630",
        "watch": "#6a5200",
        "ok": "#20282b",
        "spare wash": "#f1f2f0",
        "watch wash": "#e6d596",
        "stop wash": "#dc9aa6",
    }
)
DARK = MappingProxyType(
    {
        **LIGHT,
        "ink": "#e8ebe8",
        "quiet": "#a9b2b0",
        "grid": "#273033",
        "paper": "#14191b",
        "water": "#6fbdd6",
        "water wash": "#1a3640",
        "water band": "#2f6173",
        "liner": "#e8ebe8",
        "stone": "#a89d8e",
        "stone word": "#bdb3a5",
        "stone wash": "#35322d",
        "earth": "#c29d65",
        "earth word": "#d2b07c",
        "built": "#e8783c",
        "stop": "#ee6b80",
        "watch": "#d8b13a",
        "ok": "#e8ebe8",
        "spare wash": "#1c2224",
        "watch wash": "#4a4016",
        "stop wash": "#7a2a3a",
    }
)


class Pen(Struct, frozen=True):
    """A stroke: colour by meaning, width and dashes in paper millimetres."""

    colour: str
    width_mm: float
    dash_mm: tuple[float, ...] = ()


# Planned is thin, built is heavy, doubted is dashed; the liner alone is heavy when planned.
PENS = MappingProxyType(
    {
        "ink": Pen("ink", 0.25),
        "frame": Pen("ink", 0.18),
        "ground": Pen("ink", 0.35),
        "ground guessed": Pen("ink", 0.35, (2.4, 1.2)),
        "dig": Pen("earth", 0.25),
        "hatch": Pen("earth", 0.13),
        "liner": Pen("liner", 0.6),
        "liner guessed": Pen("liner", 0.5, (2.4, 1.2)),
        "may be": Pen("quiet", 0.18),
        "gap": Pen("paper", 1.1),
        "bed": Pen("stone", 0.25),
        "stone": Pen("stone", 0.3),
        "facet": Pen("stone", 0.13),
        "stream bank": Pen("stone", 0.2),
        "water": Pen("water", 0.3),
        "water at rest": Pen("water", 0.18),
        "water blocked": Pen("water", 0.25, (1.6, 0.9)),
        "water mark": Pen("water", 0.13),
        "earth": Pen("earth", 0.25),
        "footing": Pen("ink", 0.5),
        "paving": Pen("ink", 0.2),
        "service": Pen("ink", 0.2, (0.9, 0.7)),
        "ground before": Pen("earth", 0.15, (1.8, 0.9)),
        "ground after": Pen("earth word", 0.2),
        "cut hatch": Pen("earth", 0.18),
        "1:1 line": Pen("ink", 0.2, (3.0, 0.9, 0.6, 0.9)),
        "built": Pen("built", 0.6),
        "doubted": Pen("built", 0.35, (1.6, 0.9)),
        "pipe": Pen("ink", 0.25, (4.0, 0.9, 0.6, 0.9)),
        "wished": Pen("quiet", 0.2, (1.4, 1.0)),
        "leader": Pen("quiet", 0.13),
        "dimension": Pen("quiet", 0.13),
        "grid": Pen("grid", 0.1),
        "stop": Pen("stop", 0.35),
        "watch": Pen("watch", 0.35),
        "rim low": Pen("watch", 1.0, (2.2, 1.1)),
        "rim spills": Pen("stop", 1.5),
        "spill": Pen("water", 0.7),
        "stop hatch": Pen("stop", 0.18),
        "watch hatch": Pen("watch", 0.15),
    }
)

# The word and the colour in which a level of each surface is written.
SURFACE_COLOUR = MappingProxyType(
    {
        "mark": "ink",
        "ground": "ink",
        "dig": "earth word",
        "liner": "ink",
        "bed": "stone word",
        "stone top": "stone word",
        "water": "water",
    }
)
