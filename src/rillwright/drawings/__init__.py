"""Neutral display list, the drawings made with it, and the writers that only write."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.drawings.palette import DARK, DAY_CAP_MM, LIGHT, PAPER_CAP_MM, PENS, Pen
from rillwright.drawings.words import along, length, level, quantity, typeset

if TYPE_CHECKING:
    from rillwright.drawings.contour_plan import ContourLine
    from rillwright.drawings.contour_plan import draw as draw_contours
    from rillwright.drawings.cut_section import draw as draw_cut
    from rillwright.drawings.cuts import Cut
    from rillwright.drawings.cuts import chosen as chosen_cuts
    from rillwright.drawings.depths import SHOOTING
    from rillwright.drawings.depths import draw as draw_depths
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
    from rillwright.drawings.earth_plan import draw as draw_earth_plan
    from rillwright.drawings.earth_plan import scale_in as earth_plan_scale
    from rillwright.drawings.expand import flat, texts
    from rillwright.drawings.histories import case_words
    from rillwright.drawings.histories import draw as draw_histories
    from rillwright.drawings.labels import Label, Placed, Placing, place
    from rillwright.drawings.long_section import draw as draw_long_section
    from rillwright.drawings.measure import FAMILY, font_size_mm, text_box, width_mm
    from rillwright.drawings.motion import Motion
    from rillwright.drawings.motion import draw as draw_motion
    from rillwright.drawings.plan import draw as draw_plan
    from rillwright.drawings.pump import draw as draw_pump
    from rillwright.drawings.rim_spare import Spare, profiles_of, spare_of, wanted_m
    from rillwright.drawings.rim_strip import draw as draw_rim_strip
    from rillwright.drawings.rim_strip_parts import spare_words
    from rillwright.drawings.scale import bar_alone as draw_scale_bar
    from rillwright.drawings.source import DrawingStyle
    from rillwright.drawings.spill_plan import MOST_RAISED, goes_to
    from rillwright.drawings.spill_plan import draw as draw_spill_plan
    from rillwright.drawings.staircase import draw as draw_staircase
    from rillwright.drawings.staircase import thumbnail as draw_thumbnail
    from rillwright.drawings.svg import write as write_svg
    from rillwright.drawings.ways_told import all_ways, first_out, followed_over, whose

_WHEN_ASKED = {  # a check tells numbers as drawings do, and draws nothing
    "SHOOTING": ("rillwright.drawings.depths", "SHOOTING"),
    "draw_depths": ("rillwright.drawings.depths", "draw"),
    "Area": ("rillwright.drawings.display", "Area"),
    "Box": ("rillwright.drawings.display", "Box"),
    "Circle": ("rillwright.drawings.display", "Circle"),
    "ContourLine": ("rillwright.drawings.contour_plan", "ContourLine"),
    "Dimension": ("rillwright.drawings.display", "Dimension"),
    "Drawing": ("rillwright.drawings.display", "Drawing"),
    "Group": ("rillwright.drawings.display", "Group"),
    "Item": ("rillwright.drawings.display", "Item"),
    "LevelTick": ("rillwright.drawings.display", "LevelTick"),
    "Point": ("rillwright.drawings.display", "Point"),
    "Polyline": ("rillwright.drawings.display", "Polyline"),
    "Text": ("rillwright.drawings.display", "Text"),
    "View": ("rillwright.drawings.display", "View"),
    "flat": ("rillwright.drawings.expand", "flat"),
    "texts": ("rillwright.drawings.expand", "texts"),
    "Cut": ("rillwright.drawings.cuts", "Cut"),
    "chosen_cuts": ("rillwright.drawings.cuts", "chosen"),
    "draw_cut": ("rillwright.drawings.cut_section", "draw"),
    "case_words": ("rillwright.drawings.histories", "case_words"),
    "draw_contours": ("rillwright.drawings.contour_plan", "draw"),
    "earth_plan_scale": ("rillwright.drawings.earth_plan", "scale_in"),
    "draw_earth_plan": ("rillwright.drawings.earth_plan", "draw"),
    "draw_histories": ("rillwright.drawings.histories", "draw"),
    "Label": ("rillwright.drawings.labels", "Label"),
    "Placed": ("rillwright.drawings.labels", "Placed"),
    "Placing": ("rillwright.drawings.labels", "Placing"),
    "place": ("rillwright.drawings.labels", "place"),
    "draw_long_section": ("rillwright.drawings.long_section", "draw"),
    "FAMILY": ("rillwright.drawings.measure", "FAMILY"),
    "font_size_mm": ("rillwright.drawings.measure", "font_size_mm"),
    "text_box": ("rillwright.drawings.measure", "text_box"),
    "width_mm": ("rillwright.drawings.measure", "width_mm"),
    "Motion": ("rillwright.drawings.motion", "Motion"),
    "draw_motion": ("rillwright.drawings.motion", "draw"),
    "draw_plan": ("rillwright.drawings.plan", "draw"),
    "draw_pump": ("rillwright.drawings.pump", "draw"),
    "draw_rim_strip": ("rillwright.drawings.rim_strip", "draw"),
    "draw_scale_bar": ("rillwright.drawings.scale", "bar_alone"),
    "DrawingStyle": ("rillwright.drawings.source", "DrawingStyle"),
    "draw_spill_plan": ("rillwright.drawings.spill_plan", "draw"),
    "MOST_RAISED": ("rillwright.drawings.spill_plan", "MOST_RAISED"),
    "goes_to": ("rillwright.drawings.spill_plan", "goes_to"),
    "Spare": ("rillwright.drawings.rim_spare", "Spare"),
    "profiles_of": ("rillwright.drawings.rim_spare", "profiles_of"),
    "spare_of": ("rillwright.drawings.rim_spare", "spare_of"),
    "wanted_m": ("rillwright.drawings.rim_spare", "wanted_m"),
    "spare_words": ("rillwright.drawings.rim_strip_parts", "spare_words"),
    "draw_staircase": ("rillwright.drawings.staircase", "draw"),
    "draw_thumbnail": ("rillwright.drawings.staircase", "thumbnail"),
    "write_svg": ("rillwright.drawings.svg", "write"),
    "all_ways": ("rillwright.drawings.ways_told", "all_ways"),
    "first_out": ("rillwright.drawings.ways_told", "first_out"),
    "followed_over": ("rillwright.drawings.ways_told", "followed_over"),
    "whose": ("rillwright.drawings.ways_told", "whose"),
}

__all__ = [
    "DARK",
    "DAY_CAP_MM",
    "FAMILY",
    "LIGHT",
    "MOST_RAISED",
    "PAPER_CAP_MM",
    "PENS",
    "SHOOTING",
    "Area",
    "Box",
    "Circle",
    "ContourLine",
    "Cut",
    "Dimension",
    "Drawing",
    "DrawingStyle",
    "Group",
    "Item",
    "Label",
    "LevelTick",
    "Motion",
    "Pen",
    "Placed",
    "Placing",
    "Point",
    "Polyline",
    "Spare",
    "Text",
    "View",
    "all_ways",
    "along",
    "case_words",
    "chosen_cuts",
    "draw_contours",
    "draw_cut",
    "draw_depths",
    "draw_earth_plan",
    "draw_histories",
    "draw_long_section",
    "draw_motion",
    "draw_plan",
    "draw_pump",
    "draw_rim_strip",
    "draw_scale_bar",
    "draw_spill_plan",
    "draw_staircase",
    "draw_thumbnail",
    "earth_plan_scale",
    "first_out",
    "flat",
    "followed_over",
    "font_size_mm",
    "goes_to",
    "length",
    "level",
    "place",
    "profiles_of",
    "quantity",
    "spare_of",
    "spare_words",
    "text_box",
    "texts",
    "typeset",
    "wanted_m",
    "whose",
    "width_mm",
    "write_svg",
]


def __getattr__(name: str) -> Any:
    if name not in _WHEN_ASKED:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    home, there = _WHEN_ASKED[name]
    found = globals()[name] = getattr(import_module(home), there)
    return found
