"""Foreign formats in and out."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.exchange.point import ExchangePoint
from rillwright.exchange.points_csv import numbered_points_csv, read_points_csv, write_points_csv
from rillwright.exchange.points_geojson import read_points_geojson, write_points_geojson
from rillwright.exchange.staked import PEG, found_from_points, points_of_stakes
from rillwright.exchange.surveyed import points_of_survey

if TYPE_CHECKING:
    from rillwright.exchange.dxf import read_dxf, write_contours_dxf
    from rillwright.exchange.glb import Painted, write_glb
    from rillwright.exchange.ground_csv import ground_of_points
    from rillwright.exchange.landxml import read_landxml
    from rillwright.exchange.las import read_las

_WHEN_ASKED = {  # a check reads no foreign ground
    "Painted": ("rillwright.exchange.glb", "Painted"),
    "write_glb": ("rillwright.exchange.glb", "write_glb"),
    "ground_of_points": ("rillwright.exchange.ground_csv", "ground_of_points"),
    "read_dxf": ("rillwright.exchange.dxf", "read_dxf"),
    "read_landxml": ("rillwright.exchange.landxml", "read_landxml"),
    "read_las": ("rillwright.exchange.las", "read_las"),
    "write_contours_dxf": ("rillwright.exchange.dxf", "write_contours_dxf"),
}

__all__ = [
    "PEG",
    "ExchangePoint",
    "Painted",
    "found_from_points",
    "ground_of_points",
    "numbered_points_csv",
    "points_of_stakes",
    "points_of_survey",
    "read_dxf",
    "read_landxml",
    "read_las",
    "read_points_csv",
    "read_points_geojson",
    "write_contours_dxf",
    "write_glb",
    "write_points_csv",
    "write_points_geojson",
]


def __getattr__(name: str) -> Any:
    if name not in _WHEN_ASKED:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    home, there = _WHEN_ASKED[name]
    found = globals()[name] = getattr(import_module(home), there)
    return found
