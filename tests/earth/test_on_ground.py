"""The digs against the ground as it was surveyed, by hand."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from tests.shape import sample

from rillwright.earth import Earth, move_earth
from rillwright.feature import Feature, Mark, ServiceLine, Surface
from rillwright.shape import shape, surface
from rillwright.sources import default

FAR = 40.0


def on(*places: tuple[float, float, float]) -> Feature:
    """Four drops on ground shot far out all round and at these places (x, y, level)."""
    feature = sample.four_drops()
    marks = tuple(
        Mark(id=f"p{i}", role="point", level=sample.level(z, Surface.GROUND), at=(x, y))
        for i, (x, y, z) in enumerate(places)
    )
    return replace(feature, marks=(*feature.marks, *marks))


def slope(up: float, over: float = 1.0) -> Feature:
    """Ground that rises by `up` a metre to the left of the stream, y, from `over` at y = 0."""
    corners = [(x, y, over + up * y) for x in (-FAR, FAR) for y in (-FAR, FAR)]
    feature = on(*corners)
    bodies = tuple(replace(body, rims=()) for body in feature.bodies)
    streams = tuple(replace(stream, head_ground=None) for stream in feature.streams)
    return replace(feature, bodies=bodies, streams=streams)


def earth(feature: Feature) -> Earth:
    return move_earth(feature, shape(feature), surface=surface(feature))


def dig(found: Earth, collection: str) -> float:
    return next(each.deepest_m for each in found.digs if each.path.startswith(collection))


def test_a_stream_on_a_side_slope_is_as_deep_as_its_higher_bank() -> None:
    """On ground level across, it is so deep; where that rises by 0.1 a metre, the bank half the edge's width away
    stands higher by a tenth of that half width."""
    feature = slope(0.0)
    level, tilted = (dig(earth(each), "streams/") for each in (feature, slope(0.1)))
    reach = max(feature.reaches, key=lambda each: each.width_m)
    half = reach.width_m / 2 + reach.bank_m  # banks stand 1 to 1
    assert level > 0.0
    assert tilted - level == pytest.approx(0.1 * half, abs=2e-3)


def test_a_hump_inside_the_outline_counts_for_the_depth_of_the_hole() -> None:
    """Level ground at 1.0 all round, and one reading 0.4 higher in the middle of the pond."""
    flat = slope(0.0)
    x, y = (sum(axis) / len(flat.bodies[0].outline) for axis in zip(*flat.bodies[0].outline, strict=True))
    hump = Mark(id="hump", role="point", level=sample.level(1.4, Surface.GROUND), at=(x, y))
    with_hump = replace(flat, marks=(*flat.marks, hump))
    assert dig(earth(with_hump), "ponds/") - dig(earth(flat), "ponds/") == pytest.approx(0.4)


def test_a_service_lies_under_the_ground_above_it() -> None:
    """0.6 m under ground at 1.0 everywhere its top lies at 0.4, whatever a rim's mean is."""
    feature = slope(0.0)
    x, y = (sum(axis) / len(feature.bodies[0].outline) for axis in zip(*feature.bodies[0].outline, strict=True))
    line = ServiceLine(id="w1", kind="water", line=((x, y - FAR / 2), (x, y + FAR / 2)), depth_m=0.6, top=None)
    feature = replace(feature, site=replace(feature.site, service_lines=(line,)))
    crossing = next(each for each in earth(feature).services if each.path.startswith("ponds/"))
    assert crossing.dig_m is not None
    assert crossing.over_m == pytest.approx(crossing.dig_m - 0.4)


def test_fill_is_as_flat_as_its_soil_stands_and_its_crest_as_wide_as_its_stone() -> None:
    """Made ground stands 1 up to 1.5 across in a cut (OSHA class C): its banks take more than those of loam, 1:1."""
    feature = slope(0.0, over=0.0)
    loam, made = (replace(feature, site=replace(feature.site, soil=key)) for key in ("loam", "fill"))
    assert earth(made).berm_fill_m3 > 1.1 * earth(loam).berm_fill_m3
    unknown = replace(feature, site=replace(feature.site, soil="unknown"))
    assert earth(unknown).berm_fill_m3 == pytest.approx(earth(loam).berm_fill_m3)
    assert default("earth.berm_crest").number >= default("stone.edge_size").number


def test_without_a_surface_nothing_is_known_but_rims_and_section() -> None:
    feature = sample.four_drops()
    highest = max(rim.ground.m for rim in feature.bodies[0].rims)
    found = move_earth(feature, shape(feature))
    floor = next(term.value for term in found.digs[0].because if term.name == "floor of the dig")
    assert found.digs[0].deepest_m == pytest.approx(highest - floor)
