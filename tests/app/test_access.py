"""Who may come in: loopback, paired devices, nobody else; and from which pages."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from starlette.testclient import TestClient

from rillwright.app import Access
from rillwright.app.guard import LARGEST_BODY
from rillwright.cli.program import program
from tests.app.service import ELSEWHERE, PRESS, client, jobs_in


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return jobs_in(tmp_path)


@pytest.fixture
def access(folder: Path) -> Access:
    return Access(folder)


@pytest.fixture
def desk(folder: Path, access: Access) -> TestClient:
    return client(folder, lan=True, access=access)


@pytest.fixture
def phone(folder: Path, access: Access) -> TestClient:
    return client(folder, lan=True, at=ELSEWHERE, access=access)


HALF_A_LETTER = b'{"answers":{"look":"\\ud800"}}'


def bearer(token: str) -> dict[str, str]:
    return {"authorization": f"Bearer {token}"}


def paired(phone: TestClient, access: Access, name: str = "mason") -> str:
    return str(phone.post("/api/pair", json={"code": access.new_code(), "name": name}).json()["token"])


def test_a_device_is_let_in_once_it_is_paired_and_until_it_is_withdrawn(
    phone: TestClient, desk: TestClient, access: Access, folder: Path
) -> None:
    assert phone.get("/api/hello").status_code == 401
    token = paired(phone, access)
    assert phone.get("/api/hello", headers=bearer(token)).json()["who"] == "mason"
    assert [each["name"] for each in desk.get("/api/devices").json()] == ["mason"]
    stored = (folder / ".rillwright" / "devices.json").read_text(encoding="utf-8")
    assert token not in stored
    assert (folder / ".rillwright" / "devices.json").stat().st_mode & 0o077 == 0
    assert desk.delete("/api/devices/mason").status_code == 200
    assert phone.get("/api/hello", headers=bearer(token)).status_code == 401
    assert desk.delete("/api/devices/mason").status_code == 404


def test_a_code_pairs_one_device(phone: TestClient, access: Access) -> None:
    code = access.new_code()
    assert phone.post("/api/pair", json={"code": code, "name": ""}).status_code == 422  # and stays good
    assert phone.post("/api/pair", json={"code": code, "name": "a"}).status_code == 200
    assert phone.post("/api/pair", json={"code": code, "name": "b"}).status_code == 403
    void = access.new_code()
    access.new_code()
    assert phone.post("/api/pair", json={"code": void, "name": "b"}).status_code == 403
    assert [device.name for device in access.devices()] == ["a"]


def test_a_code_does_not_last(phone: TestClient, access: Access, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rillwright.app.access.CODE_LASTS_S", -1.0)
    assert phone.post("/api/pair", json={"code": access.new_code(), "name": "late"}).status_code == 403


def test_two_devices_of_one_name_are_told_apart(phone: TestClient, access: Access) -> None:
    first, second = paired(phone, access), paired(phone, access)
    names = [phone.get("/api/hello", headers=bearer(token)).json()["who"] for token in (first, second)]
    assert names == ["mason", "mason 2"]


def test_the_command_lists_and_withdraws_while_the_service_runs(
    phone: TestClient, access: Access, folder: Path
) -> None:
    token = paired(phone, access)
    run = CliRunner().invoke
    assert "mason" in run(program, ["serve", str(folder), "--devices"]).output
    assert run(program, ["serve", str(folder), "--withdraw", "mason"]).exit_code == 0
    assert phone.get("/api/hello", headers=bearer(token)).status_code == 401
    assert run(program, ["serve", str(folder), "--withdraw", "mason"]).exit_code == 2


@pytest.mark.parametrize(
    "said",
    ["", "Bearer", "Bearer ", "Bearer x", "Basic eDp5", "Bearer " + "x" * 5000, "Bearer \xff"],
    ids=["none", "bare", "empty", "wrong", "another kind", "long", "no letter"],
)
def test_a_wrong_token_is_no_token(phone: TestClient, access: Access, said: str) -> None:
    paired(phone, access)
    answer = phone.get("/api/jobs", headers={b"authorization": said.encode("latin-1")})
    assert answer.status_code == 401
    assert answer.json()["problems"][0]["message"]


def test_a_token_twice_is_no_token(phone: TestClient, access: Access) -> None:
    token = paired(phone, access)
    twice = [("authorization", f"Bearer {token}"), ("authorization", "Bearer x")]
    assert phone.get("/api/jobs", headers=twice).status_code == 401


@pytest.mark.parametrize("path", ["/api/devices", "/pairing", "/pairing.svg"])
def test_devices_and_codes_are_of_this_machine_alone(phone: TestClient, access: Access, path: str) -> None:
    assert phone.get(path, headers=bearer(paired(phone, access))).status_code == 403


def test_the_square_is_shown_on_the_machine_itself(desk: TestClient, folder: Path) -> None:
    page = desk.get("/pairing")
    assert "data:image/svg+xml" in page.text
    assert "img-src data:" in page.headers["content-security-policy"]
    assert desk.get("/pairing.svg").text.startswith("<svg")
    assert page.headers["cache-control"] == "no-store"
    assert client(folder).get("/pairing").status_code == 409  # nobody could come


def test_a_list_of_devices_that_cannot_be_read_lets_nobody_in(phone: TestClient, access: Access) -> None:
    token = paired(phone, access)
    access.file.write_text("{", encoding="utf-8")
    answer = phone.get("/api/jobs", headers=bearer(token))
    assert answer.status_code == 503  # a phone keeps its readings and tries later
    assert "no list of devices" in answer.json()["problems"][0]["message"]


@pytest.mark.parametrize(
    "host", ["evil.example", "localhost.evil.example", "127.0.0.1.evil.example", "", "[", "10.0.0.1"]
)
def test_another_host_is_refused_on_loopback(folder: Path, host: str) -> None:
    assert client(folder).get("/api/hello", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost:9", "127.0.0.1", "[::1]:8321", "LOCALHOST"])
def test_the_machines_own_names_are_known(folder: Path, host: str) -> None:
    assert client(folder).get("/api/hello", headers={"host": host}).status_code == 200


def test_a_name_that_was_made_to_point_here_is_refused_in_the_network(phone: TestClient, access: Access) -> None:
    token = paired(phone, access)
    assert phone.get("/api/hello", headers=bearer(token) | {"host": "evil.example"}).status_code == 421


def test_loopback_goes_by_both_ends(folder: Path, access: Access) -> None:
    """A name of loopback in the request does not make a device of the network this machine."""
    phone = client(folder, lan=True, at=ELSEWHERE, access=access)
    assert phone.get("/api/hello", headers={"host": "localhost:8321"}).status_code == 401


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://localhost:1"},
        {"origin": "https://localhost:8321"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
    ids=str,
)
def test_another_page_can_do_nothing(folder: Path, headers: dict[str, str]) -> None:
    desk = client(folder)
    assert desk.get("/api/jobs", headers=headers).status_code == 403
    assert desk.post(f"/api/jobs/{PRESS}/shots", json={}, headers=headers).status_code == 403


def test_its_own_pages_can(folder: Path) -> None:
    own = {"origin": "http://localhost:8321", "sec-fetch-site": "same-origin"}
    assert client(folder).get("/api/jobs", headers=own).status_code == 200


@pytest.mark.parametrize(
    "path",
    [
        "%2e%2e%2fjobs",
        "..%2f..",
        "%2fetc",
        ".rillwright",
        "orchard-press%2f..",
        "orchard-press%00",
        "ORCHARD-PRESS",
        "x" * 4000,
    ],
)
def test_no_way_leads_out_of_the_listing(folder: Path, path: str) -> None:
    assert client(folder).get(f"/api/jobs/{path}").status_code == 404
    assert client(folder).get(f"/pages/{path}").status_code == 404
    assert client(folder).get(f"/api/jobs/{path}/kit").status_code == 404


def test_a_folder_that_leads_outside_is_not_listed(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    elsewhere = jobs_in(tmp_path_factory.mktemp("elsewhere"))
    (folder / "leads-out").symlink_to(elsewhere / PRESS, target_is_directory=True)
    assert [each["id"] for each in client(folder).get("/api/jobs").json()] == [PRESS]


def test_what_says_that_it_is_large_is_not_read(folder: Path) -> None:
    sent = 0

    def parts() -> Iterator[bytes]:
        nonlocal sent
        for _ in range(300):
            sent += 1_000_000
            yield b" " * 1_000_000

    desk = client(folder)
    answer = desk.post(f"/api/jobs/{PRESS}/shots", content=parts())  # in pieces, without its length
    assert answer.status_code == 413
    assert answer.json()["problems"][0]["message"].endswith(f"{LARGEST_BODY:,} bytes are taken")
    said = desk.post(f"/api/jobs/{PRESS}/shots", content=b"{}", headers={"content-length": "300000000"})
    assert said.status_code == 413


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[",
        b"[" * 200_000,
        b'{"answers":1}',
        b"NaN",
        b'{"answers":{"look":1e999}}',
        b"\xff\xfe",
        b'{"answers":{"look":"\\ud800"}}',
    ],
    ids=["nothing", "broken", "deep", "a number", "no number", "endless", "no text", "half a letter"],
)
def test_what_is_no_request_is_said_in_words(folder: Path, body: bytes) -> None:
    answer = client(folder).post("/api/visit", content=body, headers={"content-type": "application/json"})
    assert answer.status_code in (400, 422)
    assert answer.json()["problems"][0]["message"]


def test_what_goes_wrong_here_is_told_without_its_entrails(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: Any) -> None:
        raise ZeroDivisionError("secret")

    monkeypatch.setattr("rillwright.app.house.House.jobs", broken)
    answer = client(folder).get("/api/jobs")
    assert answer.status_code == 500
    assert "secret" not in answer.text
    assert answer.json()["problems"]


def test_answers_bear_their_guards(folder: Path) -> None:
    desk = client(folder)
    for answer in (
        desk.get("/"),
        desk.get("/api/jobs"),
        desk.get("/nope"),
        desk.get("/api/jobs", headers={"host": "x"}),
    ):
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert "frame-ancestors 'none'" in answer.headers["content-security-policy"]
        assert "unsafe" not in answer.headers["content-security-policy"]
    assert desk.get("/api/jobs").headers["cache-control"] == "no-store"


def test_each_page_runs_what_it_was_built_with(
    folder: Path, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    static = tmp_path_factory.mktemp("static")
    (static / "day.html").write_text("<!doctype html><title>x</title>", encoding="utf-8")
    (static / "secret.txt").write_text("x", encoding="utf-8")
    (static / "policy.json").write_text(
        json.dumps({"day.html": {"script": ["sha256-YQ=="], "style": []}}), encoding="utf-8"
    )
    monkeypatch.setattr("rillwright.app.pages.STATIC", static)
    desk = client(folder)
    answer = desk.get("/day.html")
    said = answer.headers["content-security-policy"]
    assert (
        "script-src 'sha256-YQ=='; style-src 'none'; font-src 'self'; connect-src 'self'; img-src 'self' data:" in said
    )
    assert desk.get("/").text == answer.text
    assert desk.get("/day.html", headers={"if-none-match": answer.headers["etag"]}).status_code == 304
    for name in ("policy.json", "secret.txt", ".built-from"):
        assert desk.get(f"/{name}").status_code == 404
    (static / "day.html").unlink()
    assert "not built" in desk.get("/").json()["problems"][0]["message"]
