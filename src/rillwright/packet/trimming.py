"""A drawing cut to what is drawn."""

from __future__ import annotations

from msgspec.structs import replace

from rillwright.drawings import Circle, Drawing, Text, flat, text_box


def trimmed(drawing: Drawing) -> Drawing:
    """A drawing without the empty paper below it."""
    low = 0.0
    for item in flat(drawing.items):
        if isinstance(item, Text):
            low = max(low, text_box(item).bottom)
        elif isinstance(item, Circle):
            low = max(low, item.centre[1] + item.radius_mm)
        else:
            low = max(low, *(y for _, y in item.points))
    return replace(drawing, height_mm=min(drawing.height_mm, low + 1.0))
