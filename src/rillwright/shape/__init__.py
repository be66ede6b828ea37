"""Feature to long section, pond by depth, height budget."""

from rillwright.shape.budget import rest_level_m
from rillwright.shape.result import HeightBudget, Line, LongSection, PondShape, Shape, Step, StoneOutline
from rillwright.shape.storage import area_at, level_at, volume_at
from rillwright.shape.surface_result import Finished, Mesh, PartEarth, RimLine, RimPoint, Surface
from rillwright.shape.whole import shape

__all__ = [
    "Finished",
    "HeightBudget",
    "Line",
    "LongSection",
    "Mesh",
    "PartEarth",
    "PondShape",
    "RimLine",
    "RimPoint",
    "Shape",
    "Step",
    "StoneOutline",
    "Surface",
    "area_at",
    "level_at",
    "rest_level_m",
    "shape",
    "volume_at",
]
