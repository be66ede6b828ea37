"""Papers: one PDF of a job, one page of a visit, the tables beside them, and the numbers that stand on their fronts."""

from rillwright.packet.checked import checked, not_checked
from rillwright.packet.first_visit import visit_page
from rillwright.packet.key_numbers import key_numbers
from rillwright.packet.staking import DayReadings
from rillwright.packet.tables import tables_csv
from rillwright.packet.whole import packet

__all__ = ["DayReadings", "checked", "key_numbers", "not_checked", "packet", "tables_csv", "visit_page"]
