"""What the water does, and odds of edges, through the service: as saved, with values typed anew, refused in words."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from rillwright import job
from tests.app.service import COURT, PRESS, client, jobs_in
from tests.app.test_over_time import followed

AT = f"/api/jobs/{PRESS}"
WIDER = [{"location": ["stream", "course", 3, "crest_width"], "typed": "30 in"}]  # of ripple r2


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(jobs_in(tmp_path_factory.mktemp("jobs"), PRESS, COURT))


def tried(desk: TestClient, path: str, edits: list[dict[str, Any]], at: str = AT) -> Any:
    revision = desk.get(at).json()["revision"]
    return desk.post(f"{at}/try/{path}", json={"revision": revision, "edits": edits})


def cell(water: dict[str, Any], path: str, head: str) -> str:
    """Of a row of the first stream's crests."""
    crests = water["streams"][0]["crests"]
    row = next(row for row in crests["rows"] if row["path"] == path)
    said: str = row["cells"][crests["heads"].index(head)]["text"]
    return said


def test_it_is_told_as_the_service_has_it(desk: TestClient) -> None:
    water = desk.get(f"{AT}/water").json()
    judged = job.judge(job.open(job.examples()[PRESS]))
    told = job.water_told(judged)
    assert [run["id"] for run in water["runs"]] == ["supply"]
    assert [line["text"] for line in water["runs"][0]["said"]] == [line.text for line in told.runs[0].said]
    assert [row["path"] for row in water["streams"][0]["crests"]["rows"]] == [
        f"falls/{fall.id}" for fall in judged.assessment.feature.falls
    ]
    for row in water["streams"][0]["crests"]["rows"]:
        for each in row["cells"]:
            for start, end, of in each["numbers"]:
                assert each["text"][start:end]
                assert of.startswith(("falls/", "reaches/"))


def test_what_is_typed_moves_its_row_and_nothing_is_written(desk: TestClient) -> None:
    before = desk.get(f"{AT}/water").json()
    after = tried(desk, "water", WIDER).json()
    assert cell(before, "falls/r2", "wide") == "2\u2032\u00a00\u2033"
    assert cell(after, "falls/r2", "wide") == "2\u2032\u00a06\u2033"
    assert cell(after, "falls/r2", "head on it") != cell(before, "falls/r2", "head on it")
    assert cell(after, "falls/r3", "head on it") == cell(before, "falls/r3", "head on it")
    assert desk.get(f"{AT}/water").json() == before


def test_its_drawings_are_of_the_run_and_the_stream_that_are_asked_for(desk: TestClient) -> None:
    at = f"/api/jobs/{COURT}"
    long, short = (desk.get(f"{at}/drawings/pump.svg?run={run}").text for run in ("long", "short"))
    assert "runs/long flow" in long
    assert "runs/short flow" in short
    assert desk.get(f"{at}/drawings/pump.svg").text == long
    refused = desk.get(f"{at}/drawings/pump.svg?run=none")
    assert refused.status_code == 422
    assert refused.json()["problems"][0]["message"] == "there is no such pipe run"
    assert desk.get(f"{at}/drawings/depths.svg?stream=rill").status_code == 200
    typed = [{"location": ["stream", "width"], "typed": "1.2 m"}]
    assert tried(desk, "drawings/depths.svg", typed, at).text != desk.get(f"{at}/drawings/depths.svg").text


def test_numbers_of_its_rows_and_sentences_are_told(desk: TestClient) -> None:
    water = desk.get(f"{AT}/water").json()
    revision = desk.get(AT).json()["revision"]
    (_, _, of) = water["runs"][0]["said"][0]["numbers"][0]
    answer = desk.post(f"{AT}/number", json={"revision": revision, "edits": [], "number": of})
    (told,) = answer.json()
    assert told["what"] == "flow of pipe run supply"
    assert told["band"].startswith("may be ")


def test_odds_are_told_once_they_were_drawn_and_of_the_job_as_saved_alone(desk: TestClient) -> None:
    guest = desk.get(f"{AT}/over-time").json()["odds"]
    assert guest["edges"] == []
    assert guest["reason"]
    said = followed(desk)["odds"]
    assert said["reason"] == ""
    assert {edge["path"] for edge in said["edges"]} >= {"ponds/pond"}
    assert "builder alone" in said["how"]
    assert all(0.0 <= edge["chance"] <= 1.0 for edge in said["edges"])
