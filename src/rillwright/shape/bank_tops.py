"""The tops of a stream's banks at places of its liner's edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from rillwright.feature import Stream
from rillwright.shape.natural import NaturalGround, ground_there
from rillwright.shape.pond_edge import Tops, known_by
from rillwright.sources import default

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


def bank_tops(stream: Stream, places: Floats, *, stations: Floats, reach_of: list[int], natural: NaturalGround) -> Tops:
    """The finished tops of the banks at places (p, 2) [m] beside `stations` (p,) [m], each of the reach of that number.

    The bank stands its height above the bed. What of it is fill on the ground settles by `pond.settlement`, but no more
    than its own height does: the bed goes down with the fill under it, and so does its water. Where there is no
    surface of the ground it is taken as straight from the head to the waterline, and is a guess.
    """
    rows = np.array(reach_of)
    start, long, first, last, bank, sigma = (
        np.array(values)[rows]
        for values in zip(
            *(
                (
                    r.station_m,
                    r.length_m,
                    r.bed_start.m,
                    r.bed_end.m,
                    r.bank_m,
                    max(r.bed_start.sigma_m, r.bed_end.sigma_m),
                )
                for r in stream.reaches
            ),
            strict=True,
        )
    )
    share = np.clip((stations - start) / long, 0.0, 1.0)
    top = first + (last - first) * share + bank
    ground, known = _ground(stream, places, stations, natural)
    fill = top - ground
    settles = default("pond.settlement").number * np.clip(fill, 0.0, bank)
    setups = [reach.bed_start.setup for reach in stream.reaches]
    return Tops(
        top_m=top - settles, sigma_m=sigma, ground_m=ground, ground_is=known, fill_m=fill, settles_m=settles,
        by=[f"reaches/{stream.reaches[i].id}.bank" for i in reach_of], setup=[setups[i] for i in reach_of],
    )  # fmt: skip


def _ground(stream: Stream, places: Floats, stations: Floats, natural: NaturalGround) -> tuple[Floats, list[str]]:
    if natural.tin is not None:
        there = ground_there(natural, places)
        return there.level_m, known_by(there.away_m, there.outside_m, near_m=natural.model.near_m)
    head = (stream.head_ground or stream.head).m
    foot = stream.falls[-1].foot.m if stream.falls else stream.reaches[-1].bed_end.m
    level: Floats = head + (foot - head) * np.clip(stations / max(stream.length_m, 1e-9), 0.0, 1.0)
    return level, ["guess"] * len(places)
