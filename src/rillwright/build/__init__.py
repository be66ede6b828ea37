"""Stakes, lifts and access."""

from rillwright.build.result import AccessCheck, Build, Lift, SiteDay, Stake, StakeReading

__all__ = ["AccessCheck", "Build", "Lift", "SiteDay", "Stake", "StakeReading"]
