"""Volume by level and level by volume, from a body's storage table.

Inside a slice the area goes straight from end to end, scaled so that the slice keeps its own volume: what is taken
out at one level is found again, to rounding, at another.
"""

from __future__ import annotations

import bisect
import math

from msgspec.structs import replace

from rillwright.shape.result import PondShape
from rillwright.shape.slices import Slices

Storage = tuple[tuple[float, float, float], ...]
EDGE_M = 1e-6  # the shelf is one level with two areas: the lower one is put this much under it


def storage_table(slices: Slices, *, waterline_m: float, floor_depth_m: float, net_share: float) -> Storage:
    """(level, open area, net volume below) from the floor up, of the slices above `floor_depth_m` [m].

    `waterline_m` [m]; `net_share` [-] of the hole is water.
    """
    among = [i for i in range(len(slices.volume_m3)) if slices.between(-math.inf, floor_depth_m)[i]]
    rows: list[tuple[float, float, float]] = []
    below = 0.0
    for i in reversed(among):
        low, high = (waterline_m - float(slices.depths_m[i + 1]), waterline_m - float(slices.depths_m[i]))
        bottom = float(slices.bottom_m2[i])
        if not rows:
            rows.append((low, bottom, below))
        elif bottom > rows[-1][1] * (1.0 + 1e-9) + 1e-9:
            rows[-1] = (low - EDGE_M, *rows[-1][1:])
            rows.append((low, bottom, below))
        below += net_share * float(slices.volume_m3[i])
        rows.append((high, float(slices.top_m2[i]), below))
    return tuple(rows)


def volume_at(pond: PondShape, level_m: float) -> float:
    """Net volume [m3] below a level [m]; above the table the last area goes straight up."""
    rows = pond.storage
    if level_m <= rows[0][0]:
        return 0.0
    i = min(bisect.bisect_right(rows, level_m, key=lambda row: row[0]) - 1, len(rows) - 2)
    (low, area, volume), (high, area_high, volume_high) = rows[i], rows[i + 1]
    share = _share(rows[i], rows[i + 1])
    if level_m >= high:
        return volume_high + share * area_high * (level_m - high)
    up = level_m - low
    return volume + share * (area * up + 0.5 * (area_high - area) / (high - low) * up * up)


def drawn(pond: PondShape) -> PondShape:
    """The body with the table of its drawing, whatever the fill meter says."""
    return replace(pond, storage=pond.as_drawn, as_drawn=()) if pond.as_drawn else pond


def level_at(pond: PondShape, volume_m3: float) -> float:
    """Level [m] below which the body holds `volume_m3` [m3], net; the floor where it holds none."""
    rows = pond.storage
    if volume_m3 <= 0.0:
        return rows[0][0]
    i = min(max(bisect.bisect_right(rows, volume_m3, key=lambda row: row[2]) - 1, 0), len(rows) - 2)
    (low, area, volume), (high, area_high, volume_high) = rows[i], rows[i + 1]
    share = _share(rows[i], rows[i + 1])
    if volume_m3 >= volume_high:
        return high + (volume_m3 - volume_high) / (share * area_high)
    wanted = (volume_m3 - volume) / share
    slope = (area_high - area) / (high - low)
    return low + 2.0 * wanted / (area + math.sqrt(area * area + 2.0 * slope * wanted))


def area_at(pond: PondShape, level_m: float) -> float:
    """Open area [m2] at a level [m], between the table's rows straight; none under the floor."""
    rows = pond.storage
    if level_m < rows[0][0]:
        return 0.0
    i = min(bisect.bisect_right(rows, level_m, key=lambda row: row[0]) - 1, len(rows) - 2)
    (low, area, _), (high, area_high, _) = rows[i], rows[i + 1]
    return area + (area_high - area) * min((level_m - low) / (high - low), 1.0)


def _share(lower: tuple[float, float, float], upper: tuple[float, float, float]) -> float:
    gross = 0.5 * (lower[1] + upper[1]) * (upper[0] - lower[0])
    return (upper[2] - lower[2]) / gross
