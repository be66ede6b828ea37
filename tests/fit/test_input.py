"""Problems in and out as JSON, and what is refused: every field at once, by name."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from msgspec.structs import replace
from tests.fit.problems import small_problems

from rillwright.errors import InputError
from rillwright.fit import UNITS, FitProblem, Span, Unit, Wish, fit, standard_problem

PLAIN: dict[str, Any] = {"unit": "1/16 in", "height": 400}


def fields_refused(data: dict[str, Any]) -> list[str]:
    with pytest.raises(InputError) as caught:
        fit(FitProblem.from_json(data))
    return [problem.field for problem in caught.value.problems]


@given(small_problems())
def test_a_problem_survives_json(problem: FitProblem) -> None:
    assert FitProblem.from_json(problem.to_json()) == problem


@pytest.mark.parametrize("unit", UNITS)
def test_what_is_left_out_is_as_in_the_standard_problem(unit: Unit) -> None:
    assert FitProblem.from_json({"unit": unit, "height": 7}) == standard_problem(unit, height=7)


@pytest.mark.parametrize(
    ("changes", "fields"),
    [
        ({"unit": "1 in"}, ["unit"]),
        ({"height": 12.5}, ["height"]),
        ({"height": None}, ["height"]),
        ({"height": True}, ["height"]),
        ({"height": 10**9}, ["height"]),
        ({"heigth": 400, "beds": [{"width": 3}]}, ["heigth", "beds[0].width"]),
        ({"step": 0, "pitch_step": -1}, ["step", "pitch_step"]),
        ({"pitch": [16, 0]}, ["pitch"]),
        ({"pitch": [1, 3]}, ["pitch"]),
        ({"beds": [{}, {"pitch": [5, 7]}]}, ["beds[1].pitch"]),
        ({"beds": [{"length": 0}]}, ["beds[0].length"]),
        ({"beds": "two"}, ["beds"]),
        ({"beds": [7]}, ["beds[0]"]),
        ({"grade": [9, 1]}, ["grade"]),
        ({"ripple": [0, 80], "fall": [5]}, ["fall"]),
        ({"ripple": [0, 80]}, ["ripple"]),
        ({"fall": [88, 10**9]}, ["fall"]),
        ({"drops": [0, 12]}, ["drops"]),
        ({"drops": [1, 41]}, ["drops"]),
        ({"drops": [2, 2], "built": [{"pitch": 0, "drop": 64}, {"pitch": 0, "drop": 64}]}, ["built"]),
        ({"built": [{"pitch": 0, "drop": None}, {"pitch": 0, "drop": 64}]}, ["built[0].drop"]),
        ({"built": [{"drop": 0}]}, ["built[0].pitch"]),
        ({"built": [{"pitch": 0, "drop": 0}]}, ["built[0].drop"]),
        ({"wishes": [{"at": 13, "kind": "fall"}, {"at": "last"}]}, ["wishes[0].at", "wishes[1]"]),
        ({"wishes": [{"at": "first", "kind": "chute"}]}, ["wishes[0].kind", "wishes[0].at"]),
        ({"wishes": [{"at": 1, "drop": [84, 84]}]}, ["wishes[0]"]),
        ({"wishes": [{"at": 2, "drop": [90, 80]}]}, ["wishes[0].drop"]),
        ({"wishes": [{"at": 1, "kind": "fall"}, {"at": 1, "kind": "ripple"}]}, ["wishes"]),
        ({"least_last": 400}, ["least_last"]),
        ({"least_last": -1, "spill_stone": -1, "most_left": -1}, ["least_last", "spill_stone", "most_left"]),
        ({"step": 500, "fall": [88, 384]}, ["step"]),
        ({"character": "wild"}, ["character"]),
    ],
    ids=lambda value: str(value)[:60] if isinstance(value, dict) else "",
)
def test_what_cannot_be_asked_is_refused_by_name(changes: dict[str, Any], fields: list[str]) -> None:
    assert fields_refused({**PLAIN, **changes}) == fields


def test_not_an_object_is_refused() -> None:
    with pytest.raises(InputError):
        FitProblem.from_json([1, 2])  # type: ignore[arg-type]


@pytest.mark.parametrize("best", [-1, 1001])
def test_best_is_held_to_its_range(best: int) -> None:
    with pytest.raises(InputError, match="best"):
        fit(standard_problem("1 mm", height=900), best=best)


def test_a_float_that_slipped_in_is_refused() -> None:
    with pytest.raises(InputError, match="least_last"):
        fit(replace(standard_problem("1 mm", height=900), least_last=8.0))


def test_uphill_is_an_answer_and_no_error() -> None:
    answer = fit(standard_problem("1/16 in", height=-32))
    assert (answer.count, answer.arrangements, answer.short_by) == (0, (), 64 + 32)


def test_a_wish_for_what_is_built_is_past() -> None:
    built = FitProblem.from_json({**PLAIN, "built": [{"pitch": 0, "drop": 71}]})
    wished = replace(built, wishes=(Wish(at=1, drop=Span(64, 64)),))
    assert fit(wished) == fit(built)
