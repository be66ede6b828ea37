"""Foreign formats in and out."""

from rillwright.exchange.point import ExchangePoint
from rillwright.exchange.points_csv import numbered_points_csv, read_points_csv, write_points_csv
from rillwright.exchange.points_geojson import read_points_geojson, write_points_geojson
from rillwright.exchange.staked import PEG, found_from_points, points_of_stakes
from rillwright.exchange.surveyed import points_of_survey

__all__ = [
    "PEG",
    "ExchangePoint",
    "found_from_points",
    "numbered_points_csv",
    "points_of_stakes",
    "points_of_survey",
    "read_points_csv",
    "read_points_geojson",
    "write_points_csv",
    "write_points_geojson",
]
