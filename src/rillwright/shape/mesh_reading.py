"""Levels, sections, surfaces, volumes and rasters off a mesh."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.feature import XY
from rillwright.shape.surface_result import Mesh

if TYPE_CHECKING:
    from rillwright.ground import Raster, Tin

Floats = NDArray[np.float64]
LEAST_M2 = 1e-10  # twice the area of a triangle that is no more than rounding
BESIDE_M = 1e-4  # to either side of a place at which a section's two levels are read


class MeshSection(Struct, frozen=True, kw_only=True, eq=False):
    """A mesh along a line: `station_m` (s,) from its start, `level_m` (s,), NaN where it has none; an upright face is
    two levels at one station.
    """

    station_m: Floats
    level_m: Floats


def lying(mesh: Mesh) -> NDArray[np.bool_]:
    """Which triangles (t,) have an area in plan: no upright faces, and none that is nothing but rounding."""
    a, b, c = (mesh.xyz[mesh.triangles[:, k]] for k in range(3))
    doubled = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return np.asarray(~mesh.upright & (doubled > LEAST_M2))


def tin_of_mesh(mesh: Mesh) -> Tin:
    """A mesh without its upright faces, as a surface with one level a place [m]."""
    from rillwright.ground import Names, Tin

    rows = np.full(len(mesh.xyz), -1, dtype=np.int64)
    return Tin(
        name=mesh.name, xyz=mesh.xyz, triangles=mesh.triangles[lying(mesh)],
        shots=np.zeros(len(mesh.xyz), dtype=bool), breaks=np.zeros((0, 2), dtype=np.int64), sigma_m=0.0,
        names=Names(rows=rows, points=(), count=0, lines=()),
    )  # fmt: skip


def mesh_levels(mesh: Mesh, places: Sequence[XY]) -> Floats:
    """Levels [m] at places [m]; NaN off the mesh; at an upright face that of one of its sides.

    Parameters
    ----------
    mesh : Mesh
        The surface.
    places : sequence of (x, y)
        Places [m].

    Returns
    -------
    array, shape (p,)
        Levels [m].

    References
    ----------
    Straight over each triangle: definition.
    """
    from rillwright.ground import levels_at

    return levels_at(tin_of_mesh(mesh), np.asarray(places, dtype=np.float64).reshape(-1, 2))


def parts_under(mesh: Mesh, places: Sequence[XY]) -> tuple[str, ...]:
    """The path of the element to which the mesh belongs at each place [m]; nothing off the mesh."""
    from rillwright.ground import triangles_under

    rows, _ = triangles_under(tin_of_mesh(mesh), np.asarray(places, dtype=np.float64).reshape(-1, 2))
    part_of = mesh.part_of[lying(mesh)]
    return tuple(mesh.parts[part_of[row]] if row >= 0 else "" for row in rows.tolist())


def mesh_section(mesh: Mesh, line: Sequence[XY]) -> MeshSection:
    """The mesh along a line: a station wherever its slope changes, two where it stands upright.

    Parameters
    ----------
    mesh : Mesh
        The surface.
    line : sequence of (x, y)
        At least two different places [m].

    Returns
    -------
    MeshSection
        Stations and levels [m].

    Raises
    ------
    InputError
        If the line has no length.

    References
    ----------
    A line cut by the edges of triangles: closed form.
    """
    from rillwright.ground import levels_at, section

    tin = tin_of_mesh(mesh)
    found = section(tin, line)
    at, way = found.station_m, np.asarray(line, dtype=np.float64).reshape(-1, 2)
    long = np.concatenate(((0.0,), np.cumsum(np.hypot(*np.diff(way, axis=0).T))))
    wide = np.diff(at)
    inward = np.minimum(BESIDE_M, 0.25 * wide)
    first, last = at[:-1] + inward, at[1:] - inward

    def level(stations: Floats) -> Floats:
        places = np.column_stack((np.interp(stations, long, way[:, 0]), np.interp(stations, long, way[:, 1])))
        return levels_at(tin, places)

    near, far = level(first), level(last)
    slope = (far - near) / (last - first)
    stations = np.column_stack((at[:-1], at[1:])).reshape(-1)
    levels = np.column_stack((near - slope * inward, far + slope * inward)).reshape(-1)
    return _without_repeats(stations, levels)


def _without_repeats(stations: Floats, levels: Floats) -> MeshSection:
    same_level = np.isclose(levels[1:], levels[:-1], rtol=0.0, atol=BESIDE_M, equal_nan=True)
    kept = np.concatenate(([True], ~((np.diff(stations) == 0.0) & same_level)))
    return MeshSection(station_m=stations[kept], level_m=levels[kept])


def mesh_raster(mesh: Mesh, *, cell_m: float) -> Raster:
    """The mesh as square cells of side `cell_m` [m]: for spill paths and flow in plan; the mesh stays the truth.

    Raises
    ------
    InputError
        If the side is none, or there would be too many cells.
    """
    from rillwright.ground import raster

    return raster(tin_of_mesh(mesh), cell_m=cell_m)


def surface_area_m2(mesh: Mesh, *, below_m: float, paths: Sequence[str]) -> float:
    """Surface [m2] of those parts of a mesh that lie below a level [m], upright faces too; triangles are cut there."""
    rows = np.isin(mesh.part_of, [i for i, path in enumerate(mesh.parts) if path in paths])
    corners = mesh.xyz[mesh.triangles[rows]]
    whole = 0.5 * np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1)
    return float((whole * _share_below(below_m - corners[:, :, 2])).sum())


def _share_below(depth: Floats) -> Floats:
    """Share of triangles (t, 3) that lies under water, by the depths of their corners [m]."""
    low, middle, high = np.sort(depth, axis=1).T
    with np.errstate(divide="ignore", invalid="ignore"):
        tip = high**2 / ((high - middle) * (high - low))
        rest = low**2 / ((middle - low) * (high - low))
    return np.select((high <= 0.0, low >= 0.0, middle <= 0.0), (0.0, 1.0, tip), 1.0 - rest)
