"""Papers: one PDF of a job, one page of a visit, and the tables beside them."""

from rillwright.packet.staking import DayReadings
from rillwright.packet.whole import packet

__all__ = ["DayReadings", "packet"]
