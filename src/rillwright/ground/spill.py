"""Lowest way out: to which level water must rise at each place before it leaves, where, and which way it takes."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from rillwright.errors import InputError, NoAnswer, Problem
from rillwright.feature import XY
from rillwright.ground.data import Flags, Floats
from rillwright.ground.raster import MOST_CELLS, Raster
from rillwright.ground.spill_tables import ACROSS, UP
from rillwright.ground.spill_twin import at_the_edge, by_heap

Cell = tuple[int, int]
MOST_JOINED = 3  # pairs at one saddle: the lower neighbours of a cell lie in four pieces at most


class SpillLevels(Struct, frozen=True, kw_only=True, eq=False):
    """A raster of ground and `level_m` (rows, columns), to which water must rise at each cell before it leaves [m]."""

    ground: Raster
    level_m: Floats

    @property
    def hollows_m3(self) -> float:
        """What all hollows hold when they are full to the brim [m3]."""
        return float(np.nansum(self.level_m - self.ground.level_m)) * self.ground.cell_m**2


class Spill(Struct, frozen=True, kw_only=True):
    """Where water that stands at a place leaves first: at which level [m], and the way (x, y, ground) [m] it takes.

    The way begins at the place, runs over the spill at `at` and ends where the ground does.
    """

    level_m: float
    at: XY
    way: tuple[tuple[float, float, float], ...]


def spill_levels(ground: Raster, *, compiled: bool = True) -> SpillLevels:
    """To which level water must rise at each cell before it leaves the ground.

    Of all ways out of a cell the one whose highest cell is lowest counts; its level is that of a cell, exactly. Water
    passes from a cell to all eight round it, and leaves where the raster ends or has no ground.

    Parameters
    ----------
    ground : Raster
        Levels of the ground [m].
    compiled : bool
        By the kernel if the compiler is there, else from the edge inwards with a heap.

    Returns
    -------
    SpillLevels
        Levels [m]; no number where there is no ground.

    Raises
    ------
    InputError
        If a level is endless, or no cell has ground, or there are more than ten million cells.

    References
    ----------
    A hollow's way out is the lowest chain of saddles between hollows: definition. With a heap: barnes-2014.
    """
    _refuse_unusable(ground)
    level = np.ascontiguousarray(ground.level_m, dtype=np.float64)
    return SpillLevels(ground=ground, level_m=_by_kernel(level) if compiled else by_heap(level))


def spill_from(levels: SpillLevels, places: Sequence[XY]) -> Spill:
    """Where the water of a body leaves that stands over some places.

    Parameters
    ----------
    levels : SpillLevels
        Of the ground in which it stands.
    places : sequence of (x, y)
        Places of the body [m]; the one from which water leaves at the lowest level counts.

    Returns
    -------
    Spill
        Level [m], place and way.

    Raises
    ------
    InputError
        If a place has no ground.
    """
    raster = levels.ground
    cells = [_cell(raster, at) for at in places]
    if not cells:
        raise InputError(Problem(message="no place is given from which water could leave"))
    level = levels.level_m
    start = min(cells, key=lambda cell: float(level[cell]))
    edge = at_the_edge(raster.level_m)
    way, spill = [start], start
    while True:
        stretch, out = _through(level, edge, way[-1])
        if len(way) == 1:
            spill = stretch[-1]
        way += stretch[1:]
        if out is None:
            break
        way.append(out)
    return Spill(
        level_m=float(level[start]),
        at=_middle(raster, spill),
        way=tuple((*_middle(raster, cell), float(raster.level_m[cell])) for cell in way),
    )


def _by_kernel(ground: Floats) -> Floats:
    try:
        from rillwright.ground import spill_kernel as kernel
    except ImportError:  # no compiler on this machine
        return by_heap(ground)
    from rillwright.ground.spill_tables import steps

    rows, columns = ground.shape
    wide = columns + 2
    parts, step, offset = steps(wide)
    lower = np.zeros((rows + 2) * wide, dtype=np.uint8)
    hollow = np.empty((rows + 2, wide), dtype=np.int32)
    hollow[0] = hollow[-1] = hollow[:, 0] = hollow[:, -1] = 0
    hollow = hollow.reshape(-1)
    kernel.lower_neighbours(ground, lower, hollow)
    saddle = np.empty(hollow.size, dtype=np.int32)
    count, saddles = kernel.hollows(lower, step, parts, hollow, saddle)
    most = MOST_JOINED * saddles
    joint, pair = np.empty(most), np.empty((most, 2), dtype=np.int32)
    found = kernel.joints(ground, lower, hollow, saddle[:saddles], parts, offset, joint, pair)
    order = np.empty(found, dtype=np.int32)
    if not (found and kernel.lowest_first(joint[:found], order)):
        order[:] = np.argsort(joint[:found])
    out = kernel.ways_out(order, joint, pair, count)
    level = np.empty_like(ground)
    kernel.raised(ground, hollow, out, level)
    return level


def _refuse_unusable(ground: Raster) -> None:
    level = ground.level_m
    if level.ndim != 2 or not 0 < level.size <= MOST_CELLS:
        allowed = f"rows and columns of 1 to {MOST_CELLS:,} cells"
        raise InputError(Problem(message="no usable raster", found=str(level.shape), allowed=allowed))
    if np.isfinite(level.min()) and np.isfinite(level.max()):
        return
    if np.isinf(level).any():
        row, column = (int(each[0]) for each in np.nonzero(np.isinf(level)))
        x, y = _middle(ground, (row, column))
        raise InputError(Problem(message="a level without an end", field=f"at x {x:g} m, y {y:g} m"))
    if np.isnan(level).all():
        raise InputError(Problem(message="no cell of the raster has ground"))


def _cell(raster: Raster, at: XY) -> Cell:
    rows, columns = raster.level_m.shape
    x, y = ((at[axis] - raster.corner[axis]) / raster.cell_m for axis in (0, 1))
    if not (0.0 <= x <= columns and 0.0 <= y <= rows):
        raise InputError(_no_ground(at))
    cell = (min(int(y), rows - 1), min(int(x), columns - 1))
    if np.isnan(raster.level_m[cell]):
        raise InputError(_no_ground(at))
    return cell


def _no_ground(at: XY) -> Problem:
    return Problem(message="a place without ground", field=f"at x {at[0]:g} m, y {at[1]:g} m")


def _middle(raster: Raster, cell: Cell) -> XY:
    x, y = raster.corner
    return (x + raster.cell_m * (cell[1] + 0.5), y + raster.cell_m * (cell[0] + 0.5))


def _through(level: Floats, edge: Flags, start: Cell) -> tuple[list[Cell], Cell | None]:
    """The shortest chain of cells of one spill level from a start to where that ends, and the lower cell after it.

    None is after it where the ground ends.
    """
    here = level[start]
    came: dict[Cell, Cell | None] = {start: None}
    waiting = deque((start,))
    while waiting:
        cell = waiting.popleft()
        around = _around(level, cell)
        lowest = min(around, key=lambda each: float(level[each]), default=cell)
        if edge[cell] or level[lowest] < here:
            return _back(came, cell), None if edge[cell] else lowest
        for each in around:
            if level[each] == here and each not in came:
                came[each] = cell
                waiting.append(each)
    raise NoAnswer("water finds no way out of a raster, though every raster ends somewhere")


def _around(level: Floats, cell: Cell) -> list[Cell]:
    rows, columns = level.shape
    found = ((cell[0] + int(up), cell[1] + int(across)) for up, across in zip(UP, ACROSS, strict=True))
    return [each for each in found if 0 <= each[0] < rows and 0 <= each[1] < columns and not np.isnan(level[each])]


def _back(came: dict[Cell, Cell | None], cell: Cell) -> list[Cell]:
    chain = [cell]
    before = came[cell]
    while before is not None:
        chain.append(before)
        before = came[before]
    return chain[::-1]
