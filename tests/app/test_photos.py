"""Photos of a job: kept by their hash, once, listed, handed out under one type; nothing else is taken or given."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from rillwright import job
from rillwright.app import Access
from tests.app.pictures import NO_PICTURES, PICTURES, png
from tests.app.service import ELSEWHERE, PRESS, client, jobs_in

TYPES = {"jpg": "image/jpeg", "png": "image/png", "webp": "image/webp", "heic": "image/heic"}
URL = f"/api/jobs/{PRESS}/photos"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return jobs_in(tmp_path)


@pytest.fixture
def desk(folder: Path) -> TestClient:
    return client(folder)


def named(content: bytes, kind: str) -> str:
    return f"{hashlib.sha256(content).hexdigest()}.{kind}"


@pytest.mark.parametrize("kind", PICTURES)
def test_a_photo_is_kept_by_its_hash_and_given_as_what_it_is(desk: TestClient, folder: Path, kind: str) -> None:
    content, name = PICTURES[kind], named(PICTURES[kind], kind)
    made = desk.post(URL, content=content, headers={"content-type": "text/html"})  # what it is called is not asked
    assert made.status_code == 201
    assert made.json() == [{"name": name, "size": len(content), "media_type": TYPES[kind], "shown": kind != "heic"}]
    assert (folder / PRESS / "files" / name).read_bytes() == content
    assert job.open(folder / PRESS).document.said.photos == [f"files/{name}"]
    given = desk.get(f"{URL}/{name}")
    assert given.content == content
    assert given.headers["content-type"] == TYPES[kind]
    assert given.headers["x-content-type-options"] == "nosniff"
    assert given.headers["content-security-policy"].startswith("default-src 'none'")
    assert given.headers["content-disposition"].startswith("attachment" if kind == "heic" else "inline")


@pytest.mark.parametrize("kind", NO_PICTURES)
def test_what_is_no_picture_is_refused_and_nothing_is_written(desk: TestClient, folder: Path, kind: str) -> None:
    before = (folder / PRESS / "feature.yaml").read_bytes()
    refused = desk.post(URL, content=NO_PICTURES[kind], headers={"content-type": "image/jpeg"})
    assert refused.status_code == 422
    assert [problem["field"] for problem in refused.json()["problems"]] == ["photo"]
    assert (folder / PRESS / "feature.yaml").read_bytes() == before
    assert not (folder / PRESS / "files").exists()


def test_too_large_is_said_before_it_is_read_and_readings_keep_their_own_bound(desk: TestClient) -> None:
    content = PICTURES["jpg"] + bytes(3_000_000)
    assert desk.post(URL, content=content).status_code == 201  # more than readings may be
    assert desk.post(f"/api/jobs/{PRESS}/shots", content=content).status_code == 413
    refused = desk.post(URL, content=PICTURES["jpg"] + bytes(job.LARGEST_PHOTO))
    assert refused.status_code == 413
    assert "20,000,000 bytes" in refused.json()["problems"][0]["message"]


def test_the_same_one_again_is_kept_once_and_the_file_stays_as_typed(desk: TestClient, folder: Path) -> None:
    before = (folder / PRESS / "feature.yaml").read_text(encoding="utf-8")
    first, second = png(), png(200)
    for content in (first, second, first):
        assert desk.post(URL, content=content).status_code == 201
    names = [f"files/{named(content, 'png')}" for content in (second, first)]
    after = (folder / PRESS / "feature.yaml").read_text(encoding="utf-8")
    assert f"photos: [{', '.join(names)}]\n" in after
    assert after.replace(f"photos: [{', '.join(names)}]\n", "") == before
    assert len(list((folder / PRESS / "files").iterdir())) == 2
    fields = desk.get(f"/api/jobs/{PRESS}").json()["fields"]
    assert not [each for each in fields if each["location"][0] == "photos"]  # no value that anybody types
    revision = desk.get(f"/api/jobs/{PRESS}").json()["revision"]
    assert desk.post(f"/api/jobs/{PRESS}/undo", json={"revision": revision}).status_code == 200
    assert [each["name"] for each in desk.get(URL).json()] == [named(first, "png")]


@pytest.mark.parametrize(
    ("listed", "asked"),
    [("photos: []\n", 1), ("photos:\n  - files/a.jpg\n", 2), ("photos: [files/a.jpg]  # mine\n", 2)],
    ids=["an empty list", "lines", "a remark"],
)
def test_a_list_that_is_there_is_added_to(desk: TestClient, folder: Path, listed: str, asked: int) -> None:
    file = folder / PRESS / "feature.yaml"
    file.write_text(listed + file.read_text(encoding="utf-8"), encoding="utf-8")
    assert desk.post(URL, content=png()).status_code == 201
    photos = job.open(folder / PRESS).document.said.photos
    assert (photos[0], len(photos)) == (f"files/{named(png(), 'png')}", asked)
    assert desk.get(URL).json()[0]["name"] == named(png(), "png")


@pytest.mark.parametrize("name", ["feature.yaml", "..%2ffeature.yaml", "%2fetc%2fpasswd", "x" * 3000, "a.jpg", "%00"])
def test_nothing_else_of_this_machine_is_given(desk: TestClient, folder: Path, name: str) -> None:
    file = folder / PRESS / "feature.yaml"
    listed = "photos: [feature.yaml, ../secret.jpg, /etc/passwd, files/a.jpg]\n"
    file.write_text(listed + file.read_text(encoding="utf-8"), encoding="utf-8")
    (folder / PRESS / "files").mkdir()
    (folder / PRESS / "files" / "a.jpg").write_bytes(PICTURES["jpg"])  # not by its hash
    assert desk.get(f"{URL}/{name}").status_code == 404
    assert desk.get(URL).json() == []


def test_a_name_that_leads_elsewhere_gives_nothing(desk: TestClient, folder: Path, tmp_path: Path) -> None:
    """A link under a digest to another file, and a picture that is another one by now."""
    content, name = png(), named(png(), "png")
    assert desk.post(URL, content=content).status_code == 201
    kept = folder / PRESS / "files" / name
    for other in (png(200), b"secret"):
        (tmp_path / "elsewhere").write_bytes(other)
        kept.unlink()
        kept.symlink_to(tmp_path / "elsewhere")
        assert desk.get(f"{URL}/{name}").status_code == 404
    assert desk.get(URL).json() == []


def test_photos_are_of_paired_devices_alone(folder: Path) -> None:
    access = Access(folder)
    stranger = client(folder, lan=True, at=ELSEWHERE, access=access)
    assert stranger.post(URL, content=png()).status_code == 401
    assert stranger.get(URL).status_code == 401
    said = stranger.post("/api/pair", json={"code": access.new_code(), "name": "lead"}).json()
    paired = {"authorization": f"Bearer {said['token']}"}
    assert stranger.post(URL, content=png(), headers=paired).status_code == 201
    assert stranger.get(f"{URL}/{named(png(), 'png')}", headers=paired).content == png()


def test_a_file_changed_by_another_hand_is_not_lost(desk: TestClient, folder: Path) -> None:
    desk.get(f"/api/jobs/{PRESS}")
    file = folder / PRESS / "feature.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("depth: 2 ft", "depth: 3 ft"), encoding="utf-8")
    assert desk.post(URL, content=png()).status_code == 201
    text = file.read_text(encoding="utf-8")
    assert "depth: 3 ft" in text
    assert named(png(), "png") in text
