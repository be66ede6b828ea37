"""This feature's flows, levels and storage."""

from rillwright.water.run_result import (
    CaseFlow,
    MainValve,
    MeasuredFlow,
    PumpShare,
    PumpTried,
    SizeTried,
    SummitWater,
)
from rillwright.water.stream_result import CrestLook, Impact, MovingGravel, StreamLook, StreamProfile

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
    "CaseFlow",
    "Circuit",
    "CrestLook",
    "CrestWater",
    "HighWater",
    "Impact",
    "MainValve",
    "MeasuredFlow",
    "MovingGravel",
    "OutletFlow",
    "PondWater",
    "PumpPoint",
    "PumpShare",
    "PumpTried",
    "ReachWater",
    "SizeTried",
    "StoneShare",
    "StreamLook",
    "StreamProfile",
    "SummitWater",
    "Water",
    "water",
]
