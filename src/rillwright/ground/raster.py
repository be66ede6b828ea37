"""A raster of levels, read off the triangles: for what needs cells; the triangles stay the truth."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from rillwright.errors import InputError, Problem
from rillwright.feature import XY
from rillwright.ground.data import Floats
from rillwright.ground.finder import bins_of, levels_at
from rillwright.ground.tin import Tin

MOST_CELLS = 10_000_000


class Raster(Struct, frozen=True, kw_only=True, eq=False):
    """Levels at the middles of square cells, `level_m` (rows, columns) from the low corner up and to the right [m].

    No number where the middle of a cell has no ground.
    """

    corner: XY
    cell_m: float
    level_m: Floats

    def volume_above_m3(self, level_m: float) -> float:
        """What of the ground lies above a level [m3], cell by cell."""
        return float(np.nansum(np.maximum(self.level_m - level_m, 0.0))) * self.cell_m**2


def raster(tin: Tin, *, cell_m: float) -> Raster:
    """The surface as square cells.

    Parameters
    ----------
    tin : Tin
        The surface.
    cell_m : float
        Side of a cell [m].

    Returns
    -------
    Raster
        Levels [m] at the middles of the cells.

    Raises
    ------
    InputError
        If the side is none, or there would be more than ten million cells.

    References
    ----------
    The level of each triangle's plane: definition.
    """
    low = tin.xyz[tin.triangles][:, :, :2].reshape(-1, 2).min(axis=0)
    wide = tin.xyz[tin.triangles][:, :, :2].reshape(-1, 2).max(axis=0) - low
    if not (cell_m > 0.0 and (wide / cell_m + 1.0).prod() <= MOST_CELLS):
        allowed = f"more than 0, and at most {MOST_CELLS:,} cells"
        raise InputError(Problem(message="no usable side of a cell", found=f"{cell_m:g} m", allowed=allowed))
    columns, rows = (max(int(np.ceil(each / cell_m - 1e-9)), 1) for each in wide)
    x = low[0] + cell_m * (np.arange(columns) + 0.5)
    y = low[1] + cell_m * (np.arange(rows) + 0.5)
    bins, levels = bins_of(tin), np.empty((rows, columns))
    for row in range(rows):
        levels[row] = levels_at(tin, np.column_stack((x, np.full(columns, y[row]))), bins=bins)
    return Raster(corner=(float(low[0]), float(low[1])), cell_m=cell_m, level_m=levels)
