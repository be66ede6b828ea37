"""What changed between two judged states: symmetrical, silent where nothing changed, and true to the trade."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache

import pytest
from msgspec.structs import replace

from rillwright import job
from rillwright.assessment import Containment, Feature, Judged, NotRun, Reach, Severity
from rillwright.compare import Change, Changes, Direction, advice, changes_json, compare, sentence, tells
from rillwright.units import style_for

IN = 0.0254
OPPOSITE = {
    Direction.WORSE: Direction.BETTER,
    Direction.BETTER: Direction.WORSE,
    Direction.NEW: Direction.GONE,
    Direction.GONE: Direction.NEW,
    Direction.CHANGED: Direction.CHANGED,
}
EDITS: dict[str, tuple[tuple[str | int, ...], str]] = {
    "berm": (("pond", "rims", 1, "berm"), "7 in"),
    "no berm": (("pond", "rims", 1, "berm"), "0 in"),
    "depth": (("pond", "depth"), "30 in"),
    "length": (("pond", "outline", "oval", 0), "21 ft"),
    "waterline": (("pond", "waterline"), "5 in below apron"),
    "width": (("stream", "width"), "4 ft"),
    "flow": (("run", "outlets", 0, "wanted"), "4000 gal/h"),
}


@cache
def opened() -> job.Job:
    return job.open(job.examples()["orchard-press"])


@cache
def plan() -> Judged:
    return job.judge(opened())


@cache
def edited(name: str) -> Judged:
    location, typed = EDITS[name]
    return job.judge(opened().with_value(location, typed))


def of(changes: Changes, code: str) -> list[Change]:
    return [one for one in changes.sentences if one.code == code]


def told(changes: Changes) -> Iterator[str]:
    for one in changes.sentences:
        yield sentence(one, style_for(changes.system))


def test_the_same_state_has_nothing_to_tell() -> None:
    assert compare(plan(), plan()).sentences == ()
    assert compare(plan(), job.judge(opened())).sentences == ()


def place_of(one: Change) -> tuple[str, str, str]:
    """What a sentence is about. Water that runs towards something is graded; water that runs away is not."""
    return one.code, one.element, "" if one.code == "spill.way" else one.unit


@pytest.mark.parametrize("name", EDITS)
def test_there_and_back_is_the_same_turned_round(name: str) -> None:
    there, back = compare(plan(), edited(name)), compare(edited(name), plan())
    assert there.sentences
    key = {place_of(one): one for one in back.sentences}
    assert set(key) == {place_of(one) for one in there.sentences}
    for one in there.sentences:
        other = key[place_of(one)]
        assert other.direction is OPPOSITE[one.direction] or one.code == "liner.size"
        assert (other.before, other.after) == (one.after, one.before)


@pytest.mark.parametrize("name", EDITS)
def test_every_sentence_is_words_in_the_readers_units_and_the_worst_stands_first(name: str) -> None:
    changes = compare(plan(), edited(name))
    for text in told(changes):
        assert "{" not in text
        assert text.endswith(".")
    assert len(set(told(changes))) == len(changes.sentences)
    ill = [one in changes.worse and one.severity is not Severity.OK for one in changes.sentences]
    assert ill == sorted(ill, reverse=True)
    graded = [one.severity for one in changes.sentences if one in changes.worse and one.severity is not Severity.OK]
    assert graded == sorted(graded, key=[Severity.STOP, Severity.WATCH].index)


def test_a_rim_that_is_lower_changes_its_own_height_and_nothing_else() -> None:
    """Two inches less fill, settling by a tenth: 1.8 in less to spare, at that rim alone."""
    changes = compare(plan(), edited("berm"))
    (rim,) = of(changes, "rim.low")
    assert rim.element == "rims/low-side"
    assert rim.before is not None
    assert rim.after is not None
    assert rim.before - rim.after == pytest.approx(1.8 * IN, abs=1e-6)
    others = {"soil.out", "spill.way", "rim.between", "overflow.blocked"}  # soil not taken; the lowest place, now here
    assert {one.code for one in changes.sentences} <= {"rim.low", *others}


def test_a_rim_without_its_berm_is_a_stop_with_what_to_do() -> None:
    changes = compare(plan(), edited("no berm"))
    first = changes.sentences[0]
    assert (first.code, first.element, first.severity) == ("rim.low", "rims/low-side", Severity.STOP)
    assert "below the highest water" in sentence(first, style_for("us"))
    assert "it is stop now." in sentence(first, style_for("us"))
    assert "Build the berm" in advice(first, style_for("us"))
    assert changes.stops


def test_a_wider_pond_needs_the_longer_piece_by_as_much() -> None:
    """Three feet longer: the piece is three feet longer, and short by what the sheet that was to be ordered does
    not have; more than the foot a side that was to spare (a rule of size: length + depth both ways + spare, common
    practice, no source)."""
    (piece,) = of(compare(plan(), edited("length")), "liner.size")
    assert piece.after is not None
    assert piece.before is not None
    assert piece.after - piece.before == pytest.approx(36 * IN, abs=0.05 * IN)
    assert piece.severity is Severity.STOP
    cut, ordered = (dict(numbers(piece))[name] for name in ("long_before", "long_had"))
    assert dict(numbers(piece))["short"] == pytest.approx(36 * IN - (ordered - cut), abs=0.05 * IN)
    (kept,) = of(compare(edited("length"), plan()), "liner.size")
    assert "large enough" in sentence(kept, style_for("us"))


def test_what_the_ordered_sheet_still_covers_is_no_trouble() -> None:
    """A sheet is ordered up to the next step: a piece that grows into that needs no other."""
    liner = plan().assessment.liner
    assert not isinstance(liner, NotRun)
    sheet = next(piece for piece in liner.pieces if max(piece.ordered_m) - max(piece.length_m, piece.width_m) > 0.02)
    grown = replace(sheet, length_m=sheet.length_m + 0.015, width_m=sheet.width_m + 0.015, order_m=sheet.ordered_m)
    after = replace(plan().assessment, liner=replace(liner, sheets=(grown,)))
    (piece,) = of(compare(plan(), replace(plan(), assessment=after)), "liner.size")
    assert (piece.severity, piece.direction) == (Severity.OK, Direction.CHANGED)
    assert "is large enough" in sentence(piece, style_for("us"))
    assert not piece.remedy


def numbers(change: Change) -> list[tuple[str, float]]:
    return [(name, value) for name, value, _ in change.parameters if isinstance(value, float)]


def test_an_inch_of_level_decides_whether_a_lap_stands() -> None:
    """An upturn that stood is watched or stopped an inch lower, and the sentence says by how much (common practice)."""
    feature = opened().feature
    spare = next(top.freeboard_m.value for top in containment(plan()).tops if top.path == "laps/at-pond")
    just = with_upturn(feature, "at-pond", spare - 2.1 * IN)
    low = with_upturn(feature, "at-pond", spare - 1.1 * IN)
    changes = compare(judged(just), judged(low))
    (lap,) = of(changes, "upturn.low")
    assert lap.direction is Direction.WORSE
    assert lap.severity is Severity.STOP
    assert lap.before is not None
    assert lap.after is not None
    assert lap.before - lap.after == pytest.approx(1.0 * IN, abs=1e-6)
    assert changes.stops == (lap,)


def containment(state: Judged) -> Containment:
    assert isinstance(state.assessment.containment, Containment)
    return state.assessment.containment


def judged(feature: Feature) -> Judged:
    return job.judge(replace(opened(), feature=feature))


def with_upturn(feature: Feature, id: str, lower_m: float) -> Feature:
    laps = tuple(replace(lap, upturn=lap.upturn.moved(-lower_m)) if lap.id == id else lap for lap in feature.laps)
    return replace(feature, laps=laps)


def last_bed_at(feature: Feature, over_water_m: float) -> Feature:
    """The stream moved as a whole so that its last bed ends so high over the held water."""
    stream = feature.streams[0]
    up = over_water_m - (stream.reaches[-1].bed_end.m - feature.bodies[0].waterline.m)
    links = [
        replace(link, bed_start=link.bed_start.moved(up), bed_end=link.bed_end.moved(up))
        if isinstance(link, Reach)
        else replace(link, crest=link.crest.moved(up))
        for link in stream.links
    ]
    moved = replace(stream, links=tuple(links), head=stream.head.moved(up))
    return replace(feature, streams=(moved,))


def test_a_bed_17_in_over_the_water_is_a_reason_for_one_ripple_more() -> None:
    """Found 17 in over the held water where 8 in were planned: a ripple of 4 to 5 in is added on the spot, and 8 to
    10 in at least remain for the last fall (common practice, no source). Where 8 in were planned there is no room."""
    feature = opened().feature
    short, found = judged(last_bed_at(feature, 8 * IN)), judged(last_bed_at(feature, 17 * IN))
    (more,) = of(compare(short, found), "fit.ripple")
    assert more.direction is Direction.BETTER
    assert more.after == pytest.approx(17 * IN, abs=1e-9)
    known = {name: value for name, value, _ in more.parameters}
    assert 4 * IN - 1e-6 <= float(known["ripple"]) <= 5 * IN + 1e-6
    assert float(known["last"]) >= 10 * IN
    text = sentence(more, style_for("us"))
    assert "1' 5\"" in text
    assert "ripple more would fit" in text
    assert "8 in at least must remain for the last fall, 10 in is wanted" in advice(more, style_for("us"))
    (less,) = of(compare(found, short), "fit.ripple")
    assert less.direction is Direction.WORSE


@pytest.mark.parametrize(
    ("before", "after", "unit", "yes"),
    [
        (1.000, 1.0029, "m", False),  # less than a rod can read: 3 mm
        (1.000, 1.0031, "m", True),
        (100.0, 100.9, "kg", False),  # less than a hundredth
        (100.0, 101.2, "kg", True),
        (0.0, 0.0, "kg", False),
        (None, 1.0, "m", True),
    ],
    ids=str,
)
def test_changes_smaller_than_a_rod_can_read_are_not_told(
    before: float | None, after: float | None, unit: str, yes: bool
) -> None:
    assert tells(before, after, unit) is yes


def test_a_hair_is_no_news() -> None:
    feature = opened().feature
    assert compare(plan(), judged(with_upturn(feature, "at-pond", 0.002))).sentences == ()
    assert compare(plan(), plan()).least_m == pytest.approx(0.003)


def test_two_jobs_have_members_that_came_and_went() -> None:
    other = job.judge(job.open(job.examples()["weavers-court"]))
    changes = compare(plan(), other)
    gone = {one.element for one in changes.sentences if one.code == "member" and one.direction is Direction.GONE}
    assert {"ponds/pond", "streams/brook", "falls/last"} <= gone
    assert not [one for one in changes.sentences if one.code != "member" and one.element in gone]


def test_json_holds_values_with_units_and_the_words() -> None:
    changes = compare(plan(), edited("no berm"))
    found = json.loads(json.dumps(changes_json(changes, plan(), edited("no berm")), allow_nan=False))
    assert found["stops"] == len(changes.stops)
    first = found["changes"][0]
    assert (first["unit"], first["direction"], first["severity"]) == ("m", "worse", "stop")
    assert first["after"] < 0.0 < first["before"]
    assert first["text"]
    assert found["before"]["digest"] != found["after"]["digest"]
