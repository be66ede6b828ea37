"""What was checked and found in order: figures in a table, what has none in one row of words."""

from __future__ import annotations

from typing import Any, cast

from msgspec.structs import replace

from rillwright.assessment import Severity
from rillwright.packet.worries import worries
from tests.drawings import sample as drawn
from tests.packet import sample


def test_what_has_no_figures_stands_in_one_paragraph() -> None:
    none = dict.fromkeys(("value", "value_low", "value_high", "limit", "limit_low", "limit_high", "margin"))
    found = (
        sample.finding("pump.lifts", Severity.OK, "runs/run1", unit="", **none),
        sample.finding("stone.sealed", Severity.OK, "falls/f1", unit="", **none),
        sample.finding("rim.freeboard", Severity.OK, "rims/a"),
    )
    sheet = worries(replace(sample.judged(drawn.METRIC), findings=found))
    told, table = cast("list[dict[str, Any]]", list(sheet.blocks[-2:]))
    said = "".join(str(run["text"]) for run in told["words"]["inline"]).replace("\u200b", "")
    assert said == "pump lifts, as it was checked (runs/run1). stone sealed, as it was checked (falls/f1)."
    assert len(table["rows"]) == 1
    assert "rim freeboard" in str(table["rows"])
