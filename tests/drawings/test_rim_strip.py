"""A rim unrolled: every distance and every gap true, three words for what is to be said, guesses told."""

from __future__ import annotations

import itertools

import pytest
from msgspec.structs import replace

from rillwright.assessment import NotRun, Origin
from rillwright.drawings import Area, DrawingStyle, Polyline, draw_rim_strip, flat, text_box, texts
from rillwright.drawings.rim_spare import Spare, profiles_of, stretches
from rillwright.drawings.words import along, length
from tests.drawings import rims, sample
from tests.drawings.spec import Spec
from tests.drawings.test_drawings import groups

SPECS = {"metric": sample.METRIC, "us": sample.FEET, "reservoir": sample.RESERVOIR}


def words_of(drawing: object) -> list[str]:
    return [text.text for text, _ in texts(drawing)]  # type: ignore[arg-type]


@pytest.mark.parametrize("spec", SPECS.values(), ids=SPECS)
@pytest.mark.parametrize("cap_mm", [2.0, 2.5])
@pytest.mark.parametrize("low_m", [-0.05, 0.02, 0.105])
def test_no_words_over_words_and_all_on_the_sheet(spec: Spec, cap_mm: float, low_m: float) -> None:
    assessment = rims.with_rims(sample.make(spec), low_m=low_m)
    drawing = draw_rim_strip(assessment, style=DrawingStyle(cap_mm=cap_mm))
    boxes = texts(drawing)
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        assert not a.grown(-0.05).overlaps(b), f"{one.text!r} over {other.text!r}"
    for text, box in boxes:
        assert drawing.frame.holds(box), text.text
        assert text.size_mm >= 2.0
    frame = drawing.frame.grown(0.01)
    for item in flat(drawing.items):
        if isinstance(item, Polyline | Area):
            assert all(frame.has(point) for point in item.points)


@pytest.mark.parametrize("spec", SPECS.values(), ids=SPECS)
def test_distances_and_gaps_are_true(spec: Spec) -> None:
    """The edge is as long as its rim at the scale that is said; the gap at the lowest place by the height scale."""
    assessment = rims.with_rims(sample.make(spec), low_m=0.03)
    (profile,) = profiles_of(assessment)
    drawing = draw_rim_strip(assessment)
    assert drawing.scale
    edges = [item for layer in groups(drawing.items, "edge") for item in layer.items if isinstance(item, Polyline)]
    tops = [line for line in edges if line.pen.startswith("liner")]
    run = sum(line.points[-1][0] - line.points[0][0] for line in tops)
    assert run == pytest.approx(profile.length_m * 1000.0 / drawing.scale, abs=0.01)
    waters = [line for line in edges if line.pen == "water"]
    gaps = [
        line.points[0][1] - max(y for _, y in top.points) for line, top in zip(waters, tops, strict=True)
    ]  # fmt: skip
    times = float(drawing.notes[0].removeprefix("heights drawn ").removesuffix(" times their true size"))
    low = profile.points[profile.lowest].spare_m.value
    assert min(gaps) == pytest.approx(low * 1000.0 / drawing.scale * times, rel=0.05)


def test_the_three_words_are_said_where_they_are_true() -> None:
    said = words_of(draw_rim_strip(rims.with_rims(sample.make(sample.METRIC), low_m=-0.05)))
    assert {"water leaves here", "less than wanted", "spare"} <= set(said)
    lesser = words_of(draw_rim_strip(rims.with_rims(sample.make(sample.METRIC), low_m=0.03)))
    assert "less than wanted" in lesser
    assert "water leaves here" not in lesser
    well = words_of(draw_rim_strip(rims.with_rims(sample.make(sample.METRIC), low_m=0.1)))
    assert "less than wanted" not in well


def test_a_stretch_changes_where_the_straight_rim_passes_its_limit() -> None:
    """From 110 mm down to 10 mm over 0.8 m, 76.2 mm wanted: passed (110 - 76.2) / 100 of the way, by hand."""
    assessment = rims.with_rims(sample.make(sample.METRIC), low_m=0.01, guessed=False)
    (profile,) = profiles_of(assessment)
    found = stretches(assessment, profile)
    assert sum(one.end_m - one.start_m for one in found) == pytest.approx(profile.length_m)
    less = [one for one in found if one.spare is Spare.LESS]
    middle = 0.3 * profile.length_m
    assert less[0].start_m == pytest.approx(middle - 0.8 + 0.8 * (0.11 - 0.0762) / 0.1, abs=0.02)
    assert less[-1].end_m == pytest.approx(middle + 0.8 - 0.8 * (0.11 - 0.0762) / 0.1, abs=0.02)


@pytest.mark.parametrize("spec", [sample.METRIC, sample.FEET], ids=["metric", "us"])
def test_the_lowest_place_is_flagged_in_peoples_units(spec: Spec) -> None:
    assessment = rims.with_rims(sample.make(spec), low_m=0.03)
    (profile,) = profiles_of(assessment)
    place = profile.points[profile.lowest]
    drawing = draw_rim_strip(assessment)
    (flag,) = groups(drawing.items, "lowest")
    assert flag.path == place.path
    (said,) = [words for words in words_of(drawing) if words.startswith("lowest")]
    system = assessment.feature.system
    assert f"{along(place.along_m, system)} along: {length(place.spare_m.value, system)} to spare" in said


def test_what_is_guessed_is_dashed_and_said() -> None:
    def dashed(*, guessed: bool) -> int:
        drawing = draw_rim_strip(rims.with_rims(sample.make(sample.METRIC), guessed=guessed))
        assert any("no level was taken there" in words for words in words_of(drawing)) is guessed
        assert ("guessed" in words_of(drawing)) is guessed
        return sum(isinstance(item, Polyline) and item.pen == "liner guessed" for item in flat(drawing.items))

    assert dashed(guessed=True) > 0
    assert dashed(guessed=False) == 0


def test_what_was_not_worked_out_is_said() -> None:
    drawing = draw_rim_strip(sample.make(sample.METRIC))
    assert "Not drawn" in words_of(drawing)[0]
    assert isinstance(sample.make(sample.METRIC).surface, NotRun)


def test_a_rim_that_was_shot_is_heavy_with_a_cross_and_says_so() -> None:
    assessment = rims.with_rims(sample.make(sample.METRIC))
    (body,) = assessment.feature.bodies
    first, *others = body.rims
    shot = replace(first, top=replace(first.ground, origin=Origin.BUILT))
    built = replace(assessment.feature, bodies=(replace(body, rims=(shot, *others)),))
    for made, count in ((assessment, 0), (replace(assessment, feature=built), 1)):
        drawing = draw_rim_strip(made)
        assert sum(words.endswith("liner, as shot") for words in words_of(drawing)) == count
        heavy = [item for item in flat(drawing.items) if isinstance(item, Polyline) and item.pen == "built"]
        assert len(heavy) == 3 * count


def test_distances_along_are_as_a_tape_tells_them() -> None:
    """To the inch, or to 10 mm in one unit: 23 ft 1 1/4 in and 0.941 m by definition of the foot."""
    assert along(23.0 * 0.3048 + 1.25 * 0.0254, "us") == "23′ 1″"
    assert along(0.941, "metric") == "0.94 m"
    assert along(33.358, "metric") == "33.36 m"


def test_no_words_run_past_the_strip() -> None:
    """Labels stand between the strip's ends, not in the margin."""
    drawing = draw_rim_strip(rims.with_rims(sample.make(sample.METRIC)))
    water = [item for layer in groups(drawing.items, "water") for item in layer.items if isinstance(item, Area)]
    left, right = min(x for a in water for x, _ in a.points), max(x for a in water for x, _ in a.points)
    named = ("spare", "less than wanted", "water leaves here", "wanted")
    boxes = [text_box(text) for text, _ in texts(drawing) if text.text.startswith(named)]
    assert boxes
    assert all(left - 0.01 <= box.left and box.right <= right + 0.01 for box in boxes)


def test_the_least_that_there_may_be_is_a_thin_line_below() -> None:
    """The sample's tops may be 10 mm lower."""
    drawing = draw_rim_strip(rims.with_rims(sample.make(sample.METRIC), low_m=0.03))
    assert drawing.scale
    times = float(drawing.notes[0].removeprefix("heights drawn ").removesuffix(" times their true size"))
    thin = [item for item in flat(drawing.items) if isinstance(item, Polyline) and item.pen == "may be"]
    heavy = [item for item in flat(drawing.items) if isinstance(item, Polyline) and item.pen.startswith("liner")]
    below = thin[0].points[0][1] - heavy[0].points[0][1]
    assert below == pytest.approx(10.0 / drawing.scale * times, rel=0.05)
    assert "thin: as low as the rim may be" in drawing.notes
