"""The two files of a visit: read back, complete, and with every default beside its key."""

from __future__ import annotations

import math
import re

import pytest
from msgspec.structs import replace

from rillwright.feature import Document, Feature, KnownPoint, complete
from rillwright.sources import limit
from rillwright.survey import read_book, reduce
from rillwright.visit import Answers, find_stair, write

INCH = 0.0254
FEET = Answers(benchmark_reading="4' 2\"", head_reading="1' 3 1/2\"", lowest_reading="4' 11\"")
METRES = Answers(benchmark_reading="1.250 m", head_reading="0.420 m", lowest_reading="1.460 m")
REMARK = re.compile(r"^( *)# (\w+): (.*?) +# taken: .*$", re.MULTILINE)


def completed(feature: str, book: str) -> Feature:
    survey = reduce([read_book(book, file="books/visit.csv")], datum="benchmark")
    points = {point.id: KnownPoint(point.level, point.at) for point in survey.points}
    return complete(Document.read(feature, file="feature.yaml"), points)


@pytest.mark.parametrize("berm_m", [0.0, 8 * INCH], ids=["flat", "berm"])
@pytest.mark.parametrize("depth", ["", "6 in"], ids=["shelf", "none"])
@pytest.mark.parametrize("answers", [FEET, METRES], ids=["feet", "metres"])
def test_a_default_said_as_its_remark_says_it_changes_nothing(answers: Answers, depth: str, berm_m: float) -> None:
    files = write(replace(answers, pond_depth=depth), berm_m=berm_m)
    said, count = REMARK.subn(r"\1\2: \3", files.feature)
    assert count >= 11
    without, told = completed(files.feature, files.book), completed(said, files.book)
    assert len(told.defaults_used) < len(without.defaults_used)
    plain, spelt = replace(without, defaults_used=()), replace(told, defaults_used=())
    low, high = (feature.bodies[0].intake for feature in (plain, spelt))
    assert (low.low.m, low.high.m) == pytest.approx((high.low.m, high.high.m))  # only who said it differs
    body = replace(spelt.bodies[0], intake=low)
    assert replace(spelt, bodies=(body,)).bodies == plain.bodies
    assert (spelt.streams, spelt.runs, spelt.site) == (plain.streams, plain.runs, plain.site)


def test_what_was_typed_stays_as_typed() -> None:
    typed = replace(
        FEET, pond_length="13' 6\"", stream_width="2 ft 8 in", waterline_below="5 in", paving_reading="4' 4 1/2\"",
        pipe_run="31 ft", soil="Type a", groundwater="5' 3\"", name="A \"yard\": #1 {x}",
    )  # fmt: skip
    files = write(typed)
    said = Document.read(files.feature, file="f").said
    assert said.name == typed.name
    assert said.pond is not None
    assert said.pond.outline.oval is not None
    assert said.pond.outline.oval[0].text == "13' 6\""
    assert said.run is not None
    assert said.run.length is not None
    assert said.run.length.text == "31 ft"
    assert [reading.text for reading in read_book(files.book, file="b").readings] == [
        "4' 2\"", "4' 4 1/2\"", "1' 3 1/2\"", "4' 11\"",
    ]  # fmt: skip
    feature = completed(files.feature, files.book)
    paving = next(mark for mark in feature.marks if mark.id == "paving").level.m
    assert paving == pytest.approx(-2.5 * INCH)
    assert feature.site.soil == "type A"
    assert feature.site.groundwater is not None
    assert feature.site.groundwater.m == pytest.approx(paving - 63 * INCH)


def test_a_paving_that_is_the_benchmark_was_not_read_twice() -> None:
    files = write(FEET)
    assert "paving" not in files.book
    assert next(mark for mark in completed(files.feature, files.book).marks if mark.id == "paving").level.m == 0.0


@pytest.mark.parametrize("look", ["quiet", "lively", "loud", "2", "4"])
@pytest.mark.parametrize("answers", [FEET, METRES], ids=["feet", "metres"])
def test_the_staircase_uses_the_height_and_ends_in_the_water(answers: Answers, look: str) -> None:
    files = write(replace(answers, look=look))
    stream = completed(files.feature, files.book).streams[0]
    down = sum(fall.drop_m for fall in stream.falls) + sum(reach.pitch_m for reach in stream.reaches)
    assert down == pytest.approx(stream.head.m - stream.falls[-1].foot.m)
    assert stream.length_m == pytest.approx(20 * 12 * INCH, abs=0.1)
    assert len(stream.falls) == (int(look) if look.isdigit() else len(stream.falls))
    step = INCH / 2 if answers is FEET else 0.010
    for fall in stream.falls[:-1]:
        assert math.isclose(fall.drop_m / step, round(fall.drop_m / step), abs_tol=1e-6)


@pytest.mark.parametrize("look", ["lively", "loud", "1", "3"])
def test_a_last_fall_that_is_wished_for_is_ten_inches_where_it_can_be(look: str) -> None:
    """Last fall 8 to 10 in at least where one is wished for: common practice, no source."""
    stair = find_stair(replace(FEET, head_reading="3' 1\"", look=look))  # 17 in from the bed to the held water
    stone = 3 * INCH  # the spill stone is seen too
    assert stair.drops_m[-1] + stone >= 10 * INCH - 1e-9
    assert not stair.notes
    assert limit("falls.last").bad == pytest.approx(8 * INCH)


def test_a_quiet_stream_is_ripples_above_its_last_fall() -> None:
    """Ripples of 4 to 5 in, then 10 in: common practice, no source. The last is seen by its spill stone higher."""
    stair = find_stair(replace(FEET, head_reading="3' 1\"", look="quiet"))
    assert set(stair.kinds[:-1]) == {"ripple"}
    assert all(4 * INCH - 1e-9 <= drop <= 5 * INCH + 1e-9 for drop in stair.drops_m[:-1])
    assert stair.drops_m[-1] + 3 * INCH >= 10 * INCH - 1e-9


@pytest.mark.parametrize("look", ["lively", "5"])
def test_fewer_falls_before_a_low_last_one(look: str) -> None:
    """18 in hold five drops only if the last is lower than the 8 in that it takes at least: four then, and said."""
    stair = find_stair(replace(FEET, head_reading="3' 0\"", look=look))
    assert stair.last_m >= 8 * INCH - 1e-9
    assert "Nothing fits" not in " ".join(stair.notes)
    assert look == "lively" or "at most" in stair.notes[0]


@pytest.mark.parametrize(
    ("head", "look", "told"),
    [("4' 6\"", "lively", "no height"), ("9' 0\"", "3", "no height"), ("4' 3 1/2\"", "3", "3 falls do not fit"),
     ("4' 3 1/2\"", "lively", "last fall of 8 in"), ("0' 0\"", "1", "1 fall does not fit")],
)  # fmt: skip
def test_what_does_not_fit_is_said_and_the_files_are_written(head: str, look: str, told: str) -> None:
    files = write(replace(FEET, head_reading=head, look=look))
    assert told in " ".join(files.notes)
    assert all(note in files.feature for note in files.notes)
    assert len(completed(files.feature, files.book).falls) >= 1


@pytest.mark.parametrize("feet", [True, False], ids=["us", "metric"])
def test_more_falls_than_fit_keep_their_least_height(feet: bool) -> None:
    """15 1/2 in, or 400 mm, of height: a ripple is 4 in, 100 mm, at least (common practice), so twelve never fit."""
    given = replace(FEET, head_reading="3' 2 1/2\"", look="12") if feet else replace(METRES, look="12")
    stair = find_stair(given)
    least, stone = (4 * INCH, 3 * INCH) if feet else (0.100, 3 * INCH)
    seen = [*stair.drops_m[:-1], stair.drops_m[-1] + stone]
    assert len(seen) < 12
    assert min(seen) >= least - 1e-6
    assert f"at most {len(seen)} fit" in stair.notes[0]


def test_fewer_falls_than_fit_say_how_many_it_takes() -> None:
    """20 ft of height less 12 in of pitch in falls of 24 in at most (our own figure) take ten, the last being seen
    higher by its spill stone."""
    high = Answers(benchmark_reading="22' 0\"", head_reading="2' 4\"", lowest_reading="22' 6\"", look="2")
    note = find_stair(high).notes[0]
    assert "it takes at least 10" in note
    assert "higher than 2' 0\"" in note


def test_twenty_feet_of_height_are_shared_out() -> None:
    high = Answers(benchmark_reading="22' 0\"", head_reading="2' 4\"", lowest_reading="22' 6\"", stream_length="60 ft")
    stair = find_stair(high)
    assert len(stair.drops_m) == 12
    assert sum(stair.drops_m) + sum(stair.pitches_m) == pytest.approx(20 * 12 * INCH)
    assert max(stair.drops_m) <= 24 * INCH + 1e-9


def test_what_is_left_over_of_the_marking_step_goes_to_the_last_fall() -> None:
    """38 11/16 in of height in steps of 1/2 in: what the others leave is the last one's, as the file leaves it too."""
    answers = replace(FEET, head_reading="1' 3 5/16\"")
    stair, stream = find_stair(answers), completed(*texts(answers)).streams[0]
    assert sum(stair.drops_m) + sum(stair.pitches_m) == pytest.approx(38.6875 * INCH)
    assert stream.falls[-1].drop_m == pytest.approx(stair.drops_m[-1])
    assert stair.last_m == pytest.approx(stair.drops_m[-1] + 3 * INCH)


def texts(answers: Answers) -> tuple[str, str]:
    files = write(answers)
    return files.feature, files.book


def test_what_the_pond_falls_when_it_runs_is_seen_at_the_last_fall() -> None:
    """10 in wanted, 3 in of them the stone: 7 in of drop at the held level, or 6 in where it runs an inch lower."""
    answers = replace(FEET, head_reading="3' 1\"")
    level, lower = find_stair(answers), find_stair(answers, running_below_m=INCH)
    assert level.drops_m[-1] == pytest.approx(7 * INCH)
    assert lower.drops_m[-1] == pytest.approx(6 * INCH)
    assert level.last_m == pytest.approx(lower.last_m)


def test_what_was_said_more_stands_in_the_file() -> None:
    said = replace(
        FEET, own_machine="2' 10\", 9 ft, 600 lb at 6 ft", machine="midi excavator", power_distance="40 ft",
        power_protected="No", held="at rest", notes="Gas along the hedge: 3' off.\nNeighbour's wall # lower",
    )  # fmt: skip
    feature = completed(*texts(said))
    machine = feature.site.accesses[0].machine
    assert machine is not None
    assert (machine.name, machine.invented) == ("own machine", False)
    assert machine.width_m == pytest.approx(34 * INCH)
    assert machine.reach_m == pytest.approx(9 * 12 * INCH)
    assert machine.lift_kg == pytest.approx(600 * 0.45359237)
    assert machine.lift_radius_m == pytest.approx(6 * 12 * INCH)
    assert feature.site.power_distance_m == pytest.approx(40 * 12 * INCH)
    assert feature.site.residual_current_device is False
    assert feature.bodies[0].holding.value == "at rest"
    assert feature.site.note == said.notes
    assert feature.site.services is None  # a note of a pipe is no ticket


def test_hints_are_in_the_units_of_the_visit() -> None:
    """Whoever reads metres is shown no feet, inches or gallons to type; the defaults' own exact figures stay."""
    remarks = [line for line in write(METRES).feature.splitlines() if "taken:" not in line and "#" in line]
    assert not [line for line in remarks if re.search(r"\d (ft|in|gal|US gal)\b", line)]
    for hint in ("90 mm", "19000 L/h", "1.5 m below paving"):
        assert hint in "\n".join(remarks)
    assert "5000 US gal/h" in write(FEET).feature
