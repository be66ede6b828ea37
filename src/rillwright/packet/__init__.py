"""Papers: one PDF of a job, one page of a visit, and the tables beside them."""

from rillwright.packet.first_visit import visit_page
from rillwright.packet.staking import DayReadings
from rillwright.packet.tables import tables_csv
from rillwright.packet.whole import packet

__all__ = ["DayReadings", "packet", "tables_csv", "visit_page"]
