"""The tops of a stream's banks at places of its liner's edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rillwright.feature import Reach, Stream
from rillwright.shape.natural import NaturalGround, ground_there
from rillwright.shape.pond_edge import Tops, known_by
from rillwright.sources import default

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


def bed_m(reach: Reach, stations: Floats) -> Floats:
    """Level of the bed of a reach [m] beside stations (s,) [m] of its stream: straight from its start to its end."""
    share = np.clip((stations - reach.station_m) / reach.length_m, 0.0, 1.0)
    found: Floats = reach.bed_start.m + (reach.bed_end.m - reach.bed_start.m) * share
    return found


def bank_tops(stream: Stream, places: Floats, *, stations: Floats, reach_of: list[int], natural: NaturalGround) -> Tops:
    """The finished tops of the banks at places (p, 2) [m] beside `stations` (p,) [m], each of the reach of that number.

    The bank stands its height above the bed. What of it is fill on the ground settles by `pond.settlement`, but no more
    than its own height does: the bed goes down with the fill under it, and so does its water. Where there is no
    surface of the ground it is taken as straight from the head to the waterline, and is a guess.
    """
    rows, reaches = np.array(reach_of), stream.reaches
    beds = np.empty(len(rows))
    for i in set(reach_of):
        beds[rows == i] = bed_m(reaches[i], stations[rows == i])
    bank = np.array([reach.bank_m for reach in reaches])[rows]
    sigma = np.array([max(reach.bed_start.sigma_m, reach.bed_end.sigma_m) for reach in reaches])[rows]
    ground, known = bank_ground(stream, places, stations, natural)
    fill = beds + bank - ground
    settles = default("pond.settlement").number * np.clip(fill, 0.0, bank)
    return Tops(
        top_m=beds + bank - settles, sigma_m=sigma, ground_m=ground, ground_is=known, fill_m=fill, settles_m=settles,
        by=[f"reaches/{reaches[i].id}.bank" for i in reach_of], setup=[reaches[i].bed_start.setup for i in reach_of],
    )  # fmt: skip


def bank_ground(stream: Stream, places: Floats, stations: Floats, natural: NaturalGround) -> tuple[Floats, list[str]]:
    """Level of the ground [m] at places (p, 2) [m] beside stations (p,) [m], and what is known of it."""
    if natural.tin is not None:
        there = ground_there(natural, places)
        return there.level_m, known_by(there.away_m, there.outside_m, near_m=natural.model.near_m)
    head = (stream.head_ground or stream.head).m
    foot = stream.falls[-1].foot.m if stream.falls else stream.reaches[-1].bed_end.m
    level: Floats = head + (foot - head) * np.clip(stations / max(stream.length_m, 1e-9), 0.0, 1.0)
    return level, ["guess"] * len(places)
