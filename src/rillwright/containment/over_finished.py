"""The ways of spilt water over the finished surface: its berms, cuts and the ground beyond, past walls."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec.structs import replace

from rillwright.containment.elsewhere import may_spill
from rillwright.containment.overflowing import led
from rillwright.containment.result import Containment
from rillwright.containment.rim_result import SpiltWays
from rillwright.containment.spilling import Over, buildings_of, near_m, spill_path, structures_of
from rillwright.containment.ways import (
    FLAT,
    OFF,
    TOE_M,
    Edge,
    Ground,
    cut,
    edges_of,
    followed,
    held_by,
    holds,
    outward,
    walls_of,
)
from rillwright.feature import XY, Feature
from rillwright.shape import Finished, Mesh, RimLine, Surface, natural_tin
from rillwright.sources import default
from rillwright.water import Water

if TYPE_CHECKING:
    from rillwright.ground import Bins, Descent, GroundData, Tin

FINISHED = "finished surface"
OUTSIDE = ("berms", "cuts", "ground")  # parts of the finished surface that lie outside all edges of liner
REACHES_M = 0.01  # so near to an edge of liner the surface that ends there reaches it
FALLS_M = 0.001  # what lies less than a millimetre lower is level
OUT_TO_M = 4.0  # so far out from its rim, step by step, water is looked for ground that falls


def spilt_ways(
    feature: Feature,
    water: Water,
    containment: Containment,
    *,
    surface: Surface,
    finished: Finished,
    ground: GroundData | None = None,
) -> SpiltWays:
    """Where spilt water and that of overflows would go over the finished surface.

    It runs down berms and batters and over the ground beyond, along the walls of buildings, and into the waters whose
    edges it reaches. Over a level crest it runs straight away from the water. It ends where the ground before work is
    not known any more, though the work may reach further.

    Parameters
    ----------
    feature : Feature
        What stands on the site.
    water : Water
        Highest water [m].
    containment : Containment
        Where each water has least to spare [m].
    surface : Surface
        The edges of the liner [m].
    finished : Finished
        The finished work as meshes [m].
    ground : GroundData or None
        Levels of the job's files [m]; those of the feature that have a place are joined to them.

    Returns
    -------
    SpiltWays
        [m].

    References
    ----------
    Steepest descent on triangles: definition.
    """
    known = natural_tin(feature, ground)
    over = on_finished(feature, surface, finished.finished, known=known)
    spills = tuple(spill_path(low, over) for low in containment.lows)
    return SpiltWays(
        over=FINISHED,
        spills=spills,
        may=may_spill(containment.lows, spills, containment.profiles, over),
        led=led(feature, water, over),
    )


def on_finished(feature: Feature, surface: Surface, mesh: Mesh, *, known: Tin | None) -> Over:
    """Ways over the finished surface outside all edges of liner, past walls, as far as the ground before is `known`."""
    from rillwright.ground import bins_of, descend, footprint

    tin = outside_of(mesh)
    bins, fills_m = bins_of(tin), default("spill.hollow").number
    within = None if known is None else footprint(known)

    def down(place: XY) -> Descent:
        return cut_to(within, descend(tin, [place], bins=bins, fills_m=fills_m)[0])

    edges = tuple(_reached(edge) for edge in edges_of(surface.rims, tin, bins=bins))
    walls = walls_of(buildings_of(feature), tin, bins=bins)
    ground = Ground(down, (*edges, *walls), fills_m, FALLS_M)
    return Over(
        rims={rim.path: rim for rim in surface.rims},
        ground=None if within is None else ground,
        begins=lambda rim, at: _begins(rim, at, ground, tin, bins=bins),
        structures=structures_of(feature),
        near_m=near_m(),
    )


def cut_to(within: Any, descent: Descent) -> Descent:
    """A way as far as it lies within an area [m]; where it leaves that it ends as at an edge."""
    import shapely

    if within is None or descent.ends == "nowhere" or not shapely.contains_xy(within, *descent.way[0, :2]):
        return replace(descent, way=descent.way[:1], ends="nowhere")
    if len(descent.way) < 2 or shapely.contains_xy(within, *descent.way[:, :2].T).all():
        return descent
    line = shapely.LineString(descent.way[:, :2])
    out = shapely.get_coordinates(shapely.intersection(line, shapely.boundary(within)))
    if not len(out):
        return descent
    along_m = float(shapely.line_locate_point(line, shapely.points(out)).min())
    return replace(descent, way=cut(descent.way, along_m), ends="edge")


def outside_of(mesh: Mesh) -> Tin:
    """The part of a mesh that lies outside all edges of liner, as a surface [m]."""
    from rillwright.shape import tin_of_mesh

    rows = [row for row, part in enumerate(mesh.parts) if part.partition("/")[0] in OUTSIDE]
    kept = np.isin(mesh.part_of, rows)
    parted = replace(mesh, triangles=mesh.triangles[kept], part_of=mesh.part_of[kept], upright=mesh.upright[kept])
    return tin_of_mesh(parted)


def _reached(edge: Edge) -> Edge:
    """An edge to whose top the surface comes, a hair wider, so that what ends at it meets it."""
    import shapely

    return replace(edge, area=shapely.buffer(edge.area, REACHES_M, join_style="mitre"), ground_m=edge.tops_m)


def _begins(rim: RimLine, at: XY, ground: Ground, tin: Tin, *, bins: Bins) -> tuple[XY, str]:
    """Straight out from a rim, the first place from which water runs off; in words why it stands, where none is.

    A rise no higher than a hollow that is filled is passed: so high the water stands before it runs on.
    """
    from rillwright.ground import levels_at

    places = np.array([point.at for point in rim.points])
    row = int(np.hypot(*(places - at).T).argmin())
    way, water, top = outward(places, closed=rim.closed)[row], rim.points[row].water, rim.points[row].top_m
    tried = np.asarray(at) + np.arange(1, round(OUT_TO_M / TOE_M) + 1)[:, None] * TOE_M * way
    stands, before = "", tried[0]
    for place, level in zip(tried, levels_at(tin, tried, bins=bins).tolist(), strict=True):
        here = _xy(place)
        if np.isnan(level):
            other = any(holds(edge, here) for edge in ground.edges)
            return (here, "") if other else (_xy(before), stands or OFF)
        if level > top + ground.fills_m:
            return _xy(tried[0]), held_by(water)
        ends = "" if level < top - FALLS_M else followed(ground, here, water=water)[1]
        if ends not in (FLAT, held_by(water)):
            return here, ""
        stands, before = stands or ends, place
    return _xy(tried[0]), stands


def _xy(place: np.ndarray) -> XY:
    return float(place[0]), float(place[1])
