"""Reading printed tables, and the note on thin water that all crests share."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

LEAST_PUBLISHED_HEAD_M = 0.03  # ISO 1438 and what follows it; older formulas ask for 0.06 m


def read_between(table: Sequence[tuple[float, float]], at: float) -> float:
    """Straight between the rows; the end rows outside them."""
    if at <= table[0][0]:
        return table[0][1]
    for (xa, ya), (xb, yb) in pairwise(table):
        if at <= xb:
            return ya + (at - xa) / (xb - xa) * (yb - ya)
    return table[-1][1]


def thin_water(head_m: float, least_m: float) -> tuple[bool, str]:
    """Whether a head [m] is under the least of a published range [m], and what to say of it."""
    text = f"{head_m * 1000:.1f} mm of water is under the {least_m * 1000:.0f} mm of the published range"
    if head_m < LEAST_PUBLISHED_HEAD_M:
        text += "; surface tension counts, allow 15 to 25 % either way"
    return head_m < least_m, text
