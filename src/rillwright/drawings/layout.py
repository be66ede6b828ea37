"""Things in a row without overlap, as near as can be to where they are wanted."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct


def spread(
    wanted: Sequence[float], sizes: Sequence[float], low: float, high: float, *, gap: float = 0.0
) -> tuple[float, ...] | None:
    """Near edges of intervals in their order [mm], none overlapping, least displaced; None if they do not fit.

    Parameters
    ----------
    wanted
        Near edges as wished, rising [mm].
    sizes
        Lengths of the intervals [mm].
    low
        Where the room begins [mm].
    high
        Where it ends [mm].
    gap
        Kept free between two [mm].
    """
    if not wanted:
        return ()
    room = high - low - sum(sizes) - gap * (len(sizes) - 1)
    if room < -1e-9:
        return None
    before = [0.0]
    for size in sizes[:-1]:
        before.append(before[-1] + size + gap)
    pools: list[tuple[float, int]] = []  # (mean, count) of wishes less what stands before: must not fall
    for wish, offset in zip(wanted, before, strict=True):
        mean, count = wish - offset, 1
        while pools and pools[-1][0] > mean:
            other, n = pools.pop()
            mean, count = (mean * count + other * n) / (count + n), count + n
        pools.append((mean, count))
    bases = [min(max(mean, low), low + max(room, 0.0)) for mean, count in pools for _ in range(count)]
    return tuple(base + offset for base, offset in zip(bases, before, strict=True))


class Slot(Struct, frozen=True):
    """Where a block came to stand: its tier, 0 nearest, and the left edges in the tiers up to its own [mm]."""

    tier: int
    lefts: tuple[float, ...]


def tiers(
    wanted: Sequence[float], widths: Sequence[float], low: float, high: float, *, gap: float, most: int
) -> tuple[Slot, ...] | None:
    """Blocks in as few tiers as hold them, leaders to farther ones between nearer blocks; None if `most` do not do.

    Parameters
    ----------
    wanted
        Left edges as wished, rising [mm].
    widths
        Of the blocks [mm].
    low
        Where the room begins [mm].
    high
        Where it ends [mm].
    gap
        Between two blocks [mm].
    most
        Greatest number of tiers.
    """
    for count in range(1, most + 1):
        lefts: list[list[float]] = [[] for _ in wanted]
        for tier in range(count):
            members = [i for i in range(len(wanted)) if i % count >= tier]
            wishes = [lefts[i][-1] if lefts[i] else wanted[i] for i in members]
            sizes = [widths[i] if i % count == tier else 0.0 for i in members]
            found = spread(wishes, sizes, low, high, gap=gap)
            if found is None:
                break
            for i, left in zip(members, found, strict=True):
                lefts[i].append(left)
        else:
            return tuple(Slot(i % count, tuple(edges)) for i, edges in enumerate(lefts))
    return None
