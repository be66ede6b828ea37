"""Rims, banks and upturns against the highest water."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.containment.odds_result import Confirmed, Odds, WaterOdds, WorstRim
from rillwright.containment.result import Containment, Freeboard
from rillwright.containment.rim_result import (
    LowPlace,
    OverflowOut,
    Raise,
    RimFill,
    RimProfile,
    Settles,
    SparePoint,
    SpillPath,
    SpiltWays,
    Through,
    Uphill,
    Wick,
)
from rillwright.containment.whole import contain

if TYPE_CHECKING:
    from rillwright.containment.odds import spill_odds
    from rillwright.containment.over_finished import spilt_ways

_WHEN_ASKED = {  # a quick check has no need of these
    "rillwright.containment.odds": ("spill_odds",),
    "rillwright.containment.over_finished": ("spilt_ways",),
}

__all__ = [
    "Confirmed",
    "Containment",
    "Freeboard",
    "LowPlace",
    "Odds",
    "OverflowOut",
    "Raise",
    "RimFill",
    "RimProfile",
    "Settles",
    "SparePoint",
    "SpillPath",
    "SpiltWays",
    "Through",
    "Uphill",
    "WaterOdds",
    "Wick",
    "WorstRim",
    "contain",
    "spill_odds",
    "spilt_ways",
]


def __getattr__(name: str) -> Any:
    for home, names in _WHEN_ASKED.items():
        if name in names:
            globals().update({each: getattr(import_module(home), each) for each in names})
            return globals()[name]
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
