"""Stakes, lifts and access."""

from rillwright.build.day import day_table
from rillwright.build.lifts import rated_lift_kg
from rillwright.build.result import AccessCheck, Build, Lift, SiteDay, Stake, StakeReading
from rillwright.build.whole import plan_build

__all__ = [
    "AccessCheck",
    "Build",
    "Lift",
    "SiteDay",
    "Stake",
    "StakeReading",
    "day_table",
    "plan_build",
    "rated_lift_kg",
]
