"""The kit, and readings from phones: acknowledged when on the disk, each once, refused one by one."""

from __future__ import annotations

import errno
import os
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from rillwright import job
from rillwright.survey import read_shots, whole_nm
from tests.app.service import BENCHMARK, COURT, PRESS, client, jobs_in, kept, sending, shot

SHOTS = f"/api/jobs/{PRESS}/shots"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return jobs_in(tmp_path)


@pytest.fixture
def phone(folder: Path) -> TestClient:
    return client(folder)


def test_the_kit_holds_what_the_phone_needs(phone: TestClient, folder: Path) -> None:
    kit = phone.get(f"/api/jobs/{PRESS}/kit").json()
    opened = job.open(folder / PRESS)
    assert kit["benchmark"] == {"good": "0.003175", "bad": "0.00635"}  # 1/8 in and 1/4 in, exactly
    assert {"id": "bolt", "name": "bolt (benchmark)", "level_nm": 0} in kit["marks"]
    places = {(each["path"], each["surface"]): each for each in kit["places"]}
    crest = places["falls/r4.crest", "stone top"]
    fall = next(each for each in opened.planned.falls if each.id == "r4")
    assert crest["planned_nm"] == whole_nm(fall.crest.m)
    assert crest["low_nm"] < crest["planned_nm"] < crest["high_nm"]
    assert all(each["margins"][-1]["up_to_nm"] is None for each in kit["places"] if each["planned_nm"] is not None)
    assert len(kit["holds"]) == len(job.judge(opened).assessment.build.holds)  # type: ignore[union-attr]
    assert {hold["called"] for hold in kit["holds"] if hold["at"] == "ponds/pond"} == {"the pond"}
    assert not [hold["called"] for hold in kit["holds"] if "/" in hold["called"]], "in words, never by its path"
    (stream,) = kit["fits"]
    assert (stream["stream"], len(stream["reaches"]), len(stream["falls"])) == ("brook", 5, 5)
    assert stream["held_m"] == opened.planned.body("pond").waterline.m
    assert kit["last_m"] == [0.254, 0.2032]  # 10 in and 8 in: common practice, no source


def test_every_place_of_the_kit_can_be_shot(phone: TestClient) -> None:
    """What the phone may shoot, the service knows, on the surface that the kit names."""
    places = phone.get(f"/api/jobs/{PRESS}/kit").json()["places"]
    rows = [shot(f"p-{n}", path=each["path"], surface=each["surface"]) for n, each in enumerate(places)]
    reduced = phone.post(SHOTS, json=sending(shot("b", **BENCHMARK), *rows)).json()["reduced"]
    strange = [each for each in reduced if {"element", "surface"} & {q["code"] for q in each["questions"]}]
    assert not strange
    assert [each["planned_m"] is None for each in reduced[1:]] == [each["planned_nm"] is None for each in places]


def test_a_rim_too_low_is_told_by_its_margins(phone: TestClient) -> None:
    """common practice, no source: a rim 3 in above the highest water is well, below 2 in it is not."""
    places = phone.get(f"/api/jobs/{PRESS}/kit").json()["places"]
    rim = next(each for each in places if each["path"].startswith("rims/") and each["surface"] == "liner")
    stop, watch, well = rim["margins"]
    assert [each["severity"] for each in rim["margins"]] == ["stop", "watch", "ok"]
    assert watch["up_to_nm"] - stop["up_to_nm"] == 25_400_000
    assert well["up_to_nm"] is None


def test_in_metres_the_margins_of_the_phone_are_those_of_the_findings(tmp_path: Path) -> None:
    """common practice, no source: where people measure in metres 3 in is 75 mm, 2 in is 50 mm, 1 in is 25 mm."""
    folder = jobs_in(tmp_path, COURT)
    judged = job.judge(job.open(folder / COURT))
    rim = next(each for each in judged.findings if each.code == "rim.low")
    assert rim.limit_high == pytest.approx(0.075)
    places = client(folder).get(f"/api/jobs/{COURT}/kit").json()["places"]
    for place in places:
        if place["path"].startswith(("rims/", "laps/")) and place["surface"] == "liner":
            stop, watch, _ = place["margins"]
            assert watch["up_to_nm"] - stop["up_to_nm"] == 25_000_000


def test_a_reading_is_reduced_and_what_changed_is_said(phone: TestClient, folder: Path) -> None:
    rows = (shot("b", **BENCHMARK), shot("s", reading="4' 5 1/4\""))  # an inch high
    answer = phone.post(SHOTS, json=sending(*rows)).json()
    assert answer["acknowledged"] == ["b", "s"] == kept(folder)
    found = next(each for each in answer["reduced"] if each["uuid"] == "s")
    assert found["level_m"] - found["planned_m"] == pytest.approx(0.0254)
    assert answer["changed"]["sentences"]
    codes = [each["after"]["code"] for each in answer["changed"]["findings"] if each["after"]]
    assert "shot.open" in codes
    told = " ".join(answer["changed"]["sentences"])
    assert "read again" not in told, "that is due at the end of the set-up, and not said after each shot"
    again = phone.post(SHOTS, json=sending(*rows)).json()
    assert again["acknowledged"] == ["b", "s"]
    assert again["changed"] == {"sentences": [], "findings": []}
    assert kept(folder) == ["b", "s"]
    withdrawn = shot("w", re="s", reading="", path="", surface="", rod="", setup="", state="withdrawn")
    answer = phone.post(SHOTS, json=sending(withdrawn)).json()
    assert [(each["uuid"], each["state"]) for each in answer["reduced"]] == [("s", "withdrawn")]


def test_a_kit_is_another_when_the_plan_is(phone: TestClient) -> None:
    kit = phone.get(f"/api/jobs/{PRESS}/kit").json()
    assert phone.post(SHOTS, json=sending(shot("b", **BENCHMARK))).json()["kit"] == kit["digest"]
    revision = phone.get(f"/api/jobs/{PRESS}").json()["revision"]
    edit = {"location": ["pond", "waterline"], "typed": "5 in below apron"}
    phone.post(f"/api/jobs/{PRESS}/save", json={"revision": revision, "edits": [edit]})
    assert phone.post(SHOTS, json=sending()).json()["kit"] != kit["digest"]


def test_the_kit_brings_the_readings_of_the_day(phone: TestClient) -> None:
    today = datetime.now().astimezone().date().isoformat()
    old, new = shot("old", **BENCHMARK), shot("new", **BENCHMARK, setup=f"{today}/1")
    phone.post(SHOTS, json=sending(old, new))
    assert [each["uuid"] for each in phone.get(f"/api/jobs/{PRESS}/kit").json()["shots"]] == ["new"]


def test_the_streams_of_the_kit_are_built_but_for_the_readings_of_the_day(phone: TestClient, folder: Path) -> None:
    """The phone puts in the day's readings itself, and takes them out where they are withdrawn."""
    today = datetime.now().astimezone().date().isoformat()
    at = {"path": "falls/last.crest", "surface": "stone top"}
    old = (shot("b", **BENCHMARK), shot("s", **at, reading="4' 5 3/4\""))  # half an inch high, on another day
    now = {"setup": f"{today}/AB-1-k7f", "time": f"{today}T08:00:00-05:00"}
    new = (shot("b2", **BENCHMARK, **now), shot("s2", **at, **now, reading="4' 7\""))
    taken_back = shot("w", re="s", reading="", path="", surface="", rod="", state="withdrawn", **now)

    def last() -> dict[str, Any]:
        kit = phone.get(f"/api/jobs/{PRESS}/kit").json()
        (stream,) = kit["fits"]
        found: dict[str, Any] = stream["falls"][-1]
        return found

    planned = last()
    assert not planned["built"]
    phone.post(SHOTS, json=sending(*old))
    assert last()["built"]
    assert last()["crest_m"] - planned["crest_m"] == pytest.approx(0.0127)
    built = last()
    phone.post(SHOTS, json=sending(*new))
    assert last() == built
    phone.post(SHOTS, json=sending(taken_back))  # what the day says of an earlier reading counts
    assert last() == planned


@pytest.mark.parametrize(
    ("bad", "word"),
    [
        ({"reading": ""}, "no reading"),
        ({"state": "lost"}, "no such state"),
        ({"note": "x" * 501}, "too long"),
        ({"uuid": "../x"}, "no uuid"),
        ({"uuid": ""}, "no uuid"),
    ],
    ids=["nothing read", "state", "long", "uuid", "no uuid"],
)
def test_a_row_that_cannot_be_written_holds_up_no_other(
    phone: TestClient, folder: Path, bad: dict[str, str], word: str
) -> None:
    wrong = shot("bad") | bad
    answer = phone.post(SHOTS, json=sending(shot("a"), wrong, shot("z"))).json()
    assert answer["acknowledged"] == ["a", "z"] == kept(folder)
    assert [each["uuid"] for each in answer["refused"]] == [wrong["uuid"]]
    assert word in answer["refused"][0]["problems"][0]["message"]


def test_another_reading_under_a_known_uuid_is_refused(phone: TestClient, folder: Path) -> None:
    phone.post(SHOTS, json=sending(shot("a")))
    answer = phone.post(SHOTS, json=sending(shot("a", reading="4' 7\""))).json()
    assert (answer["acknowledged"], [each["uuid"] for each in answer["refused"]]) == ([], ["a"])
    both = phone.post(SHOTS, json=sending(shot("x"), shot("x", reading="4' 7\"")))
    assert both.status_code == 422
    assert kept(folder) == ["a"]


def test_a_clock_that_jumps_back_is_kept_and_asked_about(phone: TestClient) -> None:
    late = shot("s1", time="2026-05-04T09:00:00-05:00")
    early = shot("s2", time="2026-05-04T08:30:00-05:00", path="falls/r4.crest", reading="4' 1 1/4\"")
    answer = phone.post(SHOTS, json=sending(shot("b", **BENCHMARK), late, early)).json()
    assert len(answer["acknowledged"]) == 3
    asked = {q["code"] for each in answer["reduced"] for q in each["questions"]}
    assert "clock" in asked


@pytest.mark.parametrize(("format", "word"), [(2, "newer"), (0, "older")])
def test_a_page_of_another_format_is_told(phone: TestClient, folder: Path, format: int, word: str) -> None:
    answer = phone.post(SHOTS, json=sending(shot("a"), format=format))
    assert answer.status_code == 409
    assert word in answer.json()["problems"][0]["message"]
    grown = sending(shot("a", colour="red"), format=format)  # a field that this service does not know
    assert phone.post(SHOTS, json=grown).status_code == 409
    assert kept(folder) == []


def test_too_many_at_once_are_to_come_in_smaller_batches(phone: TestClient) -> None:
    assert phone.post(SHOTS, json=sending(*(shot(f"s{n}") for n in range(501)))).status_code == 413


@pytest.mark.parametrize(
    ("number", "status"),
    [(errno.ENOSPC, 507), (errno.EIO, 507), (errno.EACCES, 409), (errno.EROFS, 409)],
    ids=["disk full", "disk broken", "no right", "read only"],
)
def test_a_disk_that_does_not_take_it_is_told_and_nothing_is_acknowledged(
    number: int, status: int, phone: TestClient, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone.post(SHOTS, json=sending(shot("before")))
    with monkeypatch.context() as patch:

        def full(handle: int) -> None:
            raise OSError(number, os.strerror(number))

        patch.setattr(os, "fsync", full)
        answer = phone.post(SHOTS, json=sending(shot("after")))
    assert answer.status_code == status
    assert "NOT written" in answer.json()["problems"][0]["message"]
    assert kept(folder) == ["before"]
    assert phone.post(SHOTS, json=sending(shot("after"))).json()["acknowledged"] == ["after"]


def test_readings_are_kept_where_another_hand_broke_the_feature_file(phone: TestClient, folder: Path) -> None:
    phone.post(SHOTS, json=sending(shot("b", **BENCHMARK)))
    (folder / PRESS / "feature.yaml").write_text("pond: [", encoding="utf-8")
    answer = phone.post(SHOTS, json=sending(shot("s"))).json()
    assert answer["acknowledged"] == ["s"]
    assert [each["uuid"] for each in answer["reduced"]] == ["s"]
    assert "no longer be read" in answer["notes"][0]
    fresh = client(folder).post(SHOTS, json=sending(shot("t"))).json()
    assert fresh["acknowledged"] == ["t"]
    assert "cannot be judged" in fresh["notes"][0]
    text = (folder / PRESS / "shots.csv").read_text(encoding="utf-8")
    assert [row.uuid for row in read_shots(text, file="shots.csv").shots] == ["b", "s", "t"]


anything = st.text(max_size=12) | st.sampled_from(
    ["4' 6 1/4\"", "ft-in", "marks/bolt", "mark", "kept", "withdrawn", "a\nb"]
)
rows = st.lists(
    st.fixed_dictionaries(
        dict.fromkeys(shot(""), anything) | {"uuid": st.text(max_size=4) | st.sampled_from(["a", "b", "c"])}
    ),
    max_size=6,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25, deadline=None)
@given(rows)
def test_whatever_is_sent_each_uuid_is_in_one_list_and_what_is_acknowledged_is_there(
    phone: TestClient, folder: Path, sent: list[dict[str, Any]]
) -> None:
    try:
        answer = phone.post(SHOTS, json=sending(*sent))
    except UnicodeEncodeError:  # half a letter, which the client cannot send
        return
    if answer.status_code == 422:  # one uuid twice with other figures, or half a letter
        return
    assert answer.status_code == 200
    told = answer.json()
    refused = [each["uuid"] for each in told["refused"]]
    assert sorted([*told["acknowledged"], *refused]) == sorted({row["uuid"] for row in sent})
    assert set(told["acknowledged"]) <= set(kept(folder))
    assert len(set(kept(folder))) == len(kept(folder))
