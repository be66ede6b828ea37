"""The drawings themselves, made from samples: true lengths, nothing over anything, everything said."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace

from rillwright.assessment import Assessment, NotRun
from rillwright.drawings import (
    Dimension,
    Drawing,
    DrawingStyle,
    Group,
    Item,
    Polyline,
    draw_depths,
    draw_histories,
    draw_long_section,
    draw_plan,
    draw_pump,
    draw_staircase,
    draw_thumbnail,
    flat,
    texts,
    write_svg,
)
from rillwright.errors import InputError
from tests.drawings import sample
from tests.drawings.spec import Spec

SPECS = {"metric": sample.METRIC, "us": sample.FEET, "reservoir": sample.RESERVOIR}
MANY = replace(
    sample.METRIC,
    reaches=tuple((0.75 + 0.05 * (n % 3), 0.01) for n in range(12)),
    drops=tuple(0.08 + 0.02 * (n % 4) for n in range(12)),
)
DRAWERS: dict[str, Callable[..., Drawing]] = {
    "section": draw_long_section,
    "plan": draw_plan,
    "staircase": draw_staircase,
    "thumbnail": draw_thumbnail,
    "pump": draw_pump,
    "depths": draw_depths,
    "histories": draw_histories,
}


def groups(items: tuple[Item, ...], name: str) -> Iterator[Group]:
    for item in items:
        if isinstance(item, Group):
            if item.name == name:
                yield item
            yield from groups(item.items, name)


@pytest.mark.parametrize("spec", [*SPECS.values(), MANY], ids=[*SPECS, "twelve drops"])
@pytest.mark.parametrize("drawer", DRAWERS)
@pytest.mark.parametrize("cap_mm", [2.0, 2.5])
def test_no_two_texts_overlap_and_none_leaves_its_frame(drawer: str, spec: Spec, cap_mm: float) -> None:
    drawing = DRAWERS[drawer](sample.make(spec), style=DrawingStyle(cap_mm=cap_mm))
    boxes = texts(drawing)
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        assert not a.grown(-0.05).overlaps(b), f"{one.text!r} over {other.text!r}"
    for text, box in boxes:
        assert drawing.frame.holds(box), text.text
        assert text.size_mm >= 2.0


@pytest.mark.parametrize("spec", SPECS.values(), ids=SPECS)
@pytest.mark.parametrize("drawer", DRAWERS)
def test_lines_stay_on_the_sheet_and_the_bytes_are_the_same_each_time(drawer: str, spec: Spec) -> None:
    drawing = DRAWERS[drawer](sample.make(spec))
    frame = drawing.frame.grown(0.01)
    for item in flat(drawing.items):
        if isinstance(item, Polyline):
            assert all(frame.has(point) for point in item.points), (item.pen, item.points)
    assert write_svg(drawing) == write_svg(DRAWERS[drawer](sample.make(spec)))


@pytest.mark.parametrize("spec", SPECS.values(), ids=SPECS)
def test_known_lengths_of_the_section_are_right_on_paper(spec: Spec) -> None:
    assessment = sample.make(spec)
    drawing = draw_long_section(assessment)
    assert drawing.scale
    chain = next(groups(drawing.items, "distances"))
    spans = [abs(d.end[0] - d.start[0]) for d in chain.items if isinstance(d, Dimension)]
    expected = [length for length, _ in spec.reaches] + [spec.pond_length]
    assert spans == pytest.approx([length * 1000 / drawing.scale for length in expected], abs=0.2)
    root = ElementTree.fromstring(write_svg(drawing))
    layer = next(g for g in root.iter("{http://www.w3.org/2000/svg}g") if g.get("data-layer") == "bed")
    line = layer.findall("{http://www.w3.org/2000/svg}polyline")[-1]
    points = [tuple(map(float, pair.split(","))) for pair in line.get("points", "").split()]
    bed = assessment.shape.sections[0].bed  # type: ignore[union-attr]
    for (a, b), (p, q) in zip(itertools.pairwise(bed), itertools.pairwise(points), strict=True):
        assert math.dist(p, q) == pytest.approx(math.dist(a, b) * 1000 / drawing.scale, abs=0.2)


@pytest.mark.parametrize("spec", SPECS.values(), ids=SPECS)
def test_the_staircase_stands_at_the_height_of_what_it_explains(spec: Spec) -> None:
    assessment = sample.make(spec)
    drawing = draw_long_section(assessment)
    assert drawing.scale
    stairs = next(groups(drawing.items, "height budget"))
    whole = next(item for item in stairs.items if isinstance(item, Dimension))
    height = assessment.shape.budgets[0].height_m  # type: ignore[union-attr]
    assert abs(whole.end[1] - whole.start[1]) == pytest.approx(height * 1000 / drawing.scale, abs=0.2)
    bed = next(item for item in next(groups(drawing.items, "bed")).items if isinstance(item, Polyline))
    assert whole.end[1] == pytest.approx(bed.points[0][1], abs=0.01)  # the stream head


def test_the_plan_is_to_scale() -> None:
    assessment = sample.make(sample.METRIC)
    drawing = draw_plan(assessment)
    assert drawing.scale
    outline = next(
        item
        for item in flat(tuple(groups(drawing.items, "body")))
        if isinstance(item, Polyline) and item.pen == "water"
    )
    truth = assessment.feature.bodies[0].outline
    for (a, b), (p, q) in zip(itertools.pairwise(truth), itertools.pairwise(outline.points), strict=True):
        assert math.dist(p, q) == pytest.approx(math.dist(a, b) * 1000 / drawing.scale, abs=0.2)


def test_exaggeration_is_said() -> None:
    drawing = draw_long_section(sample.make(sample.METRIC), style=DrawingStyle(exaggeration=2.0))
    assert "heights drawn 2 times" in [text.text for text, _ in texts(drawing)]


def test_levels_carry_their_surface_and_elements_their_path() -> None:
    svg = write_svg(draw_long_section(sample.make(sample.METRIC)))
    for word in ("stone top", "water, running", "bed", "liner", "dig", "ground", "water at rest"):
        assert f">{word}" in svg
    for path in ("falls/f3", "reaches/r2", "ponds/pond", "laps/lap1", "streams/s1"):
        assert f'data-path="{path}"' in svg


def test_everything_in_the_plan_is_named() -> None:
    drawing = draw_plan(sample.make(sample.METRIC))
    said = " | ".join([text.text for text, _ in texts(drawing)] + [text for _, text in drawing.key])
    for name in (
        "BM1",
        "G4",
        "rim1",
        "rim3",
        "f1",
        "f4",
        "S1",
        "S4",
        "gate",
        "terrace",
        "stream head",
        "pond",
        "N",
        "1:50",
    ):
        assert name in said


def test_a_crowded_plan_keeps_every_name() -> None:
    assessment = sample.make(MANY)
    drawing = draw_plan(assessment, frame_mm=(130.0, 110.0))
    said = [text.text for text, _ in texts(drawing)] + [text for _, text in drawing.key]
    for fall in assessment.feature.falls:
        assert any(text.startswith(f"{fall.id} ") for text in said), fall.id


def test_markup_in_a_feature_is_only_words() -> None:
    assessment = sample.make(sample.METRIC)
    feature = replace(assessment.feature, name='</svg><script>"&')
    svg = write_svg(draw_plan(replace(assessment, feature=feature)))
    root = ElementTree.fromstring(svg)
    assert not root.findall(".//{http://www.w3.org/2000/svg}script")


@pytest.mark.parametrize("drawer", ["section", "staircase", "pump", "depths", "histories"])
def test_what_was_not_computed_is_said(drawer: str) -> None:
    blank = NotRun("the quick tier was stopped")
    drawing = DRAWERS[drawer](replace(sample.make(sample.METRIC), shape=blank, water=blank, over_time=blank))
    assert "the quick tier was stopped" in " ".join(text.text for text, _ in texts(drawing))


def test_what_is_too_large_is_refused_plainly() -> None:
    huge = replace(sample.METRIC, reaches=((9e5, 0.02), (2.6, 0.02), (1.9, 0.01), (2.4, 0.02)))
    with pytest.raises(InputError, match="too large"):
        draw_long_section(sample.make(huge))


def without_water(assessment: Assessment) -> Assessment:
    return replace(assessment, water=NotRun("not yet"))


def test_the_section_is_drawn_without_water_too() -> None:
    svg = write_svg(draw_long_section(without_water(sample.make(sample.METRIC))))
    assert "water, running" not in svg
    assert "stone top" in svg
