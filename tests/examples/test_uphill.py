"""An example whose stream head is put 2 m below its ground: no rule speaks of a height below nothing as a height."""

from __future__ import annotations

import re
import shutil
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from rillwright import job
from rillwright.assessment import Judged, NotRun, Severity
from rillwright.drawings import Text, draw_pump, draw_staircase, flat
from rillwright.judge import remedy_of, text_of
from rillwright.packet.key_numbers import key_numbers
from rillwright.units import style_for

NEGATIVE = re.compile(r"[-\u2212]\d")


@cache
def _judged(folder: str, head: str, pump: bool) -> Judged:
    file = Path(folder) / "feature.yaml"
    text = file.read_text(encoding="utf-8").replace("head: 1.30 m above ponds/basin.waterline", f"head: {head}")
    if not pump:
        text = re.sub(r"    pump: \{id: pump-1.*\n", "", text)
    file.write_text(text, encoding="utf-8")
    return job.judge(job.open(file))


@pytest.fixture(params=["2 m below head", "1 mm below ponds/basin.waterline", "0 m above ponds/basin.waterline"])
def uphill(request: pytest.FixtureRequest, tmp_path: Path) -> Judged:
    folder = shutil.copytree(job.examples()["weavers-court"], tmp_path / "court")
    return _judged(str(folder), request.param, False)


def said(judged: Judged, code: str) -> list[tuple[Severity, str, str]]:
    style = style_for("metric")
    return [(f.severity, text_of(f, style), remedy_of(f, style)) for f in judged.findings if f.code == code]


def test_no_height_is_no_ok(uphill: Judged) -> None:
    ((severity, text, remedy),) = said(uphill, "height.short")
    assert severity is not Severity.OK
    assert "There is no height" in text
    assert "higher ground" in remedy


def test_heights_below_are_said_as_below(uphill: Judged) -> None:
    for code in ("height.short", "falls.uphill", "fall.last", "pump.lift", "pump.choose", "pump.short"):
        for _, text, remedy in said(uphill, code):
            assert not NEGATIVE.search(text + remedy), text + remedy
    numbers = [fact for fact in key_numbers(uphill.assessment) if fact[0].startswith(("height", "pump"))]
    assert not NEGATIVE.search(repr(numbers))


def test_no_pump_is_proposed_at_a_negative_head(tmp_path: Path) -> None:
    folder = shutil.copytree(job.examples()["weavers-court"], tmp_path / "court")
    judged = _judged(str(folder), "2 m below head", False)
    (choose,) = said(judged, "pump.choose")
    assert "No pump can be proposed" in choose[1]
    chart = draw_pump(judged, run="long")
    assert any("no height to pump up" in item.text for item in flat(chart.items) if isinstance(item, Text))


def test_stairs_that_go_past_the_water_stay_in_their_frame(tmp_path: Path) -> None:
    """Half a metre of height for drops of 0.9 m and a last one that takes less than nothing."""
    folder = shutil.copytree(job.examples()["weavers-court"], tmp_path / "court")
    judged = _judged(str(folder), "0.50 m above ponds/basin.waterline", False)
    shape = judged.assessment.shape
    assert not isinstance(shape, NotRun)
    assert shape.budgets[0].height_m == pytest.approx(0.5)
    (spent,) = said(judged, "height.short")
    assert spent[0] is not Severity.OK
    assert not NEGATIVE.search(spent[1])
    frame = (95.0, 60.0)
    drawing = draw_staircase(judged, frame_mm=frame)
    heading = next(item for item in flat(drawing.items) if isinstance(item, Text) and item.weight == "semibold")
    for item in flat(drawing.items):
        points: Any = getattr(item, "points", ())
        assert all(heading.y < y < frame[1] for _, y in points if points)
