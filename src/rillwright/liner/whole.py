"""Every sheet of a feature."""

from __future__ import annotations

from rillwright.feature import Feature
from rillwright.liner.bodies import body_sheets
from rillwright.liner.pads import pad_sheets
from rillwright.liner.result import Liner, Sheet
from rillwright.liner.streams import stream_sheets
from rillwright.shape import Shape


def size_liner(feature: Feature, shape: Shape) -> Liner:
    """Rectangles of liner, underlay and pads to order: bodies first, then streams from the head down.

    At this depth no size depends on the water, only on rims and upturns.
    """
    sheets: list[Sheet] = []
    for body in feature.bodies:
        sheets += body_sheets(feature, body, shape.pond(body.id))
    for stream in feature.streams:
        sheets += stream_sheets(feature, stream)
    for stream in feature.streams:
        sheets += pad_sheets(feature, stream)
    return Liner(sheets=tuple(sheets))
