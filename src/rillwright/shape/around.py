"""The ground round the work: berms and batters out to where they meet the ground that was there, and that ground."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.shape.laying import GRID_M, Levels, Patch, net_along
from rillwright.shape.rim_levels import Edges

if TYPE_CHECKING:
    from rillwright.ground import Tin

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

FARTHEST_M = 60.0  # what has not met the ground there never does
FIRST_M = 2.0  # beyond a crest it is looked for so far at first
MARGIN_M = 1.0  # of ground beyond the work
EVERY_M = 0.25  # places along a berm's edges
GROUND_EVERY_M = 2.0  # places along the end of the ground
STEPS = 6  # straight pieces of a round corner's quarter
ROUGHLY_M = 0.1  # by which the end of the ground may be drawn straighter
LEAST_M2 = 1e-4
BERM, CUT = "berms", "cuts"


class Batter(Struct, frozen=True, kw_only=True):
    """How the work meets the ground: level crest of a berm [m], its side and that of a cut, up per across [-]."""

    crest_m: float
    fill_side: float
    cut_side: float


class Around(Struct, frozen=True, kw_only=True, eq=False):
    """Ground out to `within`, and what is built up and cut of it outside the liner's edges.

    `built` and `cut` are surfaces that hold where they lie above and below the ground, in the areas `fills` and `cuts`.
    `guessed_m2` of the work lies where nobody took a level; `unmet`: somewhere a batter never meets the ground.
    """

    within: Any
    ground: Tin
    built: Tin
    cut: Tin
    fills: Any
    cuts: Any
    guessed_m2: float
    unmet: bool


def around(wet: Any, edges: Edges, known: Tin, *, batter: Batter) -> Around:
    """What is built up and cut outside the area `wet` inside the liner's edges.

    A berm goes level from the edge for its crest and down at its side, in every direction; a cut goes up from the edge.
    Of several berms the highest holds, of several cuts the lowest, and a berm before a cut: no edge is laid bare by the
    cut of another. Both are cut off where they meet the ground.

    Parameters
    ----------
    wet : polygon
        The area inside the edges.
    edges : Edges
        Their levels [m].
    known : Tin
        The ground before work.
    batter : Batter
        Slopes and crest.

    Returns
    -------
    Around
        Surfaces and areas.

    References
    ----------
    The line in which batter and ground meet: closed form, triangle by triangle. That berms are laid so: common
    practice, no source.
    """
    import shapely

    from rillwright.ground import above_and_below, footprint

    reach, surveyed = FIRST_M, footprint(known)
    while True:
        far = batter.crest_m + reach
        ground, within = _ground_to(wet, known, far_m=far + MARGIN_M)
        built, cut = _batters(wet, edges, batter, reach_m=reach)
        fills, cuts = (_large(area) for area in above_and_below(ground, built, cut))
        outside = shapely.difference(shapely.union(fills, cuts), shapely.buffer(wet, far - GRID_M, quad_segs=STEPS))
        met = not outside.area > LEAST_M2
        if met or far > FARTHEST_M:
            break
        reach *= 2.0
    work = shapely.union_all([wet, fills, cuts])
    return Around(
        within=within, ground=ground, built=built, cut=cut, fills=fills, cuts=cuts,
        guessed_m2=float(shapely.difference(work, surveyed).area), unmet=not met,
    )  # fmt: skip


def around_patches(found: Around) -> tuple[tuple[Patch, ...], tuple[Any, ...]]:
    """The areas outside the liner's edges, the ground last; and the lines in them that are to be edges."""
    import shapely

    worked = shapely.union(found.fills, found.cuts)
    patches = (
        Patch(BERM, found.fills, levels_of(found.built)),
        Patch(CUT, found.cuts, levels_of(found.cut)),
        Patch("ground", found.within, levels_of(found.ground)),
    )
    lines = (
        shapely.intersection(_edges_of(found.built), worked),
        shapely.difference(_edges_of(found.ground), worked),
    )
    return tuple(patch for patch in patches if not patch.area.is_empty), lines


def shaped_levels(found: Around, places: Floats) -> Floats:
    """Levels [m] outside the liner's edges once berms stand and cuts are made, at places (p, 2) [m]."""
    built, cut, ground = (levels_of(tin)(places) for tin in (found.built, found.cut, found.ground))
    return np.maximum(np.minimum(ground, cut), built)


def levels_of(tin: Tin) -> Levels:
    """The levels of a surface; just outside it those of its nearest point."""
    from rillwright.ground import bins_of, levels_at

    bins = bins_of(tin)

    def found(places: Floats) -> Floats:
        levels = levels_at(tin, places, bins=bins)
        off = np.flatnonzero(np.isnan(levels))
        if off.size:
            levels[off] = _border(tin).nearest(places[off])[1]
        return levels

    return found


def _border(tin: Tin) -> Edges:
    """The sides at which a surface ends."""
    t = tin.triangles
    sides = np.sort(np.concatenate((t[:, (0, 1)], t[:, (1, 2)], t[:, (2, 0)])), axis=1)
    single, count = np.unique(sides, axis=0, return_counts=True)
    ends = single[count == 1]
    return Edges(sides=tin.xyz[ends], water=np.zeros_like(ends), waters=(tin.name,))


def _large(area: Any) -> Any:
    """The parts of an area that are more than rounding."""
    import shapely

    parts = [part for part in shapely.get_parts(area) if part.geom_type == "Polygon" and part.area > LEAST_M2]
    return shapely.union_all(parts) if parts else shapely.Polygon()


def _edges_of(tin: Tin) -> Any:
    import shapely

    t = tin.triangles
    sides = np.sort(np.concatenate((t[:, (0, 1)], t[:, (1, 2)], t[:, (2, 0)])), axis=1)
    lines: Any = shapely.linestrings(tin.xyz[np.unique(sides, axis=0)][:, :, :2])
    return shapely.multilinestrings(lines)


def _ground_to(wet: Any, tin: Tin, *, far_m: float) -> tuple[Tin, Any]:
    """The ground as far as it is known, and `far_m` [m] round the work: there the nearest known level is carried on."""
    import shapely

    from rillwright.ground import footprint

    known = footprint(tin)
    round_it = shapely.simplify(shapely.buffer(wet, far_m + ROUGHLY_M, quad_segs=STEPS), ROUGHLY_M)
    whole = shapely.union(known, round_it)
    whole = shapely.union_all([shapely.Polygon(part.exterior) for part in shapely.get_parts(whole)])
    whole = shapely.set_precision(whole, GRID_M)
    edge = shapely.segmentize(shapely.boundary(whole), GROUND_EVERY_M)
    net = net_along([_edges_of(tin), edge])
    middle = net.xyz[net.triangles][:, :, :2].mean(axis=1)
    triangles = net.triangles[shapely.contains_xy(whole, *middle.T)]
    xyz = np.column_stack((net.xyz[:, :2], levels_of(tin)(net.xyz[:, :2])))
    return _tin(tin, "ground", xyz, triangles), whole


def _batters(wet: Any, edges: Edges, batter: Batter, *, reach_m: float) -> tuple[Tin, Tin]:
    """Berms and cuts as surfaces out to `reach_m` [m] beyond the crest, whatever ground there is; inside the edges they
    go on, so that no gap is left."""
    import shapely

    outward = [batter.crest_m]
    step = 0.25 * FIRST_M
    while outward[-1] < batter.crest_m + reach_m - 1e-9:
        outward.append(min(outward[-1] + step, batter.crest_m + reach_m))
        step *= 2.0
    rings = [shapely.boundary(shapely.buffer(wet, far, quad_segs=STEPS)) for far in outward]
    rings = [shapely.segmentize(ring, max(EVERY_M, 0.5 * far)) for ring, far in zip(rings, outward, strict=True)]
    net = net_along([shapely.boundary(wet), *rings])
    fill, cut = _envelopes(net.xyz[:, :2], edges, batter)
    made = [np.column_stack((net.xyz[:, :2], levels)) for levels in (fill, np.maximum(cut, fill))]
    built = _tin(None, "berms", made[0], net.triangles)
    return built, replace(built, name="cuts", xyz=made[1])


def _envelopes(places: Floats, edges: Edges, batter: Batter) -> tuple[Floats, Floats]:
    """Highest berm and lowest cut [m] over places (p, 2) [m]; on an edge its own level."""
    away, foot, _ = edges.nearest(places)
    fill, cut = np.empty(len(places)), np.empty(len(places))
    for some, apart, level in edges.all_of(places):
        fill[some] = (level - batter.fill_side * np.maximum(apart - batter.crest_m, 0.0)).max(axis=1)
        cut[some] = (level + batter.cut_side * apart).min(axis=1)
    on = away < 6.0 * GRID_M
    return np.where(on, foot, fill), np.where(on, foot, cut)


def _tin(like: Tin | None, name: str, xyz: Floats, triangles: Indices) -> Tin:
    from rillwright.ground import Names, Tin

    rows = np.full(len(xyz), -1, dtype=np.int64)
    return Tin(
        name=name, xyz=xyz, triangles=triangles, shots=np.zeros(len(xyz), dtype=bool),
        breaks=np.zeros((0, 2), dtype=np.int64), sigma_m=like.sigma_m if like is not None else 0.0,
        names=Names(rows=rows, points=(), count=0, lines=()),
    )  # fmt: skip
