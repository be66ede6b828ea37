"""A cloud of points thinned as it is read: one level a cell, ground where it is told, else the lowest."""

from __future__ import annotations

import numpy as np

from rillwright.errors import InputError, Problem
from rillwright.ground.data import Flags, Floats, Indices

MOST_CELLS = 4_000_000


class Thinning:
    """Takes batches of a cloud and keeps one point a square cell.

    Where the cloud tells points of ground from others, the one nearest to the middle of its cell is kept, whatever its
    level; else the lowest of its cell, which reads low by the cloud's own noise but not by what grows there.

    Parameters
    ----------
    low : tuple of float
        Least x and y of the cloud [m].
    high : tuple of float
        Greatest x and y [m].
    cell_m : float
        Side of a cell [m].
    file : str
        Name of the cloud, for messages.

    Raises
    ------
    InputError
        If there would be more than four million cells.
    """

    def __init__(self, low: tuple[float, float], high: tuple[float, float], *, cell_m: float, file: str) -> None:
        self.low, self.cell_m = np.array(low), cell_m
        wide = np.maximum(np.array(high) - self.low, 0.0)
        if not (cell_m > 0.0 and (wide / cell_m + 1.0).prod() <= MOST_CELLS):
            found = f"{wide[0]:,.0f} m by {wide[1]:,.0f} m at {cell_m:g} m a cell"
            allowed = f"at most {MOST_CELLS:,} cells"
            raise InputError(Problem(message="too many cells to thin into", file=file, found=found, allowed=allowed))
        self.shape = tuple(int(n) + 1 for n in np.floor(wide / cell_m))
        self.ground = _Kept(self.shape[0] * self.shape[1])
        self.lowest = _Kept(self.shape[0] * self.shape[1])

    def take(self, xyz: Floats, ground: Flags) -> None:
        """Take a batch, points (n, 3) [m] and whether each is told to be ground."""
        at = (xyz[:, :2] - self.low) / self.cell_m
        cell = np.clip(np.floor(at).astype(np.int64), 0, np.array(self.shape) - 1)
        rows = cell[:, 1] * self.shape[0] + cell[:, 0]
        self.lowest.take(rows, xyz[:, 2], xyz)
        if ground.any():
            off = ((at - cell - 0.5) ** 2).sum(axis=1)
            self.ground.take(rows[ground], off[ground], xyz[ground])

    def kept(self) -> tuple[Floats, bool]:
        """What is left, points (k, 3) [m], and whether they are told to be ground."""
        told = self.ground.seen.any()
        kept = self.ground if told else self.lowest
        return kept.xyz[kept.seen], bool(told)


class _Kept:
    """The least of each cell so far."""

    def __init__(self, cells: int) -> None:
        self.least = np.full(cells, np.inf)
        self.xyz = np.zeros((cells, 3))

    @property
    def seen(self) -> Flags:
        seen: Flags = np.isfinite(self.least)
        return seen

    def take(self, cell: Indices, worth: Floats, points: Floats) -> None:
        order = np.lexsort((worth, cell))
        cell, worth, points = cell[order], worth[order], points[order]
        best = np.concatenate(((True,), cell[1:] != cell[:-1])) if len(cell) else np.zeros(0, dtype=bool)
        cell, worth, points = cell[best], worth[best], points[best]
        better = worth < self.least[cell]
        self.least[cell[better]], self.xyz[cell[better]] = worth[better], points[better]
