"""Streams that join, in plan, along their edge and as meshes: against Shapely's union and by hand. Invented."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from msgspec.structs import replace
from tests.feature.joining import SITE, joined

from rillwright.feature import XY, Feature
from rillwright.shape import Surface, course_of, finish, mesh_levels, shape, surface

BED, LINER = 0.53 - 0.01 * 1.2 / 3.6, 0.53 - 0.01 * 1.2 / 3.6 - 3 * 0.0254  # of the bed joined, at the joint


def kinds(found: Surface) -> list[tuple[str, str, str]]:
    return [(fault.kind, fault.path, fault.other) for fault in found.plan_faults]


def side_path(*path: XY) -> Feature:
    feature = joined()
    streams = tuple(replace(one, path=path) if one.id == "side" else one for one in feature.streams)
    return replace(feature, streams=streams)


def test_one_edge_runs_round_the_pond_and_both_streams() -> None:
    feature = joined()
    found = surface(feature)
    assert [rim.kind for rim in found.rims] == ["outer"]
    ring = shapely.Polygon([point.at for point in found.rims[0].points])
    areas = [shapely.Polygon(outline) for _, outline in found.footprints]
    assert ring.area == pytest.approx(shapely.union_all(areas).area, rel=1e-6)
    assert kinds(found) == []


def test_no_edge_crosses_the_mouth() -> None:
    """Within the bed that comes in no edge stands, though both streams have banks there."""
    feature = joined()
    points = [point.at for point in surface(feature).rims[0].points]
    mouth = shapely.box(-1.2, 4.4 - 0.39, 0.5, 4.4 + 0.39)
    assert not any(mouth.contains(shapely.Point(at)) for at in points)


def test_the_bank_that_comes_in_goes_on_to_the_other() -> None:
    """Where the two edges meet, at x -0.6 - 9 in, the side's own bank ends a step short of the other: both by hand."""
    feature = joined()
    found = {(round(p.at[0], 3), round(p.at[1], 3)): p for p in surface(feature).rims[0].points}
    run = 9 * 0.0254
    x, y = -0.6 - run, 4.4 + 0.4 + run
    upper, lower = found[round(x - 0.01, 3), round(y, 3)], found[round(x, 3), round(y, 3)]
    assert upper.water == "reaches/side-lower"
    assert lower.water == "reaches/meeting"
    assert upper.top_m - lower.top_m > 0.1


def test_the_liner_of_the_mouth_lies_under_the_bed_that_is_joined() -> None:
    """Behind its stone the face goes down to the other's liner; across the bed the gravel lies on it."""
    feature = joined()
    found = finish(feature, surface(feature))
    places: list[XY] = [(-0.75, 4.4), (0.0, 4.4)]
    assert mesh_levels(found.liner, places) == pytest.approx([LINER, LINER], abs=1e-3)
    assert mesh_levels(found.finished, [(0.0, 4.4), (-0.8, 4.4)]) == pytest.approx([BED, 0.72], abs=1e-3)


def test_every_inner_edge_of_its_meshes_is_shared_by_two() -> None:
    feature = joined()
    plan = surface(feature)
    found = finish(feature, plan)
    work = shapely.union_all([shapely.Polygon(outline) for _, outline in plan.footprints]).buffer(1.0)
    for mesh in (found.dug, found.liner, found.finished):
        corners = np.sort(np.concatenate([mesh.triangles[:, list(pair)] for pair in ((0, 1), (1, 2), (2, 0))]), axis=1)
        edges, count = np.unique(corners, axis=0, return_counts=True)
        single = mesh.xyz[edges[count == 1]][:, :, :2].reshape(-1, 2)
        assert count.max() == 2
        assert not shapely.contains_xy(work, single).any()


def test_turned_and_moved_the_earth_is_the_same() -> None:
    """But for the round corners of berms, as of any site."""
    feature = joined()
    turn, by = 1.1, (120.0, 40.0)

    def there(place: XY) -> XY:
        x, y = place
        c, s = math.cos(turn), math.sin(turn)
        return (x * c - y * s + by[0], x * s + y * c + by[1])

    far = replace(
        feature,
        bodies=tuple(
            replace(
                body,
                outline=tuple(map(there, body.outline)),
                rims=tuple(replace(rim, at=there(rim.at)) if rim.at else rim for rim in body.rims),
                axis=None,
            )
            for body in feature.bodies
        ),
        streams=tuple(replace(stream, path=tuple(map(there, stream.path))) for stream in feature.streams),
        marks=tuple(replace(mark, at=there(mark.at)) if mark.at else mark for mark in feature.marks),
    )
    one, other = (finish(each, surface(each)).earth for each in (feature, far))
    for a, b in zip(one, other, strict=True):
        assert (b.cut_m3, b.fill_m3) == pytest.approx((a.cut_m3, a.fill_m3), rel=6e-3, abs=6e-3)


def test_a_path_drawn_to_the_middle_of_the_bed_is_told() -> None:
    found = surface(side_path((-5.0, 6.4), (-3.0, 4.4), (0.0, 4.4)))
    assert kinds(found) == [("runs on across it", "streams/side", "reaches/meeting")]
    assert found.plan_faults[0].size_m == pytest.approx(0.6)


def test_a_path_that_ends_short_of_the_banks_is_told() -> None:
    """The other's edge lies 9 in outside its bed."""
    found = surface(side_path((-5.0, 6.4), (-3.0, 4.4), (-1.2, 4.4)))
    assert ("ends short of it", "streams/side", "reaches/meeting") in kinds(found)
    assert found.plan_faults[0].size_m == pytest.approx(1.2 - 0.6 - 9 * 0.0254, abs=1e-6)


def test_a_stream_that_crosses_the_one_that_it_joins_is_told_still() -> None:
    """It comes from the other side over the upper bed, and only then into the lower one."""
    found = surface(side_path((3.0, 7.2), (-2.5, 7.2), (-2.5, 4.4), (-0.6, 4.4)))
    assert ("lies over", "streams/main", "streams/side") in kinds(found)


def test_a_stream_that_joins_another_over_their_pond_is_told() -> None:
    """It comes up along the pond's edge, its head over the water."""
    found = surface(side_path((-2.4, 0.6), (-2.4, 4.4), (-0.6, 4.4)))
    assert ("lies over", "ponds/pond", "streams/side") in kinds(found)


def test_a_stream_that_comes_in_beside_a_spill_stone_is_told() -> None:
    """The last stone of the one that is joined lies from 0.3 m above its end on."""
    feature = joined(SITE.replace("4.4 m]", "2.25 m]").replace("6.4 m]", "4.25 m]"))
    assert ("comes in at a stone", "streams/side", "falls/last") in kinds(surface(feature))
    assert not any(kind == "comes in at a stone" for kind, _, _ in kinds(surface(joined())))


def test_the_long_section_goes_on_across_the_bed() -> None:
    feature = joined()
    section = next(one for one in shape(feature).sections if one.stream == "side")
    past = [point for point in section.liner if point[0] >= section.length_m - 1e-9]
    assert past[0] == pytest.approx((section.length_m, LINER))
    assert past[1] == pytest.approx((section.length_m + 1.2, LINER))
    assert past[2][1] == pytest.approx(BED + 9 * 0.0254)
    bed = [level for at, level in section.bed if section.length_m < at < section.length_m + 1.2]
    assert all(level == pytest.approx(BED) for level in bed)


def test_the_height_is_spent_down_to_that_bed() -> None:
    budget = next(one for one in shape(joined()).budgets if one.stream == "side")
    assert budget.height_m == pytest.approx(0.80 - BED)
    assert budget.left_over_m == pytest.approx(0.0, abs=1e-9)
    last = budget.steps[-1]
    assert last.fall_height_m == pytest.approx(0.72 - 0.56)  # its crest less the one that holds the bed's water


def test_widths_of_the_two_meet_without_a_gap() -> None:
    feature = joined()
    main, side = (course_of(feature.stream(id)).area(edge=False) for id in ("main", "side"))
    assert main.distance(side) == pytest.approx(0.0, abs=1e-6)
    assert SITE.count("into: meeting") == 1
