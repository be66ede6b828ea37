"""Drawings of water along a stream and over time: everything at its true place, every moment said."""

from __future__ import annotations

import itertools

import pytest
from msgspec.structs import replace

from rillwright.assessment import NotRun, OverTime
from rillwright.drawings import (
    Circle,
    DrawingStyle,
    Group,
    Polyline,
    draw_depths,
    draw_histories,
    draw_long_section,
    draw_motion,
    draw_pump,
    flat,
    texts,
)
from rillwright.drawings.graph import clock, ticks
from rillwright.errors import InputError
from rillwright.units import Band
from tests.drawings import sample
from tests.drawings.test_drawings import groups


def words_of(drawing: object) -> list[str]:
    return [text.text for text, _ in texts(drawing)]  # type: ignore[arg-type]


def test_round_times_have_their_unit_once() -> None:
    assert list(clock(140.0)) == [("0", 0.0), ("30", 30.0), ("60", 60.0), ("90", 90.0), ("120 s", 120.0)]
    assert [words for words, _ in clock(560.0)] == ["0", "2", "4", "6", "8 min"]
    assert [words for words, _ in clock(10_000.0)] == ["0", "1", "2 h"]


def test_round_numbers_are_those_of_the_unit() -> None:
    inches = list(ticks(0.1, "in", "length"))
    assert [words for words, _ in inches] == ["0.5", "1", "1.5", "2", "2.5", "3", "3.5"]
    assert inches[1][1] == pytest.approx(0.0254)


def test_lowest_and_highest_are_marked_and_said() -> None:
    """From the sample's own curves: down 90 mm in 120 s at the first start, up 24 mm after the stop that is highest."""
    said = words_of(draw_histories(sample.make(sample.METRIC)))
    assert any(words.endswith("90 mm below, 30 mm to spare") for words in said)
    assert any(words.endswith("20 mm below, 100 mm to spare") for words in said)
    assert "highest, 24 mm above after 2 min" in said
    assert said.count("topped up while running") == 3
    for first in ("4 s", "24 s", "44 s", "64 s"):
        assert said.count(f"runs after {first}") == 2


def test_levels_have_a_scale_and_the_intake_is_told() -> None:
    """Down 90 mm and up 24 mm of the sample: lines every 50 mm; an intake 900 mm down is far off the panel."""
    judged = sample.make(sample.METRIC)
    body = judged.feature.bodies[0]
    assert {"waterline", "−50 mm", "−100 mm"} <= set(words_of(draw_histories(judged)))
    low = replace(body.intake.low, m=body.waterline.m - 0.9)
    feature = replace(judged.feature, bodies=(replace(body, intake=replace(body.intake, low=low)),))
    said = words_of(draw_histories(replace(judged, feature=feature)))
    assert "intake's lowest: 900 mm below" in said
    assert "lowest, 90 mm below after 2 min" in said


def test_what_is_left_over_the_intake_is_said() -> None:
    """Lowest 90 mm below the waterline, the intake's lowest 100 mm: 10 mm to spare."""
    judged = sample.make(sample.METRIC)
    body = judged.feature.bodies[0]
    low = replace(body.intake.low, m=body.waterline.m - 0.1)
    feature = replace(judged.feature, bodies=(replace(body, intake=replace(body.intake, low=low)),))
    said = words_of(draw_histories(replace(judged, feature=feature)))
    assert any(words.endswith("90 mm below, 10 mm to spare") for words in said)
    assert "intake's lowest" in said


def test_curves_keep_their_levels_on_paper() -> None:
    """The fall of 90 mm at the first start is 4.5 times that of 20 mm at the start, by one scale for both."""
    drawing = draw_histories(sample.make(sample.METRIC))
    lines = [
        next(item for item in group.items if isinstance(item, Polyline) and item.pen == "water")
        for group in groups(drawing.items, "level")
    ]
    fallen = [line.points[-1][1] - line.points[0][1] for line in lines]
    assert fallen[0] / fallen[1] == pytest.approx(4.5, rel=1e-6)
    assert fallen[2] < 0.0, "up on paper"


def test_a_long_section_for_moving_water_has_none_of_its_own() -> None:
    still = draw_long_section(sample.make(sample.METRIC))
    motion = draw_motion(sample.make(sample.METRIC), 0)
    assert any(item.pen == "water" for item in flat(tuple(groups(still.items, "water"))) if isinstance(item, Polyline))
    for name in ("water", "water wash"):
        (layer,) = groups(motion.stage.items, name)
        assert layer.items == ()
    assert "water, running" not in words_of(motion.stage)


def test_the_water_lies_on_the_section_where_its_levels_are() -> None:
    assessment = sample.make(sample.METRIC)
    motion = draw_motion(assessment, 0)
    followed = assessment.over_time
    assert isinstance(followed, OverTime)
    film = followed.histories[0].film
    scale = motion.stage.scale
    assert scale is not None
    columns = [x for strip in motion.strips for x in strip.x]
    assert len(columns) == len(film.stations) == len(motion.surface[0])
    middles = [(strip.x[1], film.stations[strip.first + 1].station_m) for strip in motion.strips]
    for (x, station), (other, further) in itertools.pairwise(middles):
        assert other - x == pytest.approx((further - station) * 1000.0 / scale)
    for row, levels in zip(motion.surface, film.levels_m, strict=True):
        for y, bed_y, level, at in zip(
            row, [bed for strip in motion.strips for bed in strip.bed], levels, film.stations, strict=True
        ):
            assert bed_y - y == pytest.approx((level - at.bed_m) * 1000.0 / scale)


def test_moments_are_told_in_their_order() -> None:
    motion = draw_motion(sample.make(sample.METRIC), 0)
    told = [(moment.at, moment.words) for moment in motion.moments]
    assert told[:2] == [("4 s", "f1 runs"), ("24 s", "f2 runs")]
    assert ("2 min", "pond lowest: 90 mm below its waterline") in told
    assert told[-1] == ("3.3 min", "nothing changes any more")
    assert motion.said[0].startswith("After 4 s: pond 3 mm below its waterline; ")
    assert motion.said[-1].endswith("all falls run.")
    assert (motion.stream, motion.streams) == ("s1", ("s1",))


def test_what_cannot_be_played_is_refused() -> None:
    assessment = sample.make(sample.METRIC)
    with pytest.raises(InputError, match="no such history"):
        draw_motion(assessment, 4)
    with pytest.raises(InputError, match="no such stream"):
        draw_motion(assessment, 0, stream="elsewhere")
    with pytest.raises(InputError, match="nothing was followed"):
        draw_motion(replace(assessment, over_time=NotRun("not asked for")), 0)


def test_depths_are_true_and_shooting_water_is_said() -> None:
    """The running line stands over the bed as its profile says; a Froude number of 0.9 is told, no other."""
    assessment = sample.make(sample.METRIC)
    drawing = draw_depths(assessment)
    said = words_of(drawing)
    assert said.count("Froude 0.9") == len(assessment.feature.reaches)
    assert not [words for words in said if words.startswith("Froude 0.0")]
    marks = {text.text: text.y - text.size_mm / 2 for text, _ in texts(drawing) if text.text in ("20", "80")}
    per_m = (marks["20"] - marks["80"]) / 0.060
    line = next(
        item
        for item in flat(tuple(groups(drawing.items, "surface")))
        if isinstance(item, Polyline) and item.pen == "water"
    )
    profile = assessment.water.reaches[0].profile  # type: ignore[union-attr]
    assert profile is not None
    fall = (profile.depths_m[-1].value - profile.depths_m[0].value) * per_m
    assert line.points[0][1] - line.points[-1][1] == pytest.approx(fall, abs=0.01)


def test_the_running_surface_bends_as_its_profile_does() -> None:
    assessment = sample.make(sample.METRIC)
    drawing = draw_long_section(assessment)
    lines = [
        item
        for item in flat(tuple(groups(drawing.items, "running")))
        if isinstance(item, Polyline) and item.pen == "water"
    ]
    assert {len(line.points) for line in lines} == {5}


def test_half_blocked_water_is_drawn_where_it_can_be_told_apart() -> None:
    """The sample's beds are blocked 30 mm higher: 1.5 mm on paper at 1:20, 0.3 mm at 1:100, which nobody can see."""
    assessment = sample.make(sample.METRIC)
    water = assessment.water
    assert not isinstance(water, NotRun)
    (first, *_) = water.highest
    blocked = tuple(
        replace(first, path=wet.path, case="half blocked", level_m=wet.running_start_m + Band.exact(0.03))
        for wet in water.reaches
    )
    assessment = replace(assessment, water=replace(water, highest=(*water.highest, *blocked)))
    large = draw_long_section(assessment, frame_mm=(900.0, 400.0))
    small = draw_long_section(assessment, frame_mm=(300.0, 150.0), style=DrawingStyle(stairs=False))
    assert large.scale
    assert small.scale
    assert large.scale < small.scale
    assert any(item.pen == "water blocked" for item in flat(large.items) if isinstance(item, Polyline))
    assert "half blocked" in words_of(large)
    assert "half blocked" not in words_of(draw_long_section(assessment, frame_mm=(160.0, 120.0)))


def test_cases_of_a_pump_are_told_apart_and_its_wish_is_drawn() -> None:
    drawing = draw_pump(sample.make(sample.METRIC))
    said = words_of(drawing)
    assert {"worn", "dirty intake", "preferred range"} <= set(said)
    assert "cold water" not in said, "it cannot be told from the usual point"
    assert "wished for, 1.8 L/s" in said
    (wish,) = groups(drawing.items, "wished")
    (line,) = flat(wish.items)
    assert isinstance(line, Polyline)
    ones = {text.text: text.x for text, _ in texts(drawing) if text.anchor == "middle"}
    per = (ones["4"] - ones["2"]) / 2.0
    assert line.points[0][0] == pytest.approx(ones["2"] - 0.2 * per, abs=0.01)
    bands = [item.name for item in drawing.items if isinstance(item, Group) and item.name.endswith("band")]
    assert bands == ["pump band", "pipe band"]
    assert sum(isinstance(item, Circle) for item in flat(drawing.items)) == 4


@pytest.mark.parametrize("spec", [sample.METRIC, sample.FEET, sample.RESERVOIR], ids=["metric", "us", "reservoir"])
def test_a_stage_has_no_words_over_words(spec: object) -> None:
    motion = draw_motion(sample.make(spec), 0, style=DrawingStyle(cap_mm=2.6))  # type: ignore[arg-type]
    for drawing in (motion.stage, motion.chart):
        boxes = [box for _, box in texts(drawing)]
        assert boxes
        for index, box in enumerate(boxes):
            assert not any(box.grown(-0.05).overlaps(other) for other in boxes[index + 1 :])
            assert drawing.frame.holds(box)
