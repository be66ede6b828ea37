"""Feature to long section, pond by depth, height budget; edges of liner; the finished work as surfaces."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.shape.budget import rest_level_m
from rillwright.shape.course import Course, course_of
from rillwright.shape.natural import (
    GroundThere,
    NaturalGround,
    ground_levels,
    ground_there,
    natural_ground,
    natural_tin,
    placed_levels,
)
from rillwright.shape.pond_edge import PondEdge, pond_edge
from rillwright.shape.result import HeightBudget, Line, LongSection, MeterDoubt, PondShape, Shape, Step, StoneOutline
from rillwright.shape.storage import area_at, drawn, level_at, volume_at
from rillwright.shape.surface import surface
from rillwright.shape.surface_result import (
    Finished,
    GroundAmiss,
    Mesh,
    OneLevel,
    PartEarth,
    PlanFault,
    RimLine,
    RimPoint,
    SoilBalance,
    Surface,
)
from rillwright.shape.whole import shape

if TYPE_CHECKING:
    from rillwright.shape.finished import finish
    from rillwright.shape.flooded import WaterLine, flooded, reach_way
    from rillwright.shape.layers import LayerRow, LayerSpot, layer_cells, layer_section, layer_spots
    from rillwright.shape.mesh_reading import (
        MeshSection,
        mesh_levels,
        mesh_raster,
        mesh_section,
        parts_under,
        surface_area_m2,
        tin_of_mesh,
    )

_WHEN_ASKED = {  # a check has no need of surfaces of triangles
    "rillwright.shape.finished": ("finish",),
    "rillwright.shape.flooded": ("WaterLine", "flooded", "reach_way"),
    "rillwright.shape.layers": ("LayerRow", "LayerSpot", "layer_cells", "layer_section", "layer_spots"),
    "rillwright.shape.mesh_reading": (
        "MeshSection",
        "mesh_levels",
        "mesh_raster",
        "mesh_section",
        "parts_under",
        "surface_area_m2",
        "tin_of_mesh",
    ),
}

__all__ = [
    "Course",
    "Finished",
    "GroundAmiss",
    "GroundThere",
    "HeightBudget",
    "LayerRow",
    "LayerSpot",
    "Line",
    "LongSection",
    "Mesh",
    "MeshSection",
    "MeterDoubt",
    "NaturalGround",
    "OneLevel",
    "PartEarth",
    "PlanFault",
    "PondEdge",
    "PondShape",
    "RimLine",
    "RimPoint",
    "Shape",
    "SoilBalance",
    "Step",
    "StoneOutline",
    "Surface",
    "WaterLine",
    "area_at",
    "course_of",
    "drawn",
    "finish",
    "flooded",
    "ground_levels",
    "ground_there",
    "layer_cells",
    "layer_section",
    "layer_spots",
    "level_at",
    "mesh_levels",
    "mesh_raster",
    "mesh_section",
    "natural_ground",
    "natural_tin",
    "parts_under",
    "placed_levels",
    "pond_edge",
    "reach_way",
    "rest_level_m",
    "shape",
    "surface",
    "surface_area_m2",
    "tin_of_mesh",
    "volume_at",
]


def __getattr__(name: str) -> Any:
    for home, names in _WHEN_ASKED.items():
        if name in names:
            module = import_module(home)
            globals().update({each: getattr(module, each) for each in names})  # a module may be called as its function
            return globals()[name]
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
