"""Ticks of hold points from phones: acknowledged when on the disk, each once, odd ones kept and asked about."""

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
from rillwright.build import item_names
from rillwright.job.hold_file import ticks_of
from tests.app.service import ELSEWHERE, PRESS, client, jobs_in, tick, ticked

TICKS = f"/api/jobs/{PRESS}/ticks"
KIT = f"/api/jobs/{PRESS}/kit"
WIDTH = tick("")["item"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return jobs_in(tmp_path)


@pytest.fixture
def phone(folder: Path) -> TestClient:
    return client(folder)


def kept(folder: Path) -> list[str]:
    return [row.uuid for row in ticks_of(folder / PRESS).ticks]


def item(states: list[dict[str, Any]], hold: str, name: str) -> dict[str, Any]:
    (found,) = (each for each in states if each["id"] == hold)
    (line,) = (each for each in found["items"] if each["name"] == name)
    return dict(line)


def test_the_kit_says_how_each_hold_point_stands(phone: TestClient, folder: Path) -> None:
    kit = phone.get(KIT).json()
    build = job.judge(job.open(folder / PRESS)).assessment.build
    names = {hold.id: list(item_names(hold)) for hold in build.holds}  # type: ignore[union-attr]
    assert {each["id"]: [line["name"] for line in each["items"]] for each in kit["states"]} == names
    assert [each["id"] for each in kit["states"]] == [each["id"] for each in kit["holds"]]
    assert not any(each["done"] for each in kit["states"])


def test_a_tick_arrives_once_and_the_answer_says_how_things_stand(phone: TestClient, folder: Path) -> None:
    before = phone.get(KIT).json()
    sent = ticked(tick("a", note="12 ft 1 in"), tick("b", hold="services", item=""))
    answer = phone.post(TICKS, json=sent).json()
    assert answer["acknowledged"] == ["a", "b"] == kept(folder)
    line = item(answer["states"], "dig.pond", WIDTH)
    assert (line["done"], line["initials"], line["note"]) == (True, "KA", "12 ft 1 in")
    assert answer["states"] == phone.get(KIT).json()["states"]
    assert answer["kit"] == before["digest"], "a tick changes no plan"
    again = phone.post(TICKS, json=sent).json()
    assert again["acknowledged"] == ["a", "b"] == kept(folder)
    assert again["states"] == answer["states"]
    assert again["changed"]["sentences"] == []


def test_our_own_tick_is_no_other_hand(phone: TestClient, folder: Path) -> None:
    phone.get(KIT)
    for uuid in ("a", "b"):
        assert phone.post(TICKS, json=ticked(tick(uuid))).json()["notes"] == []
    assert phone.get(f"/api/jobs/{PRESS}").json()["notes"] == []
    job.tick(job.open(folder / PRESS), "services", initials="OF")  # from the office's terminal
    states = phone.get(KIT).json()["states"]
    assert [each["initials"] for each in states if each["id"] == "services"] == ["OF"]


def test_what_was_covered_before_it_was_checked_is_said_at_once(phone: TestClient) -> None:
    answer = phone.post(TICKS, json=ticked(tick("a", hold="liner.pond", item=""))).json()
    assert any("before it was checked" in each for each in answer["changed"]["sentences"])


def test_a_benchmark_is_held_today(phone: TestClient) -> None:
    now = datetime.now().astimezone().isoformat(timespec="seconds")
    sent = ticked(tick("a", hold="benchmark.start", item=""), tick("b", hold="benchmark.noon", item="", time=now))
    states = phone.post(TICKS, json=sent).json()["states"]
    done = {each["id"] for each in states if each["done"]}
    assert done == {"benchmark.noon"}


@pytest.mark.parametrize(
    ("odd", "code"),
    [
        ({"hold": "dig.lake"}, "hold"),
        ({"item": "look nowhere"}, "item"),
        ({"time": "at noon"}, "time"),
        ({"time": "2026-05-04T08:00:00-05:00"}, "clock"),
    ],
    ids=["no such hold point", "no such line", "no time", "a clock gone back"],
)
def test_what_looks_odd_is_kept_and_asked_about(
    phone: TestClient, folder: Path, odd: dict[str, str], code: str
) -> None:
    answer = phone.post(TICKS, json=ticked(tick("a"), tick("odd", **odd))).json()
    assert answer["acknowledged"] == ["a", "odd"] == kept(folder)
    assert [(each["uuid"], each["code"]) for each in answer["asked"]] == [("odd", code)]
    assert answer["asked"][0]["text"]


def test_a_later_word_of_another_phone_counts(phone: TestClient) -> None:
    late = tick("noon", who="mason", initials="MA", state="undone", time="2026-05-04T12:00:00-05:00")
    phone.post(TICKS, json=ticked(late))
    answer = phone.post(TICKS, json=ticked(tick("nine"))).json()
    assert [each["code"] for each in answer["asked"]] == ["overtaken"]
    assert not item(answer["states"], "dig.pond", WIDTH)["done"]


@pytest.mark.parametrize(
    ("bad", "word"),
    [
        ({"initials": ""}, "is missing"),
        ({"hold": ""}, "is missing"),
        ({"state": "half"}, "no such state"),
        ({"note": "x" * 501}, "too long"),
        ({"uuid": "../x"}, "no uuid"),
    ],
    ids=["initials", "hold point", "state", "long", "uuid"],
)
def test_a_row_that_cannot_be_written_holds_up_no_other(
    phone: TestClient, folder: Path, bad: dict[str, str], word: str
) -> None:
    wrong = tick("bad") | bad
    answer = phone.post(TICKS, json=ticked(tick("a"), wrong, tick("z"))).json()
    assert answer["acknowledged"] == ["a", "z"] == kept(folder)
    assert [each["uuid"] for each in answer["refused"]] == [wrong["uuid"]]
    assert word in answer["refused"][0]["problems"][0]["message"]


def test_another_tick_under_a_known_uuid_is_refused(phone: TestClient, folder: Path) -> None:
    phone.post(TICKS, json=ticked(tick("a")))
    answer = phone.post(TICKS, json=ticked(tick("a", state="undone"))).json()
    assert (answer["acknowledged"], [each["uuid"] for each in answer["refused"]]) == ([], ["a"])
    assert "another tick" in answer["refused"][0]["problems"][0]["message"]
    assert phone.post(TICKS, json=ticked(tick("x"), tick("x", state="undone"))).status_code == 422
    assert kept(folder) == ["a"]


@pytest.mark.parametrize(("format", "word"), [(2, "newer"), (0, "older")])
def test_a_page_of_another_format_is_told(phone: TestClient, folder: Path, format: int, word: str) -> None:
    for sent in (tick("a"), tick("a", colour="red")):
        answer = phone.post(TICKS, json=ticked(sent, format=format))
        assert answer.status_code == 409
        assert word in answer.json()["problems"][0]["message"]
    assert kept(folder) == []


def test_too_many_at_once_are_to_come_in_smaller_batches(phone: TestClient) -> None:
    assert phone.post(TICKS, json=ticked(*(tick(f"t{n}") for n in range(501)))).status_code == 413


def test_a_stranger_ticks_nothing(folder: Path) -> None:
    answer = client(folder, lan=True, at=ELSEWHERE).post(TICKS, json=ticked(tick("a")))
    assert answer.status_code == 401
    assert kept(folder) == []


@pytest.mark.parametrize(("number", "status"), [(errno.ENOSPC, 507), (errno.EACCES, 409)], ids=["full", "no right"])
def test_a_disk_that_does_not_take_it_is_told_and_nothing_is_acknowledged(
    number: int, status: int, phone: TestClient, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone.post(TICKS, json=ticked(tick("before")))
    with monkeypatch.context() as patch:

        def full(handle: int) -> None:
            raise OSError(number, os.strerror(number))

        patch.setattr(os, "fsync", full)
        answer = phone.post(TICKS, json=ticked(tick("after")))
    assert answer.status_code == status
    assert "the tick was NOT written" in answer.json()["problems"][0]["message"]
    assert kept(folder) == ["before"]
    assert phone.post(TICKS, json=ticked(tick("after"))).json()["acknowledged"] == ["after"]


def test_ticks_are_kept_where_another_hand_broke_the_feature_file(phone: TestClient, folder: Path) -> None:
    phone.get(KIT)
    (folder / PRESS / "feature.yaml").write_text("pond: [", encoding="utf-8")
    answer = phone.post(TICKS, json=ticked(tick("a"))).json()
    assert answer["acknowledged"] == ["a"] == kept(folder)
    assert item(answer["states"], "dig.pond", WIDTH)["done"]
    assert "no longer be read" in answer["notes"][0]
    fresh = client(folder).post(TICKS, json=ticked(tick("b"))).json()
    assert (fresh["acknowledged"], fresh["states"]) == (["b"], [])
    assert "cannot be judged" in fresh["notes"][0]


anything = st.text(max_size=12) | st.sampled_from(["dig.pond", WIDTH, "done", "undone", "KA", "a\nb"])
rows = st.lists(
    st.fixed_dictionaries(
        dict.fromkeys(tick(""), anything) | {"uuid": st.text(max_size=4) | st.sampled_from(["a", "b", "c"])}
    ),
    max_size=6,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25, deadline=None)
@given(rows)
def test_whatever_is_sent_each_uuid_is_in_one_list_and_what_is_acknowledged_is_there(
    phone: TestClient, folder: Path, sent: list[dict[str, Any]]
) -> None:
    try:
        answer = phone.post(TICKS, json=ticked(*sent))
    except UnicodeEncodeError:  # half a letter, which the client cannot send
        return
    if answer.status_code == 422:  # one uuid twice with other words, or half a letter
        return
    assert answer.status_code == 200
    told = answer.json()
    refused = [each["uuid"] for each in told["refused"]]
    assert sorted([*told["acknowledged"], *refused]) == sorted({row["uuid"] for row in sent})
    assert set(told["acknowledged"]) <= set(kept(folder))
    assert len(set(kept(folder))) == len(kept(folder))


def test_a_figure_that_is_off_and_initials_on_what_is_open_are_kept_and_asked_about(
    phone: TestClient, folder: Path
) -> None:
    rows = [tick("a", note="99 ft"), tick("b", note="abc"), tick("c", note="12 ft"), tick("d", item="initial lead")]
    answer = phone.post(TICKS, json=ticked(*rows)).json()
    assert answer["acknowledged"] == ["a", "b", "c", "d"] == kept(folder)
    asked = {(each["uuid"], each["code"]) for each in answer["asked"]}
    assert asked == {("a", "taped"), ("b", "taped"), ("d", "open"), ("d", "before")}
    assert item(answer["states"], "dig.pond", WIDTH)["asked"] == "", "the last word counts"
