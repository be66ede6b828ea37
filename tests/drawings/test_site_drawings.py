"""Plans and sections of the site: to scale, nothing over anything, every class of depth where it is."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from rillwright.assessment import Assessment, Containment, ElementPath, NotRun, Surface
from rillwright.drawings import (
    Area,
    Circle,
    Drawing,
    DrawingStyle,
    Polyline,
    chosen_cuts,
    draw_cut,
    draw_earth_plan,
    draw_plan,
    draw_rim_strip,
    draw_spill_plan,
    flat,
    texts,
    write_svg,
)
from rillwright.drawings.cuts import Cut, clear_of_steps
from rillwright.drawings.rim_strip_parts import readings
from rillwright.drawings.words import length
from rillwright.feature import Building, Island, Mark, Paving, ServiceLine, Tree
from rillwright.units import Band
from tests.drawings import meshes, rims, sample
from tests.drawings.test_drawings import groups

SPECS = {"metric": sample.METRIC, "us": sample.FEET, "reservoir": sample.RESERVOIR}
DRAWERS: dict[str, Callable[..., Drawing]] = {
    "spill": draw_spill_plan,
    "earth": lambda source, **more: draw_earth_plan(
        source, cuts=[(cut.letter, cut.start, cut.end) for cut in chosen_cuts(source)], **more
    ),
    "first cut": lambda source, **more: draw_cut(source, chosen_cuts(source)[0], **more),
    "last cut": lambda source, **more: draw_cut(source, chosen_cuts(source)[-1], **more),
}


def whole(name: str) -> Assessment:
    return meshes.with_finished(rims.with_rims(sample.make(SPECS[name])))


def words_of(drawing: Drawing) -> list[str]:
    return [text.text for text, _ in texts(drawing)]


@pytest.mark.parametrize("name", SPECS)
@pytest.mark.parametrize("drawer", DRAWERS)
@pytest.mark.parametrize("cap_mm", [2.0, 2.5])
def test_no_words_over_words_and_all_on_the_sheet(drawer: str, name: str, cap_mm: float) -> None:
    drawing = DRAWERS[drawer](whole(name), style=DrawingStyle(cap_mm=cap_mm))
    boxes = texts(drawing)
    assert boxes
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        assert not a.grown(-0.05).overlaps(b), f"{one.text!r} over {other.text!r}"
    frame = drawing.frame.grown(0.01)
    for text, box in boxes:
        assert frame.holds(box), text.text
        assert text.size_mm >= 2.0
    for item in flat(drawing.items):
        if isinstance(item, Polyline | Area):
            assert all(frame.has(point) for point in item.points), item
    assert write_svg(drawing) == write_svg(DRAWERS[drawer](whole(name), style=DrawingStyle(cap_mm=cap_mm)))


@pytest.mark.parametrize("name", SPECS)
def test_the_edge_of_liner_is_to_scale_on_the_plan(name: str) -> None:
    assessment = whole(name)
    drawing = draw_spill_plan(assessment)
    assert drawing.scale
    drawn = [item for layer in groups(drawing.items, "rim") for item in layer.items if isinstance(item, Polyline)]
    run = sum(math.dist(a, b) for line in drawn for a, b in itertools.pairwise(line.points))
    profile = assessment.containment.profiles[0]  # type: ignore[union-attr]
    assert run == pytest.approx(profile.length_m * 1000.0 / drawing.scale, rel=1e-3)


def test_where_it_leaves_and_where_it_goes_is_said() -> None:
    said = words_of(draw_spill_plan(whole("metric")))
    assert any(words.startswith("pond first here") and words.endswith("under water") for words in said)
    assert "towards footing terrace" in said
    assert "raise 88 mm" in said


def test_the_height_of_a_rim_is_said_as_a_rims() -> None:
    said = words_of(draw_spill_plan(whole("metric")))
    assert any(words.startswith("pond first here, rim ") and " liner: " in words for words in said)


def test_many_reaches_are_told_in_short_but_the_worst() -> None:
    """Four ways of reaches with little to spare: one in full, three by their height alone."""
    assessment = whole("metric")
    containment = assessment.containment
    assert isinstance(containment, Containment)
    (first,) = containment.spills
    few = [Band.exact(0.01 * n) for n in range(2, 6)]
    spills = tuple(
        replace(first, water=f"reaches/r{n}", spare_m=spare, towards="", at=(first.at[0] + 0.5 * n, first.at[1]))
        for n, spare in enumerate(few, start=1)
    )
    found = replace(assessment, containment=replace(containment, spills=(first, *spills)))
    said = words_of(draw_spill_plan(found))
    assert sum("first here" in words for words in said) == 2
    assert any(words.startswith("r1 first here, rim ") for words in said)
    assert {"r2: 30 mm to spare", "r3: 40 mm to spare", "r4: 50 mm to spare"} <= set(said)


def test_paving_towards_which_water_runs_is_marked() -> None:
    assessment = whole("metric")
    feature, containment = assessment.feature, assessment.containment
    assert isinstance(containment, Containment)
    level = feature.marks[0].level
    apron = Mark(id="apron", role="paving", level=level, at=(containment.spills[0].at[0] + 1.0, 0.5))
    spills = tuple(replace(spill, towards="marks/apron") for spill in containment.spills)
    found = replace(
        assessment,
        feature=replace(feature, marks=(*feature.marks, apron)),
        containment=replace(containment, spills=spills),
    )
    drawing = draw_spill_plan(found)
    assert [layer.path for layer in groups(drawing.items, "paving")] == ["marks/apron"]
    assert "the paving at apron" in words_of(drawing)
    assert not list(groups(draw_spill_plan(assessment).items, "paving"))


def test_a_section_through_a_rim_keeps_clear_of_steps() -> None:
    """The lowest place is 0.1 m from where another water begins: the section is 0.4 m or more from there."""
    assessment = whole("metric")
    profile = assessment.containment.profiles[0]  # type: ignore[union-attr]
    ends = [n for n, (a, b) in enumerate(itertools.pairwise(profile.points)) if a.water != b.water]
    by_a_step = replace(profile, lowest=ends[0])
    number = clear_of_steps(by_a_step)
    step = profile.points[ends[0]].along_m
    assert abs(profile.points[number].along_m - step) >= 0.4
    assert profile.points[number].water == profile.points[ends[0]].water
    assert clear_of_steps(profile) == profile.lowest


def test_a_way_has_arrows_downhill() -> None:
    assessment = whole("metric")
    drawing = draw_spill_plan(assessment)
    (layer,) = groups(drawing.items, "spill")
    way = [item for item in layer.items if isinstance(item, Polyline)]
    heads = [item for item in layer.items if isinstance(item, Area)]
    assert heads
    assert heads[-1].points[0] == pytest.approx(way[-1].points[-1])
    ring = next(item for item in layer.items if isinstance(item, Circle))
    assert ring.centre == pytest.approx(way[0].points[0], abs=0.01)


@pytest.mark.parametrize("name", ["metric", "us"])
def test_cut_and_fill_are_hatched_where_they_are(name: str) -> None:
    """The hole is all cut, what is built up on the low side all fill; the deepest is said within a grid's step."""
    assessment = whole(name)
    drawing = draw_earth_plan(assessment)
    assert drawing.scale
    (cut,), (fill,) = (list(groups(drawing.items, kind)) for kind in ("cut", "fill"))
    ways = {
        kind.name: {
            round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])))
            for line in kind.items
            if isinstance(line, Polyline)
            for a, b in (line.points,)
        }
        for kind in (cut, fill)
    }
    assert len(ways["cut"]) == 1
    assert len(ways["fill"]) == 2
    body = assessment.feature.bodies[0]
    floor = body.waterline.m - body.depth_m - 0.05
    xs = [x for x, _ in body.outline]
    middle, a = (min(xs) + max(xs)) / 2, 0.55 * body.length_m / 2
    deepest = meshes.ground_m(middle - a, 0.0) - floor
    said = next(words for words in words_of(drawing) if words.startswith("cut") and words.endswith("most"))
    near = [f"cut {length(deepest + d / 1000.0, assessment.feature.system)}, most" for d in range(-3, 2)]
    assert said in near


def test_sections_go_through_what_they_are_named_for() -> None:
    assessment = whole("metric")
    found = {cut.why.split(",")[0]: cut for cut in chosen_cuts(assessment)}
    assert set(found) == {"the lowest place of the rim", "footing terrace", "the deepest cut"}
    profile = assessment.containment.profiles[0]  # type: ignore[union-attr]
    low = profile.points[profile.lowest].at
    assert _off(found["the lowest place of the rim"], low) == pytest.approx(0.0, abs=1e-6)
    (left, y), (right, _) = assessment.feature.site.footings[0].line
    cut = found["footing terrace"]
    share = (y - cut.start[1]) / (cut.end[1] - cut.start[1])
    assert 0.0 < share < 1.0
    assert left - 1e-6 <= cut.start[0] + share * (cut.end[0] - cut.start[0]) <= right + 1e-6
    assert [cut.letter for cut in chosen_cuts(assessment)] == ["A", "B", "C"]


def _off(cut: Cut, at: tuple[float, float]) -> float:
    (x, y), (u, v) = cut.start, cut.end
    return abs((u - x) * (at[1] - y) - (v - y) * (at[0] - x)) / cut.length_m


def test_a_section_is_true_to_scale_both_ways() -> None:
    assessment = whole("metric")
    cut = next(one for one in chosen_cuts(assessment) if one.why == "the deepest cut")
    drawing = draw_cut(assessment, cut)
    assert drawing.scale
    (layer,) = groups(drawing.items, "dig")
    (line,) = layer.items
    assert isinstance(line, Polyline)
    xs, ys = zip(*line.points, strict=True)
    assert max(xs) - min(xs) == pytest.approx(cut.length_m * 1000.0 / drawing.scale, rel=1e-6)
    body = assessment.feature.bodies[0]
    deep = (0.12 - (body.waterline.m - body.depth_m)) * 1000.0 / drawing.scale
    assert max(ys) - min(ys) == pytest.approx(deep, rel=1e-3)


def test_the_line_from_a_footing_falls_one_to_one() -> None:
    assessment = whole("metric")
    cut = next(one for one in chosen_cuts(assessment) if one.structure)
    (layer,) = groups(draw_cut(assessment, cut).items, "footing")
    line = next(item for item in layer.items if isinstance(item, Polyline) and item.pen == "1:1 line")
    (x0, y0), (x1, y1) = line.points
    assert x1 - x0 == pytest.approx(y1 - y0)
    assert x1 > x0


def test_what_was_not_worked_out_is_said() -> None:
    assessment = replace(sample.make(sample.METRIC), finished=NotRun("nobody asked"))
    assert chosen_cuts(assessment) == ()
    assert words_of(draw_earth_plan(assessment)) == ["Not drawn: nobody asked"]
    assert "Not drawn" in words_of(draw_spill_plan(assessment))[0]


def crowded() -> Assessment:
    """The sample with a house, paving, a tree and two buried services beside it."""
    assessment = whole("metric")
    level = assessment.feature.marks[0].level
    site = replace(
        assessment.feature.site,
        buildings=(Building(id="house", outline=((8.5, 3.0), (11.5, 3.0), (11.5, 5.0), (8.5, 5.0)), base=None),),
        paving=(Paving(id="path", outline=((1.0, 1.0), (3.0, 1.0), (3.0, 2.0), (1.0, 2.0)), base=level),),
        trees=(Tree(id="lime", at=(4.0, 0.6), trunk_m=0.4),),
        service_lines=(
            ServiceLine(id="g1", kind="gas", line=((0.0, 3.0), (12.0, 2.6)), depth_m=0.6, top=None),
            ServiceLine(id="w1", kind="water", line=((0.0, 4.0), (4.0, 0.0)), depth_m=None, top=None),
        ),
    )
    return replace(assessment, feature=replace(assessment.feature, site=site))


@pytest.mark.parametrize("drawer", [draw_plan, draw_spill_plan, draw_earth_plan], ids=["plan", "spill", "earth"])
def test_what_stands_about_is_drawn_and_named_on_every_plan(drawer: Callable[..., Drawing]) -> None:
    drawing = drawer(crowded())
    said = [*words_of(drawing), *(text for _, text in drawing.key)]
    level = next(words for words in said if words.startswith("paving path"))
    assert level.startswith("paving path, base +")
    for words in ("building house", "tree lime, 400 mm thick", "gas g1, 600 mm deep", "water w1, depth not known"):
        assert words in said
    paths = {layer.path for name in ("stands there", "tree") for layer in groups(drawing.items, name)}
    assert {"buildings/house", "paving/path", "services/g1", "services/w1", "trees/lime"} <= paths
    boxes = texts(drawing)
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        assert not a.grown(-0.05).overlaps(b), f"{one.text!r} over {other.text!r}"


@pytest.mark.parametrize("drawer", [draw_plan, draw_spill_plan], ids=["plan", "spill"])
def test_an_island_is_dry_on_the_plan_and_has_no_reading_of_the_outer_rim(drawer: Callable[..., Drawing]) -> None:
    assessment = whole("metric")
    body = assessment.feature.bodies[0]
    xs, ys = zip(*body.outline, strict=True)
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    outline = ((x - 0.3, y - 0.3), (x + 0.3, y - 0.3), (x + 0.3, y + 0.3), (x - 0.3, y + 0.3))
    isle = Island(id="isle", of="ponds/pond", outline=outline, top_m=0.1)
    body = replace(body, islands=(isle,))
    drawing = drawer(replace(assessment, feature=replace(assessment.feature, bodies=(body,))))
    (layer,) = groups(drawing.items, "island")
    (area,) = layer.items
    assert isinstance(area, Area)
    assert drawing.scale
    assert area.points[1][0] - area.points[0][0] == pytest.approx(600.0 / drawing.scale)
    profile = assessment.containment.profiles[0]  # type: ignore[union-attr]
    assert len(list(readings(assessment, profile))) == 3
    assert list(readings(assessment, replace(profile, kind="island"))) == []


KINDS = {"liner", "height to spare", "raise", "water", "ground", "dig", "depth"}  # of edges, contours, cut and fill


@pytest.mark.parametrize("drawer", [draw_rim_strip, draw_spill_plan, draw_earth_plan], ids=["strip", "spill", "earth"])
def test_what_a_number_says_it_is_of_is_a_path_and_a_surface(drawer: Callable[..., Drawing]) -> None:
    told = [text.of for text, _ in texts(drawer(crowded())) if text.of]
    assert told
    for one in told:
        path, _, kind = one.partition(" ")
        assert kind in KINDS or ElementPath.parse(path).part
        assert not kind or kind in KINDS or Surface(kind)
