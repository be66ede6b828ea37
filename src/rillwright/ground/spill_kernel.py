"""The compiled kernel of spill levels on a raster: hollows, the saddles between them, and the lowest way out of each.

Loaded by the function that runs it. `spill_tables` says what the eight bits of a cell mean. Indices are unsigned: a
compiler that must allow for negative ones works half as fast.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from rillwright.ground.data import Floats
from rillwright.ground.spill_tables import ACROSS, UP, Bytes, Steps

_HOW: dict[str, Any] = {"nogil": True, "cache": True, "error_model": "numpy"}
_U = np.uint64
_CROWDED = 64  # levels in one bucket: more are dear to sort one by one


@njit(**_HOW)
def _lower(ground, row, column):  # type: ignore[no-untyped-def]
    """The bits of one cell at the edge of the raster: what lies outside is lower than anything."""
    rows, columns = ground.shape
    here, bits = ground[row, column], 0
    for k in range(8):
        up, across = row + UP[k], column + ACROSS[k]
        outside = up < 0 or across < 0 or up >= rows or across >= columns
        if outside or (not ground[up, across] > here if k < 4 else not ground[up, across] >= here):
            bits |= 1 << k
    return bits


@njit(**_HOW)  # type: ignore[untyped-decorator]
def lower_neighbours(ground: Floats, lower: Bytes, hollow: Steps) -> None:
    """Fill the bits of every cell, and its hollow: 0 outside, -1 not known yet. Both are padded by one cell.

    Of two cells at one level the earlier one counts as the lower; no number compares as lower, as it should.
    """
    rows, columns = ground.shape
    for row in range(rows):
        base = (row + 1) * (columns + 2) + 1
        bits, here = lower[base : base + columns], hollow[base : base + columns]
        level = ground[row]
        for i in range(columns):
            here[i] = -1 if level[i] == level[i] else 0
        if row == 0 or row == rows - 1 or columns < 3:
            for i in range(columns):
                bits[i] = _lower(ground, row, i)
            continue
        n = columns - 2
        a, b, c = ground[row - 1, 0:n], ground[row - 1, 1 : n + 1], ground[row - 1, 2 : n + 2]
        d, z, e = level[0:n], level[1 : n + 1], level[2 : n + 2]
        f, g, h = ground[row + 1, 0:n], ground[row + 1, 1 : n + 1], ground[row + 1, 2 : n + 2]
        inner = bits[1 : n + 1]
        for i in range(n):
            s = z[i]
            before = (not a[i] > s) | ((not b[i] > s) << 1) | ((not c[i] > s) << 2) | ((not d[i] > s) << 3)
            after = (not e[i] >= s) | ((not f[i] >= s) << 1) | ((not g[i] >= s) << 2) | ((not h[i] >= s) << 3)
            inner[i] = np.uint8(before | (after << 4))
        bits[0] = _lower(ground, row, 0)
        bits[columns - 1] = _lower(ground, row, columns - 1)


@njit(**_HOW)  # type: ignore[untyped-decorator]
def hollows(lower: Bytes, step: Steps, parts: Bytes, hollow: Steps, saddle: Steps) -> tuple[int, int]:
    """Number the hollows, each cell by that to which it drains, and list the saddles; how many there are of both.

    A saddle is a cell whose lower neighbours lie in more than one piece.
    """
    count, found = 1, 0
    for start in range(hollow.size):
        cell = _U(start)
        bits = lower[cell]
        saddle[_U(found)] = start
        found += int(parts[bits] > 1)
        if hollow[cell] >= 0:
            continue
        at = cell
        if bits != 0 and hollow[at + step[bits]] >= 0:
            hollow[at] = hollow[at + step[bits]]
            continue
        while bits != 0 and hollow[at] < 0:
            at += step[bits]
            bits = lower[at]
        number = hollow[at]
        if number < 0:
            number = count
            count += 1
            hollow[at] = number
        at = cell
        while hollow[at] < 0:
            hollow[at] = number
            at += step[lower[at]]
    return count, found


@njit(**_HOW)  # type: ignore[untyped-decorator]
def joints(
    ground: Floats, lower: Bytes, hollow: Steps, saddle: Steps, parts: Bytes, offset: Steps, level: Floats, pair: Steps
) -> int:
    """Fill level [m] and pair of hollows wherever a saddle joins two; how many."""
    wide = ground.shape[1] + 2
    count = 0
    for cell in saddle:
        row = cell // wide
        here = ground[row - 1, cell - row * wide - 1]
        bits = lower[_U(cell)]
        one = hollow[_U(cell) + offset[bits, 0]]
        for k in range(1, parts[bits]):
            other = hollow[_U(cell) + offset[bits, k]]
            if other != one:
                level[count] = here
                pair[count, 0], pair[count, 1] = one, other
                count += 1
    return count


@njit(**_HOW)  # type: ignore[untyped-decorator]
def lowest_first(level: Floats, order: Steps) -> bool:
    """Fill the order of some levels [m] from the lowest up: in buckets, then exactly within each.

    False where too many fall into one bucket; they are to be sorted otherwise.
    """
    low, high = level.min(), level.max()
    if not high > low:
        return False
    scale = (level.size - 1) / (high - low)
    first = np.zeros(level.size + 1, dtype=np.int32)
    for here in level:
        first[_U((here - low) * scale) + _U(1)] += 1
    if first.max() > _CROWDED:
        return False
    for k in range(1, first.size):
        first[k] += first[k - 1]
    for k in range(level.size):
        bucket = _U((level[k] - low) * scale)
        order[_U(first[bucket])] = k
        first[bucket] += 1
    for k in range(1, order.size):
        one = order[k]
        here, at = level[_U(one)], k
        while at > 0 and level[_U(order[at - 1])] > here:
            order[at] = order[at - 1]
            at -= 1
        order[at] = one
    return True


@njit(**_HOW)
def _root(over, one):  # type: ignore[no-untyped-def]
    at = _U(one)
    while _U(over[at]) != at:
        over[at] = over[_U(over[at])]
        at = _U(over[at])
    return at


@njit(**_HOW)  # type: ignore[untyped-decorator]
def ways_out(order: Steps, level: Floats, pair: Steps, count: int) -> Floats:
    """Level [m] at which each hollow finds its way out: joined from the lowest joint up, hollow 0 the outside."""
    over, last = np.arange(count).astype(np.int32), np.arange(count).astype(np.int32)
    after = np.full(count, -1, dtype=np.int32)
    spill = np.full(count, -np.inf)
    for joint in order:
        one, other = _root(over, pair[joint, 0]), _root(over, pair[joint, 1])
        if one == other:
            continue
        if other < one:
            one, other = other, one
        over[other] = one
        if one == _U(0):
            member = np.int64(other)
            while member >= 0:
                spill[_U(member)] = level[joint]
                member = np.int64(after[_U(member)])
        else:
            after[last[one]] = other
            last[one] = last[other]
    return spill


@njit(**_HOW)  # type: ignore[untyped-decorator]
def raised(ground: Floats, hollow: Steps, spill: Floats, level: Floats) -> None:
    """Fill the spill level [m] of every cell: its own, or that of its hollow where that is higher."""
    rows, columns = ground.shape
    for row in range(rows):
        base = _U((row + 1) * (columns + 2) + 1)
        for column in range(columns):
            out = spill[_U(hollow[base + _U(column)])]
            here = ground[row, column]
            level[row, column] = out if out > here else here
