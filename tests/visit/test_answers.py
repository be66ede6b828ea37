"""Answers as typed: which rod was read, what is taken, and what cannot be used."""

from __future__ import annotations

import pytest
from msgspec.structs import fields, replace

from rillwright.cli.visit_command import OPTIONS
from rillwright.errors import InputError
from rillwright.visit import QUESTIONS, Answers, check, height_m, refused

FEET = Answers(benchmark_reading="4' 2\"", head_reading="1' 3 1/2\"", lowest_reading="4' 11\"")


def faults(answers: Answers) -> dict[str, str]:
    with pytest.raises(InputError) as caught:
        check(answers)
    return {problem.field: str(problem) for problem in caught.value.problems}


@pytest.mark.parametrize(
    ("reading", "rod", "system"),
    [("4' 7 3/8\"", "ft-in", "us"), ("55 3/8 in", "ft-in", "us"), ("4.61 ft", "tenths", "us"),
     ("1.406 m", "metric", "metric"), ("1406 mm", "metric", "metric"), ("4.61", "", "us"), ("1.406", "", "us")],
)  # fmt: skip
def test_the_rod_is_what_the_readings_say_and_never_guessed(reading: str, rod: str, system: str) -> None:
    answers = Answers(benchmark_reading=reading)
    assert (answers.rod_read, answers.system) == (rod, system)


def test_a_bare_number_asks_which_rod_was_read() -> None:
    bare = Answers(benchmark_reading="4.61", head_reading="1.3", lowest_reading="5.2")
    told = faults(bare)
    assert set(told) == {"benchmark_reading", "head_reading", "lowest_reading"}
    assert all("which rod was read?" in text for text in told.values())
    check(replace(bare, rod="tenths"))
    check(replace(bare, rod="metric"))


def test_rods_are_not_mixed() -> None:
    assert "which rod was read?" in faults(replace(FEET, head_reading="0.42 m"))["head_reading"]


def test_all_that_is_missing_or_wrong_is_told_at_once() -> None:
    told = faults(Answers(benchmark_reading="4' 2\"", pond_depth="2 gal", machine="crane", soil="moon", look="13"))
    assert set(told) == {"head_reading", "lowest_reading", "pond_depth", "machine", "soil", "look"}
    assert "is missing" in told["head_reading"]
    assert "midi excavator" in told["machine"]


@pytest.mark.parametrize(
    ("key", "typed"),
    [("pond_length", "0 ft"), ("pond_length", "-3 ft"), ("stream_width", "1 mm"), ("pond_depth", "nan ft"),
     ("waterline_below", "100 ft"), ("head_reading", "60' 0\""), ("head_reading", "up"), ("look", "0"),
     ("pipe_run", "9 km"), ("name", " "), ("name", "a\nb"), ("units", "feet"), ("rod", "ruler")],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_name(key: str, typed: str) -> None:
    assert set(faults(replace(FEET, **{key: typed}))) == {key}


def test_one_answer_is_tried_by_itself() -> None:
    assert refused(Answers(pond_length="12 ft"), "pond_length") is None
    assert refused(Answers(), "benchmark_reading") is not None


def test_questions_answers_and_options_are_the_same() -> None:
    keys = [question.key for question in QUESTIONS]
    assert keys == list(OPTIONS)
    assert keys == [field.name for field in fields(Answers)][: len(keys)]


def test_what_is_taken_can_itself_be_answered() -> None:
    for units in ("us", "metric"):
        said = {question.key: question.default(units) or "" for question in QUESTIONS if question.kind != "reading"}
        check(replace(FEET, units=units, rod="ft-in", **said))


def test_height_by_hand() -> None:
    """From a bed down to the water: 17 in where the head stands 13 in above the paving and water 4 in below it."""
    seventeen = replace(FEET, head_reading="3' 1\"")
    assert height_m(seventeen) == pytest.approx(17 * 0.0254)
    assert height_m(replace(seventeen, paving_reading="4' 5\"")) == pytest.approx(20 * 0.0254)


def test_what_was_not_answered_is_told() -> None:
    taken = {each.words: each for each in replace(FEET, pond_depth="30 in", look="loud").taken()}
    assert (taken["pond length"].value, taken["pond length"].field) == ("12 ft", "pond.outline")
    assert taken["waterline below"].value == "4 in"
    assert len(taken) == 9
    assert not {"pond depth", "look", "head reading", "soil"} & set(taken)
    assert "machine" not in {each.words for each in replace(FEET, own_machine="3 ft, 9 ft, 600 lb at 6 ft").taken()}


def test_nine_are_asked_and_the_rest_may_be_skipped() -> None:
    """The visit's nine: benchmark with paving, head, lowest ground, pond, stream, look, access, waterline, pipe."""
    assert len([question for question in QUESTIONS if not question.optional]) == 14  # the pond alone takes three
    assert [question.key for question in QUESTIONS if question.optional] == [
        "soil", "groundwater", "held", "own_machine", "power_distance", "power_protected", "photo", "notes",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("key", "typed"),
    [("own_machine", "3 ft, 9 ft"), ("own_machine", "3 ft, 9 ft, 600 lb"), ("own_machine", "3 ft, 9 ft, 6 ft at 6 ft"),
     ("own_machine", "0 ft, 9 ft, 600 lb at 6 ft"), ("power_distance", "40"), ("power_protected", "maybe"),
     ("held", "always"), ("groundwater", "0 ft"), ("notes", "n" * 1001), ("notes", "a bell\a"), ("soil", "peat")],
)  # fmt: skip
def test_what_is_optional_is_refused_by_name_too(key: str, typed: str) -> None:
    assert set(faults(replace(FEET, **{key: typed}))) == {key}
