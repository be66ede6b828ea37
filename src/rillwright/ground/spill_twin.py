"""Spill levels without a compiler: the ground is flooded inwards from where it ends, the lowest place first."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence

import numpy as np

from rillwright.ground.data import Flags, Floats


def by_heap(ground: Floats) -> Floats:
    """Spill levels [m] (rows, columns) of a raster, no number where it has no ground.

    Parameters
    ----------
    ground : array, shape (rows, columns)
        Levels [m], no number outside.

    Returns
    -------
    array, shape (rows, columns)
        Spill levels [m].

    References
    ----------
    barnes-2014, algorithm 1, with eight neighbours.
    """
    rows, columns = ground.shape
    wide = columns + 2
    padded = np.full((rows + 2, wide), np.nan)
    padded[1:-1, 1:-1] = ground
    outside = np.isnan(padded).ravel()
    around = (-wide - 1, -wide, -wide + 1, -1, 1, wide - 1, wide, wide + 1)
    level, _ = flooded_from(
        padded.ravel().tolist(),
        outlets=np.flatnonzero(at_the_edge(padded)).tolist(),
        beside=_Beside(around),
        outside=outside,
    )
    return np.array(level).reshape(rows + 2, wide)[1:-1, 1:-1]


class _Beside:
    """Neighbours of a cell by its number in a padded raster."""

    def __init__(self, around: Sequence[int]) -> None:
        self.around = around

    def __getitem__(self, cell: int) -> list[int]:
        return [cell + step for step in self.around]


def at_the_edge(ground: Floats) -> Flags:
    """Which cells of a raster have ground and a neighbour without, or lie at its edge."""
    none = np.isnan(np.pad(ground, 1, constant_values=np.nan))
    rows, columns = ground.shape
    near = np.zeros(ground.shape, dtype=bool)
    for up in range(3):
        for across in range(3):
            near |= none[up : up + rows, across : across + columns]
    return near & ~np.isnan(ground)


def flooded_from(
    ground: Sequence[float], *, outlets: Iterable[int], beside: Sequence[Sequence[int]] | _Beside, outside: Flags
) -> tuple[list[float], list[int]]:
    """Spill level [m] of each node of a graph, and the node to which its water goes on: -1 at an outlet.

    Nodes that are `outside` or that no outlet is joined to have no number.
    """
    level = [float("nan")] * len(ground)
    onward = [-1] * len(ground)
    seen = outside.tolist()
    waiting: list[tuple[float, int]] = []
    for node in outlets:
        if not seen[node]:
            seen[node] = True
            level[node] = ground[node]
            waiting.append((ground[node], node))
    heapq.heapify(waiting)
    while waiting:
        here, node = heapq.heappop(waiting)
        for near in beside[node]:
            if seen[near]:
                continue
            seen[near] = True
            onward[near] = node
            level[near] = reached = max(ground[near], here)
            heapq.heappush(waiting, (reached, near))
    return level, onward
