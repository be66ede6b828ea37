"""Feature to long section, pond by depth, height budget."""

from rillwright.shape.budget import rest_level_m
from rillwright.shape.course import Course, course_of
from rillwright.shape.finished import finish
from rillwright.shape.flooded import WaterLine, flooded, reach_way
from rillwright.shape.mesh_reading import (
    MeshSection,
    mesh_levels,
    mesh_raster,
    mesh_section,
    parts_under,
    surface_area_m2,
    tin_of_mesh,
)
from rillwright.shape.natural import (
    GroundThere,
    NaturalGround,
    ground_there,
    natural_ground,
    natural_tin,
    placed_levels,
)
from rillwright.shape.pond_edge import PondEdge, pond_edge
from rillwright.shape.result import HeightBudget, Line, LongSection, PondShape, Shape, Step, StoneOutline
from rillwright.shape.storage import area_at, level_at, volume_at
from rillwright.shape.surface import surface
from rillwright.shape.surface_result import Finished, Mesh, PartEarth, PlanFault, RimLine, RimPoint, Surface
from rillwright.shape.whole import shape

__all__ = [
    "Course",
    "Finished",
    "GroundThere",
    "HeightBudget",
    "Line",
    "LongSection",
    "Mesh",
    "MeshSection",
    "NaturalGround",
    "PartEarth",
    "PlanFault",
    "PondEdge",
    "PondShape",
    "RimLine",
    "RimPoint",
    "Shape",
    "Step",
    "StoneOutline",
    "Surface",
    "WaterLine",
    "area_at",
    "course_of",
    "finish",
    "flooded",
    "ground_there",
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
