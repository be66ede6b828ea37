"""The feature: its file, its completion, its ids and paths."""

from rillwright.feature.as_built import BuiltLevel, overlay
from rillwright.feature.as_json_schema import json_schema
from rillwright.feature.complete import complete, datum_level, datum_of
from rillwright.feature.complete_bodies import DEEPEST_M
from rillwright.feature.course import LONGEST_M
from rillwright.feature.course import project as beside
from rillwright.feature.document import Document
from rillwright.feature.labels import LABELS
from rillwright.feature.levels import XY, Level, Origin, Surface
from rillwright.feature.model import (
    Body,
    BodyKind,
    CrestStone,
    DefaultUsed,
    Fall,
    FallKind,
    Feature,
    Holding,
    Intake,
    IntakeKind,
    Join,
    Lap,
    LimitOverride,
    LinerSpec,
    Lip,
    Look,
    Mark,
    Plunge,
    Reach,
    Rim,
    Stream,
)
from rillwright.feature.model_climate import Catchment, Climate, Filled, Month, Overflow, Supply
from rillwright.feature.model_edges import Penetration
from rillwright.feature.model_islands import Island
from rillwright.feature.model_runs import Fitting, Pipe, Pump, Run, RunEnd, RunOutlet, Suction, ValveSet
from rillwright.feature.model_site import (
    Access,
    Barrier,
    Building,
    Footing,
    Machine,
    Paving,
    ServiceLine,
    Services,
    Site,
    Tree,
)
from rillwright.feature.paths import ElementPath
from rillwright.feature.places import Place, Quarter, places, quarters
from rillwright.feature.resolve import KnownPoint
from rillwright.feature.schema_climate import MONTHS
from rillwright.feature.starter import starter
from rillwright.feature.wording import Wording, named, named_in, spoken, wording

__all__ = [
    "DEEPEST_M",
    "LABELS",
    "LONGEST_M",
    "MONTHS",
    "XY",
    "Access",
    "Barrier",
    "Body",
    "BodyKind",
    "Building",
    "BuiltLevel",
    "Catchment",
    "Climate",
    "CrestStone",
    "DefaultUsed",
    "Document",
    "ElementPath",
    "Fall",
    "FallKind",
    "Feature",
    "Filled",
    "Fitting",
    "Footing",
    "Holding",
    "Intake",
    "IntakeKind",
    "Island",
    "Join",
    "KnownPoint",
    "Lap",
    "Level",
    "LimitOverride",
    "LinerSpec",
    "Lip",
    "Look",
    "Machine",
    "Mark",
    "Month",
    "Origin",
    "Overflow",
    "Paving",
    "Penetration",
    "Pipe",
    "Place",
    "Plunge",
    "Pump",
    "Quarter",
    "Reach",
    "Rim",
    "Run",
    "RunEnd",
    "RunOutlet",
    "ServiceLine",
    "Services",
    "Site",
    "Stream",
    "Suction",
    "Supply",
    "Surface",
    "Tree",
    "ValveSet",
    "Wording",
    "beside",
    "complete",
    "datum_level",
    "datum_of",
    "json_schema",
    "named",
    "named_in",
    "overlay",
    "places",
    "quarters",
    "spoken",
    "starter",
    "wording",
]
