"""Neutral display list, the drawings made with it, and the writers that only write."""

from rillwright.drawings.display import (
    Area,
    Box,
    Circle,
    Dimension,
    Drawing,
    Group,
    Item,
    LevelTick,
    Point,
    Polyline,
    Text,
    View,
)
from rillwright.drawings.expand import flat, texts
from rillwright.drawings.labels import Label, Placed, Placing, place
from rillwright.drawings.long_section import draw as draw_long_section
from rillwright.drawings.measure import FAMILY, font_size_mm, text_box, width_mm
from rillwright.drawings.palette import DARK, DAY_CAP_MM, LIGHT, PAPER_CAP_MM, PENS, Pen
from rillwright.drawings.plan import draw as draw_plan
from rillwright.drawings.pump import draw as draw_pump
from rillwright.drawings.source import DrawingStyle
from rillwright.drawings.staircase import draw as draw_staircase
from rillwright.drawings.staircase import thumbnail as draw_thumbnail
from rillwright.drawings.svg import write as write_svg
from rillwright.drawings.words import length, level, quantity, typeset

__all__ = [
    "DARK",
    "DAY_CAP_MM",
    "FAMILY",
    "LIGHT",
    "PAPER_CAP_MM",
    "PENS",
    "Area",
    "Box",
    "Circle",
    "Dimension",
    "Drawing",
    "DrawingStyle",
    "Group",
    "Item",
    "Label",
    "LevelTick",
    "Pen",
    "Placed",
    "Placing",
    "Point",
    "Polyline",
    "Text",
    "View",
    "draw_long_section",
    "draw_plan",
    "draw_pump",
    "draw_staircase",
    "draw_thumbnail",
    "flat",
    "font_size_mm",
    "length",
    "level",
    "place",
    "quantity",
    "text_box",
    "texts",
    "typeset",
    "width_mm",
    "write_svg",
]
