"""Far marks on a plan, words over lines, a buried reservoir, the far end of the liner."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import Judged
from rillwright.drawings import (
    Area,
    Box,
    Dimension,
    Group,
    Item,
    Polyline,
    Text,
    draw_long_section,
    draw_plan,
    flat,
    text_box,
    write_svg,
)
from rillwright.drawings.far import Aside, bearing_deg, parted
from rillwright.drawings.room import crossings, of_boxes, of_segments
from rillwright.drawings.svg import HALO_MM

ACROSS, UPRIGHT = (387.0, 240.0), (264.0, 375.0)
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def judged(name: str) -> Judged:
    return job.judge(job.open(EXAMPLES / name))


def layers(items: tuple[Item, ...], name: str) -> list[Group]:
    found = []
    for item in items:
        if isinstance(item, Group):
            found += [item] if item.name == name else layers(item.items, name)
    return found


@pytest.mark.parametrize(
    ("to", "north", "bearing"),
    [((0.0, 1.0), 0.0, 0.0), ((1.0, 0.0), 0.0, 90.0), ((-1.0, -1.0), 0.0, 225.0), ((0.0, 1.0), 20.0, 340.0)],
)
def test_bearings_count_clockwise_from_north(to: tuple[float, float], north: float, bearing: float) -> None:
    """Whole-circle bearing, as in any surveying text; north turned clockwise on the sheet takes off as much."""
    assert bearing_deg((0.0, 0.0), to, north_rad=math.radians(north)) == pytest.approx(bearing)


def test_a_far_mark_leaves_the_scale_alone() -> None:
    def scale_of(points: Sequence[tuple[float, float]]) -> float:
        return max(abs(x) for x, _ in points)

    near, far = parted([(0.0, 0.0), (9.0, 0.0)], [Aside(at=(x, 0.0), path="", words="") for x in (50.0, 8.0)], scale_of)
    assert [one.at[0] for one in near] == [8.0]
    assert [one.at[0] for one in far] == [50.0]


@pytest.mark.parametrize("frame", [(387.0, 252.0), (264.0, 375.0)], ids=["across", "upright"])
@pytest.mark.parametrize("name", ["weavers-court", "orchard-press", "clinic-forecourt"])
def test_plan_words_stop_the_lines_under_them_and_nothing_is_lost(name: str, frame: tuple[float, float]) -> None:
    source = judged(name)
    drawing = draw_plan(source, frame_mm=frame)
    words = [item for group in layers(drawing.items, "label") for item in flat(group.items) if isinstance(item, Text)]
    assert words
    assert all(word.halo in ("paper", "water wash", "stone wash") for word in words)
    svg = write_svg(drawing)
    assert svg.count('paint-order="stroke') == sum(
        1 for item in flat(drawing.items) if isinstance(item, Text) and item.halo
    )
    assert HALO_MM > 0.5
    said = " ".join(word.text for word in words) + " ".join(text for _, text in drawing.key)
    feature = source.assessment.feature
    for id in [mark.id for mark in feature.marks if mark.at is not None] + [one.id for one in feature.site.footings]:
        assert id in said
    for item in flat(drawing.items):
        if isinstance(item, Polyline | Area):
            assert all(-1e-6 <= x <= frame[0] + 1e-6 and -1e-6 <= y <= frame[1] + 1e-6 for x, y in item.points)


@pytest.mark.parametrize(
    ("name", "frame", "turned"),
    [("clinic-forecourt", UPRIGHT, False), ("clinic-forecourt", ACROSS, False), ("weavers-court", UPRIGHT, True)],
)
def test_a_far_footing_or_mark_is_an_arrow_with_distance_and_bearing_where_north_is_known(
    name: str, frame: tuple[float, float], turned: bool
) -> None:
    """Its words lie over no water and over no dimension."""
    source = judged(name)
    drawing = draw_plan(source, frame_mm=frame)
    said = [item for item in flat(drawing.items) if isinstance(item, Text) and " from stake" in item.text]
    assert len(said) == len(layers(drawing.items, "far")) > 0
    assert all(("bearing" in words.text) is turned for words in said)
    assert bool(layers(drawing.items, "north")) is turned
    bodies = [
        Box.round(item.points)
        for group in layers(drawing.items, "body")
        for item in list(flat(group.items))[:1]
        if isinstance(item, Area)
    ]
    lengths = [item for group in layers(drawing.items, "lengths") for item in flat(group.items)]
    for words in said:
        box = text_box(words)
        assert not any(box.overlaps(body) for body in bodies)
        for item in lengths:
            if isinstance(item, Polyline):
                line = of_segments(((item.points[0], item.points[-1]),))
                assert crossings(line, of_boxes((box,)))[0].size == 0


def test_an_oval_is_dimensioned_along_its_own_axes_as_it_was_typed() -> None:
    """18 by 12 ft turned by 10 degrees: its box across the sheet would be 17' 10 3/8\" by 12' 2 3/4\"."""
    drawing = draw_plan(judged("orchard-press"), frame_mm=UPRIGHT)
    assert drawing.scale
    (group,) = layers(drawing.items, "lengths")
    dimensions = [item for item in group.items if isinstance(item, Dimension)]
    assert [item.text for item in dimensions] == ["18′ 0″", "12′ 0″"]
    for item, feet in zip(dimensions, (18, 12), strict=True):
        assert math.dist(item.start, item.end) == pytest.approx(feet * 304.8 / drawing.scale, abs=1e-6)
    (x0, y0), (x1, y1) = dimensions[0].start, dimensions[0].end
    assert abs(math.degrees(math.atan((y1 - y0) / (x1 - x0)))) == pytest.approx(10.0)


def test_a_buried_reservoir_is_no_open_water() -> None:
    drawing = draw_long_section(judged("clinic-forecourt"))
    words = [item.text for item in flat(drawing.items) if isinstance(item, Text)]
    assert "water between void blocks, 95 % of the room" in words
    assert "gravel or a lid over it" in words
    assert layers(drawing.items, "cover")
    assert not layers(draw_long_section(judged("orchard-press")).items, "cover")


@pytest.mark.parametrize("name", ["weavers-court", "orchard-press", "clinic-forecourt"])
def test_the_far_end_of_the_liner_is_held_at_the_rim(name: str) -> None:
    assessment = judged(name).assessment
    (section,) = assessment.shape.sections  # type: ignore[union-attr]
    body = assessment.feature.bodies[0]
    tops = [rim.ground.m + rim.berm_m for rim in body.rims]
    (_, rise), (_, held) = section.liner[-2:]
    assert rise == held
    assert any(held == pytest.approx(top) for top in tops)
    assert held > body.waterline.m
