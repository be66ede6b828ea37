"""What a plan has no room for is told at its edge, and lengths run along the least rectangle. Sites are invented."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from rillwright.assessment import XY, Assessment
from rillwright.drawings import Drawing, Group, Item, draw_plan, texts
from rillwright.drawings.outline import long_way
from rillwright.feature import Building, Tree
from tests.drawings import sample


def assessment() -> Assessment:
    return sample.make(sample.METRIC)


def with_tree(at: XY, cottage: tuple[XY, ...] = ()) -> Assessment:
    made = assessment()
    trees = (Tree(id="old-oak", at=at, trunk_m=0.5),)
    buildings = (Building(id="cottage", outline=cottage, base=None),) if cottage else ()
    site = replace(made.feature.site, trees=trees, buildings=buildings)
    return replace(made, feature=replace(made.feature, site=site))


def said(drawn: Drawing) -> list[str]:
    return [text.text for text, _ in texts(drawn)]


def groups(items: tuple[Item, ...], name: str) -> list[Group]:
    return [item for item in items if isinstance(item, Group) and item.name == name]


def test_a_tree_beyond_the_frame_is_told_with_its_distance() -> None:
    drawn = draw_plan(with_tree((60.0, 40.0)))
    (told,) = [text for text in said(drawn) if "tree old-oak" in text]
    assert "from" in told
    assert [one.path for one in groups(drawn.items, "far")][-1] == "trees/old-oak"


def test_a_building_is_told_by_its_nearest_corner() -> None:
    drawn = draw_plan(with_tree((60.0, 40.0), ((-80.0, 0.0), (-70.0, 0.0), (-70.0, 9.0), (-80.0, 9.0))))
    assert any(text.startswith("building cottage: ") for text in said(drawn))
    assert {"trees/old-oak", "buildings/cottage"} <= {one.path for one in groups(drawn.items, "far")}


def test_what_lies_in_the_frame_has_no_arrow() -> None:
    middle = assessment().feature.bodies[0].outline[0]
    drawn = draw_plan(with_tree((middle[0] + 0.5, middle[1] + 0.5)))
    assert "trees/old-oak" not in {one.path for one in groups(drawn.items, "far")}
    assert any("tree old-oak" in text for text in said(drawn))


def test_a_tree_far_away_moves_no_frame() -> None:
    near, far = draw_plan(with_tree((60.0, 40.0))), draw_plan(with_tree((600.0, 400.0)))
    assert near.scale == far.scale


@given(st.lists(st.tuples(st.floats(-9.0, 9.0), st.floats(-9.0, 9.0)), min_size=4, max_size=30), st.floats(0.0, 3.0))
def test_the_least_rectangle_is_that_of_shapely(points: list[XY], turn: float) -> None:
    """The area of the box along that way is the least, as GEOS has it."""
    c, s = math.cos(turn), math.sin(turn)
    hull = shapely.convex_hull(shapely.multipoints([(c * x - s * y, s * x + c * y) for x, y in points]))
    assume(hull.geom_type == "Polygon" and hull.area >= 0.1)
    outline = [(float(x), float(y)) for x, y in shapely.get_coordinates(hull)[:-1]]
    ax, ay = long_way(outline)
    along, across = ([x * u + y * v for x, y in outline] for u, v in ((ax, ay), (-ay, ax)))
    wide, high = max(along) - min(along), max(across) - min(across)
    assert wide >= high * (1.0 - 1e-9)
    assert wide * high == pytest.approx(shapely.oriented_envelope(hull).area, rel=1e-6)
