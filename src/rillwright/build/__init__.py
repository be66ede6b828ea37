"""Stakes, hold points, lifts and access."""

from rillwright.build.day import day_table
from rillwright.build.held import (
    HoldItem,
    HoldState,
    gone_past,
    hold_states,
    initial_name,
    item_names,
    open_before,
    shot_name,
    tape_name,
)
from rillwright.build.holds import holds_of
from rillwright.build.lifts import rated_lift_kg
from rillwright.build.lines import clear_m, line_of
from rillwright.build.pegs import pegged
from rillwright.build.result import (
    AccessCheck,
    Build,
    FoundLevel,
    HoldPoint,
    HoldShot,
    HoldTape,
    HoldWhen,
    Lift,
    Peg,
    SiteDay,
    Stake,
    StakeReading,
    ToGo,
)
from rillwright.build.stakes import PART
from rillwright.build.to_go import AS_READ_M, STAKED, to_go, tolerance_m
from rillwright.build.whole import plan_build

__all__ = [
    "AS_READ_M",
    "PART",
    "STAKED",
    "AccessCheck",
    "Build",
    "FoundLevel",
    "HoldItem",
    "HoldPoint",
    "HoldShot",
    "HoldState",
    "HoldTape",
    "HoldWhen",
    "Lift",
    "Peg",
    "SiteDay",
    "Stake",
    "StakeReading",
    "ToGo",
    "clear_m",
    "day_table",
    "gone_past",
    "hold_states",
    "holds_of",
    "initial_name",
    "item_names",
    "line_of",
    "open_before",
    "pegged",
    "plan_build",
    "rated_lift_kg",
    "shot_name",
    "tape_name",
    "to_go",
    "tolerance_m",
]
