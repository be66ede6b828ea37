"""The eight neighbours of a cell as bits: which of them are lower, and into how many pieces those fall."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Steps = NDArray[Any]  # whole numbers of the width that the kernel works with

UP = np.array((-1, -1, -1, 0, 0, 1, 1, 1))  # rows from a cell to its neighbours: four that come before it, four after
ACROSS = np.array((-1, 0, 1, -1, 1, -1, 0, 1))


@cache
def pieces() -> tuple[Bytes, Bytes]:
    """For each of the 256 patterns: of how many pieces it consists, and one neighbour of each (256, 4)."""
    count, first = np.zeros(256, dtype=np.uint8), np.zeros((256, 4), dtype=np.uint8)
    for bits in range(256):
        left = {k for k in range(8) if bits >> k & 1}
        while left:
            lead = min(left)
            first[bits, count[bits]] = lead
            count[bits] += 1
            todo = [lead]
            while todo:
                at = todo.pop()
                left.discard(at)
                todo += [k for k in left if max(abs(UP[k] - UP[at]), abs(ACROSS[k] - ACROSS[at])) <= 1]
    return count, first


def steps(wide: int) -> tuple[Bytes, Steps, Steps]:
    """For rows of `wide` cells: pieces of each pattern, the step to its first neighbour, to one of each piece."""
    count, first = pieces()
    around = (UP * wide + ACROSS).astype(np.uint64)  # backwards by running over
    return count, around[first[:, 0]], around[first]
