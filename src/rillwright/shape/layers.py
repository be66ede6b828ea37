"""All layers of the finished work read together: at places, along lines, in cells."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from rillwright.errors import InputError, Problem
from rillwright.feature import XY
from rillwright.shape.mesh_reading import mesh_levels, mesh_raster, mesh_section, parts_under
from rillwright.shape.surface_result import Finished, Mesh

Floats = NDArray[np.float64]
LAYERS = ("ground", "dug", "liner", "finished")
SAME_M = 1e-3  # what differs by less along a section is one
MOST_STATIONS = 100_000
_DIGITS = 4


class LayerSpot(Struct, frozen=True, kw_only=True):
    """The levels of all layers at one place [m], in the order of `LAYERS`; None off the ground. `path`: whose it is."""

    at: XY
    levels_m: tuple[float | None, ...]
    path: str


class LayerRow(Struct, frozen=True, kw_only=True):
    """The levels of all layers at one station of a section [m]; an upright face is two rows of one station."""

    station_m: float
    levels_m: tuple[float | None, ...]


def _meshes(finished: Finished) -> tuple[Mesh, ...]:
    return tuple(getattr(finished, layer) for layer in LAYERS)


def layer_spots(finished: Finished, places: Sequence[XY]) -> tuple[LayerSpot, ...]:
    """Ground, dig, liner and finished top at places [m].

    Parameters
    ----------
    finished : Finished
        The finished work.
    places : sequence of (x, y)
        Places [m].

    Returns
    -------
    tuple of LayerSpot
        Levels [m], in the order asked.

    References
    ----------
    Straight over each triangle: definition.
    """
    meshes = _meshes(finished)
    levels = np.column_stack([mesh_levels(mesh, places) for mesh in meshes]) if places else np.zeros((0, 4))
    paths = parts_under(finished.finished, places) if places else ()
    return tuple(
        LayerSpot(at=at, levels_m=_known(row), path=path) for at, row, path in zip(places, levels, paths, strict=True)
    )


def layer_section(finished: Finished, line: Sequence[XY], *, step_m: float | None = None) -> tuple[LayerRow, ...]:
    """Ground, dig, liner and finished top along a line [m], evenly spaced or wherever one of them changes its slope.

    Parameters
    ----------
    finished : Finished
        The finished work.
    line : sequence of (x, y)
        At least two different places [m].
    step_m : float or None
        From one station to the next [m], corners of the line besides; None: wherever a layer changes its slope.

    Returns
    -------
    tuple of LayerRow
        Stations and levels [m].

    Raises
    ------
    InputError
        If the line has no length, or there would be more than 100,000 stations.

    References
    ----------
    A line cut by the edges of triangles: closed form.
    """
    meshes = _meshes(finished)
    cuts = [mesh_section(mesh, line) for mesh in meshes]
    if step_m is None:
        stations = np.unique(np.round(np.concatenate([cut.station_m for cut in cuts]), 3))
    else:
        stations = _spaced(line, step_m)
    before = np.column_stack([_limit(cut.station_m, cut.level_m, stations, after=False) for cut in cuts])
    after = np.column_stack([_limit(cut.station_m, cut.level_m, stations, after=True) for cut in cuts])
    rows: list[tuple[float, Floats]] = []
    for station, left, right in zip(stations.tolist(), before, after, strict=True):
        rows.append((station, left))
        if not np.allclose(left, right, rtol=0.0, atol=SAME_M, equal_nan=True):
            rows.append((station, right))
    kept = rows if step_m is not None else _straightened(rows)
    return tuple(LayerRow(station_m=station, levels_m=_known(row)) for station, row in kept)


def _spaced(line: Sequence[XY], step_m: float) -> Floats:
    """Stations [m] every step along a line, at its corners and at its end."""
    corners = np.concatenate(((0.0,), np.cumsum(np.hypot(*np.diff(np.array(line), axis=0).T))))
    whole = float(corners[-1])
    if not (step_m > 0.0 and whole / step_m <= MOST_STATIONS):
        allowed = f"more than 0, and at most {MOST_STATIONS} stations"
        raise InputError(Problem(message="no usable step along a section", found=f"{step_m:g} m", allowed=allowed))
    every = np.sort(np.concatenate((corners, np.arange(0.0, whole, step_m))))
    return np.asarray(every[np.concatenate(((True,), np.diff(every) > SAME_M))])


def _limit(at: Floats, level: Floats, stations: Floats, *, after: bool) -> Floats:
    """Levels [m] at stations, coming from before or going on after them."""
    eps = 0.5 * SAME_M  # past what was rounded
    found: Floats = np.interp(stations + (eps if after else -eps), at, level)
    return found


def _straightened(rows: list[tuple[float, Floats]]) -> list[tuple[float, Floats]]:
    """The rows without those at which every layer goes straight on."""
    kept: list[tuple[float, Floats]] = []
    for number, (station, levels) in enumerate(rows):
        if kept and number + 1 < len(rows):
            (first, low), (last, high) = kept[-1], rows[number + 1]
            if first < station < last:
                share = (station - first) / (last - first)
                if np.allclose(low + share * (high - low), levels, rtol=0.0, atol=SAME_M, equal_nan=True):
                    continue
        kept.append((station, levels))
    return kept


def _known(levels: Floats) -> tuple[float | None, ...]:
    return tuple(None if np.isnan(level) else float(level) for level in levels)


def layer_cells(finished: Finished, *, cell_m: float) -> str:
    """All layers as square cells of side `cell_m` [m], as the text of a CSV: middles and levels in metres.

    Parameters
    ----------
    finished : Finished
        The finished work.
    cell_m : float
        Side of a cell [m].

    Returns
    -------
    str
        A row each cell.

    Raises
    ------
    InputError
        If the side is none, or there would be too many cells.

    References
    ----------
    Straight over each triangle: definition.
    """
    meshes = _meshes(finished)
    cells = [mesh_raster(mesh, cell_m=cell_m) for mesh in meshes]
    rows, columns = cells[0].level_m.shape
    x = cells[0].corner[0] + cell_m * (np.arange(columns) + 0.5)
    y = cells[0].corner[1] + cell_m * (np.arange(rows) + 0.5)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("x_m", "y_m", *(f"{layer}_m" for layer in LAYERS)))
    for i, j in np.argwhere(~np.isnan(cells[0].level_m)).tolist():
        levels = [each.level_m[i, j] for each in cells]
        writer.writerow([round(float(value), _DIGITS) for value in (x[j], y[i], *levels)])
    return text.getvalue()
