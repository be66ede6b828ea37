"""The cases handed to the phone are those that Python answers today."""

from __future__ import annotations

import json

import pytest

from tests.vectors.make import FOLDER, vectors


@pytest.mark.parametrize("name", sorted(vectors()))
def test_the_file_is_the_one_that_would_be_written(name: str) -> None:
    on_disk = (FOLDER / name).read_text(encoding="utf-8")
    assert on_disk == vectors()[name], f"{name} is out of date: run `python -m tests.vectors.make`"


def test_no_file_is_left_over() -> None:
    made_by_survey = {"shot_levels.json"}  # tests/survey/shot_vectors.py
    assert {file.name for file in FOLDER.glob("*.json")} - made_by_survey == set(vectors())


def test_the_cases_are_many_and_not_all_of_one_kind() -> None:
    cases = {name: json.loads(text) for name, text in vectors().items()}
    few = {name for name, found in cases.items() if len(found) < 200}
    assert few == {"asking.json", "courses.json", "days.json", "holds.json", "published-levelling.json", "shots.json"}
    refused = sum("refused" in case for case in cases["rods.json"])
    assert 100 < refused < len(cases["rods.json"]) - 100
    assert sum(bool(case["slips"]) for case in cases["slips.json"]) > 80
    assert {gap["kind"] for case in cases["days.json"] for gap in case["result"]["gaps"]} == {
        "again",
        "closing",
        "check",
    }
    shots = [shot for case in cases["shots.json"] for shot in case["day"]["shots"]]
    assert {shot["state"] for shot in shots} == {"kept", "doubted", "withdrawn", "unconfirmed"}
    asked = {code for shot in shots for code, _ in shot["asked"]}
    told = "reading rod foot far element surface benchmark moved across duplicate again clock time"
    assert asked == set(told.split())
    fits = cases["arrangements.json"]
    assert sum("refused" in case for case in fits) > 5
    assert sum("result" in case and case["result"]["count"] == "0" for case in fits) > 20
    assert any(int(case["result"]["count"]) > 2**53 for case in fits if "result" in case)
    states = [case["stands"]["done"] for case in cases["holds.json"]]
    assert 5 < sum(states) < len(states) - 5
    said = [words for case in cases["courses.json"] for words in case["sentences"]]
    wanted = ("The height there is", "No arrangement", "arrangements of", "ripple more would fit", "does not fit as")
    for words in wanted:
        assert sum(words in one for one in said) >= 2, words
    taped = {item["asked"] for case in cases["holds.json"] for item in case["stands"]["items"]}
    assert taped == {"", "no figure", "no length", "off"}
