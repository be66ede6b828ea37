"""Digs against what stands and lies beside them, by hand; and that turning or shifting the site changes nothing."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from tests.shape import sample

from rillwright.earth import Earth, ServiceCrossing, TreeClearance, level_on, move_earth
from rillwright.feature import XY, Building, Feature, Paving, ServiceLine, Site, Surface, Tree
from rillwright.shape import shape

UNDER = 0.0061  # felt and liner of the sample [m]
SQUARE = ((-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0))


def pond(site: dict[str, object], *, depth_m: float = 0.5, side: float = 1e9) -> Feature:
    """A square pond 4 m wide, its stream coming in from x = 10 m; waterline and ground at 0."""
    feature = sample.four_drops()
    body = replace(
        sample.body(SQUARE, depth_m=depth_m, waterline_m=0.0), side_up_per_across=side, gravel_m=0.0, shelf_width_m=0.0
    )
    body = replace(
        body, rims=tuple(replace(rim, ground=sample.level(0.0, Surface.GROUND), berm_m=0.0) for rim in body.rims)
    )
    stream = sample.stream(into=body, end=(2.0, 0.0), way=(-1.0, 0.0))
    done = replace(feature, bodies=(body,), streams=(stream,))
    return replace(done, site=sited(done.site, site))


def sited(site: Site, changes: dict[str, object]) -> Site:
    return replace(site, **changes)


def moved(feature: Feature) -> Earth:
    return move_earth(feature, shape(feature))


def clear(feature: Feature) -> tuple[float, float | None]:
    found = next(one for one in moved(feature).clearances if one.path == "ponds/pond")
    return found.clearance_m, found.at_best_m


def box(x: float, y: float, wide: float, deep: float) -> tuple[XY, ...]:
    return ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))


def test_the_base_of_paving_bears_as_a_footing_does() -> None:
    """Its edge 0.3 m off, its base 0.2 m down: the line is at -0.5 m at the pond, dug to -0.5 - 0.0061 m."""
    terrace = Paving(id="terrace", outline=box(-6.0, -2.0, 3.7, 4.0), base=sample.level(-0.2, Surface.GROUND))
    found, best = clear(pond({"paving": (terrace,)}))
    assert found == pytest.approx(-UNDER, abs=1e-6)
    assert best is None


def test_a_pond_under_paving_stands_at_no_distance_from_it() -> None:
    court = Paving(id="court", outline=box(-9.0, -9.0, 18.0, 18.0), base=sample.level(-0.2, Surface.GROUND))
    assert clear(pond({"paving": (court,)}))[0] == pytest.approx(-0.5 - UNDER + 0.2, abs=1e-6)


def test_a_building_whose_footings_nobody_knows_bears_from_the_ground_beside_it() -> None:
    """1 m off: the line from the ground is at -1.0 m at the pond. At best the foot lies 12 in (0.3048 m) down."""
    house = Building(id="house", outline=box(-8.0, -2.0, 5.0, 4.0), base=None)
    found, best = clear(pond({"buildings": (house,)}, depth_m=1.2))
    assert found == pytest.approx(1.0 - 1.2 - UNDER, abs=1e-6)
    assert best == pytest.approx(found + 0.3048)


def test_a_building_with_a_known_foot_bears_from_there() -> None:
    house = Building(id="house", outline=box(-8.0, -2.0, 5.0, 4.0), base=sample.level(-0.6, Surface.GROUND))
    found, best = clear(pond({"buildings": (house,)}, depth_m=1.2))
    assert found == pytest.approx(1.6 - 1.2 - UNDER, abs=1e-6)
    assert best is None


def tree_at(feature: Feature, path: str) -> TreeClearance:
    return next(one for one in moved(feature).trees if one.path == path)


def test_a_tree_by_the_pond() -> None:
    """3 m off the edge with a trunk 0.30 m across: its roots need 3.60 m (BS 5837: 12 diameters, from memory)."""
    found = tree_at(pond({"trees": (Tree(id="oak", at=(-5.0, 0.0), trunk_m=0.30),)}), "ponds/pond")
    assert (found.distance_m, found.root_m) == pytest.approx((3.0, 3.6))
    thick = tree_at(pond({"trees": (Tree(id="oak", at=(-5.0, 0.0), trunk_m=1.50),)}), "ponds/pond")
    assert thick.root_m == 15.0  # at most, by the same text
    inside = tree_at(pond({"trees": (Tree(id="oak", at=(0.0, 0.0), trunk_m=0.30),)}), "ponds/pond")
    assert inside.distance_m == 0.0


def test_a_tree_by_the_stream_stands_from_the_top_of_its_cut() -> None:
    """Sides of the cut go up 1:1 from half the bed's width to the ground, looked at anew every centimetre."""
    feature = pond({"trees": (Tree(id="oak", at=(6.0, 3.0), trunk_m=0.30),)})
    stream, section = feature.streams[0], shape(feature).sections[0]
    (ax, ay), (bx, by) = stream.path[0], stream.path[-1]
    near = []
    for step in range(1, round(100 * stream.length_m)):
        station = step / 100
        share = station / stream.length_m
        away = math.dist((ax + share * (bx - ax), ay + share * (by - ay)), (6.0, 3.0))
        deep = max(level_on(section.ground, station) - level_on(section.dig, station), 0.0)
        near.append(away - 0.5 * stream.width_m - deep)
    assert tree_at(feature, f"streams/{stream.id}").distance_m == pytest.approx(min(near), abs=0.01)


def crossing(feature: Feature, path: str = "ponds/pond") -> ServiceCrossing:
    return next(one for one in moved(feature).services if one.path == path)


def gas(*line: XY, depth_m: float | None = None, top: float | None = None) -> dict[str, object]:
    level = None if top is None else sample.level(top, Surface.GROUND)
    return {"service_lines": (ServiceLine(id="g1", kind="gas", line=line, depth_m=depth_m, top=level),)}


def test_a_service_beside_the_pond_is_so_far_off() -> None:
    found = crossing(pond(gas((-3.0, -9.0), (-3.0, 9.0), depth_m=0.6)))
    assert not found.crosses
    assert found.distance_m == pytest.approx(1.0)


@pytest.mark.parametrize(("depth", "over"), [(0.40, -0.1 - UNDER), (0.60, 0.1 - UNDER)])
def test_a_service_under_the_pond_by_hand(depth: float, over: float) -> None:
    """Upright pond dug to -0.5061 m under ground at 0; the service's top lies so deep under the ground."""
    found = crossing(pond(gas((-9.0, 0.5), (9.0, 0.5), depth_m=depth)))
    assert found.crosses
    assert found.over_m == pytest.approx(over, abs=1e-6)
    assert found.dig_m == pytest.approx(-0.5 - UNDER)


def test_a_service_by_its_level_needs_no_ground() -> None:
    assert crossing(pond(gas((-9.0, 0.5), (9.0, 0.5), top=-0.9))).over_m == pytest.approx(0.4 - UNDER, abs=1e-6)


def test_how_deep_a_service_lies_that_nobody_said_is_not_known() -> None:
    found = crossing(pond(gas((-9.0, 0.5), (9.0, 0.5))))
    assert found.crosses
    assert found.over_m is None


def test_over_a_battered_side_the_dig_is_as_deep_as_the_side_there() -> None:
    """Sides 1:1, 0.5 m deep: a service 0.2 m inside the waterline crosses a side dug to -0.2 m and its underlay."""
    found = crossing(pond(gas((-1.8, -9.0), (-1.8, 9.0), depth_m=0.6), side=1.0))
    assert found.dig_m == pytest.approx(-0.2 - UNDER, abs=0.02)
    deeper = crossing(pond(gas((-1.6, -9.0), (-1.6, 9.0), depth_m=0.6), side=1.0))
    assert deeper.dig_m is not None
    assert found.dig_m is not None
    assert deeper.dig_m < found.dig_m


def test_a_service_across_the_stream_tells_the_station() -> None:
    """The path runs along y = 0 away from x = 2 m; a line across it at its middle crosses it half way along."""
    feature = pond({})
    stream = feature.streams[0]
    (ax, _), (bx, _) = stream.path[0], stream.path[-1]
    middle = 0.5 * (ax + bx)
    done = replace(feature, site=sited(feature.site, gas((middle, -9.0), (middle, 9.0), depth_m=0.3)))
    found = crossing(done, f"streams/{stream.id}")
    assert found.crosses
    assert found.station_m == pytest.approx(0.5 * stream.length_m, abs=0.5 * stream.width_m + 0.4)
    assert found.over_m is not None


def turned(feature: Feature, angle: float, by: XY) -> Feature:
    def put(place: XY) -> XY:
        x, y = place
        return (
            x * math.cos(angle) - y * math.sin(angle) + by[0],
            x * math.sin(angle) + y * math.cos(angle) + by[1],
        )

    site = feature.site
    return replace(
        feature,
        bodies=tuple(replace(body, outline=tuple(map(put, body.outline))) for body in feature.bodies),
        streams=tuple(replace(stream, path=tuple(map(put, stream.path))) for stream in feature.streams),
        site=replace(
            site,
            buildings=tuple(replace(one, outline=tuple(map(put, one.outline))) for one in site.buildings),
            trees=tuple(replace(tree, at=put(tree.at)) for tree in site.trees),
            service_lines=tuple(replace(one, line=tuple(map(put, one.line))) for one in site.service_lines),
        ),
    )


def test_turning_and_shifting_the_site_changes_nothing() -> None:
    feature = pond(
        {
            "buildings": (Building(id="house", outline=box(-8.0, -2.0, 5.0, 4.0), base=None),),
            "trees": (Tree(id="oak", at=(5.0, 3.0), trunk_m=0.30),),
            **gas((-1.8, -9.0), (-1.8, 9.0), depth_m=0.6),
        },
        side=1.0,
    )
    here, there = moved(feature), moved(turned(feature, 0.7, (31.0, -12.0)))
    for a, b in zip(here.clearances, there.clearances, strict=True):
        assert a.clearance_m == pytest.approx(b.clearance_m, abs=1e-6)
    for one, other in zip(here.trees, there.trees, strict=True):
        assert one.distance_m == pytest.approx(other.distance_m, abs=1e-6)
    for first, second in zip(here.services, there.services, strict=True):
        assert first.distance_m == pytest.approx(second.distance_m, abs=1e-6)
        assert first.over_m == pytest.approx(second.over_m, abs=1e-3)
