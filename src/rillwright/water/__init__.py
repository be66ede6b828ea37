"""This feature's flows, levels and storage."""

from rillwright.water.result import (
    Balance,
    Circuit,
    CrestWater,
    HighWater,
    OutletFlow,
    PondWater,
    PumpPoint,
    ReachWater,
    StoneShare,
    Water,
)
from rillwright.water.whole import water

__all__ = [
    "Balance",
    "Circuit",
    "CrestWater",
    "HighWater",
    "OutletFlow",
    "PondWater",
    "PumpPoint",
    "ReachWater",
    "StoneShare",
    "Water",
    "water",
]
