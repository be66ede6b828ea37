"""Twenty phones at once against a service of its own process, and a service that is killed between."""

from __future__ import annotations

import http.client
import json
import threading
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

from tests.app.service import BENCHMARK, PRESS, jobs_in, kept, running, sending, shot

PHONES, EACH, AT_ONCE = 20, 200, 50


def post(address: str, rows: list[dict[str, str]]) -> dict[str, Any]:
    """A batch sent, and what was answered."""
    body = json.dumps(sending(*rows)).encode()
    request = urllib.request.Request(
        f"{address}/api/jobs/{PRESS}/shots", data=body, headers={"content-type": "application/json"}
    )
    with urllib.request.urlopen(request, timeout=120) as answer:
        told: dict[str, Any] = json.loads(answer.read())
    return told


def readings(phone: int) -> list[dict[str, str]]:
    """What one phone reads in a day: its own set-up, a benchmark, and crests at plan."""
    setup = f"2026-05-04/{phone + 1}"
    first = shot(f"{phone}-0", **BENCHMARK, who=f"phone {phone}", setup=setup)
    return [first] + [
        shot(
            f"{phone}-{n}", who=f"phone {phone}", setup=setup, time=f"2026-05-04T{8 + n // 60:02}:{n % 60:02}:00-05:00"
        )
        for n in range(1, EACH)
    ]


def test_four_thousand_readings_from_twenty_phones_are_kept_each_once(tmp_path: Path) -> None:
    folder = jobs_in(tmp_path)
    acknowledged: set[str] = set()
    failed: list[str] = []

    def one_phone(phone: int, address: str) -> None:
        rows = readings(phone)
        for at in range(0, EACH, AT_ONCE):
            for _ in range(2):
                told = post(address, rows[at : at + AT_ONCE])
                acknowledged.update(told["acknowledged"])
                failed.extend(each["uuid"] for each in told["refused"])

    with running(folder) as (_, address):
        began = time.monotonic()
        crowd = [threading.Thread(target=one_phone, args=(phone, address)) for phone in range(PHONES)]
        for thread in crowd:
            thread.start()
        for thread in crowd:
            thread.join()
        took_s = time.monotonic() - began
    found = kept(folder)
    assert not failed
    assert len(found) == len(set(found)) == PHONES * EACH
    assert acknowledged == set(found)
    assert took_s < 120.0  # some ten seconds where nothing else runs


def test_what_was_acknowledged_outlasts_a_service_that_is_killed(tmp_path: Path) -> None:
    """Killed while it writes, three times; the phone sends what it has no word of again, and all of it arrives once."""
    folder = jobs_in(tmp_path)
    waiting = [shot(f"k-{n}", path="points/p1", surface="ground") for n in range(120)]
    acknowledged: list[str] = []
    for life in range(4):
        with running(folder) as (process, address):
            if life < 3:
                threading.Timer(0.15 + 0.1 * life, process.kill).start()
            while waiting:
                try:
                    told = post(address, waiting[:5])
                except (OSError, http.client.HTTPException, urllib.error.URLError, ValueError):
                    break
                acknowledged += told["acknowledged"]
                waiting = [row for row in waiting if row["uuid"] not in told["acknowledged"]]
        assert set(acknowledged) <= set(kept(folder))
    assert not waiting
    assert sorted(kept(folder)) == sorted(f"k-{n}" for n in range(120))
