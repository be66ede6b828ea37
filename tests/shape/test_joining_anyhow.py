"""Streams that join at any place, angle and width: their edge and their meshes keep whole. Invented."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from tests.feature.joining import joined

from rillwright.feature import Fall, Feature, Join, Reach
from rillwright.shape import Mesh, finish, mesh_levels, surface

BEDS = st.tuples(
    st.sampled_from((-1.0, 1.0)),  # from which side
    st.floats(2.9, 5.0),  # how far below the head of the other
    st.floats(40.0, 140.0),  # at which angle, degrees
    st.floats(2.0, 5.0),  # how long
    st.floats(0.4, 1.2),  # how wide
    st.floats(-0.5, 0.5),  # bent half way
)


def coming_in(said: tuple[float, float, float, float, float, float]) -> Feature:
    side, station, degrees, long, wide, bend = said
    angle, half = math.radians(degrees), 0.5 * long
    end = (0.6 * side, 8.0 - station)
    middle = (end[0] + side * math.sin(angle) * half, end[1] + math.cos(angle) * half)
    head = (middle[0] + side * math.sin(angle + bend) * half, middle[1] + math.cos(angle + bend) * half)
    feature = joined()
    stream, at = feature.stream("side"), 0.0
    links: list[Reach | Fall] = []
    for link in stream.links:
        if isinstance(link, Reach):
            links.append(replace(link, station_m=at, length_m=half, width_m=wide))
            at += half
        else:
            links.append(replace(link, station_m=at, crest_width_m=min(link.crest_width_m, wide)))
    joins = Join(stream="main", reach="meeting", station_m=station)
    stream = replace(stream, path=(head, middle, end), links=tuple(links), width_m=wide, joins=joins)
    return replace(feature, streams=(feature.streams[0], stream))


def whole(mesh: Mesh, work: Any) -> None:
    """Every inner edge is shared by two; where upright faces of several levels meet, by an even number."""
    pairs = np.sort(np.concatenate([mesh.triangles[:, list(pair)] for pair in ((0, 1), (1, 2), (2, 0))]), axis=1)
    edges, count = np.unique(pairs, axis=0, return_counts=True)
    single = mesh.xyz[edges[count == 1]][:, :, :2].reshape(-1, 2)
    assert not shapely.contains_xy(work, single).any()
    several = mesh.xyz[edges[count > 2]]
    assert (count[count > 1] % 2 == 0).all()
    assert np.abs(several[:, 0, :2] - several[:, 1, :2]).max(initial=0.0) < 1e-6


def checked(said: tuple[float, float, float, float, float, float]) -> None:
    feature = coming_in(said)
    plan = surface(feature)
    areas = [shapely.Polygon(outline) for _, outline in plan.footprints]
    outer = [shapely.Polygon([p.at for p in rim.points]) for rim in plan.rims if rim.kind == "outer"]
    inner = [shapely.Polygon([p.at for p in rim.points]) for rim in plan.rims if rim.kind != "outer"]
    assert len(outer) == 1
    land = sum(area.area for area in inner)
    assert outer[0].area - land == pytest.approx(shapely.union_all(areas).area, rel=1e-5)
    found = finish(feature, plan)
    work = shapely.union_all(areas).buffer(0.5)
    for mesh in (found.dug, found.liner, found.finished):
        whole(mesh, work)
    bed, joins = feature.stream("main").reaches[1], feature.stream("side").joins
    assert joins is not None
    floor = bed.bed_at_m(joins.station_m) - bed.gravel_m
    end = feature.stream("side").path[-1]
    assert mesh_levels(found.liner, [(end[0] * 1.2, end[1])]) == pytest.approx([floor], abs=2e-3)


@given(BEDS)
@example((1.0, 4.0, 59.17724127029828, 2.549642081650562, 0.5754350399816698, 0.0))  # a corner microns off a face
@settings(max_examples=3, deadline=None)
def test_edges_and_meshes_keep_whole(said: tuple[float, float, float, float, float, float]) -> None:
    checked(said)


@pytest.mark.deep
@given(BEDS)
@settings(max_examples=80, deadline=None)
def test_edges_and_meshes_keep_whole_many_times(said: tuple[float, float, float, float, float, float]) -> None:
    checked(said)
