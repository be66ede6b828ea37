"""Papers: one PDF of a job, one page of a visit, the tables beside them, and the numbers that stand on their fronts."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.packet.checked import checked, not_checked
from rillwright.packet.key_numbers import key_numbers

if TYPE_CHECKING:
    from rillwright.packet.change_paper import change_order_paper
    from rillwright.packet.first_visit import visit_page
    from rillwright.packet.staking import DayReadings
    from rillwright.packet.tables import tables_csv
    from rillwright.packet.whole import packet

_WHEN_ASKED = {  # a check tells the key numbers, and prints nothing
    "change_order_paper": ("rillwright.packet.change_paper", "change_order_paper"),
    "visit_page": ("rillwright.packet.first_visit", "visit_page"),
    "DayReadings": ("rillwright.packet.staking", "DayReadings"),
    "tables_csv": ("rillwright.packet.tables", "tables_csv"),
    "packet": ("rillwright.packet.whole", "packet"),
}

__all__ = [
    "DayReadings",
    "change_order_paper",
    "checked",
    "key_numbers",
    "not_checked",
    "packet",
    "tables_csv",
    "visit_page",
]


def __getattr__(name: str) -> Any:
    if name not in _WHEN_ASKED:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    home, there = _WHEN_ASKED[name]
    found = globals()[name] = getattr(import_module(home), there)
    return found
