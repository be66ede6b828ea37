"""Triangles over points that keep every given edge: by a library of its own, else by splitting edges in the middle."""

from __future__ import annotations

from typing import Any

import numpy as np
from msgspec import Struct

from rillwright.errors import NoAnswer
from rillwright.ground.data import Floats, Indices
from rillwright.ground.frame import frame_along

MOST_ROUNDS = 60
OWN_STEP_M = 1e-6  # to which places are rounded for that
MOST_TIMES = 20  # as many points as were given, at most, after splitting


class Net(Struct, frozen=True, kw_only=True, eq=False):
    """Points (n, 3) [m], the given ones first, and triangles (t, 3), counter-clockwise.

    `edges` (e, 2) are sides of triangles. `on_edges`: whether a given point was found on a given edge, which then runs
    through it in pieces.
    """

    xyz: Floats
    triangles: Indices
    edges: Indices
    on_edges: bool = False


class EdgesCross(Exception):
    """Two given edges cross between their ends; which ones, `faults` finds."""


def constrained(xyz: Floats, edges: Indices) -> Net:
    """The constrained Delaunay triangulation of distinct points (n, 3) [m], keeping edges (e, 2).

    Of four points on one circle two triangulations are Delaunay's: which is made goes by places in a frame of the
    points' own, so that it is the same wherever the site lies.

    Raises
    ------
    EdgesCross
        If two of the edges do.
    """
    own = frame_along(xyz[:, :2], step_m=OWN_STEP_M).places(xyz[:, :2])
    net = _constrained(xyz, edges, places=own)
    return net if (doubled_areas(xyz, net.triangles) > 0.0).all() else _constrained(xyz, edges, places=xyz[:, :2])


def _constrained(xyz: Floats, edges: Indices, *, places: Any) -> Net:
    """The same by `places` (n, 2) [m] that stand for those of the points."""
    import pythoncdt

    made = pythoncdt.Triangulation(
        pythoncdt.VertexInsertionOrder.AUTO, pythoncdt.IntersectingConstraintEdges.NOT_ALLOWED, 0.0
    )
    places = np.ascontiguousarray(places)
    made.insert_vertices(places)
    if len(edges):
        kept: Any = edges.astype(np.uintc)
        try:
            made.insert_edges(kept)
        except RuntimeError as error:
            raise EdgesCross(str(error)) from error
    on_edges = made.piece_to_originals_count() > 0
    made.erase_super_triangle()
    triangles = made.triangles_array(copy=False)["vertices"].astype(np.int64)
    return Net(xyz=xyz, triangles=triangles, edges=edges, on_edges=on_edges)


def cut_and_constrained(xy: Floats, edges: Indices) -> Net:
    """The constrained Delaunay triangulation of distinct places (n, 2) [m]; edges (e, 2) that cross are cut there.

    Points where they cross are added; all levels are nought. `edges` are the pieces.
    """
    import pythoncdt

    made = pythoncdt.Triangulation(
        pythoncdt.VertexInsertionOrder.AUTO, pythoncdt.IntersectingConstraintEdges.TRY_RESOLVE, 0.0
    )
    places: Any = np.ascontiguousarray(xy)
    made.insert_vertices(places)
    kept: Any = edges.astype(np.uintc)
    made.insert_edges(kept)
    made.erase_super_triangle()
    triangles = made.triangles_array(copy=False)["vertices"].astype(np.int64)
    pieces = np.array([(edge.v1, edge.v2) for edge in made.fixed_edges], dtype=np.int64).reshape(-1, 2)
    found = made.vertices_array()
    whole = np.column_stack((found["x"], found["y"], np.zeros(len(found))))
    return Net(xyz=whole, triangles=triangles, edges=np.sort(pieces, axis=1))


def split_in_the_middle(xyz: Floats, edges: Indices) -> Net:
    """The same without that library: a plain Delaunay triangulation, edges that it lacks halved until it has them.

    Points (n, 3) [m] are added in the middle of edges (e, 2) [-], at the edge's own level. The edges must not cross,
    nor run through points.

    Raises
    ------
    NoAnswer
        If it does not end.
    """
    from scipy.spatial import Delaunay, QhullError

    given = len(xyz)
    edges = edges[np.unique(edge_keys(edges, given), return_index=True)[1]]  # of two lines over each other, one
    for _ in range(MOST_ROUNDS):
        try:
            triangles = Delaunay(xyz[:, :2]).simplices.astype(np.int64)
        except QhullError:
            return Net(xyz=xyz, triangles=np.zeros((0, 3), dtype=np.int64), edges=edges)
        triangles = turned_left(xyz, triangles)
        there = edge_keys(sides(triangles), len(xyz))
        lacking = ~np.isin(edge_keys(edges, len(xyz)), there)
        if not lacking.any():
            return Net(xyz=xyz, triangles=triangles, edges=edges)
        halved = edges[lacking]
        middle = len(xyz) + np.arange(len(halved))
        xyz = np.concatenate((xyz, xyz[halved].mean(axis=1)))
        halves = (np.column_stack((halved[:, 0], middle)), np.column_stack((middle, halved[:, 1])))
        edges = np.concatenate((edges[~lacking], *halves))
        if len(xyz) > MOST_TIMES * given:
            break
    raise NoAnswer("the break lines could not be kept by splitting them: they come too near to each other")


def sides(triangles: Indices) -> Indices:
    """The three sides of each triangle (3 t, 2), in the order ab of all, bc of all, ca of all."""
    return np.concatenate((triangles[:, (0, 1)], triangles[:, (1, 2)], triangles[:, (2, 0)]))


def edge_keys(edges: Indices, count: int) -> Indices:
    """One number an undirected edge (e, 2) among `count` points."""
    keys: Indices = np.minimum(edges[:, 0], edges[:, 1]) * count + np.maximum(edges[:, 0], edges[:, 1])
    return keys


def over_sides(triangles: Indices, count: int) -> Indices:
    """The triangle over each side (ab, bc, ca) of each triangle (t, 3) among `count` points, -1 where there is none."""
    keys = edge_keys(sides(triangles), count)
    order = np.argsort(keys, kind="stable")
    same = np.flatnonzero(keys[order[1:]] == keys[order[:-1]])
    one, other = order[same], order[same + 1]
    found = np.full(len(keys), -1, dtype=np.int64)
    found[one], found[other] = other % len(triangles), one % len(triangles)
    return found.reshape(3, -1).T


def turned_left(xyz: Floats, triangles: Indices) -> Indices:
    """The triangles counter-clockwise in plan; those without area in plan are left out."""
    doubled = doubled_areas(xyz, triangles)
    turned = np.where((doubled < 0.0)[:, None], triangles[:, ::-1], triangles)
    kept: Indices = turned[doubled != 0.0]
    return kept


def doubled_areas(xyz: Floats, triangles: Indices) -> Floats:
    """Twice the area in plan [m2] of each triangle, negative where it runs clockwise."""
    a, b, c = xyz[triangles[:, 0]], xyz[triangles[:, 1]], xyz[triangles[:, 2]]
    found: Floats = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return found
