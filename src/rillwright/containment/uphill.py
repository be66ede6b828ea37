"""Higher ground that slopes to a rim: what runs off it in rain comes over the edge, with its soil."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from rillwright.containment.rim_result import Uphill
from rillwright.containment.spilling import bins_under
from rillwright.containment.ways import outward
from rillwright.feature import Feature
from rillwright.shape import RimLine, Surface
from rillwright.sources import default

if TYPE_CHECKING:
    from rillwright.ground import Tin

STEP_M = 1.0  # the ground is looked at so far outside the rim, and on uphill in such steps
MOST_STEPS = 50
LEAST_M = 1.0  # a shorter piece of rim is a lump in the ground


def uphill(feature: Feature, surface: Surface, tin: Tin | None) -> tuple[Uphill, ...]:
    """The rims of each body and stream at which the natural ground outside stands above them and slopes to them.

    A metre out the ground must stand above the rim's top by more than `ground.uneven`. From there straight away from
    the water it is followed for as long as it rises: length times that way is the ground that drains here.

    Parameters
    ----------
    feature : Feature
        Streams and their reaches.
    surface : Surface
        The rims as they run, and what each body and stream takes up in plan [m].
    tin : Tin or None
        The ground before work; None: nobody knows it.

    Returns
    -------
    tuple of Uphill
        One a body or stream that has such a rim [m, m2].

    References
    ----------
    Straight away from the water, as far as it rises: common practice, no source.
    """
    uneven = default("ground.uneven").number
    if tin is None:
        return ()
    import shapely

    streams = {f"reaches/{reach.id}": f"streams/{stream.id}" for stream in feature.streams for reach in stream.reaches}
    areas = shapely.union_all([shapely.Polygon(outline) for _, outline in surface.footprints])
    found: dict[str, list[tuple[float, float, float, tuple[float, float]]]] = {}
    for rim in surface.rims:
        if rim.kind == "outer":
            for water, rows in _at_rim(rim, tin, streams, areas=areas, rise_m=uneven * STEP_M).items():
                found.setdefault(water, []).extend(rows)
    return tuple(each for water, rows in found.items() if (each := _told(water, rows)) is not None)


def _at_rim(
    rim: RimLine, tin: Tin, streams: dict[str, str], *, areas: Any, rise_m: float
) -> dict[str, list[tuple[float, float, float, tuple[float, float]]]]:
    """(length, ground that drains here, how far it stands above, place) of each place that has higher ground."""
    import shapely

    from rillwright.ground import levels_at

    bins = bins_under(tin)
    places = np.array([point.at for point in rim.points])
    away = outward(places, closed=rim.closed)
    tops = np.array([point.top_m for point in rim.points])
    out = places + STEP_M * away
    first = np.where(shapely.contains_xy(areas, out), np.nan, levels_at(tin, out, bins=bins))
    grounds = np.array([point.ground_m for point in rim.points])
    with np.errstate(invalid="ignore"):
        rows = np.flatnonzero(first > np.maximum(tops, grounds) + rise_m)
    if not len(rows):
        return {}
    long = _shares_m(rim, places)[rows]
    steps = STEP_M * np.arange(1, MOST_STEPS + 1)
    lines = places[rows][:, None, :] + steps[None, :, None] * away[rows][:, None, :]
    levels = levels_at(tin, lines.reshape(-1, 2), bins=bins).reshape(len(rows), -1)
    with np.errstate(invalid="ignore"):
        rising = np.cumprod(np.diff(levels, axis=1) > 0.0, axis=1).sum(axis=1)
    ground = long * STEP_M * (1.0 + rising)
    found: dict[str, list[tuple[float, float, float, tuple[float, float]]]] = {}
    for k, row in enumerate(rows.tolist()):
        point = rim.points[row]
        at = streams.get(point.water, point.water)
        stands = float(first[row] - tops[row])
        found.setdefault(at, []).append((float(long[k]), float(ground[k]), stands, point.at))
    return found


def _shares_m(rim: RimLine, places: np.ndarray) -> np.ndarray:
    """The length of rim that each place stands for [m]: half of the way to each of its neighbours."""
    ahead = np.hypot(*(np.roll(places, -1, axis=0) - places).T)
    if not rim.closed:
        ahead[-1] = 0.0
    found: np.ndarray = 0.5 * (ahead + np.roll(ahead, 1))
    return found


def _told(water: str, rows: Sequence[tuple[float, float, float, tuple[float, float]]]) -> Uphill | None:
    long = sum(row[0] for row in rows)
    if long < LEAST_M:
        return None
    middle = rows[len(rows) // 2][3]
    return Uphill(
        water=water,
        length_m=long,
        ground_m2=sum(row[1] for row in rows),
        stands_m=max(row[2] for row in rows),
        at=middle,
    )
