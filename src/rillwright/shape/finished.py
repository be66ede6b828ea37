"""The finished work as surfaces of triangles: ground before it, dug surface, liner, stone and gravel on top."""

from __future__ import annotations

import math
from hashlib import blake2b
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.errors import NoAnswer
from rillwright.feature import Feature
from rillwright.shape.around import BERM, CUT, Around, Batter, around, around_patches, shaped_levels
from rillwright.shape.course import course_of
from rillwright.shape.framed import feature_in, mesh_back, rims_in, tin_in
from rillwright.shape.laying import GRID_M, Patch, lay
from rillwright.shape.mesh_reading import lying, tin_of_mesh
from rillwright.shape.natural import natural_ground
from rillwright.shape.pond_patches import banked, flat, hole_of, is_buried, lid, pond_patches
from rillwright.shape.rim_levels import Edges, edges_of, inside, rulings
from rillwright.shape.rims import Piece, pieces_of
from rillwright.shape.stream_patches import OVER_M, Layer, stream_fallback, stream_patches, zones_of
from rillwright.shape.surface_result import Finished, Mesh, PartEarth, RimLine, SoilBalance, Surface
from rillwright.sources import default, soil

if TYPE_CHECKING:
    from rillwright.ground import GroundData, Tin

Floats = NDArray[np.float64]
EVERY_M = 0.15  # of depth, at which sides are cut
FOOT_M = 0.1  # the edge of no other layer lies so far off
HAIR = 1e-9  # of a truckload
UNKNOWN = "unknown"  # the soil that nobody has named


class Plan(Struct, frozen=True, kw_only=True, eq=False):
    """What all layers have in common: the pieces of the work, the edges of its liner, and what lies round them."""

    feature: Feature
    pieces: tuple[Piece, ...]
    edges: Edges
    wet: Any
    around: Around
    outer: tuple[Patch, ...]
    lines: tuple[Any, ...]


def finish(
    feature: Feature, surface: Surface, ground: GroundData | None = None, *, every_m: float = EVERY_M
) -> Finished:
    """The finished work as meshes, and the earth that it takes.

    Parameters
    ----------
    feature : Feature
        Outlines, shelves, courses, falls, layers and soil.
    surface : Surface
        The edges of its liner as they run.
    ground : GroundData or None
        Levels of the job's files [m].
    every_m : float
        Sides of bodies are cut at least so often [m] of their depth.

    Returns
    -------
    Finished
        Meshes [m] and earth [m3].

    Raises
    ------
    NoAnswer
        If the ground is no surface.

    References
    ----------
    Constrained triangulation: definition. Offsets of outlines: closed form. Volumes: closed form over each piece that
    two triangles share.
    """
    from rillwright.ground import frame_of

    if surface.ground_faults:
        raise NoAnswer(f"the ground is no surface: {surface.ground_faults[0]}")
    drawn = [*(body.outline for body in feature.bodies), *(stream.path for stream in feature.streams)]
    frame = frame_of([np.array(line) for line in drawn if len(line) > 1])
    natural = natural_ground(feature, ground)
    known = natural.tin if natural.tin is None else tin_in(natural.tin, frame)
    feature = feature_in(feature, frame)
    rims = rims_in(feature, replace(natural, tin=known))
    plan = _plan(feature, rims, known or _through_rims(rims))
    ground_mesh = _mesh_of(plan.around.ground, "ground")
    under = feature.liner.under_m
    dug = _laid(plan, "dug", Layer(under_m=under, filled=False), every_m=every_m)
    liner = _laid(plan, "liner", Layer(under_m=0.0, filled=False), every_m=every_m)
    top = _laid(plan, "finished", Layer(under_m=0.0, filled=True), every_m=every_m)
    earth = _earth(feature, plan.around.ground, dug)
    remarks = _remarks(plan)
    balance = _balance(feature, earth)
    meshes = tuple(mesh_back(mesh, frame) for mesh in (ground_mesh, dug, liner, top))
    ground_mesh, dug, liner, top = meshes
    return Finished(
        ground=ground_mesh, dug=dug, liner=liner, finished=top, earth=earth,
        digest=_digest(meshes, earth, remarks, balance), remarks=remarks, soil=balance,
    )  # fmt: skip


def _plan(feature: Feature, rims: tuple[RimLine, ...], known: Tin) -> Plan:
    import shapely

    edges, wet = edges_of(rims), inside(rims)
    found = around(wet, edges, known, batter=_batter(feature))
    outer, every = around_patches(found)
    lines = tuple(shapely.difference(line, wet) for line in every)
    return Plan(
        feature=feature, pieces=pieces_of(feature), edges=edges, wet=wet, around=found, outer=outer, lines=lines
    )


def _batter(feature: Feature) -> Batter:
    """By the defaults, cut and fill no steeper than the soil's class allows where the soil is named."""
    cut, allowed = default("earth.bank_side").number, soil(feature.site.soil).up_per_across
    fill = default("earth.berm_side").number
    named = feature.site.soil != UNKNOWN
    return Batter(
        crest_m=default("earth.berm_crest").number,
        fill_side=min(fill, allowed) if named else fill,
        cut_side=min(cut, allowed) if named else cut,
    )


def _through_rims(rims: tuple[RimLine, ...]) -> Tin:
    """Ground where nobody took enough levels: a surface through what is taken for it along the edges."""
    from rillwright.ground import GroundData, tin_of

    xyz = np.array([(*point.at, point.ground_m) for rim in rims for point in rim.points])
    _, first = np.unique(np.rint(xyz[:, :2] * 1e3), axis=0, return_index=True)
    return tin_of(GroundData(name="ground", xyz=xyz[np.sort(first)], sigma_m=0.0))


def _laid(plan: Plan, name: str, layer: Layer, *, every_m: float) -> Mesh:
    import shapely

    feature = plan.feature
    wet, edges = _out(plan, layer.under_m)
    inner: list[Patch] = []
    sides: list[Patch] = []
    banks: list[Patch] = []
    meets = any(stream.joins is not None for stream in feature.streams)
    last: list[Patch] = []
    for piece in plan.pieces:
        if piece.edge is not None:
            body = piece.edge.body
            hole = hole_of(body, under_m=layer.under_m, filled=layer.filled)
            own = edges.of((piece.path,))
            reach = shapely.buffer(piece.area, 2.0 * layer.under_m + OVER_M, join_style="mitre")
            if layer.filled and is_buried(body):
                cover = lid(body, reach, own.sides[:, 0])
                if body.cover_top is not None:
                    cover = Patch(cover.path, reach, flat(body.cover_top.m))
                inner.append(Patch(cover.path, hole.edge, cover.levels))
                last.append(cover)
                continue
            inner += pond_patches(hole, every_m=every_m)
            last.append(Patch(piece.path, reach, banked(hole, own), rulings(own, hole.edge, area=reach)))
        elif piece.course is not None:
            stream = piece.course.stream
            course = course_of(stream)
            zones = zones_of(feature, stream, under_m=layer.under_m)
            beds, own_banks = stream_patches(course, zones, layer, edges=edges, past_m=piece.past_m)
            if meets:  # all beds before any bank: where streams meet a bank is open as wide as the bed that comes in
                sides, banks = [*sides, *beds], [*own_banks, *banks]
            else:
                sides += [*beds, *own_banks]
            last.append(stream_fallback(course, zones, layer, edges=edges, area=wet))
    cut = [replace(each, area=shapely.intersection(each.area, wet)) for each in (*inner, *sides, *banks, *last)]
    patches = [each for each in cut if each.area.area > 0.0]
    return _owned(lay(name, (*patches, *plan.outer), lines=plan.lines, within=plan.around.within), edges, feature)


def _out(plan: Plan, by_m: float) -> tuple[Any, Edges]:
    """The area inside the edges `by_m` [m] further out, and its edges, at the levels of what lies round the work."""
    import shapely

    if by_m == 0.0:
        return plan.wet, plan.edges
    wet = shapely.buffer(plan.wet, by_m, join_style="mitre")
    corners = shapely.points(plan.edges.sides[:, 0, :2])
    rings = [_with_feet(ring, corners) for part in shapely.get_parts(wet) for ring in rings_of(part)]
    at = [np.column_stack((ring, shaped_levels(plan.around, ring))) for ring in rings]
    sides = np.concatenate([np.stack((ring, np.roll(ring, -1, axis=0)), axis=1) for ring in at])
    _, _, water = plan.edges.nearest(sides[:, :, :2].reshape(-1, 2))
    return wet, Edges(sides=sides, water=water.reshape(-1, 2), waters=plan.edges.waters)


def _with_feet(ring: Any, points: Any) -> Floats:
    """Corners (n, 2) [m] of a ring, with the feet of the points that are nearest to it."""
    import shapely

    own = shapely.get_coordinates(ring)
    feet = shapely.get_coordinates(shapely.shortest_line(ring, points))[::2]
    near = feet[shapely.distance(ring, points) < FOOT_M]
    every = np.concatenate((own[:-1], near))
    at = np.concatenate((shapely.line_locate_point(ring, shapely.points(own[:-1])), ring.project(shapely.points(near))))
    order = np.argsort(at, kind="stable")
    kept = np.concatenate(([True], np.diff(at[order]) > GRID_M))
    return np.asarray(every[order][kept])


def rings_of(polygon: Any) -> list[Any]:
    """The outline of a polygon and those of its holes."""
    return [polygon.exterior, *polygon.interiors]


def _owned(mesh: Mesh, edges: Edges, feature: Feature) -> Mesh:
    """Berms and cuts shared out among bodies and streams: to that whose edge is nearest."""
    stream_of = {f"reaches/{reach.id}": stream.id for stream in feature.streams for reach in stream.reaches}
    owner = [stream_of.get(water, water.partition("/")[2]) for water in edges.waters]
    parts, part_of = list(mesh.parts), mesh.part_of.copy()
    for kind in (BERM, CUT):
        if kind not in mesh.parts:
            continue
        rows = np.flatnonzero(mesh.part_of == mesh.parts.index(kind))
        middle = mesh.xyz[mesh.triangles[rows]][:, :, :2].mean(axis=1)
        _, _, water = edges.nearest(middle)
        for number in np.unique(water).tolist():
            path = f"{kind}/{owner[number]}"
            if path not in parts:
                parts.append(path)
            part_of[rows[water == number]] = parts.index(path)
    used = np.unique(part_of)
    where = np.full(len(parts), -1, dtype=np.int64)
    where[used] = np.arange(len(used))
    part_of = where[part_of]
    part_of.flags.writeable = False
    return replace(mesh, parts=tuple(parts[i] for i in used.tolist()), part_of=part_of)


def _mesh_of(tin: Tin, name: str) -> Mesh:
    count = len(tin.triangles)
    return Mesh(
        name=name, xyz=tin.xyz, triangles=tin.triangles, parts=("ground",), part_of=np.zeros(count, dtype=np.int64),
        upright=np.zeros(count, dtype=bool), breaks=tin.breaks,
    )  # fmt: skip


def _earth(feature: Feature, ground: Tin, dug: Mesh) -> tuple[PartEarth, ...]:
    """Cut and fill of each body and each stream, with the berms and cuts beside it."""
    from rillwright.ground import earth_by_part

    of = {f"{kind}/{body.id}": f"ponds/{body.id}" for body in feature.bodies for kind in (BERM, CUT, "ponds")}
    for stream in feature.streams:
        own = [*(f"reaches/{reach.id}" for reach in stream.reaches), *(f"falls/{fall.id}" for fall in stream.falls)]
        of |= dict.fromkeys((*own, f"{BERM}/{stream.id}", f"{CUT}/{stream.id}"), f"streams/{stream.id}")
    paths = [*dict.fromkeys(of.values()), "ground"]
    number = np.array([paths.index(of.get(path, "ground")) for path in dug.parts])[dug.part_of]
    worked = lying(dug) & (number < len(paths) - 1)
    whole = tin_of_mesh(dug)
    found = earth_by_part(ground, replace(whole, triangles=dug.triangles[worked]), number[worked], parts=len(paths))
    return tuple(
        PartEarth(path=path, cut_m3=cut, fill_m3=fill, deepest_m=deepest, highest_m=highest)
        for path, (cut, fill, deepest, highest) in zip(paths[:-1], found[:-1].tolist(), strict=True)
    )


def _balance(feature: Feature, earth: tuple[PartEarth, ...]) -> SoilBalance:
    """Fill as it is placed, before it settles, takes soil from the bank by its shrink; what is left swells."""
    dug = sum(part.cut_m3 for part in earth)
    placed = sum(part.fill_m3 for part in earth) / (1.0 - default("pond.settlement").number)
    key = feature.site.soil
    shrink = default("earth.shrink").number if key == UNKNOWN else soil(key).shrink
    needed = placed / shrink
    out = max(dug - needed, 0.0) * soil(key).swell
    loads = math.ceil(out / default("earth.truck").number - HAIR)
    return SoilBalance(out_m3=out, brought_in_m3=max(needed - dug, 0.0), truckloads=max(loads, 0))


def _remarks(plan: Plan) -> tuple[str, ...]:
    found = []
    if plan.around.guessed_m2 > 0.25:
        found.append(
            f"{plan.around.guessed_m2:.1f} m2 of the work lie where nobody took a level: "
            "the nearest known one is carried on"
        )
    if plan.around.unmet:
        found.append("somewhere a berm or a cut does not meet the ground: the slope is steeper than its side")
    return tuple(found)


def _digest(
    meshes: tuple[Mesh, ...], earth: tuple[PartEarth, ...], remarks: tuple[str, ...], balance: SoilBalance
) -> str:
    said = blake2b(
        repr((earth, remarks, balance, [(mesh.name, mesh.parts) for mesh in meshes])).encode(), digest_size=12
    )
    for mesh in meshes:
        for array in (mesh.xyz, mesh.triangles, mesh.part_of, mesh.upright, mesh.breaks):
            said.update(np.ascontiguousarray(array).tobytes())
    return said.hexdigest()
