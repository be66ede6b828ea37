"""A surface of the ground: triangles over levels, with every break line kept as an edge."""

from __future__ import annotations

from typing import Literal

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from rillwright.errors import InputError, Problem
from rillwright.ground.agreeing import Agreed, Settling, Told, meeting, settled
from rillwright.ground.data import Flags, Floats, GroundData, GroundLine, Indices, LineRole, Names
from rillwright.ground.faults import (
    SAME_LEVEL_M,
    SAME_PLACE_M,
    Named,
    near_misses,
    refuse_one_line,
    refuse_unusable,
    told,
)
from rillwright.ground.net import EdgesCross, Net, constrained, doubled_areas, split_in_the_middle
from rillwright.ground.plan import plan_of

Method = Literal["constrained", "split"]
ROUNDS = 3  # a line that was split may come to run through one more point


class Tin(Struct, frozen=True, kw_only=True, eq=False):
    """A triangulated irregular network.

    `xyz` (n, 3) [m]; `triangles` (t, 3) rows of it, counter-clockwise in plan; `shots` (n,) whether somebody gave the
    level there, or it was worked out; `breaks` (b, 2) rows of it, sides over which the ground breaks; `names` of the
    points, or none; `sigma_m` the standard error of one shot [m]; `merged`: how many given points say the same as
    another; `agreed`: where two levels of one place differed by no more than their shots may.
    """

    name: str
    xyz: Floats
    triangles: Indices
    shots: Flags
    breaks: Indices
    sigma_m: float
    names: Names
    merged: int = 0
    remarks: tuple[str, ...] = ()
    agreed: tuple[Agreed, ...] = ()

    def named(self, row: int) -> str:
        """What a point of the surface is called."""
        return self.names.of(row)

    @property
    def area_m2(self) -> float:
        """Area in plan [m2]."""
        return float(doubled_areas(self.xyz, self.triangles).sum() / 2)

    @property
    def surface_m2(self) -> float:
        """Area of the surface itself [m2]."""
        a, b, c = (self.xyz[self.triangles[:, k]] for k in range(3))
        return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum() / 2)


def tin_of(data: GroundData, *, method: Method | None = None) -> Tin:
    """A surface through all given levels, along all given lines.

    Two levels of one place that differ by no more than `ground.agree` standard errors are one, their weighted mean, and
    are told as `agreed`; so are the levels at which break lines cross.

    Parameters
    ----------
    data : GroundData
        Points, lines, and faces where the file has its own; without faces the triangles are Delaunay's, constrained.
    method : str or None
        constrained (by the library that keeps edges), split (edges halved until they are there); None: the first where
        that library is installed.
    Returns
    -------
    Tin
        The surface, levels in m.

    Raises
    ------
    InputError
        For break lines that cross at two levels, or themselves, one place at two levels, fewer than three levels, all
        levels in one line, faces that are none.

    References
    ----------
    Constrained Delaunay triangulation: definition. Edges halved until they are there: common practice, no source.
    """
    if data.faces is not None:
        return _of_faces(data, data.faces)
    given, merged, same = _gathered(data)
    given, net, met = _laid(given, method)
    triangles = _within(net.xyz, net.triangles, data.lines)
    if not len(triangles):
        raise InputError(Problem(message="no ground is left inside its boundary", file=data.name))
    return _frozen(data, net, triangles, names=_with(given, net).called, merged=merged, agreed=(*same, *met))


def _gathered(data: GroundData) -> tuple[Named, int, tuple[Agreed, ...]]:
    """Points and lines as one list of distinct places, with edges between them; how many say the same as another."""
    sizes = [len(data.xyz), *(len(line.xyz) for line in data.lines)]
    xyz = np.concatenate([np.asarray(data.xyz, dtype=np.float64).reshape(-1, 3), *(line.xyz for line in data.lines)])
    refuse_unusable(xyz, data.name)
    first, row = _distinct(xyz)
    if len(first) < 3:
        refuse_unusable(xyz[first], data.name)
    refuse_one_line(xyz[first], data.name)
    starts = np.cumsum(sizes)
    pairs, owners = [], []
    for number, (line, start) in enumerate(zip(data.lines, starts[:-1], strict=True)):
        ring = row[start : start + len(line.xyz)]
        found = np.column_stack((ring, np.roll(ring, -1)))[: None if line.closes else -1]
        found = found[found[:, 0] != found[:, 1]]
        if len(found) < (3 if line.closes else 1):
            message = f"line {line.id} has too few different points"
            raise InputError(Problem(message=message, file=data.name, found=str(len(np.unique(ring)))))
        pairs.append(found)
        owners.append(np.full(len(found), number))
    edges = np.concatenate(pairs) if pairs else np.zeros((0, 2), dtype=np.int64)
    line_of = np.concatenate(owners) if owners else np.zeros(0, dtype=np.int64)
    named = Named(
        file=data.name, xyz=xyz[first], called=data.called.at(first), sigma_m=data.errors_m[first], edges=edges,
        line_of=line_of, lines=tuple(line.id for line in data.lines),
    )  # fmt: skip
    twice = first[row[: sizes[0]]] != np.arange(sizes[0])  # a line may well run through points
    named, agreed = _one_level(named, data, xyz[:, 2], row)
    return named, int(twice.sum()), agreed


def _distinct(xyz: Floats) -> tuple[Indices, Indices]:
    """Rows of different places in the order given, and for each row which of those it is."""
    whole = np.rint((xyz[:, :2] - xyz[:, :2].min(axis=0)) / SAME_PLACE_M).astype(np.int64)
    keys = whole[:, 0] * (int(whole[:, 1].max()) + 1) + whole[:, 1]
    if (np.diff(np.sort(keys)) > 0).all():
        return np.arange(len(keys)), np.arange(len(keys))
    _, first, row = np.unique(keys, return_index=True, return_inverse=True)
    order = np.argsort(first)
    rank = np.empty_like(order)
    rank[order] = np.arange(len(order))
    return first[order], rank[row]


def _one_level(given: Named, data: GroundData, levels_m: Floats, row: Indices) -> tuple[Named, tuple[Agreed, ...]]:
    """The points at one level each: `row` says for each of the data's levels [m] which point it is."""
    off = np.flatnonzero(np.abs(levels_m - given.xyz[row, 2]) > SAME_LEVEL_M)
    if not len(off):
        return given, ()
    settling, names, errors_m = Settling(given), data.called, data.errors_m
    for i in off.tolist():
        point = int(row[i])
        other = Told(name=names.of(i), level_m=float(levels_m[i]), sigma_m=float(errors_m[i]))
        settling.take(point, settling.point(point), other)
    return settling.done(), tuple(settling.notices)


def _laid(given: Named, method: Method | None) -> tuple[Named, Net, tuple[Agreed, ...]]:
    """Triangles that keep every edge, or what stands in their way by name.

    Points and lines that meet are settled only where triangles cannot be laid without: most ground has none.
    """
    notices: tuple[Agreed, ...] = ()
    problems: list[Problem] = []
    for _ in range(ROUNDS):
        net = _net(given, method)
        problems = [] if net is None else near_misses(_with(given, net), net.triangles)
        if net is not None and not problems:
            return given, net, notices
        given, more = settled(given)
        notices += more
    if not problems:
        message = "two break lines run over each other"
        problems = [Problem(message=message, file=given.file, found=", ".join(given.lines)[:200])]
    raise told(problems, given.file)


def _net(given: Named, method: Method | None) -> Net | None:
    """Triangles that keep every edge; None where edges cross, or run through points."""
    if method != "split":
        try:
            net = constrained(given.xyz, given.edges)
        except EdgesCross:
            return None
        except ModuleNotFoundError:
            if method == "constrained":
                raise
        else:
            return None if net.on_edges else net
    return None if meeting(given) else split_in_the_middle(given.xyz, given.edges)


def _with(given: Named, net: Net) -> Named:
    """The names for points that were added on edges, too."""
    added = len(net.xyz) - len(given.xyz)
    if not added:
        return given
    every = np.concatenate((np.arange(len(given.xyz)), np.full(added, -1)))
    return replace(given, xyz=net.xyz, called=given.called.at(every))


def _within(xyz: Floats, triangles: Indices, lines: tuple[GroundLine, ...]) -> Indices:
    """The triangles inside the boundaries, where there are any, and outside the holes."""
    if all(line.role is LineRole.BREAK for line in lines):
        return triangles
    middle = xyz[triangles][:, :, :2].mean(axis=1)
    kept = np.zeros(len(triangles), dtype=bool)
    boundaries = [line for line in lines if line.role is LineRole.BOUNDARY]
    for line in boundaries:
        kept |= shapely.contains_xy(shapely.Polygon(line.xyz[:, :2]), middle)
    if not boundaries:
        kept[:] = True
    for line in lines:
        if line.role is LineRole.HOLE:
            kept &= ~shapely.contains_xy(shapely.Polygon(line.xyz[:, :2]), middle)
    return triangles[kept]


def _frozen(
    data: GroundData, net: Net, triangles: Indices, *, names: Names, merged: int = 0, agreed: tuple[Agreed, ...] = ()
) -> Tin:
    shots = names.rows >= 0
    for array in (net.xyz, triangles, shots, net.edges):
        array.flags.writeable = False
    return Tin(
        name=data.name, xyz=net.xyz, triangles=triangles, shots=shots, breaks=net.edges, sigma_m=data.error_m,
        names=names, merged=merged, remarks=data.remarks, agreed=agreed,
    )  # fmt: skip


def _of_faces(data: GroundData, faces: Indices) -> Tin:
    """The file's own triangles, as they are or not at all."""
    from rillwright.ground.net import sides

    refuse_unusable(data.xyz, data.name)
    faces = np.asarray(faces, dtype=np.int64).reshape(-1, 3)
    problems = []
    if not len(faces):
        raise InputError(Problem(message="has no faces", file=data.name))
    if faces.min() < 0 or faces.max() >= len(data.xyz):
        raise InputError(Problem(message="a face names a point that is not there", file=data.name))
    doubled, names = doubled_areas(data.xyz, faces), data.called
    for face in np.flatnonzero(np.abs(doubled) < SAME_PLACE_M**2).tolist():
        corners = ", ".join(names.of(int(i)) for i in faces[face])
        message = f"face {face + 1} has no area in plan: it stands upright, or its corners lie in one line"
        problems.append(Problem(message=message, file=data.name, found=corners))
    turned = np.where((doubled < 0.0)[:, None], faces[:, ::-1], faces)
    way = sides(turned)
    _, first, count = np.unique(way[:, 0] * len(data.xyz) + way[:, 1], return_index=True, return_counts=True)
    for row in first[count > 1].tolist():
        ends = " and ".join(names.of(int(i)) for i in way[row])
        problems.append(Problem(message=f"two faces lie over each other along the edge from {ends}", file=data.name))
    if problems:
        raise told(problems, data.name)
    _refuse_overlap(data, turned, float(np.abs(doubled).sum() / 2))
    used = np.unique(turned)
    where = np.full(len(data.xyz), -1)
    where[used] = np.arange(len(used))
    kept = np.ascontiguousarray(data.xyz[used])
    net = Net(xyz=kept, triangles=where[turned], edges=np.zeros((0, 2), dtype=np.int64))
    return _frozen(data, net, net.triangles, names=data.called.at(used))


def _refuse_overlap(data: GroundData, faces: Indices, area_m2: float) -> None:
    """Raise if the faces cover less ground together than one by one."""
    whole = shapely.union_all(list(plan_of(data.xyz, faces)), grid_size=0.0)
    if whole.area < area_m2 * (1.0 - 1e-6):
        message = "faces lie over each other: a surface has one level a place"
        found = f"{area_m2 - whole.area:.3f} m2 of {area_m2:.3f} m2 twice"
        raise InputError(Problem(message=message, file=data.name, found=found))
