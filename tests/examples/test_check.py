"""`check` on every example, as a person runs it: nothing to stop for, and something to watch."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
from tests.examples.folders import EXAMPLES, NAMES, worked

pytestmark = pytest.mark.skipif(find_spec("rillwright.cli") is None, reason="the commands are not there yet")
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module", params=NAMES)
def checked(request: pytest.FixtureRequest) -> tuple[str, int, dict[str, Any]]:
    name: str = request.param
    done = subprocess.run(
        [sys.executable, "-m", "rillwright", "check", str(EXAMPLES / name), "--json"],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONUTF8": "1"},
        check=False,
        timeout=60,
    )
    assert done.stdout, done.stderr
    return name, done.returncode, json.loads(done.stdout)


def test_nothing_stops_and_something_is_to_be_watched(checked: tuple[str, int, dict[str, Any]]) -> None:
    _, code, told = checked
    severities = [finding["severity"] for finding in told["findings"]]
    stops = [(finding["code"], finding["element"]) for finding in told["findings"] if finding["severity"] == "stop"]
    assert stops == []
    assert code == 0
    assert "watch" in severities
    assert "ok" in severities


def test_the_numbers_are_those_of_the_layers(checked: tuple[str, int, dict[str, Any]]) -> None:
    name, _, told = checked
    done = worked(name)
    water, circuit = told["water"], told["water"]["circuit"]
    assert told["survey"]["misclosure_m"] == done.survey.misclosure_m
    assert circuit["flow_m3s"] == pytest.approx(done.water.circuit.flow_m3s.value)
    assert len(circuit["pumps"]) == len(done.feature.runs)
    assert water["pond"]["volume_m3"] == pytest.approx(done.water.pond.volume_m3)
    assert water["balance"]["transit_m3"] == pytest.approx(done.water.balance.transit_m3.value)
