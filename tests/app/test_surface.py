"""The finished work through the service: made on demand beside everything else, as one file; edges in words."""

from __future__ import annotations

import io
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from starlette.testclient import TestClient

from rillwright import job
from rillwright.assessment import NotRun
from tests.app.service import COURT, PRESS, client, jobs_in

PATIENCE_S = 120.0
AT = f"/api/jobs/{COURT}/surface"
SOLID = ["ground", "dug", "liner", "finished"]
WATERS = ["water at rest", "water running", "highest water"]


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(jobs_in(tmp_path_factory.mktemp("jobs"), COURT, PRESS))


def made(desk: TestClient) -> dict[str, Any]:
    """What is said once it is done."""
    said: dict[str, Any] = desk.post(AT, json={"go": True}).json()
    late = time.monotonic() + PATIENCE_S
    while said["state"] == "running":
        assert time.monotonic() < late
        time.sleep(0.05)
        said = desk.get(AT).json()
    return said


def meshes(content: bytes) -> dict[str, trimesh.Trimesh]:
    found = trimesh.load_scene(io.BytesIO(content), file_type="glb", process=False)
    return {name: each for name, each in found.geometry.items() if isinstance(each, trimesh.Trimesh)}


def test_nothing_is_made_unasked(tmp_path: Path) -> None:
    guest = client(jobs_in(tmp_path, COURT))
    guest.get(f"/api/jobs/{COURT}")
    assert (guest.get(AT).json()["state"], guest.get(AT).json()["drawings"]) == ("not run", [])
    assert guest.get(f"{AT}/earth.svg").status_code == 409
    refused = guest.get(f"{AT}.glb")
    assert refused.status_code == 409
    assert "not made yet" in refused.json()["problems"][0]["message"]


def test_the_file_holds_the_surfaces_and_the_water_on_them(desk: TestClient) -> None:
    assert made(desk)["state"] == "done"
    answer = desk.get(f"{AT}.glb")
    assert answer.headers["content-type"] == "model/gltf-binary"
    found = meshes(answer.content)
    assert list(found) == [*SOLID, *WATERS]
    assert desk.get(f"{AT}.glb").content == answer.content


def test_what_is_shown_is_what_was_assessed(desk: TestClient) -> None:
    """Places of the file against those of the surfaces themselves, and the waterline against the feature's own."""
    made(desk)
    found = meshes(desk.get(f"{AT}.glb").content)
    opened = job.open(job.examples()[COURT])
    judged = job.finish(opened, job.judge(opened))
    finished, water = judged.assessment.finished, judged.assessment.water
    assert not isinstance(finished, NotRun)
    assert not isinstance(water, NotRun)
    least = np.floor(min(mesh.xyz[:, 2].min() for mesh in (finished.ground, finished.dug, finished.liner)))
    for name in SOLID:
        mesh = getattr(finished, name)
        assert len(found[name].faces) == len(mesh.triangles)
        levels = found[name].vertices[:, 1]
        assert levels.min() + least == pytest.approx(mesh.xyz[mesh.triangles, 2].min(), abs=1e-5)
        assert levels.max() + least == pytest.approx(mesh.xyz[mesh.triangles, 2].max(), abs=1e-5)
    rest, running, highest = (found[name].vertices[:, 1] + least for name in WATERS)
    assert rest.min() == pytest.approx(water.balance.held_m, abs=1e-5)
    assert running.min() == pytest.approx(water.balance.running_level_m.value, abs=1e-5)
    worst = max(each.level_m.value for each in water.highest if each.path == f"ponds/{water.balance.body}")
    assert highest.min() == pytest.approx(worst, abs=1e-5)


def test_the_water_covers_no_more_than_the_pond_and_at_rest_its_own_area(desk: TestClient) -> None:
    """The sheet at rest in the pond against the area at the waterline that the water layer has, stone left out of
    both; the mesh has chords for the outline's curve and islands taken out."""
    made(desk)
    told = desk.get(f"{AT}.glb").content
    opened = job.open(job.examples()[COURT])
    judged = job.finish(opened, job.judge(opened))
    water = judged.assessment.water
    assert not isinstance(water, NotRun)
    sheet = meshes(told)["water at rest"]
    low = np.abs(sheet.triangles[:, :, 1].max(axis=1) - sheet.vertices[:, 1].min()) < 1e-4
    assert sheet.area_faces[low].sum() == pytest.approx(water.pond.area_m2, rel=0.02)


def test_plan_and_sections_are_listed_and_drawn(desk: TestClient) -> None:
    listed = made(desk)["drawings"]
    assert [each["name"] for each in listed] == ["earth", "A", "B", "C"]
    assert listed[1]["words"].startswith("section A: the rim at ")
    for each in listed[:2]:
        answer = desk.get(f"{AT}/{each['name']}.svg?narrow=true")
        assert answer.headers["content-type"] == "image/svg+xml"
        assert answer.text.startswith("<svg")
    refused = desk.get(f"{AT}/Z.svg")
    assert (refused.status_code, "no such drawing" in refused.text) == (422, True)


def test_it_is_of_the_job_as_it_stands(tmp_path: Path) -> None:
    guest = client(jobs_in(tmp_path, COURT))
    assert made(guest)["state"] == "done"
    page = guest.get(f"/api/jobs/{COURT}").json()
    edits = [{"location": ["pond", "depth"], "typed": "560 mm"}]
    saved = guest.post(f"/api/jobs/{COURT}/save", json={"revision": page["revision"], "edits": edits})
    assert saved.status_code == 200, saved.text
    assert guest.get(AT).json()["state"] == "stale"
    assert guest.get(f"{AT}.glb").status_code == 409


def test_the_quick_judgement_makes_no_surface() -> None:
    assert isinstance(job.judge(job.open(job.examples()[COURT])).assessment.finished, NotRun)


def test_edges_are_told_and_follow_what_is_typed(desk: TestClient) -> None:
    page = desk.get(f"/api/jobs/{PRESS}").json()
    rims = page["rims"]
    assert rims["reason"] == ""
    assert rims["rims"][0] == {"path": "ponds/pond", "words": "edge round the pond and stream brook"}
    assert 1 <= len(rims["lowest"]) <= 3
    assert rims["lowest"][0][0].startswith(("rims/", "reaches/", "falls/"))
    edits = [{"location": ["pond", "waterline"], "typed": "-2 ft"}]
    tried = desk.post(f"/api/jobs/{PRESS}/try?brief=true", json={"revision": page["revision"], "edits": edits}).json()
    assert tried["rims"]["lowest"] != rims["lowest"]


@pytest.mark.parametrize("name", ["rims", "spills"])
def test_edges_are_drawn(desk: TestClient, name: str) -> None:
    at = f"/api/jobs/{PRESS}/drawings/{name}.svg"
    for narrow in ("true", "false"):
        answer = desk.get(f"{at}?narrow={narrow}")
        assert answer.status_code == 200
        assert answer.text.startswith("<svg")
    if name == "rims":
        assert desk.get(f"{at}?rim=ponds/pond").text == desk.get(at).text
        refused = desk.get(f"{at}?rim=ponds/none")
        assert refused.status_code == 422, refused.text
