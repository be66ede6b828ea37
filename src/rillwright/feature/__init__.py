"""The feature: its file, its completion, its ids and paths."""

from rillwright.feature.as_built import BuiltLevel, overlay
from rillwright.feature.as_json_schema import json_schema
from rillwright.feature.complete import complete, datum_level, datum_of
from rillwright.feature.document import Document
from rillwright.feature.levels import Level, Origin, Surface
from rillwright.feature.model import (
    XY,
    Access,
    Body,
    BodyKind,
    DefaultUsed,
    Fall,
    FallKind,
    Feature,
    Fitting,
    Footing,
    Holding,
    Intake,
    IntakeKind,
    Lap,
    LimitOverride,
    LinerSpec,
    Look,
    Machine,
    Mark,
    Pipe,
    Pump,
    Reach,
    Rim,
    Run,
    Site,
    Stream,
)
from rillwright.feature.paths import ElementPath
from rillwright.feature.places import QUARTERS, Place, places
from rillwright.feature.resolve import KnownPoint
from rillwright.feature.starter import starter

__all__ = [
    "QUARTERS",
    "XY",
    "Access",
    "Body",
    "BodyKind",
    "BuiltLevel",
    "DefaultUsed",
    "Document",
    "ElementPath",
    "Fall",
    "FallKind",
    "Feature",
    "Fitting",
    "Footing",
    "Holding",
    "Intake",
    "IntakeKind",
    "KnownPoint",
    "Lap",
    "Level",
    "LimitOverride",
    "LinerSpec",
    "Look",
    "Machine",
    "Mark",
    "Origin",
    "Pipe",
    "Place",
    "Pump",
    "Reach",
    "Rim",
    "Run",
    "Site",
    "Stream",
    "Surface",
    "complete",
    "datum_level",
    "datum_of",
    "json_schema",
    "overlay",
    "places",
    "starter",
]
