"""A number that is touched on the job screen: what the service answers of it."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.app.service import PRESS, client, jobs_in

ASK = f"/api/jobs/{PRESS}/number"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(jobs_in(tmp_path_factory.mktemp("jobs")))


def asked(desk: TestClient, number: Any, edits: list[dict[str, Any]] | None = None) -> Any:
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    return desk.post(ASK, json={"revision": revision, "edits": edits or [], "number": number})


def test_a_number_of_a_drawing(desk: TestClient) -> None:
    (told,) = asked(desk, "reaches/b1.length").json()
    assert (told["what"], told["came"]) == ("length of bed b1", ["Typed in the file: 5 ft."])
    assert told["typed"][0]["location"] == ["stream", "course", 0, "length"]


def test_a_number_of_a_finding(desk: TestClient) -> None:
    (told,) = asked(desk, {"code": "lap.short", "element": "laps/at-r3", "name": "value"}).json()
    assert told["value"] == "1' 6\""
    assert told["typed"][0]["words"] == "length over which the pieces lie over each other"


def test_it_is_told_of_what_is_typed_just_now(desk: TestClient) -> None:
    edits = [{"location": ["stream", "course", 0, "length"], "typed": "6 ft"}]
    (told,) = asked(desk, "reaches/b1.length", edits).json()
    assert told["came"] == ["Typed in the file: 6 ft."]


@pytest.mark.parametrize(
    "number", ["", "falls/r1.nothing", {"code": "x", "element": "y", "name": "z"}, 7, {"code": "x"}]
)
def test_what_is_no_number_is_said(desk: TestClient, number: Any) -> None:
    answer = asked(desk, number)
    assert answer.status_code == 422
    assert answer.json()["problems"][0]["message"]


def test_another_revision_is_told(desk: TestClient) -> None:
    assert desk.post(ASK, json={"revision": "x", "edits": [], "number": "reaches/b1.length"}).status_code == 409


def test_fields_are_named_in_words(desk: TestClient) -> None:
    fields = desk.get(f"/api/jobs/{PRESS}").json()["fields"]
    point = next(each for each in fields if each["location"] == ["stream", "path", 2, 0])
    assert (point["words"], point["kind"], point["of"], point["element"]) == (
        "point 3 along the stream, across the sheet",
        "length",
        "stream brook",
        "stream brook",
    )
    assert not [each for each in fields if "_" in each["words"] or "/" in each["element"]]
