"""Far marks on a plan, words over lines, a buried reservoir, the far end of the liner."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import pytest

from rillwright import job
from rillwright.assessment import Judged
from rillwright.drawings import Area, Group, Item, Polyline, Text, draw_long_section, draw_plan, flat, write_svg
from rillwright.drawings.far import Aside, bearing_deg, parted
from rillwright.drawings.svg import HALO_MM

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


def test_a_far_footing_or_mark_is_an_arrow_with_distance_and_bearing() -> None:
    drawing = draw_plan(judged("clinic-forecourt"), frame_mm=(387.0, 240.0))
    said = [item.text for item in flat(drawing.items) if isinstance(item, Text) and "bearing" in item.text]
    assert len(said) == len(layers(drawing.items, "far")) > 0
    assert all(" from " in words for words in said)


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
