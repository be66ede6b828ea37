"""Every endpoint of a job: what it answers, and that its answers are those of `job` itself."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from rillwright import job
from rillwright.fit import FitProblem, fit
from tests.app.service import PRESS, client, jobs_in, sending, shot

READINGS = {"benchmark_reading": "4' 7\"", "head_reading": "2' 1\"", "lowest_reading": "5' 1\""}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return jobs_in(tmp_path_factory.mktemp("jobs"), PRESS, "clinic-forecourt")


@pytest.fixture(scope="module")
def desk(folder: Path) -> TestClient:
    return client(folder)


def deeper(revision: str, typed: str = "2 ft 3 in") -> dict[str, Any]:
    return {"revision": revision, "edits": [{"location": ["pond", "depth"], "typed": typed}]}


def test_hello_and_the_list_say_which_jobs_there_are(desk: TestClient) -> None:
    said = desk.get("/api/hello").json()
    assert (said["format"], said["who"]) == (1, "")
    assert [each["id"] for each in said["jobs"]] == ["clinic-forecourt", PRESS]
    assert desk.get("/api/jobs").json() == said["jobs"]


def test_the_list_follows_its_files(tmp_path: Path) -> None:
    folder = jobs_in(tmp_path)
    guest, file = client(folder), folder / PRESS / "feature.yaml"

    def names() -> list[str]:
        return [each["name"] for each in guest.get("/api/jobs").json()]

    (name,) = names()
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace(f"name: {name}", "name: Lower Press", 1), encoding="utf-8")
    assert names() == ["Lower Press"]
    file.write_text("pond: [", encoding="utf-8")
    assert names() == [PRESS], "listed all the same"
    file.unlink()
    assert names() == []


def test_one_job_alone_can_be_served(folder: Path) -> None:
    assert [each["id"] for each in client(folder / PRESS).get("/api/jobs").json()] == [PRESS]


def test_the_page_is_what_check_prints(desk: TestClient, folder: Path) -> None:
    page = desk.get(f"/api/jobs/{PRESS}").json()
    judged = job.judge(job.open(folder / PRESS))
    assert page["judged"] == json.loads(json.dumps(job.to_json(judged)))
    assert [each["label"] for each in page["key_numbers"]] == [each.label for each in job.key_numbers(judged)]
    assert page["last_step"] is None


def test_every_field_can_be_typed_as_it_is(desk: TestClient, folder: Path) -> None:
    """What is listed as typed stands there, and typing a listed default changes no level."""
    opened = job.open(folder / PRESS)
    fields = desk.get(f"/api/jobs/{PRESS}").json()["fields"]
    typed = [each for each in fields if not each["is_default"]]
    assert len(typed) > 80
    for each in typed[::9]:
        assert opened.with_value(tuple(each["location"]), each["typed"]).feature == opened.feature, each
    for each in [field for field in fields if field["is_default"]][::6]:
        assert opened.with_value(tuple(each["location"]), each["typed"]).feature.bodies, each


def test_a_try_writes_nothing_and_says_what_changed(desk: TestClient, folder: Path) -> None:
    before = (folder / PRESS / "feature.yaml").read_bytes()
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    tried = desk.post(f"/api/jobs/{PRESS}/try", json=deeper(revision)).json()
    assert any("2' 3\" deep" in sentence for sentence in tried["changed"]["sentences"])
    assert (folder / PRESS / "feature.yaml").read_bytes() == before


@pytest.mark.parametrize("name", ["plan", "long-section", "staircase"])
def test_what_is_typed_is_drawn_as_it_would_be_saved(desk: TestClient, name: str) -> None:
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    before = desk.get(f"/api/jobs/{PRESS}/drawings/{name}.svg").text
    tried = desk.post(f"/api/jobs/{PRESS}/try/drawings/{name}.svg", json=deeper(revision)).text
    assert desk.get(f"/api/jobs/{PRESS}/drawings/{name}.svg").text == before
    assert desk.post(f"/api/jobs/{PRESS}/save", json=deeper(revision)).status_code == 200
    assert desk.get(f"/api/jobs/{PRESS}/drawings/{name}.svg").text == tried


def test_the_same_try_is_judged_anew_once_a_file_is_another(desk: TestClient, folder: Path) -> None:
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    first = desk.post(f"/api/jobs/{PRESS}/try", json=deeper(revision)).json()
    assert desk.post(f"/api/jobs/{PRESS}/try", json=deeper(revision)).json() == first
    file = folder / PRESS / "feature.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("Invented example", "Seen again", 1), encoding="utf-8")
    assert desk.post(f"/api/jobs/{PRESS}/try", json=deeper(revision)).status_code == 409
    again = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    other = desk.post(f"/api/jobs/{PRESS}/try", json=deeper(again)).json()
    assert other["judged"]["digest"] != first["judged"]["digest"]
    assert other["judged"]["feature"]["note"].startswith("Seen again")


@pytest.mark.parametrize(
    "edit",
    [
        {"location": ["pond", "depth"], "typed": "2"},
        {"location": ["pond", "nowhere"], "typed": "2 ft"},
        {"location": ["pond", "rims", 99, "berm"], "typed": "2 in"},
        {"location": ["stream", "course"], "typed": "2 in"},
        {"location": [0], "typed": "2 in"},
        {"location": ["name"], "typed": "x" * 4000},
        {"location": ["note: |\n  x"], "typed": "x"},
    ],
    ids=["no unit", "no field", "no such rim", "no single value", "a number alone", "too long", "a key that is more"],
)
def test_what_cannot_be_typed_is_said(desk: TestClient, edit: dict[str, Any]) -> None:
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    answer = desk.post(f"/api/jobs/{PRESS}/try", json={"revision": revision, "edits": [edit]})
    assert answer.status_code == 422
    for problem in answer.json()["problems"]:
        assert problem["message"]
        assert (problem["file"], problem["line"]) == ("", None), "nobody who types looks into the file"


def test_a_save_is_written_and_a_second_hand_is_told(tmp_path: Path) -> None:
    """Two phones edit one element: the first is written, the second is told and sees what is there now."""
    folder = jobs_in(tmp_path)
    desk = client(folder)
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    saved = desk.post(f"/api/jobs/{PRESS}/save", json=deeper(revision)).json()
    assert "depth: 2 ft 3 in" in (folder / PRESS / "feature.yaml").read_text(encoding="utf-8")
    assert saved["last_step"] == {"what": "depth of the pond", "who": "", "ask": False}
    second = desk.post(f"/api/jobs/{PRESS}/save", json=deeper(revision, "2 ft 6 in"))
    assert second.status_code == 409
    assert "changed meanwhile" in second.json()["problems"][0]["message"]
    assert desk.post(f"/api/jobs/{PRESS}/undo", json={"revision": revision}).status_code == 409
    undone = desk.post(f"/api/jobs/{PRESS}/undo", json={"revision": saved["revision"]})
    assert "depth: 2 ft\n" in (folder / PRESS / "feature.yaml").read_text(encoding="utf-8")
    assert undone.json()["notes"][0] == "Taken back: depth of the pond"
    assert undone.json()["last_step"] is None
    nothing = desk.post(f"/api/jobs/{PRESS}/undo", json={"revision": undone.json()["revision"]})
    assert nothing.status_code == 409
    assert "nothing to take back" in nothing.json()["problems"][0]["message"]


def test_a_reading_that_would_be_taken_back_is_named_and_asked_about(tmp_path: Path) -> None:
    """The depth saved last is taken back first; what comes then is somebody's reading, and that is said beforehand."""
    folder = jobs_in(tmp_path)
    desk = client(folder)
    crest = shot("11111111-1111-4111-8111-111111111111", who="jm", time="2026-05-04T22:10:00-05:00")
    assert desk.post(f"/api/jobs/{PRESS}/shots", json=sending(crest)).json()["acknowledged"]
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    saved = desk.post(f"/api/jobs/{PRESS}/save", json=deeper(revision)).json()
    assert saved["last_step"]["what"] == "depth of the pond"
    undone = desk.post(f"/api/jobs/{PRESS}/undo", json={"revision": saved["revision"]}).json()
    stake = next(each["id"] for each in undone["judged"]["build"]["stakes"] if each["shot_at"] == crest["path"])
    assert undone["last_step"] == {"what": f"reading {stake} of jm, 22:10", "who": "jm", "ask": True}
    again = desk.post(f"/api/jobs/{PRESS}/undo", json={"revision": undone["revision"]}).json()
    read = "reading the crest of fall last of jm, 22:10, 4' 6 1/4\" (stone top)"
    assert again["notes"][0] == f"Taken back: {read}; it stays in shots.csv, withdrawn"
    assert again["last_step"] is None


def test_a_file_changed_by_another_hand_is_noticed(tmp_path: Path) -> None:
    folder = jobs_in(tmp_path)
    desk = client(folder)
    before = desk.get(f"/api/jobs/{PRESS}").json()
    file = folder / PRESS / "feature.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("depth: 2 ft", "depth: 3 ft"), encoding="utf-8")
    assert desk.post(f"/api/jobs/{PRESS}/save", json=deeper(before["revision"])).status_code == 409
    after = desk.get(f"/api/jobs/{PRESS}").json()
    assert "changed by another hand" in after["notes"][0]
    assert after["revision"] != before["revision"]
    book = folder / PRESS / "books" / "levels.csv"
    book.unlink()
    gone = desk.get(f"/api/jobs/{PRESS}")
    assert gone.status_code == 422
    assert gone.json()["problems"][0]["file"]
    assert str(folder) not in gone.text
    assert [each["id"] for each in desk.get("/api/jobs").json()] == [PRESS]


@pytest.mark.parametrize("name", ["plan", "long-section", "staircase"])
def test_drawings_hold_no_style_and_no_script(desk: TestClient, name: str) -> None:
    answer = desk.get(f"/api/jobs/{PRESS}/drawings/{name}.svg?theme=dark")
    assert answer.headers["content-type"] == "image/svg+xml"
    assert answer.text.startswith("<svg")
    assert "style=" not in answer.text
    assert "script" not in answer.text
    assert desk.get(f"/api/jobs/{PRESS}/drawings/{name}.svg?theme=loud").status_code == 422
    assert desk.get(f"/api/jobs/{PRESS}/drawings/{name}.svg?stream=nowhere").status_code in (200, 422)


def test_what_fits_is_what_fit_says_of_the_problem(desk: TestClient) -> None:
    (found,) = desk.get(f"/api/jobs/{PRESS}/fit").json()
    assert found["result"]["count"] == str(fit(FitProblem.from_json(found["problem"]), best=1).count)


def test_the_packet_is_a_pdf(desk: TestClient) -> None:
    answer = desk.get(f"/api/jobs/{PRESS}/packet.pdf")
    assert answer.content.startswith(b"%PDF-")
    assert answer.headers["content-type"] == "application/pdf"


def test_the_visit_answers_as_far_as_its_answers_reach(desk: TestClient, tmp_path: Path) -> None:
    asked = desk.get("/api/visit/questions?units=metric").json()
    needed = [each["key"] for each in asked if each["taken"] is None and not each["optional"]]
    nothing = desk.post("/api/visit", json={"answers": {}}).json()
    assert nothing["missing"] == needed == list(READINGS)
    assert nothing["judged"] is None
    some = desk.post("/api/visit", json={"answers": {**READINGS, "pond_length": "12"}}).json()
    assert [each["field"] for each in some["problems"]] == ["pond_length"]
    assert "pond length" in [each["words"] for each in some["taken"]]
    whole = desk.post("/api/visit", json={"answers": READINGS}).json()
    there = job.visit(job.Answers(**READINGS), tmp_path / "there")
    assert whole["staircase"] == there.staircase
    assert whole["key_numbers"][0]["value"] == job.key_numbers(there.judged)[0].value
    assert whole["picture_svg"].startswith("<svg")


@pytest.mark.parametrize(
    "answers",
    [{"photo": "feature.yaml"}, {"photo": "../../secret.png"}, {"nothing": "1"}, {"head_reading": 3}],
    ids=["a photo", "another's photo", "no question", "a number"],
)
def test_no_file_of_this_machine_is_taken_from_afar(desk: TestClient, answers: dict[str, Any]) -> None:
    assert desk.post("/api/visit", json={"answers": answers}).status_code == 422
    assert desk.post("/api/jobs", json={"answers": answers}).status_code == 422


def test_what_is_optional_is_asked_kept_and_named_where_it_cannot_be_used(tmp_path: Path) -> None:
    desk = client(jobs_in(tmp_path))
    optional = [each for each in desk.get("/api/visit/questions?units=us").json() if each["optional"]]
    assert [each["key"] for each in optional] == [
        "soil", "groundwater", "held", "own_machine", "power_distance", "power_protected", "notes",
    ]  # fmt: skip
    said = {
        "soil": "clay", "groundwater": "5 ft", "held": "at rest", "own_machine": "3' 2\", 9 ft, 600 lb at 6 ft",
        "power_distance": "40 ft", "power_protected": "yes", "notes": "Gas: hedge\nNeighbour 2 ft lower",
    }  # fmt: skip
    wrong = desk.post("/api/visit", json={"answers": {**READINGS, **said, "soil": "peat", "own_machine": "3 ft"}})
    assert {each["field"] for each in wrong.json()["problems"]} == {"soil", "own_machine"}
    assert wrong.json()["judged"]["feature"]["site"]["note"] == said["notes"]
    made = desk.post("/api/jobs", json={"answers": {**READINGS, **said}}).json()["id"]
    opened = job.open(tmp_path / made)
    assert opened.document.said.site is not None
    assert opened.document.said.site.note == opened.feature.site.note == said["notes"]
    assert opened.feature.site.soil == "clay"
    machine = opened.feature.site.accesses[0].machine
    assert machine is not None
    assert machine.width_m == pytest.approx(38 * 0.0254)


def test_the_page_of_a_visit_is_a_pdf_for_the_client_and_nothing_is_kept(desk: TestClient, tmp_path: Path) -> None:
    found = desk.post("/api/visit/page.pdf", json={"answers": READINGS})
    assert (found.status_code, found.headers["content-type"]) == (200, "application/pdf")
    assert found.content.startswith(b"%PDF-")
    missing = desk.post("/api/visit/page.pdf", json={"answers": {}})
    assert missing.status_code == 422
    assert {each["field"] for each in missing.json()["problems"]} >= {"benchmark_reading", "head_reading"}
    words = [each["words"] for each in desk.get("/api/visit/questions?units=us").json()]
    assert not [each for each in words if "(" in each], "nothing is asked to be typed where words are touched"


def test_a_visit_is_kept_under_a_name_of_its_own(tmp_path: Path) -> None:
    folder = jobs_in(tmp_path)
    desk = client(folder)
    for expected in ("mill-lane", "mill-lane-2"):
        made = desk.post("/api/jobs", json={"answers": {**READINGS, "name": "../Mill Lane $(x)/"[:12]}})
        assert (made.status_code, made.json()["id"]) == (201, expected)
        assert (folder / expected / "visit.pdf").is_file()
    page = desk.get("/api/jobs/mill-lane").json()
    assert (page["job"]["name"], page["visit_page"]) == ("../Mill Lane", True)
    left = desk.get("/api/jobs/mill-lane/visit.pdf")
    assert left.headers["content-type"] == "application/pdf"
    assert left.content == (folder / "mill-lane" / "visit.pdf").read_bytes()
    for put in (
        lambda at: at.write_text("no page"),
        lambda at: (at.unlink(), at.symlink_to(folder / PRESS / "feature.yaml")),
    ):
        put(folder / "mill-lane" / "visit.pdf")
        assert desk.get("/api/jobs/mill-lane").json()["visit_page"] is False
        assert desk.get("/api/jobs/mill-lane/visit.pdf").status_code == 404
    one = client(folder / PRESS).post("/api/jobs", json={"answers": READINGS})
    assert one.status_code == 409
