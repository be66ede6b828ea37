"""Papers: one PDF of a job, one page of a visit, the tables beside them, and the numbers that stand on their fronts."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from rillwright.packet.checked import checked, not_checked
from rillwright.packet.key_numbers import key_numbers

if TYPE_CHECKING:
    from rillwright.packet.change_paper import change_order_paper
    from rillwright.packet.crest_rows import (
        bed_table,
        crest_table,
        froude_words,
        look_said,
        speed_words,
        stream_said,
        thin_notes,
    )
    from rillwright.packet.first_visit import visit_page
    from rillwright.packet.pump_rows import (
        CASES_OVER,
        OUTLETS_OVER,
        SIZES_OVER,
        TRIED_OVER,
        bore_words,
        cases_table,
        outlets_table,
        pump_facts,
        pump_said,
        sizes_table,
        spare_words,
        tried_table,
        turned_words,
        valve_words,
    )
    from rillwright.packet.say import THIN, Say, rough, unbroken
    from rillwright.packet.staking import DayReadings
    from rillwright.packet.tables import tables_csv
    from rillwright.packet.water_rows import Cell, WaterRow, WaterTable
    from rillwright.packet.whole import packet

_OF_WATER = {
    "crest_rows": ("bed_table", "crest_table", "froude_words", "look_said", "speed_words", "stream_said", "thin_notes"),
    "pump_rows": (
        "CASES_OVER",
        "OUTLETS_OVER",
        "SIZES_OVER",
        "TRIED_OVER",
        "bore_words",
        "cases_table",
        "outlets_table",
        "pump_facts",
        "pump_said",
        "sizes_table",
        "spare_words",
        "tried_table",
        "turned_words",
        "valve_words",
    ),
    "say": ("THIN", "Say", "rough", "unbroken"),
    "water_rows": ("Cell", "WaterRow", "WaterTable"),
}
_WHEN_ASKED = {  # a check tells the key numbers, and prints nothing
    "change_order_paper": ("rillwright.packet.change_paper", "change_order_paper"),
    "visit_page": ("rillwright.packet.first_visit", "visit_page"),
    "DayReadings": ("rillwright.packet.staking", "DayReadings"),
    "tables_csv": ("rillwright.packet.tables", "tables_csv"),
    "packet": ("rillwright.packet.whole", "packet"),
    **{name: (f"rillwright.packet.{home}", name) for home, names in _OF_WATER.items() for name in names},
}

__all__ = [
    "CASES_OVER",
    "OUTLETS_OVER",
    "SIZES_OVER",
    "THIN",
    "TRIED_OVER",
    "Cell",
    "DayReadings",
    "Say",
    "WaterRow",
    "WaterTable",
    "bed_table",
    "bore_words",
    "cases_table",
    "change_order_paper",
    "checked",
    "crest_table",
    "froude_words",
    "key_numbers",
    "look_said",
    "not_checked",
    "outlets_table",
    "packet",
    "pump_facts",
    "pump_said",
    "rough",
    "sizes_table",
    "spare_words",
    "speed_words",
    "stream_said",
    "tables_csv",
    "thin_notes",
    "tried_table",
    "turned_words",
    "unbroken",
    "valve_words",
    "visit_page",
]


def __getattr__(name: str) -> Any:
    if name not in _WHEN_ASKED:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    home, there = _WHEN_ASKED[name]
    found = globals()[name] = getattr(import_module(home), there)
    return found
