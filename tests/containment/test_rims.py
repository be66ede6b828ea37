"""Rims as they run: against closed forms, brute force, and what must follow when one of them is raised or moved."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.containment import made
from tests.shape import sample

from rillwright.containment import Raise, SpillPath
from rillwright.containment.profiles import low_places, rim_profiles
from rillwright.containment.raising import INCH_M
from rillwright.containment.spilling import spill_paths
from rillwright.containment.uphill import uphill
from rillwright.feature import Building, Document, Feature, complete
from rillwright.shape import RimLine, shape, surface
from rillwright.water import water

tops = st.lists(st.floats(0.0, 0.3), min_size=120, max_size=120)


def tilted(x: float, y: float) -> float:
    return 0.25 + 0.01 * x - 0.02 * y


def feature(*outlines: Sequence[tuple[float, float]]) -> Feature:
    """A feature with nothing but buildings on its site."""
    given = sample.four_drops()
    buildings = tuple(
        Building(id=f"house{number}", outline=tuple(outline), base=None) for number, outline in enumerate(outlines, 1)
    )
    return replace(given, marks=(), site=replace(given.site, buildings=buildings, footings=(), paving=()))


def test_the_lowest_place_of_a_tilted_oval() -> None:
    """Least of a plane round an ellipse: its middle less sqrt((a gx)^2 + (b gy)^2), to 1 mm (closed form)."""
    places = made.oval()
    rim = made.ring(places, [tilted(x, y) for x, y in places])
    low = made.low(rim, 0.1)
    assert low.top_m.value == pytest.approx(0.25 - math.hypot(3.0 * 0.01, 2.0 * 0.02), abs=1e-3)
    assert low.spare_m.value == pytest.approx(low.top_m.value - 0.1)
    assert (low.water, low.case) == ("ponds/pond", "rest")


def test_a_pond_cut_into_a_slope_spills_at_the_low_end_of_its_edge() -> None:
    """A plane over an oval's edge, which runs `out` outside the waterline: least is the plane in the middle less
    sqrt((a gx)^2 + (b gy)^2) + out |g| (support function of an offset ellipse, closed form), to 1 mm.
    """
    gx, gy, a, b = 0.02, -0.03, 3.0, 2.0

    def plane(x: float, y: float) -> float:
        return 0.30 + gx * x + gy * y

    axis = (-8.0, 0.0, 8.0)
    marks = [(x, y) for x in axis for y in axis if (x, y) != (0.0, 0.0)]
    rims = [(3.2, 0.0), (0.0, 2.2), (-3.2, 0.0), (0.0, -2.2)]
    text = "format: 1\nname: Made slope\ninvented: yes\nunits: metric\nmarks:\n"
    text += "  - {id: pin, role: benchmark, level: 0 m}\n"
    for n, (x, y) in enumerate(marks):
        text += f"  - {{id: g{n}, surface: ground, level: {plane(x, y):.6f} m, at: [{x} m, {y} m]}}\n"
    text += "pond:\n  id: pond\n  waterline: 0 m\n  outline: {oval: [6 m, 4 m]}\n  depth: 600 mm\n  side: 2\n  rims:\n"
    for n, (x, y) in enumerate(rims):
        text += f"    - {{id: r{n}, ground: {plane(x, y):.6f} m, at: [{x} m, {y} m]}}\n"
    done = complete(Document.read(text, file="feature.yaml"))
    drawn = surface(done)
    (low,) = low_places(rim_profiles(drawn.rims, made.wet(0.0)))
    out = sum(plane(x, y) for x, y in rims) / len(rims) / 2.0
    exact = 0.30 - math.hypot(a * gx, b * gy) - out * math.hypot(gx, gy)
    assert low.top_m.value == pytest.approx(exact, abs=1e-3)


def test_the_worst_of_all_cases_stands_against_every_place() -> None:
    rim = made.ring(made.oval(), [0.2] * 120)
    (profile,) = rim_profiles((rim,), made.wet(0.00, 0.05, 0.08, 0.02))
    assert {point.case for point in profile.points} == {"half blocked"}
    assert {round(point.spare_m.value, 9) for point in profile.points} == {0.12}


def test_the_band_of_a_top_is_its_own() -> None:
    """Standard error 10 mm: 95 in 100 lie within 19.6 mm (normal distribution, 1.96)."""
    rim = made.ring(made.oval(), [0.2] * 120, sigma_m=0.010)
    (profile,) = made.profiles(rim, 0.1)
    spare = profile.points[profile.lowest].spare_m
    assert (spare.value, spare.low, spare.high) == pytest.approx((0.1, 0.1 - 0.0196, 0.1 + 0.0196))


@pytest.mark.parametrize(("setup", "error_m"), [("2", 0.005), ("1", 0.004), ("", 0.004)])
def test_what_a_set_up_shares_counts_between_two_of_them(setup: str, error_m: float) -> None:
    """Own 4 mm, shared 3 mm: together 5 mm where the water hangs from another set-up, by root of squares."""
    rim = made.ring(made.oval(), [0.2] * 120, sigma_m=0.004)
    rim = replace(rim, points=tuple(replace(point, setup=setup) for point in rim.points))
    (profile,) = rim_profiles((rim,), made.wet(0.1), setups={made.POND: "1"}, shared_m=0.003)
    spare = profile.points[0].spare_m
    assert spare.value - spare.low == pytest.approx(1.96 * error_m)


def test_running_water_is_judged_where_it_runs() -> None:
    """A bank that falls with its bed: its top less the running water at its station, by the water's own profile."""
    given = sample.four_drops()
    wet = water(given, shape(given))
    for profile in rim_profiles(surface(given).rims, wet):
        for point in profile.points:
            if not point.water.startswith("reaches/"):
                continue
            reach = next(each for each in wet.reaches if each.path == point.water)
            if reach.profile is None or point.case != "running":
                continue
            levels = [level.value for level in reach.profile.levels_m]
            there = np.interp(point.station_m or 0.0, reach.profile.stations_m, levels)
            assert point.water_m.value == pytest.approx(float(there), abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(tops, st.integers(0, 119), st.floats(0.0, 0.2))
def test_raising_a_rim_never_lowers_a_spill_point(levels: list[float], row: int, by_m: float) -> None:
    places = made.oval()
    before = made.low(made.ring(places, levels), 0.0)
    higher = [top + (by_m if i == row else 0.0) for i, top in enumerate(levels)]
    after = made.low(made.ring(places, higher), 0.0)
    assert after.top_m.value >= before.top_m.value
    assert after.top_m.value == pytest.approx(min(higher))


def lift(rim: RimLine, stretches: Sequence[Raise]) -> RimLine:
    """The rim with each stretch raised as it says, straight up."""

    def top(along: float, top_m: float) -> float:
        for each in stretches:
            for at in (along, along + rim.length_m):
                if each.from_m - 1e-9 <= at <= each.to_m + 1e-9:
                    return top_m + each.by_m
        return top_m

    points = tuple(replace(point, top_m=top(point.along_m, point.top_m)) for point in rim.points)
    return replace(rim, points=points)


@settings(max_examples=60, deadline=None)
@given(tops, st.floats(0.0, 0.25))
def test_what_is_to_be_raised_suffices_and_is_least(levels: list[float], wanted_m: float) -> None:
    rim = made.ring(made.oval(), levels)
    stretches = made.raised(rim, 0.0, wanted_m)
    assert min(point.top_m for point in lift(rim, stretches).points) >= wanted_m - 2e-6
    lacks = {point.along_m for point in rim.points if point.top_m < wanted_m - 1e-6}
    for each in stretches:
        inside = [s for s in lacks if any(each.from_m <= at <= each.to_m for at in (s, s + rim.length_m))]
        assert inside  # no stretch where nothing lacks
        most = max(wanted_m - p.top_m for p in rim.points if p.along_m in inside)
        assert each.by_m == pytest.approx(most)  # an inch less would not do
        lacks -= set(inside)
    assert not lacks
    assert [each.by_m for each in stretches] == sorted((each.by_m for each in stretches), reverse=True)


def test_a_stretch_ends_exactly_where_enough_is_to_spare() -> None:
    """Tops fall straight from 0.2 to 0.1 over two places: 0.15 is met halfway between them (closed form)."""
    places = made.oval()
    levels = [0.2] * 120
    levels[60] = 0.1
    rim = made.ring(places, levels)
    (only,) = made.raised(rim, 0.0, 0.15)
    before, here, after = (rim.points[i].along_m for i in (59, 60, 61))
    assert (only.from_m, only.to_m) == pytest.approx((0.5 * (before + here), 0.5 * (here + after)))
    assert only.by_m == pytest.approx(0.05)


def test_a_stretch_over_the_beginning_of_a_rim_is_one() -> None:
    levels = [0.2] * 120
    for i in (119, 0, 1):
        levels[i] = 0.1
    rim = made.ring(made.oval(), levels)
    (only,) = made.raised(rim, 0.0, 0.15)
    assert only.from_m < rim.length_m < only.to_m
    assert only.to_m - only.from_m < 1.0


def test_a_rim_that_lacks_all_round_is_one_stretch() -> None:
    rim = made.ring(made.oval(), [0.1] * 120)
    (only,) = made.raised(rim, 0.0, 0.15)
    assert only.to_m - only.from_m == pytest.approx(rim.length_m)
    assert only.inch_gains_m == pytest.approx(INCH_M)


@settings(max_examples=40, deadline=None)
@given(tops, st.floats(0.05, 0.25))
def test_an_inch_buys_what_it_buys(levels: list[float], wanted_m: float) -> None:
    """Brute force: raise by turns, and look for the lowest place before and after an inch on the next."""
    rim = made.ring(made.oval(), levels)
    for each in made.raised(rim, 0.0, wanted_m):
        before = min(point.top_m for point in rim.points)
        inch = lift(rim, [replace(each, by_m=INCH_M)])
        assert each.inch_gains_m == pytest.approx(min(p.top_m for p in inch.points) - before, abs=1e-9)
        rim = lift(rim, [each])


def test_fill_is_built_higher_by_what_it_settles() -> None:
    levels = [0.2] * 120
    levels[60] = 0.1
    (only,) = made.raised(made.ring(made.oval(), levels), 0.0, 0.15, settles=0.1)
    assert only.build_m == pytest.approx(0.05 / 0.9)


def test_a_guess_is_raised_by_its_likeliest_value_alone() -> None:
    rim = made.ring(made.oval(), [0.2] * 120, sigma_m=0.05, ground_is="guess")
    assert made.raised(rim, 0.0, 0.15) == ()
    assert made.raised(made.ring(made.oval(), [0.2] * 120, sigma_m=0.05), 0.0, 0.15)


def test_what_its_band_alone_makes_low_is_read_first() -> None:
    """9 cm likely and less at worst where 8 cm are wanted; a place that likely lacks comes before it."""
    sure = made.ring(made.oval(), [0.3 if i != 30 else 0.075 for i in range(120)])
    points = tuple(
        replace(point, sigma_m=0.05 if i in (89, 90, 91) else 0.0, top_m=0.09 if i == 90 else point.top_m)
        for i, point in enumerate(sure.points)
    )
    likely, band = made.raised(replace(sure, points=points), 0.0, 0.08)
    assert (likely.read_first, band.read_first) == (False, True)
    assert likely.by_m < band.by_m
    assert likely.likely_m == pytest.approx(0.005)


def test_a_bank_is_told_by_stations_and_side() -> None:
    """A rim runs with its water to the left: up the left bank, looking downstream, stations falling; down the right."""
    rim = made.ring(made.oval(), [0.05 if 10 <= i <= 14 or 60 <= i <= 64 else 0.3 for i in range(120)])
    points = tuple(replace(p, station_m=float(20 - i) if i < 40 else float(i - 40)) for i, p in enumerate(rim.points))
    left, right = sorted(made.raised(replace(rim, points=points), 0.0, 0.1), key=lambda each: each.from_m)
    assert (left.side, right.side) == ("left", "right")
    assert left.stations_m == pytest.approx((5.0, 11.0), abs=1.01)
    assert right.stations_m == pytest.approx((19.0, 25.0), abs=1.01)


def spilled(rim: RimLine, fall: made.Height, site: Feature) -> SpillPath:
    lows = low_places(made.profiles(rim, 0.0))
    (path,) = spill_paths(site, lows, made.surface(rim), made.ground(fall))
    return path


HOUSE = ((5.0, -2.0), (7.0, -2.0), (7.0, 2.0), (5.0, 2.0))


def test_water_spills_at_the_lowest_place_and_runs_down_the_plane() -> None:
    """The rim is lowest at (3, 0), the ground falls straight along x: it runs up to the house that stands there, along
    its wall, and on beside it.
    """
    places = made.oval()
    rim = made.ring(places, [0.3 - 0.03 * x for x, _ in places])
    path = spilled(rim, lambda x, y: -0.05 * x, feature(HOUSE))
    assert path.at == pytest.approx((3.0, 0.0))
    assert path.level_m.value == pytest.approx(0.21)
    assert path.towards == "buildings/house1"
    assert path.nearest_m == 0.0
    assert any(x == pytest.approx(5.0) for x, _, _ in path.way)
    assert shapely.LineString([at[:2] for at in path.way]).intersection(shapely.Polygon(HOUSE)).length < 1e-6
    x, y, z = path.way[-1]
    assert (x, z) == pytest.approx((8.0, -0.4))
    assert abs(y) > 2.0
    assert path.ends == "at the edge of the known ground"


def test_water_that_stands_against_a_wall_is_held_there() -> None:
    """The ground at the foot of the wall is hollow: nothing leads the water past the house."""
    places = made.oval()
    rim = made.ring(places, [0.3 - 0.03 * x for x, _ in places])
    path = spilled(rim, lambda x, y: -0.05 * x + 0.05 * y * y, feature(HOUSE))
    assert path.ends == "against the wall of building house1"
    assert path.way[-1][0] <= 5.0


def test_water_that_runs_away_from_a_house_runs_towards_nothing() -> None:
    """It spills a metre from the wall, and runs away from it."""
    places = made.oval()
    rim = made.ring(places, [0.3 - 0.03 * x for x, _ in places])
    wall = ((2.0, 2.2), (2.2, 2.2), (2.2, 4.0), (2.0, 4.0))
    assert spilled(rim, lambda x, y: -0.05 * x, feature(wall)).towards == ""


def test_a_pond_never_spills_back_into_itself() -> None:
    """Ground that falls towards a pond from all sides: under its built edge it stands against that; flush with it or
    higher, it stands about the pond as a wider one.
    """
    places = made.oval()
    built = made.ring(places, [0.4 - 0.03 * x for x, _ in places])
    path = spilled(built, lambda x, y: 0.05 * math.hypot(x, y), feature(HOUSE))
    assert path.ends == "against the berm of the pond"
    low = made.ring(places, [-0.3 - 0.03 * x for x, _ in places])
    assert spilled(low, lambda x, y: 0.05 * math.hypot(x, y), feature()).ends == "in the hollow in which the pond lies"


def two_waters(height: made.Height, *, top_m: float, wall: Sequence[tuple[float, float]] = ()) -> SpillPath:
    """A pond uphill of another, 2 m apart, that spills at (0, -2) on ground that falls towards -y; the other one's edge
    stands all round at a level [m].
    """
    upper = made.ring(made.oval(), [height(x, y) + (0.0 if y < -1.99 else 0.1) for x, y in made.oval()])
    there = [(x, y - 6.0) for x, y in made.oval(a=1.5)]
    lower = replace(made.ring(there, [top_m] * 120, of="ponds/other"), path="ponds/other")
    footprints = ((made.POND, tuple(made.oval())), ("ponds/other", tuple(there)))
    plan = replace(made.surface(upper), rims=(upper, lower), footprints=footprints)
    lows = [low for low in low_places(made.profiles(upper, -9.0)) if low.water == made.POND]
    site = feature(wall) if wall else feature()
    (path,) = spill_paths(site, lows, plan, made.ground(height, half_m=16.0, steps=32))
    return path


def test_spilt_water_enters_another_pond_only_where_the_ground_reaches_its_edge() -> None:
    """A plane that falls to -y, and a little to +x: at (0, -4) it lies at -0.08 m. An edge under that lets the water
    in; one that is built over it turns the water aside, round it and on downhill to the edge of the ground.
    """

    def plane(x: float, y: float) -> float:
        return 0.02 * y - 0.002 * x

    assert two_waters(plane, top_m=-0.10).ends == "back in pond other"
    turned = two_waters(plane, top_m=0.10)
    assert turned.ends == "at the edge of the known ground"
    assert turned.way[-1][1] < -9.0
    levels = [z for _, _, z in turned.way]
    assert levels == sorted(levels, reverse=True)
    inside = [(x, y) for x, y, _ in turned.way if (x / 1.5) ** 2 + ((y + 6.0) / 2.0) ** 2 < 1.0 - 1e-3]
    assert inside == []


def test_a_berm_across_a_hollow_holds_spilt_water_up() -> None:
    """A gully that falls to -y as far as the other pond's berm, and rises to both sides: there it ends."""
    found = two_waters(lambda x, y: 0.02 * y + 0.2 * abs(x), top_m=0.5)
    assert found.ends == "against the berm of pond other"


def test_a_way_that_ends_in_water_is_looked_along_too() -> None:
    """A wall half a metre beside it counts, one two and a half metres away does not: that is further than
    spill.beside.
    """

    def plane(_: float, y: float) -> float:
        return 0.02 * y

    near = two_waters(plane, top_m=-0.10, wall=((0.5, -3.5), (0.8, -3.5), (0.8, -3.0), (0.5, -3.0)))
    assert (near.towards, near.ends) == ("buildings/house1", "back in pond other")
    assert near.nearest_m == pytest.approx(0.5, abs=0.01)
    assert two_waters(plane, top_m=-0.10, wall=((2.5, -3.5), (2.8, -3.5), (2.8, -3.0), (2.5, -3.0))).towards == ""


def test_without_ground_nobody_knows() -> None:
    rim = made.ring(made.oval(), [0.3] * 120)
    (path,) = spill_paths(feature(), low_places(made.profiles(rim, 0.0)), made.surface(rim), None)
    assert (path.way, path.towards) == ((), "")


def test_over_the_rim_of_an_island_it_goes_under_the_liner() -> None:
    """Of an edge round an island the water lies outside: where that is lowest, no way over the ground is told."""
    outer = made.ring(made.oval(), [0.3] * 120)
    inner = replace(made.ring(made.oval(a=0.5, b=0.5)[::-1], [0.2] * 120), path="ponds/pond.inside1", kind="island")
    lows = low_places(rim_profiles((outer, inner), made.wet(0.0)))
    assert [low.rim for low in lows] == ["ponds/pond.inside1"]
    plan = replace(made.surface(outer), rims=(outer, inner))
    (path,) = spill_paths(feature(), lows, plan, made.ground(lambda x, y: -0.05 * x))
    assert (path.over, path.way) == ("island", ())
    assert path.level_m.value == pytest.approx(0.2)


def test_turning_and_moving_the_site_changes_nothing() -> None:
    cos, sin = math.cos(0.6), math.sin(0.6)

    def put(x: float, y: float) -> tuple[float, float]:
        return cos * x - sin * y + 40.0, sin * x + cos * y - 7.0

    places = made.oval()
    levels = [0.3 - 0.02 * x + 0.01 * math.sin(5.0 * y) for x, y in places]
    rim, there = made.ring(places, levels), made.ring([put(*at) for at in places], levels)
    tin = made.ground(lambda x, y: -0.05 * x + 0.01 * y * y)
    xyz = np.array([(*put(x, y), z) for x, y, z in tin.xyz])
    site, moved = feature(HOUSE), feature([put(*at) for at in HOUSE])
    lows = [made.low(each, 0.0) for each in (rim, there)]
    assert lows[0].spare_m == lows[1].spare_m
    assert [r.by_m for r in made.raised(rim, 0.0, 0.28)] == [r.by_m for r in made.raised(there, 0.0, 0.28)]
    (one,) = spill_paths(site, [lows[0]], made.surface(rim), tin)
    (other,) = spill_paths(moved, [lows[1]], made.surface(there), replace(tin, xyz=xyz))
    assert other.way[-1] == pytest.approx((*put(*one.way[-1][:2]), one.way[-1][2]), abs=1e-6)
    assert (other.towards, other.ends) == (one.towards, one.ends)
    up = [uphill(f, made.surface(r), t) for f, r, t in ((site, rim, tin), (moved, there, replace(tin, xyz=xyz)))]
    assert [each.length_m for each in up[0]] == pytest.approx([each.length_m for each in up[1]])


def test_the_uphill_side_of_a_pond_on_a_slope() -> None:
    """Ground that rises 10 in 100 along x, the rim level with it all round: half of the oval has it above, but where
    its edge runs along the slope, so that a metre out it stands no 2 cm higher (ground.uneven).
    """
    places = made.oval()
    rim = made.ring(places, [0.1 * x for x, _ in places])
    (found,) = uphill(feature(), made.surface(rim), made.ground(lambda x, y: 0.1 * x))
    assert 0.35 * rim.length_m < found.length_m < 0.5 * rim.length_m
    assert found.stands_m == pytest.approx(0.1, abs=1e-6)
    assert found.at[0] > 0.0
    level = uphill(feature(), made.surface(rim), made.ground(lambda x, y: -1.0))
    assert level == ()


def test_ground_that_stops_rising_is_not_counted() -> None:
    """A bank 2.5 m wide round a round pond, level beyond: its length times 2.5 m drains in, to a step of 1 m."""
    places = made.oval(a=3.0, b=3.0)
    rim = made.ring(places, [0.0] * 120)
    tin = made.ground(lambda x, y: 0.1 * min(max(math.hypot(x, y) - 3.0, 0.0), 2.5), half_m=10.0, steps=80)
    (found,) = uphill(feature(), made.surface(rim), tin)
    assert found.length_m == pytest.approx(rim.length_m)
    assert found.ground_m2 / found.length_m == pytest.approx(2.5, abs=1.0)
