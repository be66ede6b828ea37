"""Starts and stops over time through the service: on demand, with progress, left off by hand, kept by digest."""

from __future__ import annotations

import threading
import time
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from rillwright import job
from rillwright.app.followed import Followed
from rillwright.assessment import NotRun
from rillwright.errors import Cancelled
from rillwright.progress import Progress
from tests.app.service import PRESS, client, jobs_in

PATIENCE_S = 240.0  # the kernels may have to be compiled first
AT = f"/api/jobs/{PRESS}/over-time"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(jobs_in(tmp_path_factory.mktemp("jobs")))


def followed(desk: TestClient) -> dict[str, Any]:
    """What is said once it is done."""
    said: dict[str, Any] = desk.post(AT, json={"go": True}).json()
    late = time.monotonic() + PATIENCE_S
    while said["state"] == "running":
        assert time.monotonic() < late
        time.sleep(0.1)
        said = desk.get(AT).json()
    return said


def test_nothing_is_followed_unasked(tmp_path: Path) -> None:
    guest = client(jobs_in(tmp_path))
    guest.get(f"/api/jobs/{PRESS}")
    said = guest.get(AT).json()
    assert (said["state"], said["histories"], said["findings"]) == ("not run", [], [])
    refused = guest.get(f"{AT}/0")
    assert refused.status_code == 409
    assert "not followed yet" in refused.json()["problems"][0]["message"]


def test_histories_are_served_once_they_were_followed(desk: TestClient) -> None:
    said = followed(desk)
    assert said["state"] == "done"
    assert [each["case"] for each in said["histories"][:2]] == ["first start", "start"]
    assert len({each["words"] for each in said["histories"]}) == len(said["histories"])
    assert any(each["code"] == "start.lowest" for each in said["findings"])
    assert desk.get(f"{AT}/999").status_code == 422


def test_a_history_lies_on_paper_as_it_was_worked_out(desk: TestClient) -> None:
    """Rows and columns belong together, times rise, and the pond falls from its waterline as its trace does."""
    followed(desk)
    told = desk.get(f"{AT}/0").json()
    times = told["times_s"]
    assert times == sorted(times)
    columns = sum(len(strip["x"]) for strip in told["strips"])
    assert {len(row) for row in told["surface"]} == {columns}
    assert len(told["surface"]) == len(told["said"]) == len(times)
    for strip in told["strips"]:
        bed, here = strip["bed"], slice(strip["first"], strip["first"] + len(strip["bed"]))
        for row in told["surface"]:
            assert all(level <= ground + 2e-3 for level, ground in zip(row[here], bed, strict=True)), "over its bed"
    (basin,) = told["basins"]
    assert basin["level"][-1] > basin["level"][0], "down on paper: the stream was filled from it"
    assert told["stage_svg"].startswith("<svg")
    assert 'data-layer="water"' in told["stage_svg"]
    assert told["axis"]["lasted_s"] == told["lasted_s"]
    assert all(0.0 <= share <= 1.0 for sheet in told["sheets"] for share in sheet["share"])


def test_a_history_is_of_the_job_as_it_stands(tmp_path: Path) -> None:
    guest = client(jobs_in(tmp_path))
    assert followed(guest)["state"] == "done"
    page = guest.get(f"/api/jobs/{PRESS}").json()
    edits = [{"location": ["pond", "depth"], "typed": "2 ft 3 in"}]
    guest.post(f"/api/jobs/{PRESS}/save", json={"revision": page["revision"], "edits": edits})
    assert guest.get(AT).json()["state"] == "stale"
    assert guest.get(f"{AT}/0").status_code == 409


def test_it_is_left_off_by_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """What works in the thread asks whether to go on, and is told not to."""
    opened = job.open(job.examples()[PRESS])
    judged = job.judge(opened)
    begun, asked = threading.Event(), threading.Event()

    def slow(_: job.Job, before: job.Judged, *, progress: Progress) -> job.Judged:
        begun.set()
        asked.wait(30)
        if not progress(0.5, "first start"):
            raise Cancelled("stopped")
        return before

    monkeypatch.setattr(job, "follow", slow)
    found = Followed()
    found.go(opened, judged)
    assert begun.wait(30)
    assert found.standing(judged).state == "running"
    found.stop()
    asked.set()
    late = time.monotonic() + 30
    while found.standing(judged).state == "running":
        assert time.monotonic() < late
        time.sleep(0.01)
    assert found.standing(judged).state == "stopped"
    assert found.found(judged) is None
    found.go(opened, judged)
    assert found.standing(judged).state in ("running", "done"), "asked again it begins anew"


def test_the_quick_judgement_follows_nothing() -> None:
    judged = job.judge(job.open(job.examples()[PRESS]))
    assert isinstance(judged.assessment.over_time, NotRun)
    assert job.histories_of(judged) == ()
