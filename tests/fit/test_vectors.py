"""The cases under vectors/, which any twin of this layer in another language must answer alike.

Each file is one JSON object: `name`, `note`, `problem`, `best`, and either `result` or `error_fields`. `checked` says
against what the expected result was set: `walk` (every arrangement walked, tests/fit/brute.py) or `generating function`
(the count alone; the order is then held by the walk of the smaller cases).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.fit.brute import best_of_all, count_all, least_height
from tests.fit.test_twelve_drops import count_by_polynomials

from rillwright.errors import InputError
from rillwright.fit import FitProblem, fit

VECTORS = {
    path.stem: json.loads(path.read_text("utf-8")) for path in sorted(Path(__file__).parent.glob("vectors/*.json"))
}


def _checked(by: str) -> list[Any]:
    return [pytest.param(vector, id=name) for name, vector in VECTORS.items() if vector["checked"] == by]


@pytest.mark.parametrize("vector", _checked("walk") + _checked("generating function"))
def test_the_answer_is_the_expected_one_whole(vector: dict[str, Any]) -> None:
    answer = fit(FitProblem.from_json(vector["problem"]), best=vector["best"])
    assert json.loads(json.dumps(answer.to_json())) == vector["result"]


@pytest.mark.parametrize("vector", _checked("walk"))
def test_the_expected_answer_is_that_of_the_walk(vector: dict[str, Any]) -> None:
    problem, expected = FitProblem.from_json(vector["problem"]), vector["result"]
    assert expected["count"] == str(count_all(problem))
    assert expected["arrangements"] == best_of_all(problem, vector["best"])
    assert expected["least_height"] == least_height(problem)
    assert expected["short_by"] == max(0, expected["least_height"] - problem.height)


@pytest.mark.parametrize("vector", _checked("generating function"))
def test_the_expected_count_is_that_of_the_polynomials(vector: dict[str, Any]) -> None:
    assert vector["result"]["count"] == str(count_by_polynomials(FitProblem.from_json(vector["problem"])))


@pytest.mark.parametrize("vector", _checked("refusal"))
def test_what_cannot_be_asked_names_its_fields(vector: dict[str, Any]) -> None:
    with pytest.raises(InputError) as caught:
        fit(FitProblem.from_json(vector["problem"]), best=vector["best"])
    assert [problem.field for problem in caught.value.problems] == vector["error_fields"]


def test_there_are_enough_and_each_is_named_as_its_file() -> None:
    assert len(VECTORS) >= 12
    assert all(vector["name"] == name for name, vector in VECTORS.items())
