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
from rillwright.water.run_result import (
    CaseFlow,
    MainValve,
    MeasuredFlow,
    PumpShare,
    PumpTried,
    SizeTried,
    SummitWater,
)
from rillwright.water.whole import water

__all__ = [
    "Balance",
    "CaseFlow",
    "Circuit",
    "CrestWater",
    "HighWater",
    "MainValve",
    "MeasuredFlow",
    "OutletFlow",
    "PondWater",
    "PumpPoint",
    "PumpShare",
    "PumpTried",
    "ReachWater",
    "SizeTried",
    "StoneShare",
    "SummitWater",
    "Water",
    "water",
]
