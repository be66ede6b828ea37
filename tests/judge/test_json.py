"""What `check --json` prints."""

from __future__ import annotations

import json
import math
from decimal import Decimal
from typing import Any

import pytest
from msgspec import Struct

from rillwright.assessment import NotRun
from rillwright.judge import judge, to_json
from rillwright.judge.as_json import plain
from rillwright.units import Band
from tests.findings.sample import changed, whole


def printed(changes: dict[str, Any] | None = None) -> dict[str, Any]:
    """The JSON as somebody else's program reads it."""
    text = json.dumps(to_json(judge(changed(changes or {}))), allow_nan=False)
    read: dict[str, Any] = json.loads(text)
    return read


def test_what_was_promised_is_there() -> None:
    found = printed()
    circuit, balance = found["water"]["circuit"], found["water"]["balance"]
    for number in (
        circuit["flow_m3s"],
        circuit["head_m"],
        circuit["power_w"],
        found["water"]["pond"]["volume_m3"],
        balance["transit_m3"],
        balance["running_level_m"],
        balance["stop_level_m"],
        found["survey"]["misclosure_m"],
    ):
        assert isinstance(number, float)
    assert [len(circuit[name]) for name in ("pumps", "outlets")] == [1, 1]
    assert found["survey"]["loops"][0]["name"] == "round"
    assert found["defaults_used"]
    assert found["limits_used"]
    assert (found["feature"]["name"], found["feature"]["units"]) == ("Alder Yard", "us")
    assert (found["digest"], found["format"]) == ("d1", 1)
    assert found["engine"]


def test_a_finding_carries_words_and_numbers() -> None:
    found = printed()["findings"]
    keys = {"code", "severity", "element", "value", "limit", "margin", "unit", "source", "remedy", "text", "title"}
    keys |= {"value_low", "value_high", "limit_low", "limit_high", "limit_origin", "parameters", "people"}
    keys |= {"limit_sense", "standing", "text_numbers", "remedy_numbers"}
    assert all(set(each) == keys for each in found)
    low = next(each for each in found if each["code"] == "rim.low")
    assert low["value"] == pytest.approx(5 * 0.0254)
    assert low["unit"] == "m"
    assert {"name": "case", "value": "stopped", "unit": ""} in low["parameters"]


def test_a_band_has_its_ends_beside_it() -> None:
    circuit = printed()["water"]["circuit"]
    assert (circuit["power_w"], circuit["power_w_low"], circuit["power_w_high"]) == (120.0, 100.0, 150.0)
    crest = printed({"water.crests.0.throw_m": None})["water"]["crests"][0]
    assert (crest["throw_m"], crest["throw_m_low"], crest["throw_m_high"]) == (None, None, None)


def test_what_was_not_run_says_so() -> None:
    found = printed({"water": NotRun("no pond"), "survey": NotRun("no book")})
    assert found["water"] == {"not_run": "no pond"}
    assert found["survey"] == {"not_run": "no book", "misclosure_m": None, "loops": []}
    assert printed({"survey.misclosure_m": None, "survey.loops": ()})["survey"]["misclosure_m"] is None


def test_numbers_are_finite_or_null() -> None:
    found = printed({"earth.digs.0.side_up_per_across": math.inf})
    assert found["earth"]["digs"][0]["side_up_per_across"] is None
    assert printed({"build.lifts.0.allowed_kg": 0.0})["findings"][0]["value"] is None
    assert plain(math.nan) is None
    assert plain(Decimal("12.50")) == 12.5


def test_long_arrays_are_told_not_listed() -> None:
    class Field(Struct, frozen=True):
        level_m: tuple[tuple[float, float], ...]
        band: Band

    rows = tuple((float(n), -float(n)) for n in range(2501))
    long = plain(Field(level_m=rows, band=Band.exact(1.0)))
    assert long["level_m"]["shape"] == [2501, 2]
    assert long["level_m"]["range"] == [-2500.0, 2500.0]
    assert len(long["level_m"]["digest"]) == 64
    assert long != plain(Field(level_m=((1.0, 0.0), *rows[1:]), band=Band.exact(1.0)))
    assert len(plain(Field(level_m=rows[:2500], band=Band.exact(1.0)))["level_m"]) == 2500


def test_the_same_assessment_prints_the_same_text() -> None:
    assert json.dumps(to_json(judge(whole()))) == json.dumps(to_json(judge(whole())))
