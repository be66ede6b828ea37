"""Areas in plan, each with its own levels, laid together as one mesh: edges kept, upright faces added as strips."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from rillwright.shape.surface_result import Mesh

if TYPE_CHECKING:
    from rillwright.ground import Net

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Flags = NDArray[np.bool_]
Levels = Callable[[Floats], Floats]  # places (p, 2) [m] to levels (p,) [m]

GRID_M = 1e-5  # to which places in plan are rounded, so that edges meet in points
WELD_M = 1e-3  # two levels of one place that differ by less are one


class Patch(Struct, frozen=True, eq=False):
    """An area in plan (a polygon, or several) that belongs to the element `path`, and its levels.

    `lines` in it are to be edges: its levels run straight along them.
    """

    path: str
    area: Any
    levels: Levels
    lines: tuple[Any, ...] = ()


class Cells(Struct, frozen=True, eq=False):
    """Triangles (t, 3) over places (n, 2) [m]; which patch each belongs to (t,), and its corners' levels (t, 3) [m].

    `kept` (e, 2) are the edges along which patches were cut.
    """

    xy: Floats
    triangles: Indices
    patch: Indices
    levels: Floats
    kept: Indices


def part_way(one: Floats, other: Floats) -> Floats:
    """Where between two lines a place lies [-], by its distances [m] from both; on a line exactly there."""
    share = one / np.maximum(one + other, GRID_M)
    return np.where(one < 2.0 * GRID_M, 0.0, np.where(other < 2.0 * GRID_M, 1.0, share))


def lay(name: str, patches: Sequence[Patch], *, lines: Sequence[Any] = (), within: Any) -> Mesh:
    """One mesh over the area `within`: at each place the levels of the first of `patches` that lies there.

    Parameters
    ----------
    name : str
        ground, dug, liner or finished.
    patches : Sequence[Patch]
        The first goes before the others; the last ought to cover everything.
    lines : Sequence
        Lines in plan that are to be edges, beside the patches' own outlines.
    within : polygon
        All of the plan that the mesh covers.

    Returns
    -------
    Mesh
        Levels and places [m].

    Raises
    ------
    ValueError
        If some place is in no patch.
    """
    cells = _cells(patches, lines, within)
    xyz, triangles = _welded(cells)
    strips, strip_patch = _strips(cells, xyz, triangles, [each.path for each in patches])
    whose = np.concatenate((cells.patch, strip_patch))
    parts = tuple(dict.fromkeys(patches[i].path for i in np.unique(whose).tolist()))
    number = np.array([parts.index(each.path) if each.path in parts else -1 for each in patches])
    used, back = np.unique(np.concatenate((triangles, strips)), return_inverse=True)
    whole = back.reshape(-1, 3)
    breaks = _breaks(cells, triangles, back_of=_back(used, len(xyz)))
    return Mesh(
        name=name,
        xyz=_frozen(xyz[used]),
        triangles=_frozen(whole),
        parts=parts,
        part_of=_frozen(number[whose]),
        upright=_frozen(np.arange(len(whole)) >= len(triangles)),
        breaks=_frozen(breaks),
    )


def _frozen(array: Any) -> Any:
    array = np.ascontiguousarray(array)
    array.flags.writeable = False
    return array


def _back(used: Indices, count: int) -> Indices:
    where = np.full(count, -1, dtype=np.int64)
    where[used] = np.arange(len(used))
    return where


def _cells(patches: Sequence[Patch], lines: Sequence[Any], within: Any) -> Cells:
    import shapely

    outlines = [shapely.boundary(each.area) for each in patches]
    inner = [line for each in patches for line in each.lines]
    net = net_along([*outlines, *inner, *lines, shapely.boundary(within)])
    triangles, middle = net.triangles, net.xyz[net.triangles][:, :, :2].mean(axis=1)
    kept = shapely.contains_xy(within, *middle.T)
    triangles, middle = triangles[kept], middle[kept]
    patch = _first_of(patches, middle)
    levels = np.empty(triangles.shape)
    for i, each in enumerate(patches):
        mine = np.flatnonzero(patch == i)
        if mine.size:
            rows, back = np.unique(triangles[mine], return_inverse=True)
            levels[mine] = each.levels(net.xyz[rows, :2])[back.reshape(-1, 3)]
    return Cells(xy=net.xyz[:, :2], triangles=triangles, patch=patch, levels=levels, kept=net.edges)


def net_along(lines: Sequence[Any]) -> Net:
    """The constrained triangulation that keeps all lines; places in m, levels nought.

    Lines are cut where they cross, and every place is rounded. Where a place slips over a line that runs close by, the
    triangulation cuts once more.
    """
    import shapely

    from rillwright.ground import cut_and_constrained, split_in_the_middle

    sides = _once(lines)
    try:
        net = cut_and_constrained(*_net_of(shapely.node(shapely.multilinestrings(sides))))
    except (ModuleNotFoundError, RuntimeError):  # snapped together instead, which takes longer
        xy, edges = _net_of(shapely.union_all(shapely.linestrings(sides), grid_size=1.0))
        try:
            net = cut_and_constrained(xy, edges)
        except ModuleNotFoundError:
            net = split_in_the_middle(np.column_stack((xy, np.zeros(len(xy)))), edges)
    return replace(net, xyz=net.xyz * GRID_M)


def _once(lines: Sequence[Any]) -> Any:
    """The sides (s, 2, 2) of lines, each once, in whole steps of the grid."""
    import shapely

    every: Any = np.array(lines, dtype=object)
    points, owner = shapely.get_coordinates(shapely.get_parts(shapely.get_parts(every)), return_index=True)
    keys = np.rint(points / GRID_M).astype(np.int64)
    sides = np.concatenate((keys[:-1], keys[1:]), axis=1)[owner[1:] == owner[:-1]]
    turned = (sides[:, 0] > sides[:, 2]) | ((sides[:, 0] == sides[:, 2]) & (sides[:, 1] > sides[:, 3]))
    sides[turned] = sides[turned][:, (2, 3, 0, 1)]
    sides = np.unique(sides, axis=0)
    sides = sides[(sides[:, :2] != sides[:, 2:]).any(axis=1)]
    return sides.reshape(-1, 2, 2).astype(np.float64)


def _net_of(noded: Any) -> tuple[Floats, Indices]:
    """Distinct places (n, 2) and edges (e, 2), in whole steps of the grid, of lines that meet in corners alone."""
    import shapely

    parts = shapely.get_parts(noded)
    points, owner = shapely.get_coordinates(parts, return_index=True)
    keys = np.rint(points).astype(np.int64)
    order = np.lexsort(keys.T)
    new = np.concatenate(([True], (np.diff(keys[order], axis=0) != 0).any(axis=1)))
    first, row = order[new], np.empty(len(keys), dtype=np.int64)
    row[order] = np.cumsum(new) - 1
    same = owner[1:] == owner[:-1]
    edges = np.column_stack((row[:-1][same], row[1:][same]))
    edges = np.unique(np.sort(edges[edges[:, 0] != edges[:, 1]], axis=1), axis=0)
    return keys[first].astype(np.float64), edges


def _first_of(patches: Sequence[Patch], middle: Floats) -> Indices:
    """The first patch that lies under each place (p, 2) [m]."""
    import shapely

    found = np.full(len(middle), -1, dtype=np.int64)
    points: Any = shapely.points(middle)
    tree = shapely.STRtree(points)
    for i in range(len(patches) - 1, -1, -1):
        found[tree.query(patches[i].area, predicate="contains")] = i
    if (found < 0).any():
        x, y = middle[np.flatnonzero(found < 0)[0]]
        raise ValueError(f"no patch at x {x:.3f}, y {y:.3f}")
    return found


def _welded(cells: Cells) -> tuple[Floats, Indices]:
    """Points (n, 3) [m], those over one place one after the other, rising; and triangles (t, 3) of them."""
    place, level = cells.triangles.reshape(-1), cells.levels.reshape(-1)
    order = np.lexsort((level, place))
    sorted_place, sorted_level = place[order], level[order]
    new = np.concatenate(
        ([True], (np.diff(sorted_place) != 0) | (np.diff(sorted_level) > WELD_M))
    )  # a chain of levels that lie closely one over the other is one
    number = np.cumsum(new) - 1
    row = np.empty(len(place), dtype=np.int64)
    row[order] = number
    count = np.bincount(number)
    corner = sorted_place[new]
    xyz = np.column_stack((cells.xy[corner], np.bincount(number, sorted_level) / count))
    return xyz, row.reshape(-1, 3)


def _sides(triangles: Indices) -> Indices:
    """The three sides (3 t, 2) of triangles (t, 3): all first ones, all second, all third."""
    return np.concatenate((triangles[:, (0, 1)], triangles[:, (1, 2)], triangles[:, (2, 0)]))


def _pairs(cells: Cells) -> tuple[Indices, Indices]:
    """Rows of sides (3 t) that two triangles share: the one's and the other's, which runs the other way."""
    sides = _sides(cells.triangles)
    keys = sides.min(axis=1) * len(cells.xy) + sides.max(axis=1)
    order = np.argsort(keys, kind="stable")
    same = np.flatnonzero(keys[order[1:]] == keys[order[:-1]])
    return order[same], order[same + 1]


def _strips(cells: Cells, xyz: Floats, triangles: Indices, paths: Sequence[str]) -> tuple[Indices, Indices]:
    """Upright triangles (s, 3) where two patches meet at different levels, and the patch of each (s,).

    Each is seen counter-clockwise from the lower side. It belongs to the fall of the two, else to the higher one that
    is no ground.
    """
    one, other = _pairs(cells)
    sides, count = _sides(triangles), len(triangles)
    a, b = sides[one, 0], sides[one, 1]  # the first triangle lies to the left of a to b
    c, d = sides[other, 1], sides[other, 0]  # over the same two places, the second's levels
    apart = np.flatnonzero((a != c) | (b != d))
    found: list[tuple[int, int, int]] = []
    patch: list[int] = []
    for i in apart.tolist():
        rise = float(xyz[a[i], 2] + xyz[b[i], 2] - xyz[c[i], 2] - xyz[d[i], 2])
        low, high = ((c[i], d[i]), (a[i], b[i])) if rise > 0.0 else ((b[i], a[i]), (d[i], c[i]))
        sides_of = (cells.patch[one[i] % count], cells.patch[other[i] % count])
        upper, lower = sides_of if rise > 0.0 else sides_of[::-1]
        owner = min((upper, lower), key=lambda patch: _rank(paths[patch]))
        ladder = _ladder(*(_rungs(int(x), int(y)) for x, y in zip(low, high, strict=True)))
        found += ladder
        patch += [int(owner)] * len(ladder)
    return np.array(found, dtype=np.int64).reshape(-1, 3), np.array(patch, dtype=np.int64)


def _rungs(low: int, high: int) -> list[int]:
    """All points over one place from one to the other: points are numbered so, and other faces may end between them."""
    return list(range(low, high + 1)) if high >= low else list(range(low, high - 1, -1))


def _ladder(start: list[int], end: list[int]) -> list[tuple[int, int, int]]:
    """Triangles between two upright rows of points, seen counter-clockwise where `start` is on the left."""
    found = []
    i, j = 0, 0
    while i < len(start) - 1 or j < len(end) - 1:
        if j < len(end) - 1 and (i == len(start) - 1 or j * len(start) <= i * len(end)):
            found.append((start[i], end[j], end[j + 1]))
            j += 1
        else:
            found.append((start[i], end[j], start[i + 1]))
            i += 1
    return found


def _rank(path: str) -> int:
    """Whose an upright face is, of two: a fall's before a hole's before that of the ground round it."""
    return 0 if path.startswith("falls/") else 1 if "/" in path else 2


def _breaks(cells: Cells, triangles: Indices, *, back_of: Indices) -> Indices:
    """Kept edges (b, 2) over which the surface breaks, in rows of the mesh: between patches, upright or at a slope."""
    one, other = _pairs(cells)
    sides, count = _sides(triangles), len(triangles)
    plan = _sides(cells.triangles)
    size = len(cells.xy)
    kept = np.sort(cells.kept, axis=1)
    is_kept = np.isin(plan[one].min(axis=1) * size + plan[one].max(axis=1), kept[:, 0] * size + kept[:, 1])
    parted = cells.patch[one % count] != cells.patch[other % count]
    rows = np.flatnonzero(is_kept & parted)
    both = np.concatenate((sides[one[rows]], sides[other[rows]]))
    found = back_of[np.sort(both, axis=1)]
    return np.unique(np.sort(found, axis=1), axis=0).reshape(-1, 2)
